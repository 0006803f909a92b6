"""Sawing, drilling and bending of profiles."""

from hoistbook.core.cost.processes.cut_and_bend.model import PROCESS

__all__ = ["PROCESS"]
