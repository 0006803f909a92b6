"""What an obstacle meets first under the vehicle, and what stands in front of what."""

from hoistbook.core.checks.first_touched.model import CHECK

__all__ = ["CHECK"]
