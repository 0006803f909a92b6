"""Laser welding: length over speed, moves between seams, and a beam that opens a keyhole."""

from __future__ import annotations

from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from hoistbook.core.cost.formulas.welding import power_density_w_per_m2
from hoistbook.core.cost.process import Choice, Fields, Limit, Operation, Process, Stage
from hoistbook.core.cost.processes.laser_welding.data import FIGURES


def evaluate(f: Fields) -> Operation:
    """What the seams of one piece take.

    Source
    ------
    common practice: speed and power.
    """
    beam_s = f.weld_length_m / f.travel_m_per_s
    zero = 0.0 * f.setup_s
    return Operation(
        stages=(
            Stage("beam", beam_s),
            Stage("moves, index", f.seam_s * np.maximum(f.weld_start_count, 1.0) + f.index_s),
            Stage("load, clamp, unload", f.load_s, beside=True),
        ),
        machine="laser welding cell",
        machine_size=zero + 1.0,
        crew=f.crew,
        reject_frac=f.reject_frac,
        gross_kg=zero,
        returned_kg=zero,
        recycled_frac=zero,
        heat_j=zero,
        consumables=beam_s * f.glass_money_per_s,
        bought=zero,
        setup_s=f.setup_s,
        tools=f.fixture_money,
        tool_life=zero + np.inf,
    )


def _no_keyhole(f: Fields) -> NDArray[np.bool_]:
    zero = 0.0 * f.spot_m
    return power_density_w_per_m2(f.laser_w, zero + 1.0, f.spot_m, zero) < f.keyhole_w_per_m2


PROCESS = Process(
    name="laser_welding",
    title="laser welding",
    family="join",
    needs=("weld_length_m",),
    optional=("weld_start_count",),
    choices=(
        Choice(
            "loading",
            "loading",
            MappingProxyType(
                {
                    "hand": "people put the parts into the fixture",
                    "automatic": "small parts fed by feeder, line or robot",
                }
            ),
        ),
    ),
    figures=FIGURES,
    limits=(
        Limit("no weld is stated; measure the seams, or drop the step.", lambda f: f.weld_length_m <= 0.0),
        Limit(
            "the beam stated is too weak for its focus to open a keyhole; state more power or a smaller focus.",
            _no_keyhole,
        ),
    ),
    evaluate=evaluate,
    adds_material=False,
    notes="Without filler wire. Speed depends on depth and metal, which the trade range covers; gap control and "
    "leak tests "
    "are left out.",
    sketch="Tape along all seams; seams counted.",
)
