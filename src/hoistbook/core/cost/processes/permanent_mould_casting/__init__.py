"""Gravity and low-pressure casting of aluminium in iron moulds."""

from hoistbook.core.cost.processes.permanent_mould_casting.model import PROCESS

__all__ = ["PROCESS"]
