"""Adhesive and sealer in beads."""

from hoistbook.core.cost.processes.adhesive_bonding.model import PROCESS

__all__ = ["PROCESS"]
