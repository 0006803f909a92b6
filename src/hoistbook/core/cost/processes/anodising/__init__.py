"""Anodising of aluminium."""

from hoistbook.core.cost.processes.anodising.model import PROCESS

__all__ = ["PROCESS"]
