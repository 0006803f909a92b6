"""Generating grinding of gear flanks: stock over specific rate, overrun of each pass, a share of dressing."""

from __future__ import annotations

import numpy as np

from hoistbook.core.cost.formulas.cutting import grinding_s
from hoistbook.core.cost.formulas.gears import TOOTH_DEPTH, flanks_m2, module_m
from hoistbook.core.cost.process import Fields, Limit, Operation, Process, Stage
from hoistbook.core.cost.processes.gear_grinding.data import FIGURES


def evaluate(f: Fields) -> Operation:
    """What grinding of one gear takes.

    Source
    ------
    common practice: t = V/(Q'w b) + passes x overrun/feed + dressing/pieces; the first term is the definition of Q'w.
    """
    module = module_m(f.diameter_m, f.tooth_count)
    stock_m3 = flanks_m2(module, f.tooth_count, f.face_width_m) * f.stock_m
    contact = f.contact_frac * TOOTH_DEPTH * module
    zero = 0.0 * f.setup_s
    return Operation(
        stages=(
            Stage("grind", grinding_s(stock_m3, f.specific_rate_m2_per_s, contact)),
            Stage("overrun", f.passes * f.overrun_m / f.axial_m_per_s),
            Stage("mesh and spark out", f.meshing_s),
            Stage("load and unload", f.load_s),
            Stage("dressing, shared", f.dressing_s / f.pieces_per_dressing),
        ),
        machine="gear grinder",
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
    name="gear_grinding",
    title="gear grinding",
    family="cut",
    needs=("tooth_count", "face_width_m", "diameter_m"),
    figures=FIGURES,
    limits=(
        Limit(
            "its teeth are finer than module 0.5 mm or coarser than 8 mm; check teeth and outer diameter.",
            lambda f: (
                (f.diameter_m < 0.5e-3 * (f.tooth_count + 2.0))
                | (f.diameter_m > 8e-3 * (f.tooth_count + 2.0))
            ),
        ),
    ),
    evaluate=evaluate,
    adds_material=False,
    notes="Threaded wheel; grinding tooth by tooth and honing are slower or finer than this. Measuring is left out. "
    "Perishable tools are counted here: where a machine rate holds them already, state them as 0.",
    sketch="As for hobbing; ground flanks are bright with fine lines along the face.",
)
