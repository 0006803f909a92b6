"""Tones of an electric drive and the road speeds at which they meet a mode."""

from hoistbook.core.checks.drive_orders.model import CHECK

__all__ = ["CHECK"]
