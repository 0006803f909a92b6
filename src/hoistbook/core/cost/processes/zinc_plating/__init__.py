"""Electroplating with zinc and zinc-nickel."""

from hoistbook.core.cost.processes.zinc_plating.model import PROCESS

__all__ = ["PROCESS"]
