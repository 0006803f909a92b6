"""Joining of tubes, hoses and fittings to lines, with leak test."""

from hoistbook.core.cost.processes.hose_line_assembly.model import PROCESS

__all__ = ["PROCESS"]
