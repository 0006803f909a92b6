"""The process models: one folder and one line each."""

from types import MappingProxyType

from hoistbook.core.cost.process import Process
from hoistbook.core.cost.processes import (
    bar_cutting,
    carburising,
    closed_die_forging,
    compression_moulding,
    cut_and_bend,
    extrusion,
    gear_grinding,
    gear_hobbing,
    grinding,
    heat_treatment,
    high_pressure_die_casting,
    hose_line_assembly,
    induction_hardening,
    injection_moulding,
    laser_trimming,
    machining,
    permanent_mould_casting,
    powder_metal,
    press_hardening,
    roll_forming,
    rubber_to_metal_bonding,
    sand_casting,
    sheet_stamping,
    thermoforming,
    tube_bending,
)

_ALL: tuple[Process, ...] = (
    bar_cutting.PROCESS,
    carburising.PROCESS,
    closed_die_forging.PROCESS,
    compression_moulding.PROCESS,
    cut_and_bend.PROCESS,
    extrusion.PROCESS,
    gear_grinding.PROCESS,
    gear_hobbing.PROCESS,
    grinding.PROCESS,
    heat_treatment.PROCESS,
    high_pressure_die_casting.PROCESS,
    hose_line_assembly.PROCESS,
    induction_hardening.PROCESS,
    injection_moulding.PROCESS,
    laser_trimming.PROCESS,
    machining.PROCESS,
    permanent_mould_casting.PROCESS,
    powder_metal.PROCESS,
    press_hardening.PROCESS,
    roll_forming.PROCESS,
    rubber_to_metal_bonding.PROCESS,
    sand_casting.PROCESS,
    sheet_stamping.PROCESS,
    thermoforming.PROCESS,
    tube_bending.PROCESS,
)

PROCESSES = MappingProxyType({process.name: process for process in _ALL})
"""Every process model by its name."""
