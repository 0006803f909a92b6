"""Standard parts bought by the piece: fasteners, bearings, seals."""

from hoistbook.core.cost.processes.bought_part.model import PROCESS

__all__ = ["PROCESS"]
