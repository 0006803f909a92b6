"""Rolling resistance from the class on a tyre label."""

from hoistbook.core.checks.tyre_label.model import CHECK

__all__ = ["CHECK"]
