"""Frontal area from height and width, or from photos at two distances."""

from hoistbook.core.checks.frontal_area.model import CHECK

__all__ = ["CHECK"]
