"""A charge stays in the furnace for a time; the piece has its share of the charge."""

from __future__ import annotations

from types import MappingProxyType

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.cost.formulas.heat import ROOM_DEGC, furnace_heat_j
from hoistbook.core.cost.process import Choice, Fields, Limit, Operation, Process, Stage
from hoistbook.core.cost.processes.heat_treatment.data import FIGURES

_LIGHT_KG_PER_M3 = 3_000.0
_MACHINES = {"sinter": "sintering furnace", "t5": "ageing oven"}


def evaluate(f: Fields) -> Operation:
    """What treating one piece takes: (heating + holding) x piece/charge; a second furnace works beside the first.

    Source
    ------
    first principles: share of a charge, heat of the parts; times and charges common practice.
    """
    share = f.mass_kg / f.charge_kg
    hold = f.hold_s + f.hold_s_per_m * f.wall_thickness_max_m
    rise = (f.heat_degc - ROOM_DEGC) + (f.second_degc - ROOM_DEGC)
    return Operation(
        stages=(
            Stage("heat up", f.heat_up_s * share),
            Stage("hold", hold * share),
            Stage("temper or age", f.second_s * share, beside=True),
        ),
        machine=_MACHINES.get(f.choice("kind"), "heat treatment plant"),
        machine_size=f.charge_kg,
        crew=f.crew,
        reject_frac=f.reject_frac,
        setup_s=f.setup_s,
        recycled_frac=f.material_scrap_credit_frac,
        heat_j=furnace_heat_j(f.mass_kg, f.specific_heat_j_per_kg_k, rise, f.furnace_frac),
    )


def _wrong_kind(f: Fields) -> Array:
    light = f.choice("kind") in ("t5", "t6")
    ratio = f.material_density_kg_per_m3 / _LIGHT_KG_PER_M3
    return ratio if light else 1.0 / ratio


def _unknown_hold(f: Fields) -> Array:
    """1 where the hold goes with a wall that nobody stated."""
    found: Array = np.where(f.wall_thickness_max_m <= 0.0, 1.0, 0.0) * np.where(
        f.hold_s_per_m > 0.0, 1.0, 0.0
    )
    return found


PROCESS = Process(
    name="heat_treatment",
    title="heat treatment",
    family="treat",
    needs=("mass_kg",),
    optional=("wall_thickness_max_m",),
    choices=(
        Choice(
            "kind",
            "kind",
            MappingProxyType(
                {
                    "quench and temper": "steel, hardened and tempered",
                    "anneal": "steel or iron, annealed or normalised",
                    "t6": "aluminium, solution treated, quenched and aged",
                    "t5": "aluminium, aged from the press or the mould",
                    "sinter": "pressed powder, sintered on a belt",
                }
            ),
        ),
    ),
    figures=FIGURES,
    limits=(
        Limit(
            "the hold of steel and iron goes with the thickest wall, which is not stated; measure it.",
            lambda f: _unknown_hold(f) > 0.5,
        ),
        Limit(
            "this kind of treatment is not for this metal: T5 and T6 are for aluminium, the others for iron and "
            "steel, by the density of the material; choose another kind.",
            lambda f: _wrong_kind(f) > 1.0,
        ),
    ),
    evaluate=evaluate,
    adds_material=False,
    notes="Straightening, blasting and hardness tests are left out. Case hardening and induction are processes of "
    "their own.",
    sketch="Thickest wall: it sets the hold of steel and iron. Hardness tells whether a part was treated at all.",
)
