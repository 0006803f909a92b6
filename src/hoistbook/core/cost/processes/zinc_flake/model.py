"""Coats from the film, each a dip of the basket and a pass of the oven."""

from __future__ import annotations

import numpy as np

from hoistbook.core.cost.formulas.heat import furnace_heat_j
from hoistbook.core.cost.formulas.plating import film_kg
from hoistbook.core.cost.process import Fields, Limit, Operation, Process, Stage
from hoistbook.core.cost.processes.zinc_flake.data import FIGURES
from hoistbook.core.cost.surfaces import LITTLE_SURFACE


def evaluate(f: Fields) -> Operation:
    """What coating one part takes: coats x dip x piece/basket, an oven pass per coat.

    Source
    ------
    first principles: film mass, heat of the oven, share of a basket; times and prices common practice.
    """
    coats = np.ceil(f.film_thickness_m / f.coat_thickness_m)
    film = film_kg(f.surface_area_m2, f.film_thickness_m, f.film_density_kg_per_m3, f.transfer_frac)
    oven = furnace_heat_j(f.mass_kg, f.specific_heat_j_per_kg_k, f.oven_rise_k, f.oven_frac)
    return Operation(
        stages=(Stage("dip and spin", coats * f.dip_s * f.mass_kg / f.basket_kg),),
        machine="dip-spin line",
        machine_size=1.0 + 0.0 * f.setup_s,
        crew=f.crew,
        reject_frac=f.reject_frac,
        setup_s=f.setup_s,
        recycled_frac=f.material_scrap_credit_frac,
        heat_j=coats * oven,
        consumables=film * f.dispersion_money_per_kg + f.cleaning_money_per_kg * f.mass_kg,
    )


PROCESS = Process(
    name="zinc_flake",
    title="zinc-flake coating",
    family="coat",
    needs=("mass_kg", "surface_area_m2"),
    optional=("film_thickness_m",),
    figures=FIGURES,
    limits=(
        LITTLE_SURFACE,
        Limit(
            "parts of more than 3 kg do not go into a dip-spin basket; spraying on racks is not modelled.",
            lambda f: f.mass_kg > 3.0,
        ),
        Limit(
            "a zinc-flake film above 30 um would take too many coats; check the film.",
            lambda f: f.film_thickness_m > 30e-6,
        ),
    ),
    evaluate=evaluate,
    adds_material=False,
    notes="Top coats for friction count as a coat when they are in the film. Spraying on racks is left out.",
    sketch="Film: magnetic gauge or section; dull silver grey, no gloss, no yellow.",
)
