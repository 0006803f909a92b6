"""A group of bolts under a load off its middle, and what leaving one out does."""

from hoistbook.core.checks.bolt_group.model import CHECK

__all__ = ["CHECK"]
