"""Approach, departure and ramp angle, and clearance."""

from hoistbook.core.checks.ramp_angles.model import CHECK

__all__ = ["CHECK"]
