"""Time in carbon from the case depth, shared by a charge."""

from __future__ import annotations

from hoistbook.core.cost.formulas.heat import KELVIN_AT_0_DEGC, ROOM_DEGC, carburising_s, furnace_heat_j
from hoistbook.core.cost.process import Fields, Limit, Operation, Process, Stage
from hoistbook.core.cost.processes.carburising.data import FIGURES


def evaluate(f: Fields) -> Operation:
    """What case hardening one piece takes: (heating + carbon + lowering) x piece/charge, tempering beside.

    Source
    ------
    from memory: F. E. Harris (case and time); first principles: share of a charge; other times common practice.
    """
    share = f.mass_kg / f.charge_kg
    carbon = carburising_s(f.case_depth_m, f.carbon_k)
    # Hot once for the carbon, once more for tempering.
    rise = f.carbon_k + f.temper_k - 2.0 * (KELVIN_AT_0_DEGC + ROOM_DEGC)
    heat = furnace_heat_j(f.mass_kg, f.specific_heat_j_per_kg_k, rise, f.furnace_frac)
    return Operation(
        stages=(
            Stage("heat up", f.heat_up_s * share),
            Stage("in carbon", carbon * share),
            Stage("lower and quench", f.lowering_s * share),
            Stage("temper", f.temper_s * share, beside=True),
        ),
        machine="heat treatment plant",
        machine_size=f.charge_kg,
        crew=f.crew,
        reject_frac=f.reject_frac,
        setup_s=f.setup_s,
        recycled_frac=f.material_scrap_credit_frac,
        heat_j=heat,
        consumables=f.gas_money_per_s * carbon * share,
    )


PROCESS = Process(
    name="carburising",
    title="case hardening",
    family="treat",
    needs=("mass_kg", "case_depth_m"),
    figures=FIGURES,
    limits=(
        Limit(
            "only steel is case hardened; this material is lighter.",
            lambda f: f.material_density_kg_per_m3 < 7_000.0,
        ),
        Limit(
            "a case above 3 mm takes more than a day in carbon; check the depth, or whether the part is hardened by "
            "induction.",
            lambda f: f.case_depth_m > 0.003,
        ),
    ),
    evaluate=evaluate,
    adds_material=False,
    notes="Low-pressure carburising with gas quench is quicker and dearer per hour. Hardening in a press, copper "
    "masks and grinding are left out.",
    sketch="Case depth: polished section, to 550 HV.",
)
