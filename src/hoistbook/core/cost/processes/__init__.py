"""The process models: one folder and one line each."""

from types import MappingProxyType

from hoistbook.core.cost.process import Process
from hoistbook.core.cost.processes import (
    closed_die_forging,
    cut_and_bend,
    extrusion,
    high_pressure_die_casting,
    hose_line_assembly,
    laser_trimming,
    press_hardening,
    roll_forming,
    sheet_stamping,
    tube_bending,
)

_ALL: tuple[Process, ...] = (
    closed_die_forging.PROCESS,
    cut_and_bend.PROCESS,
    extrusion.PROCESS,
    high_pressure_die_casting.PROCESS,
    hose_line_assembly.PROCESS,
    laser_trimming.PROCESS,
    press_hardening.PROCESS,
    roll_forming.PROCESS,
    sheet_stamping.PROCESS,
    tube_bending.PROCESS,
)

PROCESSES = MappingProxyType({process.name: process for process in _ALL})
"""Every process model by its name."""
