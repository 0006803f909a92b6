"""Grinding of gear flanks with a threaded wheel."""

from hoistbook.core.cost.processes.gear_grinding.model import PROCESS

__all__ = ["PROCESS"]
