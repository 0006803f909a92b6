"""Cylindrical and surface grinding."""

from hoistbook.core.cost.processes.grinding.model import PROCESS

__all__ = ["PROCESS"]
