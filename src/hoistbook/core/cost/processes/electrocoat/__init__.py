"""Electrodeposition paint."""

from hoistbook.core.cost.processes.electrocoat.model import PROCESS

__all__ = ["PROCESS"]
