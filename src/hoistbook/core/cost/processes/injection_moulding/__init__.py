"""Injection moulding of thermoplastics."""

from hoistbook.core.cost.processes.injection_moulding.model import PROCESS

__all__ = ["PROCESS"]
