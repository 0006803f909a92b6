"""Castings per mould from sizes, pace from the moulding line, metal and heat from what is poured."""

from __future__ import annotations

from types import MappingProxyType

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.cost.formulas.heat import ROOM_DEGC, melting_heat_j_per_kg, solidification_s
from hoistbook.core.cost.metals import WRONG_METAL
from hoistbook.core.cost.process import Choice, Fields, Limit, Operation, Process, Stage
from hoistbook.core.cost.processes.sand_casting.data import FIGURES

_REFERENCE_AREA_M2 = 0.05


def fitting_count(f: Fields) -> Array:
    """Castings of this outline in one mould, laid in rows the better of two ways; 0 where not even one fits. [1]

    Source
    ------
    first principles.
    """
    long, wide = f.mould_length_m + f.sand_wall_m, f.mould_width_m + f.sand_wall_m
    pitch, row = f.length_m + f.sand_wall_m, f.width_m + f.sand_wall_m
    found: Array = np.maximum(
        np.floor(long / pitch) * np.floor(wide / row), np.floor(long / row) * np.floor(wide / pitch)
    )
    return found


def evaluate(f: Fields) -> Operation:
    """What one casting takes.

    Notes
    -----
    The line waits for moulding and cores, or for moulds on the cooling line. Gates and risers are melted again at full
    value.

    Source
    ------
    published: M. P. Groover, eq. 10.7 (Chvorinov) and 10.1 (melting heat); lines, losses and patterns common practice.
    """
    castings = np.maximum(fitting_count(f), 1.0)
    poured = (f.mass_kg + f.material_density_kg_per_m3 * f.machined_volume_m3) / f.yield_frac
    solid = solidification_s(f.mould_constant_s_per_m2, 0.5 * f.wall_thickness_max_m)
    heat = melting_heat_j_per_kg(
        f.solid_j_per_kg_k, f.liquid_j_per_kg_k, f.fusion_j_per_kg, ROOM_DEGC, f.melting_degc, f.pouring_degc
    )
    area = castings * f.length_m * f.width_m
    return Operation(
        stages=(
            Stage("mould and pour", f.mould_s / castings),
            Stage("set cores", f.core_s * f.core_count),
            Stage(
                "cool until shake-out", f.shake_out_frac * solid / f.cooling_moulds / castings, beside=True
            ),
        ),
        machine="moulding line",
        machine_size=f.mould_length_m * f.mould_width_m,
        crew=f.crew,
        reject_frac=f.reject_frac,
        setup_s=f.setup_s,
        gross_kg=f.mass_kg + f.melt_loss_frac * poured,
        recycled_frac=f.recycled_frac,
        heat_j=poured * heat / f.furnace_frac,
        consumables=poured * f.sand_frac * f.sand_money_per_kg,
        bought=f.core_money * f.core_count,
        tools=f.pattern_money * (area / _REFERENCE_AREA_M2) ** f.pattern_exponent
        + f.core_box_money * f.core_count,
        tool_life=f.pattern_life * castings,
    )


PROCESS = Process(
    name="sand_casting",
    title="sand casting",
    family="form",
    needs=("mass_kg", "length_m", "width_m", "wall_thickness_max_m"),
    optional=("core_count", "machined_volume_m3"),
    choices=(
        Choice(
            "metal", "metal", MappingProxyType({"iron": "grey or ductile iron", "aluminium": "aluminium"})
        ),
    ),
    figures=FIGURES,
    limits=(
        WRONG_METAL,
        Limit(
            "a wall below 3 mm does not fill in green sand; check the wall, or take die casting.",
            lambda f: f.wall_thickness_max_m < 0.003,
        ),
        Limit(
            "the casting is larger than the moulds of the line; check length and width, or state larger moulds.",
            lambda f: fitting_count(f) < 1.0,
        ),
    ),
    evaluate=evaluate,
    notes="Heat treatment and machining are steps of their own. Fettling is done by the crew of the line. What "
    "machining takes off is poured here and booked there.",
    sketch="Length and width: across the parting line. Thickest wall: the heaviest section. Cores: cavities without "
    "draft.",
)
