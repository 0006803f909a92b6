"""Laser welding of seams."""

from hoistbook.core.cost.processes.laser_welding.model import PROCESS

__all__ = ["PROCESS"]
