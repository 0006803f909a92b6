"""Load, saw, drill, bend: a time for each."""

from __future__ import annotations

import numpy as np

from hoistbook.core.cost.process import Fields, Operation, Process, Stage
from hoistbook.core.cost.processes.cut_and_bend.data import FIGURES


def evaluate(f: Fields) -> Operation:
    """What one piece of profile takes: load + cuts + holes + bends.

    Source
    ------
    common practice: 6-15 s per saw cut, 20-60 s per bend.
    """
    bent = np.where(f.bend_count > 0.0, f.bend_tool_money, 0.0)
    return Operation(
        stages=(
            Stage("load", f.load_s),
            Stage("saw", f.cut_count * f.cut_s),
            Stage("drill", f.hole_count * f.hole_s),
            Stage("bend", f.bend_count * f.bend_s),
        ),
        machine="profile cell",
        machine_size=1.0 + 0.0 * f.load_s,
        crew=f.crew,
        reject_frac=f.reject_frac,
        setup_s=f.setup_s,
        recycled_frac=f.material_scrap_credit_frac,
        tools=f.fixture_money + bent,
        tool_life=f.tool_life,
    )


PROCESS = Process(
    name="cut_and_bend",
    title="sawing, drilling and bending of profiles",
    family="form",
    needs=(),
    optional=("hole_count", "bend_count"),
    figures=FIGURES,
    evaluate=evaluate,
    adds_material=False,
    notes="Metal lost in the saw cut is counted by the extrusion. Milled pockets are machining.",
    sketch="Holes and bends: count. Bends here are bends of the whole profile, not corners of its section.",
)
