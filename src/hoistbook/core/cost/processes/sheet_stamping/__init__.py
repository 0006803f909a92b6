"""Stamping of sheet: progressive, transfer, tandem, or single presses fed by hand."""

from hoistbook.core.cost.processes.sheet_stamping.model import PROCESS

__all__ = ["PROCESS"]
