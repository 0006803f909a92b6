"""Hard or isolated subframe: shift, yaw and toe under a side force."""

from hoistbook.core.checks.subframe_mounting.model import CHECK

__all__ = ["CHECK"]
