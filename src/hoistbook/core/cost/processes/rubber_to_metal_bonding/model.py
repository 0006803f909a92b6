"""Rubber injected around metal parts: the mould is shut while the thickest section heats through and then cures."""

from __future__ import annotations

from types import MappingProxyType

import numpy as np

from hoistbook.core.cost.formulas.cooling import CENTRE_LINE, slab_s
from hoistbook.core.cost.formulas.moulding import clamp_force_n, cure_s
from hoistbook.core.cost.process import Choice, Fields, Limit, Operation, Process, Stage
from hoistbook.core.cost.processes.rubber_to_metal_bonding.data import FIGURES

_CURE_K = 433.15  # 160 C, at which `cure_s` is stated
_MOULD_M2 = 16 * 20e-4  # cavities times area for which `mould_money` is stated


def evaluate(f: Fields) -> Operation:
    """What one bonded piece takes.

    Notes
    -----
    Time in the mould = heat-up of the middle of the thickest section (slab between two walls, centre line) + cure
    at the temperature of the mould, by the rule of ten kelvins. That the outside cures while the inside heats is
    left out, so thick pieces read long.

    Source
    ------
    published: slab equation (see `formulas.cooling`); rule of ten kelvins and times common practice.
    """
    cavities = np.maximum(f.cavity_count, 1.0)
    heat_up = slab_s(
        f.rubber_thickness_m,
        f.material_diffusivity_m2_per_s,
        f.injected_k,
        f.mould_k,
        f.mould_k - f.core_below_k,
        CENTRE_LINE,
    )
    zero = 0.0 * f.setup_s
    cure = cure_s(f.cure_s, zero + _CURE_K, f.mould_k)
    return Operation(
        stages=(
            Stage("load metal parts", f.insert_s * f.insert_count),
            Stage("inject", f.inject_s / cavities),
            Stage("heat through", heat_up / cavities),
            Stage("cure", cure / cavities),
            Stage("demould", f.demould_s / cavities),
        ),
        machine="rubber press",
        machine_size=clamp_force_n(f.projected_area_m2, cavities, zero, f.cavity_pressure_pa, zero + 1.0),
        crew=f.crew,
        reject_frac=f.reject_frac,
        gross_kg=f.mass_kg * np.where(f.insert_count > 0.0, f.rubber_share_frac, 1.0) / (1.0 - f.lost_frac),
        returned_kg=zero,
        recycled_frac=zero,
        heat_j=zero,
        consumables=f.prepare_money * f.insert_count,
        bought=f.insert_money * f.insert_count,
        setup_s=f.setup_s,
        tools=f.mould_money * (cavities * f.projected_area_m2 / _MOULD_M2) ** f.mould_exponent,
        tool_life=f.mould_life * cavities,
    )


PROCESS = Process(
    name="rubber_to_metal_bonding",
    title="rubber-to-metal bonding",
    family="form",
    needs=("mass_kg", "projected_area_m2", "rubber_thickness_m"),
    optional=("insert_count", "cavity_count"),
    choices=(
        Choice(
            "inserts",
            "metal parts",
            MappingProxyType({"bought": "bought, priced here", "made": "made by other steps or parts"}),
        ),
        Choice(
            "weighed",
            "the mass is that of",
            MappingProxyType({"piece": "the piece with its metal parts", "rubber": "the rubber alone"}),
        ),
    ),
    figures=FIGURES,
    limits=(
        Limit(
            "a section of rubber above 80 mm would cure for hours; check the reading.",
            lambda f: f.rubber_thickness_m > 0.080,
        ),
        Limit(
            "the material is no rubber (it is as dense as metal); name the rubber as the material of this step.",
            lambda f: f.material_density_kg_per_m3 > 2_000.0,
        ),
        Limit(
            "the rubber is injected hotter than its middle must become, so nothing would heat through; check the "
            "temperatures of injection and mould.",
            lambda f: f.injected_k >= f.mould_k - f.core_below_k,
        ),
    ),
    evaluate=evaluate,
    notes="Of the mass of a piece with metal parts a share is taken as rubber; weigh the rubber after a cut, or state "
    "its mass with this step, where it matters. Swaging, press-fit, hydraulic chambers and the price of special "
    "sleeves are left out; state sleeves as parts of their own where they matter.",
    sketch="Thickest section of rubber between two metal faces, after a cut; metal parts counted; cavity mark "
    "in the flash.",
)
