"""Heat, form and quench in one stroke: the quench from its heat balance, the furnace from its length."""

from __future__ import annotations

from types import MappingProxyType

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.cost.formulas.heat import contact_quench_s
from hoistbook.core.cost.process import Choice, Fields, Limit, Operation, Process, Stage
from hoistbook.core.cost.processes.press_hardening.data import FIGURES

_REFERENCE_AREA_M2 = 0.5
_HARDENING_K_PER_S = 27.0
"""published: Metals 2019, 9(2), 235: the sheet must cool faster than this to become martensite."""


def quench_s(f: Fields) -> Array:
    """Time in the closed die. [s]"""
    return contact_quench_s(
        f.material_density_kg_per_m3,
        f.specific_heat_j_per_kg_k,
        f.wall_thickness_m,
        f.contact_w_per_m2_k,
        f.forming_degc,
        f.release_degc,
        f.die_degc,
    )


def evaluate(f: Fields) -> Operation:
    """What one press-hardened part takes.

    Notes
    -----
    The line waits for the press (transfer, closing, quench, unloading), for the furnace (a blank stays for a time that
    goes with its gauge; the hearth holds length/pitch of them), or, where trimming is in line, for the lasers. Their
    cells are paid for by the step laser trimming. Energy of the furnace is in the draw of the line.

    Source
    ------
    first principles: quench of a lump between two dies; times, pressures and dies common practice.
    """
    parts = np.maximum(f.cavity_count, 1.0)
    pitch = f.width_m + f.furnace_gap_m
    furnace = f.furnace_s_per_m * f.wall_thickness_m * pitch / f.furnace_length_m
    laser = f.cut_length_m / f.laser_m_per_s + f.hole_count * f.laser_hole_s + f.laser_load_s
    stages: tuple[Stage, ...] = (
        Stage("transfer", f.transfer_s / parts),
        Stage("close and form", f.closing_s / parts),
        Stage("quench", quench_s(f) / parts),
        Stage("open and unload", f.unloading_s / parts),
        Stage("furnace", furnace / parts, beside=True),
    )
    if f.choice("trimming") == "in line":
        stages = (*stages, Stage("laser", laser / f.laser_count, beside=True))
    gross = f.mass_kg / f.utilisation_frac
    return Operation(
        stages=stages,
        machine="hot stamping line",
        machine_size=f.contact_pressure_pa * f.projected_area_m2 * parts,
        crew=f.crew,
        reject_frac=f.reject_frac,
        setup_s=f.setup_s,
        gross_kg=gross,
        returned_kg=gross - f.mass_kg,
        recycled_frac=f.material_scrap_credit_frac,
        consumables=f.scale_removal_money_per_m2
        * f.mass_kg
        / (f.material_density_kg_per_m3 * f.wall_thickness_m),
        tools=f.die_money
        * (f.projected_area_m2 / _REFERENCE_AREA_M2) ** f.die_exponent
        * parts**f.parts_exponent,
        tool_life=f.die_life * parts,
    )


PROCESS = Process(
    name="press_hardening",
    title="press hardening",
    family="form",
    needs=("mass_kg", "width_m", "projected_area_m2", "wall_thickness_m"),
    optional=("cavity_count", "cut_length_m", "hole_count"),
    choices=(
        Choice(
            "coating",
            "coat of the sheet",
            MappingProxyType(
                {"aluminium-silicon": "aluminium-silicon", "zinc": "zinc", "bare": "bare, blasted after"}
            ),
        ),
        Choice(
            "trimming",
            "trimming",
            MappingProxyType(
                {
                    "apart": "behind a buffer: the line never waits for the lasers",
                    "in line": "at the pace of the line, which may wait for the lasers",
                }
            ),
        ),
    ),
    figures=FIGURES,
    limits=(
        Limit(
            "a gauge below 0.6 mm or above 4 mm is not press hardened; check the gauge.",
            lambda f: (f.wall_thickness_m < 0.0006) | (f.wall_thickness_m > 0.004),
        ),
        Limit(
            "the sheet cools at less than 27 K/s between these dies and stays soft; check the gauge, or cool the die "
            "better.",
            lambda f: (f.forming_degc - f.release_degc) / quench_s(f) < _HARDENING_K_PER_S,
        ),
    ),
    evaluate=evaluate,
    notes="Laser trimming is a step of its own also where it is in line. Soft zones and welded blanks are left out.",
    sketch="Projected area: outline along the press stroke. Width: the side along which blanks follow in the furnace. "
    "Cavities: parts per stroke.",
)
