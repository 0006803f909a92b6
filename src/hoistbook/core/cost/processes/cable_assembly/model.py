"""High-voltage cable: conductor by cross-section and length, connectors by price, work per end."""

from __future__ import annotations

import numpy as np

from hoistbook.core.cost.process import Fields, Limit, Operation, Process, Stage
from hoistbook.core.cost.processes.cable_assembly.data import FIGURES

_SECTION_M2 = 50e-6  # at which `sheath_money_per_m` is stated


def evaluate(f: Fields) -> Operation:
    """What one cable assembly takes.

    Notes
    -----
    Conductor mass = density x cross-section x length x cores; the material of the step is the metal of the conductor.

    Source
    ------
    first principles: mass of the conductor; seconds per end and prices common practice.
    """
    cores = np.maximum(f.circuit_count, 1.0)
    ends = 2.0 * cores
    cable_m = f.tube_length_m * cores * (1.0 + f.cable_cut_frac)
    metal = f.material_density_kg_per_m3 * f.conductor_area_m2
    sheath = f.sheath_money_per_m * (f.conductor_area_m2 / _SECTION_M2) ** f.sheath_exponent
    zero = 0.0 * f.setup_s
    return Operation(
        stages=(
            Stage("cut and strip", ends * f.strip_s),
            Stage("weld or crimp", ends * f.weld_s),
            Stage("shields", f.connector_count * f.ferrule_s),
            Stage("housings", f.connector_count * f.housing_s),
            Stage("test", f.test_s),
        ),
        machine="cable bench",
        machine_size=zero + 1.0,
        crew=f.crew,
        reject_frac=f.reject_frac,
        gross_kg=metal * cable_m,
        returned_kg=metal * (cable_m - f.tube_length_m * cores),
        recycled_frac=zero,
        heat_j=zero,
        consumables=zero,
        bought=sheath * cable_m + f.connector_count * f.connector_money + ends * f.terminal_money,
        setup_s=f.setup_s,
        tools=f.tool_money,
        tool_life=zero + np.inf,
    )


PROCESS = Process(
    name="cable_assembly",
    title="high-voltage cable assembly",
    family="electric",
    needs=("mass_kg", "tube_length_m", "conductor_area_m2"),
    optional=("circuit_count", "connector_count"),
    figures=FIGURES,
    limits=(
        Limit(
            "a conductor below 2.5 mm2 is a wire of a harness, not a high-voltage cable; cost it as a harness.",
            lambda f: f.conductor_area_m2 < 2.5e-6,
        ),
        Limit(
            "the conductor alone weighs more than the whole; check length, cross-section, cores and metal.",
            lambda f: (
                f.material_density_kg_per_m3
                * f.conductor_area_m2
                * f.tube_length_m
                * np.maximum(f.circuit_count, 1.0)
                > 1.05 * f.mass_kg
            ),
        ),
    ),
    evaluate=evaluate,
    notes="Connectors make up most of it and are bought: their price is a trade range, not a quotation. "
    "Brackets, grommets and "
    "conduits are left out.",
    sketch="Developed length; cross-section by the mark on the sheath or the strands; cores; connectors.",
)
