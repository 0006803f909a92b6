"""Structural band of a frontal small overlap from measured intrusion."""

from hoistbook.core.checks.small_overlap.model import CHECK

__all__ = ["CHECK"]
