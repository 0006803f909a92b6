"""Roll forming of profiles from coil."""

from hoistbook.core.cost.processes.roll_forming.model import PROCESS

__all__ = ["PROCESS"]
