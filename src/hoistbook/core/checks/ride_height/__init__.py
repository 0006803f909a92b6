"""Heights under the body, from the hoist to the road."""

from hoistbook.core.checks.ride_height.model import CHECK

__all__ = ["CHECK"]
