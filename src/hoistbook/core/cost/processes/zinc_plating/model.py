"""Time in the bath by Faraday's law, shared by the parts of a carrier."""

from __future__ import annotations

from types import MappingProxyType

from hoistbook.core.cost.formulas.plating import carriers_s, film_kg, plating_s
from hoistbook.core.cost.process import Choice, Fields, Limit, Operation, Process, Stage
from hoistbook.core.cost.processes.zinc_plating.data import FIGURES
from hoistbook.core.cost.surfaces import LITTLE_SURFACE


def evaluate(f: Fields) -> Operation:
    """What plating one part takes.

    Notes
    -----
    A carrier leaves the line each time the bath has finished one of its places, or as fast as the hoist goes. A barrel
    is filled by mass, a rack by surface. Energy = charge x voltage over the rectifier's efficiency.

    Source
    ------
    published: M. P. Groover, eq. 27.1-27.3; deposit per charge first principles (Faraday); lines common practice.
    """
    bath = plating_s(f.film_thickness_m, f.efficiency_frac, f.deposit_m3_per_c, f.current_a_per_m2)
    share = f.mass_kg / f.barrel_kg if f.choice("way") == "barrel" else f.surface_area_m2 / f.rack_m2
    metal = film_kg(f.surface_area_m2, f.film_thickness_m, f.film_density_kg_per_m3, 1.0)
    charge = f.current_a_per_m2 * f.surface_area_m2 * bath
    return Operation(
        stages=(Stage("share of a carrier", carriers_s(bath, f.station_count, f.hoist_s) * share),),
        machine="plating line",
        machine_size=1.0 + 0.0 * f.setup_s,
        crew=f.crew,
        reject_frac=f.reject_frac,
        setup_s=f.setup_s,
        recycled_frac=f.material_scrap_credit_frac,
        heat_j=charge * f.voltage_v / f.rectifier_frac,
        consumables=metal * f.anode_money_per_kg + f.bath_money_per_m2 * f.surface_area_m2,
    )


PROCESS = Process(
    name="zinc_plating",
    title="zinc plating",
    family="coat",
    needs=("mass_kg", "surface_area_m2"),
    optional=("film_thickness_m",),
    choices=(
        Choice(
            "metal", "coat", MappingProxyType({"zinc": "zinc", "zinc-nickel": "zinc with 12-15 % nickel"})
        ),
        Choice("way", "carrier", MappingProxyType({"barrel": "barrel, small parts in bulk", "rack": "rack"})),
    ),
    figures=FIGURES,
    limits=(
        LITTLE_SURFACE,
        Limit(
            "a plated coat above 30 um is not usual and grows uneven; check the film, or whether it is hot dipped.",
            lambda f: f.film_thickness_m > 30e-6,
        ),
        Limit(
            "parts of more than 1 kg do not go into a barrel; choose rack.",
            lambda f: f.mass_kg > (1.0 if f.choice("way") == "barrel" else 1_000.0),
        ),
    ),
    evaluate=evaluate,
    adds_material=False,
    notes="Baking hard parts against hydrogen (a few hours at 200 C) is left out: take heat treatment as a step.",
    sketch="Surface: all of it. Film: X-ray or magnetic gauge. Nickel in the coat: X-ray.",
)
