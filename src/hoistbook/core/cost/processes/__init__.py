"""The process models: one folder and one line each."""

from types import MappingProxyType

from hoistbook.core.cost.process import Process
from hoistbook.core.cost.processes import high_pressure_die_casting

_ALL: tuple[Process, ...] = (high_pressure_die_casting.PROCESS,)

PROCESSES = MappingProxyType({process.name: process for process in _ALL})
"""Every process model by its name."""
