"""Parts of sister vehicles: the same, changed, or new; and how far their volumes pool."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from hoistbook.core.cost.figure import TRADE, Figure
from hoistbook.core.cost.route import PartToCost
from hoistbook.core.cost.scenario import MOST_VEHICLES
from hoistbook.core.quantities.quantity import Quantity

STATES: Mapping[str, str] = MappingProxyType(
    {
        "same": "one part in both vehicles",
        "changed": "the other's part with a change, on tools of its own",
        "new": "a part of its own",
    }
)


def _figure(name: str, words: str, value: float, low: float, high: float) -> tuple[str, Figure]:
    return name, Figure(name, words, "1", value, low, high, *TRADE)


FIGURES: Mapping[str, Figure] = MappingProxyType(
    dict(
        (
            _figure("share_same", "parts carried over unchanged between sisters", 0.40, 0.20, 0.70),
            _figure("share_changed", "parts carried over with a change", 0.25, 0.10, 0.40),
            _figure(
                "spread_changed_ln", "how far sizes of a changed part move, in logarithms", 0.08, 0.04, 0.15
            ),
            _figure(
                "spread_new_ln", "how far sizes of parts of one role differ, in logarithms", 0.50, 0.30, 0.80
            ),
            _figure("spread_made_ln", "scatter of the making of one part, in logarithms", 0.005, 0.002, 0.02),
            _figure("mark_same", "a mark that is on one is on the other: same part", 0.95, 0.90, 0.99),
            _figure("mark_changed", "a mark that is on one is on the other: changed part", 0.50, 0.30, 0.70),
            _figure("mark_new", "a mark that is on one is on the other: new part", 0.03, 0.01, 0.10),
        )
    )
)
"""Shares before looking, and likelihoods; each can be replaced."""
BASIS = (
    "sizes and marks are taken as independent once the state is given; several sizes of one part that moved together "
    "count for more than they should"
)


@dataclass(frozen=True, slots=True)
class Sister:
    """What is known of a part in one of two sister vehicles.

    Attributes
    ----------
    tag : str
    marks : collection of str
        Part number, mould number, maker's mark: as read, without their date.
    sizes : mapping of str to Quantity
        Mass and dimensions, positive, by name.
    """

    tag: str
    marks: Collection[str]
    sizes: Mapping[str, Quantity]


@dataclass(frozen=True, slots=True)
class CarriedOver:
    """Probability of each state of `STATES`, and what led there."""

    probability: Mapping[str, float]
    sentences: tuple[str, ...]


def carried_over(
    one: Sister, other: Sister, figures: Mapping[str, Figure] = FIGURES, stated: str = ""
) -> CarriedOver:
    """Weigh whether two parts are the same.

    Parameters
    ----------
    one, other : Sister
    figures : mapping of str to Figure
        As `FIGURES`.
    stated : str
        State that the engineer says; it overrides.

    Raises
    ------
    ValueError
        Shares beyond 1, sizes of two units or not positive, or an unknown state.

    Notes
    -----
    For each size both have, d = ln(size/size) is normal about 0 with variance s^2 + 2 made^2 + u^2: s is 0 for the same
    part, else the spread of changed or new parts, u the relative uncertainty of the quotient (a scale both were weighed
    on cancels). Each mark of either side counts: found on both or on one alone, with the probability of the state. A
    side without any mark says nothing about marks.

    Source
    ------
    first principles: Bayes' theorem.
    """
    if stated:
        if stated not in STATES:
            msg = f"no state {stated!r}; known: {', '.join(STATES)}."
            raise ValueError(msg)
        return CarriedOver(
            MappingProxyType({state: float(state == stated) for state in STATES}),
            (f"{one.tag} and {other.tag}: {STATES[stated]}, stated by the engineer",),
        )
    same, changed = figures["share_same"].value, figures["share_changed"].value
    if not (same >= 0.0 and changed >= 0.0 and same + changed <= 1.0):
        msg = f"share_same {same!r} and share_changed {changed!r}: together they may not exceed 1."
        raise ValueError(msg)
    with_prior = {"same": same, "changed": changed, "new": 1.0 - same - changed}
    log_weight = {state: math.log(share) if share else -math.inf for state, share in with_prior.items()}
    said = []
    spread = {
        "same": 0.0,
        "changed": figures["spread_changed_ln"].value,
        "new": figures["spread_new_ln"].value,
    }
    made = figures["spread_made_ln"].value
    for name in one.sizes:
        if name not in other.sizes:
            continue
        distance, u = _distance(one, other, name)
        for state, s in spread.items():
            variance = s**2 + 2.0 * made**2 + u**2
            log_weight[state] -= 0.5 * (distance**2 / variance + math.log(2.0 * math.pi * variance))
        said.append(f"{name} differs by {math.expm1(distance):+.2%} (u {u:.2%})")
    if one.marks and other.marks:
        both, either = set(one.marks) & set(other.marks), set(one.marks) | set(other.marks)
        for state in STATES:
            p = figures[f"mark_{state}"].value
            log_weight[state] += len(both) * math.log(p) + (len(either) - len(both)) * math.log1p(-p)
        said.append(f"{len(both)} of {len(either)} marks are on both")
    top = max(log_weight.values())
    weight = {state: math.exp(value - top) for state, value in log_weight.items()}
    total = sum(weight.values())
    return CarriedOver(
        MappingProxyType({state: value / total for state, value in weight.items()}),
        (*said, BASIS) if said else ("nothing was compared: the shares before looking hold",),
    )


def _distance(one: Sister, other: Sister, name: str) -> tuple[float, float]:
    """Logarithm of the quotient of two sizes, and its standard uncertainty."""
    a, b = one.sizes[name], other.sizes[name]
    if a.unit != b.unit:
        msg = f"{name}: {one.tag} gives it in {a.unit}, {other.tag} in {b.unit}; give both in one unit."
        raise ValueError(msg)
    for tag, size in ((one.tag, a), (other.tag, b)):
        if not size.value > 0.0:
            msg = f"{tag}: {name} = {size.value!r} {size.unit}; sizes are compared by quotient and must be above 0."
            raise ValueError(msg)
    quotient = b / a
    return math.log(quotient.value), quotient.standard_uncertainty / quotient.value


def pooled(
    part: PartToCost, sisters: Mapping[str, tuple[CarriedOver, float]]
) -> tuple[PartToCost, tuple[str, ...]]:
    """Add the volume of sister vehicles to that of a part, each weighted by the probability that the part is the same.

    Parameters
    ----------
    part : PartToCost
    sisters : mapping of str to (CarriedOver, float)
        Vehicle to what was found, and its vehicles a year. [1/year]

    Returns
    -------
    PartToCost, tuple of str
        With `pooled_volume` set, and one sentence per sister.

    Raises
    ------
    ValueError
        A negative volume.

    Notes
    -----
    The expected volume: a changed part has tools of its own and does not pool. Where the probability is far from 0 and
    1 the cost is not linear in volume, so cost both cases and mix them (`mixture.mixed`).
    """
    volume, said = 0.0, []
    for vehicle, (found, per_year) in sisters.items():
        if not 0.0 <= per_year <= MOST_VEHICLES:
            msg = f"{vehicle}: {per_year!r} vehicles a year; give a number from 0 to {MOST_VEHICLES:g}."
            raise ValueError(msg)
        share = found.probability["same"]
        volume += share * per_year
        said.append(
            f"{share:.0%} of the {per_year:,.0f} a year of {vehicle}, as it is the same part with that probability"
        )
    return replace(part, pooled_volume=volume), tuple(said)
