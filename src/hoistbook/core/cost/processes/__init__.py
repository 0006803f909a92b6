"""The process models: one folder and one line each."""

from types import MappingProxyType

from hoistbook.core.cost.process import Process
from hoistbook.core.cost.processes import (
    high_pressure_die_casting,
    laser_trimming,
    press_hardening,
    roll_forming,
    sheet_stamping,
)

_ALL: tuple[Process, ...] = (
    high_pressure_die_casting.PROCESS,
    laser_trimming.PROCESS,
    press_hardening.PROCESS,
    roll_forming.PROCESS,
    sheet_stamping.PROCESS,
)

PROCESSES = MappingProxyType({process.name: process for process in _ALL})
"""Every process model by its name."""
