"""Zinc-flake coats, dipped and spun."""

from hoistbook.core.cost.processes.zinc_flake.model import PROCESS

__all__ = ["PROCESS"]
