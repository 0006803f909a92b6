"""Unequal half shafts: what the angles of their joints do to the steering."""

from hoistbook.core.checks.half_shaft_angle.model import CHECK

__all__ = ["CHECK"]
