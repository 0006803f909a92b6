"""Paint from surface and film, pace from the surface that the line coats."""

from __future__ import annotations

from hoistbook.core.cost.formulas.heat import furnace_heat_j
from hoistbook.core.cost.formulas.plating import film_kg
from hoistbook.core.cost.process import Fields, Limit, Operation, Process, Stage
from hoistbook.core.cost.processes.electrocoat.data import FIGURES
from hoistbook.core.cost.surfaces import LITTLE_SURFACE


def evaluate(f: Fields) -> Operation:
    """What coating one part takes: paint A d rho/eta, line time A over the surface coated per second.

    Source
    ------
    first principles: film mass, heat of the oven; lines and prices common practice.
    """
    paint = film_kg(f.surface_area_m2, f.film_thickness_m, f.film_density_kg_per_m3, f.transfer_frac)
    oven = furnace_heat_j(f.mass_kg, f.specific_heat_j_per_kg_k, f.oven_rise_k, f.oven_frac)
    return Operation(
        stages=(Stage("pass of the line", f.surface_area_m2 / f.line_m2_per_s),),
        machine="e-coat line",
        machine_size=f.line_m2_per_s,
        crew=f.crew,
        reject_frac=f.reject_frac,
        setup_s=f.setup_s,
        recycled_frac=f.material_scrap_credit_frac,
        heat_j=oven + f.bath_j_per_m2 * f.surface_area_m2,
        consumables=paint * f.paint_money_per_kg + f.pretreatment_money_per_m2 * f.surface_area_m2,
    )


PROCESS = Process(
    name="electrocoat",
    title="electrocoating",
    family="coat",
    needs=("mass_kg", "surface_area_m2"),
    optional=("film_thickness_m",),
    figures=FIGURES,
    limits=(
        LITTLE_SURFACE,
        Limit(
            "electrocoat is not laid above 45 um in one pass; check the film, or whether it is powder.",
            lambda f: f.film_thickness_m > 45e-6,
        ),
    ),
    evaluate=evaluate,
    adds_material=False,
    notes="How densely parts hang is in the surface that the line coats per second. Masks and top coats are left out.",
    sketch="Surface: both sides of a sheet. Film: gauge on a flat face.",
)
