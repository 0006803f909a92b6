"""Length over speed; rolls and line from the number of passes."""

from __future__ import annotations

from types import MappingProxyType

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.cost.process import Choice, Fields, Limit, Operation, Process, Stage
from hoistbook.core.cost.processes.roll_forming.data import FIGURES

_REFERENCE_WIDTH_M = 0.2


def strip_width_m(f: Fields) -> Array:
    """Width of the strip: m/(rho t L). [m]

    Source
    ------
    first principles.
    """
    return f.mass_kg / (f.material_density_kg_per_m3 * f.wall_thickness_m * f.length_m)


def evaluate(f: Fields) -> Operation:
    """What one length of profile takes.

    Notes
    -----
    Passes = entry + per bend (+ seam). The punch ahead of the rolls works beside the line.

    Source
    ------
    first principles (strip width, length over speed); speeds, passes and rolls common practice.
    """
    passes = f.first_pass_count + f.passes_per_bend * f.bend_count + f.seam_pass_count
    gross = f.mass_kg / f.utilisation_frac
    rolls = f.roll_money * (strip_width_m(f) / _REFERENCE_WIDTH_M) ** f.roll_exponent
    return Operation(
        stages=(
            Stage("run through the rolls", f.length_m / f.line_m_per_s),
            Stage("cut off", f.cutting_s),
            Stage("punch", np.ceil(f.hole_count / f.holes_per_hit) * f.punching_s, beside=True),
        ),
        machine="roll forming line",
        machine_size=passes,
        crew=f.crew,
        reject_frac=f.reject_frac,
        setup_s=f.setup_s,
        gross_kg=gross,
        returned_kg=gross - f.mass_kg,
        recycled_frac=f.material_scrap_credit_frac,
        heat_j=f.seam_power_j_per_m * f.length_m,
        tools=rolls * passes + f.punch_money,
        tool_life=f.roll_life_m / f.length_m,
    )


PROCESS = Process(
    name="roll_forming",
    title="roll forming",
    family="form",
    needs=("mass_kg", "length_m", "wall_thickness_m"),
    optional=("bend_count", "hole_count"),
    choices=(
        Choice(
            "seam",
            "seam",
            MappingProxyType({"open": "open section", "welded": "closed and welded along its length"}),
        ),
    ),
    figures=FIGURES,
    limits=(
        Limit(
            "sheet below 0.3 mm or above 6 mm is not roll formed on such lines; check the gauge.",
            lambda f: (f.wall_thickness_m < 0.0003) | (f.wall_thickness_m > 0.006),
        ),
        Limit(
            "the strip would be wider than 0.8 m; check mass, gauge and length, or take press bending.",
            lambda f: strip_width_m(f) > 0.8,
        ),
    ),
    evaluate=evaluate,
    notes="Sweeping along the length and end cuts other than square are steps of their own.",
    sketch="Length: along the profile. Bends: corners of the section.",
)
