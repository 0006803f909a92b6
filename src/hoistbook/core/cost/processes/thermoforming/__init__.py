"""Thermoforming of sheet."""

from hoistbook.core.cost.processes.thermoforming.model import PROCESS

__all__ = ["PROCESS"]
