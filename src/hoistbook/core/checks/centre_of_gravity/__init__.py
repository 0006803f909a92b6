"""Centre of gravity from corner weights and a lifted axle."""

from hoistbook.core.checks.centre_of_gravity.model import CHECK

__all__ = ["CHECK"]
