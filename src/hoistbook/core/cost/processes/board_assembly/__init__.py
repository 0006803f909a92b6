"""Populated printed boards, by parameters."""

from hoistbook.core.cost.processes.board_assembly.model import PROCESS

__all__ = ["PROCESS"]
