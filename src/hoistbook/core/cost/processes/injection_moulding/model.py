"""Injection moulding: clamp force from area, cycle from the thickest wall, mould in one of two printed forms."""

from __future__ import annotations

from types import MappingProxyType

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.cost.formulas import moulding
from hoistbook.core.cost.formulas.cooling import FORMS, slab_s
from hoistbook.core.cost.process import Choice, Fields, Limit, Operation, Process, Stage
from hoistbook.core.cost.processes.injection_moulding.data import FIGURES

_SMALL_N = 300e3  # the machine at which `dry_cycle_s` and `stroke_m` hold
_STEEL_KG_PER_M3 = 7_850.0


def evaluate(f: Fields) -> Operation:
    """What one moulding takes.

    Notes
    -----
    Cycle = fill + cooling + reset + inserts, over the cavities. Cooling is that of a slab as thick as the thickest
    wall, in the form that was chosen, with a buffer; packing goes on meanwhile. A cold runner is ground and goes
    back as far as regrind is allowed.

    Source
    ------
    published: cooling equation (course, second hand); from memory: Boothroyd, Dewhurst, Knight, ch. 8 (see
    `formulas.moulding`).
    """
    cavities = np.maximum(f.cavity_count, 1.0)
    part_m3 = f.mass_kg / f.material_density_kg_per_m3
    runner = f.runner_share * moulding.runner_frac(part_m3)
    shot_m3 = part_m3 * cavities * (1.0 + runner)
    clamp = moulding.clamp_force_n(
        f.projected_area_m2,
        cavities,
        runner,
        f.cavity_pressure_frac * f.material_injection_pressure_pa,
        f.clamp_reserve_frac,
    )
    size = clamp / _SMALL_N
    slab = slab_s(
        f.wall_thickness_max_m,
        f.material_diffusivity_m2_per_s,
        f.material_injection_k,
        f.material_mould_k,
        f.material_ejection_k,
        FORMS[f.choice("cooling")],
    )
    reset = moulding.reset_s(
        f.dry_cycle_s * size**f.dry_cycle_exponent, f.height_m, f.stroke_m * size**f.stroke_exponent
    )
    fill = moulding.fill_s(shot_m3, f.material_injection_pressure_pa, f.injection_w_per_n * clamp)
    zero = 0.0 * f.setup_s
    runner_kg = f.mass_kg * runner
    ground_kg = np.minimum(runner_kg, f.regrind_frac * (f.mass_kg + runner_kg))
    return Operation(
        stages=(
            Stage("fill", fill / cavities),
            Stage("cooling", np.maximum(slab * (1.0 + f.buffer_frac), f.cooling_min_s) / cavities),
            Stage("open, eject, close", reset / cavities),
            Stage("inserts", f.insert_s * f.insert_count),
        ),
        machine="injection machine",
        machine_size=clamp,
        crew=f.crew,
        reject_frac=f.reject_frac,
        gross_kg=f.mass_kg + runner_kg - ground_kg + f.purge_frac * (f.mass_kg + runner_kg),
        returned_kg=runner_kg - ground_kg,
        recycled_frac=f.recycled_frac,
        heat_j=zero,
        consumables=zero,
        bought=zero,
        setup_s=f.setup_s,
        tools=mould_money(f, cavities),
        tool_life=f.mould_life * cavities,
    )


def mould_money(f: Fields, cavities: Array) -> Array:
    """Price of a mould: cavities by hours of toolmaking, base and customisation in the form that was chosen. [money]

    Source
    ------
    published: Kazmer ch. 3 (base by mass, customisation). From memory: Boothroyd, Dewhurst, Knight, sec. 8.8-8.10
    (base by area, hours of a cavity; the hours serve both forms).
    """
    hours = (
        moulding.size_h(f.projected_area_m2)
        + moulding.geometry_h(f.surface_patch_count)
        + moulding.ejector_h(f.projected_area_m2)
        + f.slide_h * f.slide_count
    )
    one = hours * 3600.0 * f.toolmaker_money_per_s
    cut = moulding.cavities_money(one, cavities, f.cavity_exponent)
    side = moulding.mould_size_m(np.sqrt(f.projected_area_m2), f.shrink_frac)
    plates_m2 = moulding.base_area_m2(side**2, cavities, f.mould_wall_m)
    plates_m = f.height_m + 2.0 * f.mould_wall_m
    if f.choice("mould") == "by area of the base":
        base = f.base_custom_factor * moulding.base_money_by_area(
            plates_m2, plates_m, f.base_fixed_money, f.base_money_per_area
        )
        return base + cut
    base = moulding.base_money_by_mass(
        plates_m2 * plates_m * _STEEL_KG_PER_M3, f.base_fixed_money, f.base_money_per_kg
    )
    custom = moulding.customising_money(
        cut, base, f.custom_cavity_frac + f.hot_cavity_frac, f.custom_base_frac + f.hot_base_frac
    )
    return moulding.customised_mould_money(cut, base, custom)


PROCESS = Process(
    name="injection_moulding",
    title="injection moulding",
    family="form",
    needs=("mass_kg", "projected_area_m2", "wall_thickness_max_m"),
    optional=("height_m", "cavity_count", "slide_count", "insert_count", "surface_patch_count"),
    choices=(
        Choice(
            "cooling",
            "form of the cooling time",
            MappingProxyType(
                {
                    "centre-line": "until the middle is cool enough (4/pi)",
                    "average": "until it is cool enough on average (8/pi^2)",
                }
            ),
        ),
        Choice(
            "runner",
            "runner",
            MappingProxyType({"hot": "hot runner", "cold": "cold runner, ground again"}),
        ),
        Choice(
            "flow",
            "way of the melt",
            MappingProxyType(
                {
                    "narrow": "half of the pressure at the screw (Boothroyd, Dewhurst, Knight)",
                    "open": "a third: thick or with several gates, as bumpers and trays (trade)",
                }
            ),
        ),
        Choice(
            "mould",
            "form of the mould's price",
            MappingProxyType(
                {
                    "by mass of the base": "base by mass, customisation by shares (Kazmer, seen in print)",
                    "by area of the base": "base by area (Boothroyd, Dewhurst, Knight, from memory)",
                }
            ),
        ),
    ),
    figures=FIGURES,
    limits=(
        Limit(
            "a wall below 0.4 mm does not fill; check the reading, or whether it is a film.",
            lambda f: f.wall_thickness_max_m < 0.0004,
        ),
        Limit(
            "a wall above 15 mm is not moulded solid: it sinks and takes minutes; check the reading, or whether "
            "it is "
            "hollow or foamed.",
            lambda f: f.wall_thickness_max_m > 0.015,
        ),
        Limit(
            "the part never cools to the temperature at which it is ejected, or is that cold from the start: the mould "
            "must be colder than ejection, and the melt hotter; check the temperatures of the material.",
            lambda f: (
                (f.material_ejection_k <= f.material_mould_k)
                | (f.material_injection_k <= f.material_ejection_k)
            ),
        ),
    ),
    evaluate=evaluate,
    notes="The literature drops the factor in the cooling equation now and then: the form is named. Boothroyd's "
    "form knows "
    "no hot runner, so its price is missing there. Printed pages give the price of Kazmer's cavities only for his "
    "example; hours of toolmaking take their place. Texture, gas assistance and two components are left out.",
    sketch="Projected area along the opening; thickest wall at ribs and bosses; cavity mark; slides where an "
    "undercut needs "
    "one; patches: separate surfaces inside and outside.",
)
