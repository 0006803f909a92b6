"""Wind-up, torsional stiffness and first bending mode of unequal half shafts."""

from hoistbook.core.checks.half_shaft_windup.model import CHECK

__all__ = ["CHECK"]
