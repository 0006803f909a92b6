"""Load from area and flash, bar from part, flash, scale and allowance, pace from blows or heater."""

from __future__ import annotations

from types import MappingProxyType

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.cost.formulas.bulk import flash_land_ratio, flash_thickness_m, forging_force_n
from hoistbook.core.cost.metals import WRONG_METAL
from hoistbook.core.cost.process import Choice, Fields, Limit, Operation, Process, Stage
from hoistbook.core.cost.processes.closed_die_forging.data import FIGURES

_REFERENCE_AREA_M2 = 0.02


def _thickness_m(f: Fields) -> Array:
    """Mean thickness under the projected area. [m]"""
    return f.mass_kg / (f.material_density_kg_per_m3 * f.projected_area_m2)


def evaluate(f: Fields) -> Operation:
    """What one forging takes.

    Notes
    -----
    Volume as forged = part and machining allowance. Flash runs along an outline stated as a multiple of the circle of
    equal area; its land counts for the load, land and gutter for the metal. Bar = (part + flash)/(1 - scale)/(1 -
    ends).

    Source
    ------
    published: M. P. Groover, eq. 18.18 (load; shape factors from memory); five kinds of lost metal after the design
    guide of the Forging Industry Association; from memory: Neuberger and Moeckel (flash); times common practice.
    """
    parts = np.maximum(f.cavity_count, 1.0)
    density = f.material_density_kg_per_m3
    allowance = density * f.machined_volume_m3
    forged = f.mass_kg + allowance
    volume = f.mass_kg / density + f.machined_volume_m3
    thickness = flash_thickness_m(volume)
    land = thickness * flash_land_ratio(volume)
    outline = f.outline_frac * (2.0 * np.sqrt(np.pi * f.projected_area_m2))
    flash = density * thickness * (land + f.gutter_m) * outline
    heated = (forged + flash) / (1.0 - f.scale_frac)
    bar = heated / (1.0 - f.bar_loss_frac)
    heat = heated * f.heat_j_per_kg
    area = parts * (f.projected_area_m2 + outline * land)
    size = (f.projected_area_m2 / _REFERENCE_AREA_M2) ** f.die_exponent
    return Operation(
        stages=(
            Stage("blows", (f.blow_count * f.blow_s) / parts),
            Stage("handling", f.handling_s / parts),
            Stage("heating", heat / f.heater_w, beside=True),
        ),
        machine="forging press",
        machine_size=forging_force_n(f.shape_factor, f.flow_stress_pa, area),
        crew=f.crew,
        reject_frac=f.reject_frac,
        setup_s=f.setup_s,
        gross_kg=bar - allowance,
        returned_kg=flash + f.bar_loss_frac * bar,
        recycled_frac=f.material_scrap_credit_frac,
        heat_j=heat,
        tools=(f.die_money * f.shape_die_frac * parts**f.parts_exponent) * size,
        tool_life=f.die_life * parts,
    )


PROCESS = Process(
    name="closed_die_forging",
    title="closed-die forging",
    family="form",
    needs=("mass_kg", "projected_area_m2"),
    optional=("machined_volume_m3", "cavity_count"),
    choices=(
        Choice("metal", "metal", MappingProxyType({"steel": "steel, hot", "aluminium": "aluminium, hot"})),
        Choice(
            "shape",
            "shape",
            MappingProxyType(
                {
                    "complex": "ribs or an arm, flat parting",
                    "simple": "disc, ring, plain lever",
                    "very complex": "thin webs, high ribs, cranked parting",
                }
            ),
        ),
    ),
    figures=FIGURES,
    limits=(
        WRONG_METAL,
        Limit(
            "a mean thickness below 3 mm is not forged between hot dies: the metal chills; check mass and area, or "
            "take a stamping.",
            lambda f: _thickness_m(f) < 0.003,
        ),
    ),
    evaluate=evaluate,
    notes="Heat treatment, straightening, blasting and machining are steps of their own; so is forging on a hammer.",
    sketch="Projected area: outline inside the flash line, along the stroke. Volume cut away: what machining removed "
    "from the forging. Cavities: parts per blow.",
)
