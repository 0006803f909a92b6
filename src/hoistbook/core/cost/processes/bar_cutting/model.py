"""A blank sawn off a bar: section over the saw's rate; kerf and remnant are bought too."""

from __future__ import annotations

import math

import numpy as np

from hoistbook.core.cost.process import Fields, Limit, Operation, Process, Stage
from hoistbook.core.cost.processes.bar_cutting.data import FIGURES


def evaluate(f: Fields) -> Operation:
    """What one blank takes.

    Source
    ------
    first principles: section of the bar over rate; times common practice.
    """
    section = 0.25 * math.pi * f.diameter_m**2
    kerf_kg = section * f.kerf_m * f.material_density_kg_per_m3
    lost_kg = kerf_kg + f.remnant_frac * f.mass_kg
    zero = 0.0 * f.setup_s
    return Operation(
        stages=(Stage("feed and clamp", f.feed_s), Stage("saw", section / f.saw_m2_per_s)),
        machine="saw",
        machine_size=zero + 1.0,
        crew=f.crew,
        reject_frac=f.reject_frac,
        gross_kg=f.mass_kg + lost_kg,
        returned_kg=lost_kg,
        recycled_frac=zero,
        heat_j=zero,
        consumables=zero,
        bought=zero,
        setup_s=f.setup_s,
        tools=zero,
        tool_life=zero + np.inf,
    )


PROCESS = Process(
    name="bar_cutting",
    title="sawing of bar",
    family="form",
    needs=("mass_kg", "diameter_m"),
    figures=FIGURES,
    limits=(
        Limit(
            "a bar above 0.4 m is no bar any more; name the casting or forging it is made of.",
            lambda f: f.diameter_m > 0.4,
        ),
    ),
    evaluate=evaluate,
    notes="Brings the finished mass; what machining cuts away is booked by machining. A flat bar counts by the "
    "round bar of "
    "its section.",
    sketch="Outer diameter of the bar the part was turned from: the largest diameter that was left as it came.",
)
