"""Trimming and piercing of hard sheet by laser."""

from hoistbook.core.cost.processes.laser_trimming.model import PROCESS

__all__ = ["PROCESS"]
