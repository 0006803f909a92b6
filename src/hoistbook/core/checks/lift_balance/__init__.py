"""Load on each lift pad and margin against tipping after each removal."""

from hoistbook.core.checks.lift_balance.model import CHECK

__all__ = ["CHECK"]
