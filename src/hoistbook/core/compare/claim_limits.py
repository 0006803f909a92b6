"""A claim as limits: what must stay below zero for it to hold, with its distribution."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TypeVar

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.compare.bars import Interval, WeightedDraws
from hoistbook.core.compare.chance import Spread, spread_of, spread_of_draws
from hoistbook.core.compare.claim_figures import Figures
from hoistbook.core.compare.claims import Claim, Relation, ThresholdIs
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.quantities.sampling import draws

V = TypeVar("V", Quantity, Array)


@dataclass(frozen=True, slots=True)
class Limits:
    """One limit, or two for "about" (above, below), and the difference the claim speaks of.

    `errors` holds the limits with their named sources and `drawn` draw by draw; one of them is empty.
    """

    spreads: tuple[Spread, ...]
    difference: Interval
    errors: tuple[Quantity, ...] = ()
    drawn: tuple[Array, ...] = ()


def limits_of(claim: Claim, figures: Figures, n_draws: int, seed: int) -> Limits:
    """Write a claim as what must stay below zero.

    Parameters
    ----------
    claim : Claim
    figures : Figures
        None missing; with the other figure where the claim needs it.
    n_draws, seed : int
        Of errors that are not normal; figures known by draws keep their own number.

    Returns
    -------
    Limits

    Notes
    -----
    d = v − o and margin m = t, or s |o| where the threshold is a share. less than: d + m < 0. more than: m − d < 0.
    about: d − m ≤ 0 and −d − m ≤ 0. Where the threshold is the figure itself, d = v − t (an effect with a share:
    v − s |o|) and m = 0; of "about" the half width stated with t.

    Source
    ------
    first principles.
    """
    known = [f for f in (figures.of, figures.other) if f is not None]
    threshold = _threshold(claim)
    if not figures.by_draws:
        given = [f.quantity for f in known if f.quantity is not None]
        sizes = [abs(q.value) for q in given]
        if claim.threshold_is is ThresholdIs.ABSOLUTE:
            sizes.append(abs(threshold.value))
        upright = [q if q.value >= 0.0 else -q for q in given[1:]]
        errors, gap = _expressions(claim, given[0], given[1:], upright, threshold)
        spreads = tuple(spread_of(error, max(sizes), n_draws, seed) for error in errors)
        return Limits(spreads, Interval(gap.value, *gap.band()), errors=tuple(errors))
    count = next(f.drawn.shape[0] for f in known if f.drawn is not None)
    rows: list[Array] = []
    for figure in known:
        if figure.drawn is not None:
            rows.append(figure.drawn)
        elif figure.quantity is not None:
            rows.append(draws(figure.quantity, count, seed))
    sizes_of = [np.abs(row) for row in rows[1:]]
    drawn, shown = _expressions(claim, rows[0], rows[1:], sizes_of, draws(threshold, count, seed))
    weight = figures.weight
    weights = WeightedDraws.equal(count) if weight is None else WeightedDraws(weight)
    spreads = tuple(spread_of_draws(one, weights.weight) for one in drawn)
    return Limits(spreads, weights.interval(shown), drawn=tuple(drawn))


def _threshold(claim: Claim) -> Quantity:
    """The threshold; of "about" a figure, its half width is a tolerance and no error."""
    if claim.relation is Relation.ABOUT and claim.threshold_is_figure:
        return replace(claim.threshold, terms=())
    return claim.threshold


def _expressions(
    claim: Claim, of: V, other: Sequence[V], size: Sequence[V], threshold: V
) -> tuple[list[V], V]:
    """What must stay below zero, and the difference to show; alike for quantities and for draws.

    `other` holds the other figure and `size` its absolute value; both are empty where there is none.
    """
    share = claim.threshold_is is ThresholdIs.SHARE
    margin = threshold * size[0] if share else threshold
    less = claim.relation is Relation.LESS_THAN
    if not claim.threshold_is_figure:
        gap = of - other[0]
        if claim.relation is Relation.ABOUT:
            return [gap - margin, -gap - margin], gap
        return [gap + margin if less else -gap + margin], gap
    gap = of - margin
    shown = of if claim.is_effect else gap
    if claim.relation is not Relation.ABOUT:
        return [gap if less else -gap], shown
    tolerance = claim.threshold.expanded()
    reach: V | float = size[0] * tolerance if share else tolerance
    return [gap - reach, -gap - reach], shown
