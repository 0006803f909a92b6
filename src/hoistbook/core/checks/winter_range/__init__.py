"""What heating takes from the range in the cold."""

from hoistbook.core.checks.winter_range.model import CHECK

__all__ = ["CHECK"]
