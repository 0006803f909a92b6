"""Stiffness of a rubber pad from hardness and size."""

from hoistbook.core.checks.rubber_pad.model import CHECK

__all__ = ["CHECK"]
