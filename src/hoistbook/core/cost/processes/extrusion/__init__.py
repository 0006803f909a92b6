"""Direct extrusion of aluminium profiles."""

from hoistbook.core.cost.processes.extrusion.model import PROCESS

__all__ = ["PROCESS"]
