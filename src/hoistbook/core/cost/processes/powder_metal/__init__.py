"""Pressing of metal powder."""

from hoistbook.core.cost.processes.powder_metal.model import PROCESS

__all__ = ["PROCESS"]
