"""Loss, voltage drop, mass and best section of a high-voltage conductor."""

from hoistbook.core.checks.cable_loss.model import CHECK

__all__ = ["CHECK"]
