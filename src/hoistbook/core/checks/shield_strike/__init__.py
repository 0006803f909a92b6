"""Dent and perforation of an underbody shield under a strike."""

from hoistbook.core.checks.shield_strike.model import CHECK

__all__ = ["CHECK"]
