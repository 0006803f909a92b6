"""Resistance spot welding."""

from hoistbook.core.cost.processes.spot_welding.model import PROCESS

__all__ = ["PROCESS"]
