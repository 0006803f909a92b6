"""Spot welding: time per spot with its move, a share of tip dressing; the current must melt the nugget."""

from __future__ import annotations

from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from hoistbook.core.cost.formulas import welding
from hoistbook.core.cost.metals import WRONG_METAL
from hoistbook.core.cost.process import Choice, Fields, Limit, Operation, Process, Stage
from hoistbook.core.cost.processes.spot_welding.data import FIGURES


def evaluate(f: Fields) -> Operation:
    """What the spots of one piece take.

    Source
    ------
    common practice: seconds per spot. The heat I^2 R t (published: M. P. Groover eq. 29.2) must melt the nugget.
    """
    zero = 0.0 * f.setup_s
    return Operation(
        stages=(
            Stage("spots", f.spot_count * f.spot_s),
            Stage("tip dressing, shared", f.spot_count * f.dress_s / f.spots_per_dressing),
            Stage("load, clamp, unload", f.load_s),
        ),
        machine="spot welding robot",
        machine_size=zero + 1.0,
        crew=f.crew,
        reject_frac=f.reject_frac,
        gross_kg=zero,
        returned_kg=zero,
        recycled_frac=zero,
        heat_j=zero,
        consumables=f.spot_count * f.spot_money,
        bought=zero,
        setup_s=f.setup_s,
        tools=f.fixture_money,
        tool_life=zero + np.inf,
    )


def _too_cold(f: Fields) -> NDArray[np.bool_]:
    nugget = welding.nugget_m3(f.nugget_m, 1.4 * f.wall_thickness_m)  # 70 % of two sheets
    needed = nugget * welding.melting_energy_j_per_m3(f.melting_k)
    return needed > welding.joule_heat_j(f.current_a, f.resistance_ohm, f.current_s)


PROCESS = Process(
    name="spot_welding",
    title="spot welding",
    family="join",
    needs=("spot_count",),
    optional=("wall_thickness_m",),
    choices=(Choice("metal", "metal", MappingProxyType({"steel": "steel", "aluminium": "aluminium"})),),
    figures=FIGURES,
    limits=(
        WRONG_METAL,
        Limit("no spot is stated; count them, or drop the step.", lambda f: f.spot_count <= 0.0),
        Limit(
            "the current stated does not melt a nugget in sheets this thick; check the thickness, or state "
            "current and time.",
            _too_cold,
        ),
    ),
    evaluate=evaluate,
    adds_material=False,
    notes="One robot after another or several side by side cost the same: the time is that of robots. Sealer "
    "between the "
    "sheets, re-spotting and inspection are left out.",
    sketch="Count the spots; thickness of one sheet of the stack.",
)
