"""Hobbing of cylindrical gears."""

from hoistbook.core.cost.processes.gear_hobbing.model import PROCESS

__all__ = ["PROCESS"]
