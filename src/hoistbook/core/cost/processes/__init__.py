"""The process models: one folder and one line each."""

from types import MappingProxyType

from hoistbook.core.cost.process import Process
from hoistbook.core.cost.processes import (
    bar_cutting,
    closed_die_forging,
    cut_and_bend,
    extrusion,
    gear_grinding,
    gear_hobbing,
    grinding,
    high_pressure_die_casting,
    hose_line_assembly,
    laser_trimming,
    machining,
    press_hardening,
    roll_forming,
    sheet_stamping,
    tube_bending,
)

_ALL: tuple[Process, ...] = (
    bar_cutting.PROCESS,
    closed_die_forging.PROCESS,
    cut_and_bend.PROCESS,
    extrusion.PROCESS,
    gear_grinding.PROCESS,
    gear_hobbing.PROCESS,
    grinding.PROCESS,
    high_pressure_die_casting.PROCESS,
    hose_line_assembly.PROCESS,
    laser_trimming.PROCESS,
    machining.PROCESS,
    press_hardening.PROCESS,
    roll_forming.PROCESS,
    sheet_stamping.PROCESS,
    tube_bending.PROCESS,
)

PROCESSES = MappingProxyType({process.name: process for process in _ALL})
"""Every process model by its name."""
