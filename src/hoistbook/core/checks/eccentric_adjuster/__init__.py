"""What an eccentric bolt can adjust, and what it moves besides."""

from hoistbook.core.checks.eccentric_adjuster.model import CHECK

__all__ = ["CHECK"]
