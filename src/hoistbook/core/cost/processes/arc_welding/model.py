"""Arc welding: speed by usage or by what the arc can melt, arc-on share, wire by the section of the bead."""

from __future__ import annotations

from types import MappingProxyType

import numpy as np

from hoistbook.core.cost.formulas import welding
from hoistbook.core.cost.metals import WRONG_METAL
from hoistbook.core.cost.process import Choice, Fields, Limit, Operation, Process, Stage
from hoistbook.core.cost.processes.arc_welding.data import FIGURES


def evaluate(f: Fields) -> Operation:
    """What the welds of one piece take.

    Notes
    -----
    Speed is the usual one, or f1 f2 P/(U_m A) where a thick throat asks for more metal than the arc melts. Moves take
    what beads and index need, at least the rest of the arc-on share. A robot's second station is loaded meanwhile; by
    hand, loading lies in that share.

    Source
    ------
    published: M. P. Groover eq. 28.2, 28.6, 29.1 (see `formulas.welding`); speeds and shares common practice.
    """
    bead_m2 = welding.fillet_area_m2(f.weld_throat_m)
    melted = welding.melted_m3_per_s(
        f.arc_w, f.transfer_frac, f.melting_frac, welding.melting_energy_j_per_m3(f.melting_k)
    )
    arc_s = f.weld_length_m / np.minimum(f.travel_m_per_s, melted / bead_m2)
    moves_s = f.start_s * np.maximum(f.weld_start_count, 1.0) + f.index_s
    zero = 0.0 * f.setup_s
    wire = welding.wire_kg(bead_m2, f.weld_length_m, f.wire_kg_per_m3, f.wire_yield_frac)
    return Operation(
        stages=(
            Stage("arc", arc_s),
            Stage("starts, moves, index", np.maximum(moves_s, arc_s * (1.0 / f.arc_on_frac - 1.0))),
            Stage("load and unload", f.load_s, beside=True),
        ),
        machine="arc welding cell" if f.choice("by") == "robot" else "hand welding booth",
        machine_size=zero + 1.0,
        crew=f.crew,
        reject_frac=f.reject_frac,
        gross_kg=zero,
        returned_kg=zero,
        recycled_frac=zero,
        heat_j=zero,
        consumables=wire * f.wire_money_per_kg + f.gas_m3_per_s * arc_s * f.gas_money_per_m3,
        bought=zero,
        setup_s=f.setup_s,
        tools=f.fixture_money,
        tool_life=zero + np.inf,
    )


PROCESS = Process(
    name="arc_welding",
    title="arc welding",
    family="join",
    needs=("weld_length_m", "weld_throat_m"),
    optional=("weld_start_count",),
    choices=(
        Choice("by", "done", MappingProxyType({"robot": "by a robot with two stations", "hand": "by hand"})),
        Choice("metal", "metal", MappingProxyType({"steel": "steel", "aluminium": "aluminium"})),
    ),
    figures=FIGURES,
    limits=(
        WRONG_METAL,
        Limit("no weld is stated; measure the beads, or drop the step.", lambda f: f.weld_length_m <= 0.0),
        Limit(
            "a throat above 12 mm takes several passes, which this model does not know; check the reading.",
            lambda f: f.weld_throat_m > 0.012,
        ),
        Limit(
            "the beads are shorter than 2 mm each; check length and count.",
            lambda f: f.weld_length_m < 0.002 * f.weld_start_count,
        ),
    ),
    evaluate=evaluate,
    adds_material=False,
    notes="One pass, an equal-sided fillet; butt welds count by the fillet of their section. Straightening, "
    "grinding of "
    "beads and leak tests are left out. The draw of the cell holds its arc.",
    sketch="Tape along all beads; throat by weld gauge, or 0.7 of the leg; beads counted.",
)
