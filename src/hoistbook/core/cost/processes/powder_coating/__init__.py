"""Powder paint."""

from hoistbook.core.cost.processes.powder_coating.model import PROCESS

__all__ = ["PROCESS"]
