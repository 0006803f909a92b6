"""Whether a bracket is stiff enough for its isolator."""

from hoistbook.core.checks.bracket_stiffness.model import CHECK

__all__ = ["CHECK"]
