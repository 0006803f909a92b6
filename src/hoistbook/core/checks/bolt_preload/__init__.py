"""Preload of a bolt from its tightening torque, with the scatter of the method."""

from hoistbook.core.checks.bolt_preload.model import CHECK

__all__ = ["CHECK"]
