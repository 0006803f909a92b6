"""Arc welding with wire."""

from hoistbook.core.cost.processes.arc_welding.model import PROCESS

__all__ = ["PROCESS"]
