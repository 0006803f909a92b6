"""What the length, bore, bends and warmth of a refrigerant line cost."""

from hoistbook.core.checks.refrigerant_line.model import CHECK

__all__ = ["CHECK"]
