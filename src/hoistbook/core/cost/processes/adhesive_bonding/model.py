"""Adhesive: volume of a round bead, time along it; the paint oven cures it on the way."""

from __future__ import annotations

import math
from types import MappingProxyType

import numpy as np

from hoistbook.core.cost.process import Choice, Fields, Limit, Operation, Process, Stage
from hoistbook.core.cost.processes.adhesive_bonding.data import FIGURES


def evaluate(f: Fields) -> Operation:
    """What the beads of one piece take.

    Source
    ------
    first principles: V = pi d^2/4 L; speeds and prices common practice.
    """
    laid_kg = 0.25 * math.pi * f.bead_diameter_m**2 * f.bead_length_m * f.adhesive_kg_per_m3
    zero = 0.0 * f.setup_s
    return Operation(
        stages=(
            Stage("beads", f.bead_length_m / f.bead_m_per_s),
            Stage("starts and moves", f.start_s * np.maximum(f.weld_start_count, 1.0)),
            Stage("load, join, unload", f.load_s),
        ),
        machine="dispensing cell",
        machine_size=zero + 1.0,
        crew=f.crew,
        reject_frac=f.reject_frac,
        gross_kg=zero,
        returned_kg=zero,
        recycled_frac=zero,
        heat_j=zero,
        consumables=laid_kg * (1.0 + f.purged_frac) * f.adhesive_money_per_kg
        + f.cure_money_per_m * f.bead_length_m,
        bought=zero,
        setup_s=f.setup_s,
        tools=f.fixture_money,
        tool_life=zero + np.inf,
    )


PROCESS = Process(
    name="adhesive_bonding",
    title="adhesive bonding",
    family="join",
    needs=("bead_length_m", "bead_diameter_m"),
    optional=("weld_start_count",),
    choices=(
        Choice(
            "adhesive",
            "adhesive",
            MappingProxyType({"structural epoxy": "structural epoxy", "sealer": "sealer or anti-flutter"}),
        ),
        Choice(
            "cure",
            "curing",
            MappingProxyType(
                {"paint oven": "in the oven of the body's paint, at no cost", "own station": "on its own"}
            ),
        ),
    ),
    figures=FIGURES,
    limits=(
        Limit("no bead is stated; measure the beads, or drop the step.", lambda f: f.bead_length_m <= 0.0),
    ),
    evaluate=evaluate,
    adds_material=False,
    notes="Round beads; a squeezed film counts by the bead it came from. Cleaning and primers are left out.",
    sketch="Tape along the beads; diameter of the bead before joining, or sqrt(4/pi x width x thickness) of the "
    "film.",
)
