"""Creepage distance at a high-voltage connector against the table of the standard."""

from hoistbook.core.checks.creepage.model import CHECK

__all__ = ["CHECK"]
