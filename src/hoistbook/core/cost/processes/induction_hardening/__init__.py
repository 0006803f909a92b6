"""Hardening of surfaces by induction."""

from hoistbook.core.cost.processes.induction_hardening.model import PROCESS

__all__ = ["PROCESS"]
