"""Casting of iron and aluminium in green sand."""

from hoistbook.core.cost.processes.sand_casting.model import PROCESS

__all__ = ["PROCESS"]
