"""High-pressure die casting of aluminium, magnesium and zinc."""

from hoistbook.core.cost.processes.high_pressure_die_casting.model import PROCESS

__all__ = ["PROCESS"]
