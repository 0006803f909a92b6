"""What a coolant hose costs in pump power, fluid, warm-up and heat."""

from hoistbook.core.checks.coolant_line.model import CHECK

__all__ = ["CHECK"]
