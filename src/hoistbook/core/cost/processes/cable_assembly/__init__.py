"""High-voltage cable assemblies."""

from hoistbook.core.cost.processes.cable_assembly.model import PROCESS

__all__ = ["PROCESS"]
