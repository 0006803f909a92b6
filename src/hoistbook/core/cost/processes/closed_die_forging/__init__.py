"""Closed-die forging of steel and aluminium."""

from hoistbook.core.cost.processes.closed_die_forging.model import PROCESS

__all__ = ["PROCESS"]
