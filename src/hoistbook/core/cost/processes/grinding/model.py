"""Grinding of round or flat surfaces: stock over specific removal rate, spark-out, a share of dressing."""

from __future__ import annotations

import numpy as np

from hoistbook.core.cost.formulas.cutting import grinding_s
from hoistbook.core.cost.process import Fields, Operation, Process, Stage
from hoistbook.core.cost.processes.grinding.data import FIGURES


def evaluate(f: Fields) -> Operation:
    """What grinding of one piece takes.

    Source
    ------
    first principles: definition of Q'w; rates and times common practice.
    """
    surfaces = np.maximum(f.machined_face_count, 1.0)
    stock_m3 = surfaces * f.machined_area_m2 * f.stock_m
    zero = 0.0 * f.setup_s
    return Operation(
        stages=(
            Stage("grind", grinding_s(stock_m3, f.specific_rate_m2_per_s, f.wheel_m)),
            Stage("spark out", surfaces * f.spark_out_s),
            Stage("dressing, shared", f.dressing_s / f.pieces_per_dressing),
            Stage("load and unload", f.load_s),
        ),
        machine="grinder",
        machine_size=zero + 1.0,
        crew=f.crew,
        reject_frac=f.reject_frac,
        gross_kg=stock_m3 * f.material_density_kg_per_m3,
        returned_kg=zero,
        recycled_frac=zero,
        heat_j=zero,
        consumables=stock_m3 * f.wheel_money_per_m3,
        bought=zero,
        setup_s=f.setup_s,
        tools=f.fixture_money,
        tool_life=zero + np.inf,
    )


PROCESS = Process(
    name="grinding",
    title="grinding",
    family="cut",
    needs=("machined_area_m2",),
    optional=("machined_face_count",),
    figures=FIGURES,
    evaluate=evaluate,
    adds_material=False,
    notes="Round and flat alike; centreless, internal and creep-feed grinding have rates of their own. Sludge "
    "is not sold. Perishable tools are counted here: where a machine rate holds them already, state them as 0.",
    sketch="Area of one ground surface (pi D L of a bearing seat), and how many; state them as readings of this "
    "step.",
)
