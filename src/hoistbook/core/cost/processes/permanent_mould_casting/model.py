"""Solidification of the heaviest section sets the pace; melting heat from its balance."""

from __future__ import annotations

from types import MappingProxyType

import numpy as np

from hoistbook.core.cost.formulas.heat import ROOM_DEGC, melting_heat_j_per_kg, solidification_s
from hoistbook.core.cost.process import Choice, Fields, Limit, Operation, Process, Stage
from hoistbook.core.cost.processes.permanent_mould_casting.data import FIGURES

_REFERENCE_AREA_M2 = 0.05


def evaluate(f: Fields) -> Operation:
    """What one casting takes.

    Notes
    -----
    The thickest wall is taken for a plate: volume over surface is half of it. Gates and risers are melted again at
    full value, so bought metal is the part and the melting loss of all that was poured.

    Source
    ------
    published: M. P. Groover, eq. 10.7 (Chvorinov) and 10.1 (melting heat); mould constant, losses and moulds common
    practice.
    """
    cavities = np.maximum(f.cavity_count, 1.0)
    allowance = f.material_density_kg_per_m3 * f.machined_volume_m3
    poured = (f.mass_kg + allowance) / f.yield_frac
    solid = solidification_s(f.mould_constant_s_per_m2, 0.5 * f.wall_thickness_max_m)
    heat = melting_heat_j_per_kg(
        f.solid_j_per_kg_k, f.liquid_j_per_kg_k, f.fusion_j_per_kg, ROOM_DEGC, f.melting_degc, f.pouring_degc
    )
    size = (f.projected_area_m2 / _REFERENCE_AREA_M2) ** f.mould_exponent
    mould = f.mould_money * size * (1.0 + f.slide_mould_frac * f.slide_count) * cavities**f.cavity_exponent
    low_pressure = f.choice("way") == "low pressure"
    return Operation(
        stages=(
            Stage("fill", f.fill_s / cavities),
            Stage("solidify and cool", f.cooling_frac * solid / cavities),
            Stage("open, take out, clean, close", f.handling_s / cavities),
            Stage("set cores", f.core_s * f.core_count),
        ),
        machine="low pressure casting machine" if low_pressure else "permanent mould machine",
        machine_size=1.0 + 0.0 * f.setup_s,
        crew=f.crew,
        reject_frac=f.reject_frac,
        setup_s=f.setup_s,
        gross_kg=f.mass_kg + f.melt_loss_frac * poured,
        recycled_frac=f.recycled_frac,
        heat_j=poured * heat / f.furnace_frac,
        bought=f.core_money * f.core_count,
        tools=mould + f.core_box_money * f.core_count,
        tool_life=f.mould_life * cavities,
    )


PROCESS = Process(
    name="permanent_mould_casting",
    title="permanent-mould casting",
    family="form",
    needs=("mass_kg", "projected_area_m2", "wall_thickness_max_m"),
    optional=("core_count", "slide_count", "cavity_count", "machined_volume_m3"),
    choices=(
        Choice(
            "way",
            "way of filling",
            MappingProxyType(
                {"low pressure": "from below, by low pressure", "gravity": "poured, by tilting"}
            ),
        ),
    ),
    figures=FIGURES,
    limits=(
        Limit(
            "a wall below 2.5 mm does not fill in an iron mould without high pressure; check the wall, or take die "
            "casting.",
            lambda f: f.wall_thickness_max_m < 0.0025,
        ),
        Limit(
            "only aluminium and magnesium are modelled in iron moulds; this material is heavier.",
            lambda f: f.material_density_kg_per_m3 > 3_000.0,
        ),
    ),
    evaluate=evaluate,
    notes="Sawing off gates, heat treatment, X-ray and machining are steps of their own. What machining takes off is "
    "poured here and booked there.",
    sketch="Thickest wall: the heaviest section, a bearing seat or a boss. Cores: cavities without draft.",
)
