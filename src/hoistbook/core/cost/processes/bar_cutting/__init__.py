"""Bar, tube or plate sawn to length: the start of a part that is machined from the solid."""

from hoistbook.core.cost.processes.bar_cutting.model import PROCESS

__all__ = ["PROCESS"]
