"""What a wrap of barrier and foam keeps in, what its gaps cost, what it weighs."""

from hoistbook.core.checks.acoustic_wrap.model import CHECK

__all__ = ["CHECK"]
