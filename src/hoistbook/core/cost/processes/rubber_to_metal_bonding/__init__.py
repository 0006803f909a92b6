"""Rubber bonded to metal: bushings and isolators."""

from hoistbook.core.cost.processes.rubber_to_metal_bonding.model import PROCESS

__all__ = ["PROCESS"]
