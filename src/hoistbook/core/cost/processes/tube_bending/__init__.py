"""Bending and end forming of tubes."""

from hoistbook.core.cost.processes.tube_bending.model import PROCESS

__all__ = ["PROCESS"]
