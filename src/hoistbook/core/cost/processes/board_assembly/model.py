"""Populated board, a priced part: area, components and test by parameters, good to some 40 %."""

from __future__ import annotations

from types import MappingProxyType

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.cost.process import Choice, Fields, Limit, Operation, Process
from hoistbook.core.cost.processes.board_assembly.data import FIGURES


def price_money(f: Fields) -> Array:
    """Price of one populated board. [money]

    Notes
    -----
    C = A (c_bare + c_coat) + n (c_place + c_component) + n_leads (c_lead + c_component) + test.

    Source
    ------
    common practice: parametric, within 40 %.
    """
    return f.price_factor * (
        f.board_area_m2 * (f.bare_money_per_m2 + f.coat_money_per_m2)
        + f.component_count * (f.place_money + f.component_money)
        + f.through_hole_count * (f.lead_money + f.lead_component_money)
        + f.test_money
    )


def evaluate(f: Fields) -> Operation:
    """What one board takes: a price, since placing lines are paid for by the component."""
    zero = 0.0 * f.reject_frac
    return Operation(
        stages=(),
        machine="",
        machine_size=zero,
        crew=zero,
        reject_frac=f.reject_frac,
        gross_kg=zero,
        returned_kg=zero,
        recycled_frac=zero,
        heat_j=zero,
        consumables=zero,
        bought=price_money(f),
        setup_s=zero,
        tools=f.tool_money,
        tool_life=zero + np.inf,
    )


PROCESS = Process(
    name="board_assembly",
    title="board assembly",
    family="electric",
    needs=("mass_kg", "board_area_m2", "component_count"),
    optional=("through_hole_count",),
    choices=(
        Choice(
            "layers",
            "layers",
            MappingProxyType({"4 layers": "4 layers", "2 layers": "2 layers", "6 layers": "6 layers"}),
        ),
        Choice(
            "parts",
            "components",
            MappingProxyType(
                {
                    "mixed": "controller: passives with some silicon",
                    "passive": "mostly passives",
                    "power": "power stage: switches, drivers, shunts",
                }
            ),
        ),
    ),
    figures=FIGURES,
    limits=(
        Limit(
            "more than 100 components per cm2 of board; check area and count.",
            lambda f: f.component_count > 100e4 * f.board_area_m2,
        ),
    ),
    evaluate=evaluate,
    notes="A priced part, not a calculation: silicon and magnetics dominate and are known by their price lists "
    "alone. Power "
    "modules, cores and heat sinks are parts of their own.",
    sketch="Area of the board; components counted on a photo, those with leads apart.",
)
