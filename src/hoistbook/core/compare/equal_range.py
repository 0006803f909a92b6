"""Cost at equal range: what is saved on a part is spent again on the battery when the part costs range."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.compare.bars import Interval
from hoistbook.core.compare.cost_walk import CostWalk, probability_below
from hoistbook.core.compare.rates import Rate
from hoistbook.core.cost.drawn import SharedDraws
from hoistbook.core.cost.figure import Figure
from hoistbook.core.cost.result import Money, band_ends
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.quantities.sampling import draws

_Z = 1.959963984540054


@dataclass(frozen=True, slots=True)
class EqualRange:
    """Cost of the second side less the first once both go equally far.

    Attributes
    ----------
    range_change_m : Interval
        Range of the second side less the first, before the battery makes up for it. [m]
    battery_j : Interval
        Usable energy that the second side needs more. [J]
    battery, total : Money
        What that energy costs, and total difference with parts, tools and assembly. [money]
    probability_a_cheaper : float
    sentences : tuple of str
    """

    range_change_m: Interval
    battery_j: Interval
    battery: Money
    total: Money
    probability_a_cheaper: float
    sentences: tuple[str, ...]


def equal_range(
    walk: CostWalk,
    changes: Mapping[str, Quantity],
    rates: Mapping[str, Rate],
    range_m: float,
    usable_energy_j: float,
    battery_price: Figure,
    seed: int = 1,
) -> EqualRange:
    """Cost at equal range.

    Parameters
    ----------
    walk : CostWalk
        Piece cost, tools as the scenario pays them, and assembly.
    changes : mapping of str to Quantity
        What the second side changes, by names of `compare.rates.effects`, in the SI unit of the field each one moves:
        kg, m2, W, N at the tyres, 1.
    rates : mapping of str to Rate
        Of the vehicle both sides are for, by the same names.
    range_m, usable_energy_j : float
        Of that vehicle: the energy its battery gives per metre is their ratio.
    battery_price : Figure
        Price of usable energy, in the money of the walk. [money/J]
    seed : int
        That of the walk, so that a shared figure is drawn once.

    Raises
    ------
    ValueError
        No range or energy, or a price in other money.
    LookupError
        A change without a rate.

    Notes
    -----
    dU = -dR U/R: the further energy takes the vehicle as far as the lost range. The mass of the further cells is left
    out, which is right to first order only for small changes. Rates enter with their band as normal errors.

    Source
    ------
    first principles.
    """
    if not (range_m > 0.0 and usable_energy_j > 0.0):
        msg = f"range {range_m!r} m, usable energy {usable_energy_j!r} J: both must be above 0."
        raise ValueError(msg)
    if (battery_price.currency, battery_price.year) != (walk.currency, walk.year):
        msg = (
            f"the battery is priced in {battery_price.currency} of {battery_price.year}, the parts in {walk.currency} "
            f"of {walk.year}; carry the price over with the scenario first."
        )
        raise ValueError(msg)
    n = walk.draws.size
    shared = SharedDraws(n, seed)
    change: Array = np.zeros(n + 1)
    for name, amount in changes.items():
        rate = rates.get(name)
        if rate is None:
            msg = f"no rate for {name!r}; known: {', '.join(rates)}."
            raise LookupError(msg)
        spread = rate.range.half_width / _Z
        per_unit = rate.range.value + spread * np.concatenate([[0.0], shared.own_errors([f"rate/{name}"])[0]])
        drawn = np.concatenate([[amount.value], draws(amount, n, seed)])
        change = change + per_unit * drawn / rate.effect.step
    energy = -change * usable_energy_j / range_m
    money = energy * shared.figure("scenario/battery_money_per_j", battery_price)[0]
    total = money + np.concatenate([[walk.difference.value], walk.draws])
    price = f"{battery_price.value * 3.6e6:.4g}"
    per_km = usable_energy_j / range_m / 3.6
    return EqualRange(
        _interval(change),
        _interval(energy),
        _money(money),
        _money(total),
        probability_below(-total[1:]),
        (
            f"battery energy per distance: {per_km:.3g} Wh/km",
            f"usable energy at {price} {walk.currency} per kWh ({battery_price.mark}: {battery_price.source})",
            "the mass of the further cells is left out",
        ),
    )


def _interval(values: Array) -> Interval:
    low, high = band_ends(values[None, 1:])
    return Interval(float(values[0]), float(low[0]), float(high[0]))


def _money(values: Array) -> Money:
    low, high = band_ends(values[None, 1:])
    return Money(float(values[0]), float(low[0]), float(high[0]))
