"""Crush of a thin-walled member: mean force, energy and its share of a crash."""

from hoistbook.core.checks.crush_member.model import CHECK

__all__ = ["CHECK"]
