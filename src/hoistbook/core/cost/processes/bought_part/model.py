"""A price by mass and volume, for standard parts that nobody calculates; dearer parts are to be split."""

from __future__ import annotations

from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from hoistbook.core.arrays import Array
from hoistbook.core.cost.process import Choice, Fields, Limit, Operation, Process
from hoistbook.core.cost.processes.bought_part.data import FIGURES


def price_money(f: Fields) -> Array:
    """Price of one piece: (a + b m) (N/N_0)^e. [money]

    Source
    ------
    common practice: trade prices of standard parts; no published table.
    """
    return (f.piece_money + f.money_per_kg * f.mass_kg) * (
        f.pieces_per_year / f.reference_volume
    ) ** f.volume_exponent


def evaluate(f: Fields) -> Operation:
    """What one bought part takes: its price."""
    zero = 0.0 * f.piece_money
    return Operation(
        stages=(),
        machine="",
        machine_size=zero,
        crew=zero,
        reject_frac=zero,
        gross_kg=zero,
        returned_kg=zero,
        recycled_frac=zero,
        heat_j=zero,
        consumables=zero,
        bought=price_money(f),
        setup_s=zero,
        tools=zero,
        tool_life=zero + np.inf,
    )


def _dear(f: Fields) -> NDArray[np.bool_]:
    return price_money(f) > f.split_money


PROCESS = Process(
    name="bought_part",
    title="bought standard part",
    family="buy",
    needs=("mass_kg",),
    choices=(
        Choice(
            "kind",
            "kind",
            MappingProxyType(
                {
                    "fastener": "screw, nut, washer, clip",
                    "bearing": "rolling bearing",
                    "seal": "seal, ring, plug",
                }
            ),
        ),
    ),
    figures=FIGURES,
    limits=(
        Limit(
            "a standard part of this kind does not weigh more than 5 kg; split it into its elements.",
            lambda f: f.mass_kg > 5.0,
        ),
    ),
    advice=(
        Limit(
            "its price is above the threshold for standard parts; split it into material, work, overhead and "
            "mark-up of "
            "its elements, or the bin of bought parts is inflated.",
            _dear,
        ),
    ),
    evaluate=evaluate,
    notes="A trade price holds the maker's overhead and profit already: a part that is only bought gets no mark-up; "
    "bought into a part that is made, it is marked up with it. Fasteners with a designation "
    "have a price by their operations elsewhere; this one is for those that were only weighed.",
    sketch="Weigh it; name the kind.",
)
