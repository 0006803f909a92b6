"""Turning, milling, drilling and tapping of one part."""

from hoistbook.core.cost.processes.machining.model import PROCESS

__all__ = ["PROCESS"]
