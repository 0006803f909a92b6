"""Time in the bath by the 720 rule, shared by the parts of a rack."""

from __future__ import annotations

from hoistbook.core.cost.formulas.plating import anodising_s, carriers_s
from hoistbook.core.cost.process import Fields, Limit, Operation, Process, Stage
from hoistbook.core.cost.processes.anodising.data import FIGURES
from hoistbook.core.cost.surfaces import LITTLE_SURFACE


def evaluate(f: Fields) -> Operation:
    """What anodising one part takes.

    Notes
    -----
    A rack leaves the line each time the bath has finished one of its places, or as fast as the hoist goes.

    Source
    ------
    from memory: plating practice, 720 min x mils over A/ft^2; lines common practice.
    """
    bath = anodising_s(f.film_thickness_m, f.current_a_per_m2)
    share = f.surface_area_m2 / f.rack_m2
    energy = f.current_a_per_m2 * f.surface_area_m2 * bath * f.voltage_v / f.rectifier_frac
    return Operation(
        stages=(Stage("share of a rack", carriers_s(bath, f.station_count, f.hoist_s) * share),),
        machine="anodising line",
        machine_size=1.0 + 0.0 * f.setup_s,
        crew=f.crew,
        reject_frac=f.reject_frac,
        setup_s=f.setup_s,
        recycled_frac=f.material_scrap_credit_frac,
        heat_j=energy * f.cooling_frac,
        consumables=f.bath_money_per_m2 * f.surface_area_m2,
    )


PROCESS = Process(
    name="anodising",
    title="anodising",
    family="coat",
    needs=("mass_kg", "surface_area_m2"),
    optional=("film_thickness_m",),
    figures=FIGURES,
    limits=(
        LITTLE_SURFACE,
        Limit(
            "only aluminium is anodised here; this material is not aluminium by its density.",
            lambda f: (f.material_density_kg_per_m3 < 2_500.0) | (f.material_density_kg_per_m3 > 2_900.0),
        ),
        Limit(
            "an oxide above 30 um is hard anodising in a cold bath, which is not modelled; check the film.",
            lambda f: f.film_thickness_m > 30e-6,
        ),
    ),
    evaluate=evaluate,
    adds_material=False,
    notes="Colouring and hard anodising are left out. Alloys with much silicon or copper anodise badly.",
    sketch="Surface: all of it. Film: eddy-current gauge.",
)
