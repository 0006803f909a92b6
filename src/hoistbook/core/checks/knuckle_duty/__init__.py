"""A knuckle judged against the loads it takes, not by its mass alone."""

from hoistbook.core.checks.knuckle_duty.model import CHECK

__all__ = ["CHECK"]
