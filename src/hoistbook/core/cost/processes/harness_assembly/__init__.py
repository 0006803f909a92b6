"""Low-voltage wire harnesses."""

from hoistbook.core.cost.processes.harness_assembly.model import PROCESS

__all__ = ["PROCESS"]
