"""From draws to bars: value, band, sign, what is resolved, and which causes cannot be told apart."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.quantities.quantity import Quantity

BAND_QUANTILES = (0.025, 0.975)
MERGE_RATIO = 0.5
"""Causes are one bar when their common band is under this share of the larger of their own (design 2.1)."""


@dataclass(frozen=True, slots=True)
class Interval:
    """Value and 95 % band, in the unit of the gap: of draws their mean and 2.5–97.5 %, of a quantity its own."""

    value: float
    low: float
    high: float

    @classmethod
    def of(cls, quantity: Quantity) -> Interval:
        """Value and band of a quantity that is known by its named sources of error."""
        return cls(quantity.value, *quantity.band())

    @property
    def half_width(self) -> float:
        """Half the width of the band."""
        return (self.high - self.low) / 2.0


@dataclass(frozen=True, slots=True)
class DecisionBar:
    """What one decision is worth, within one cause or in all; `origin` is the weakest among its figures."""

    name: str
    words: str
    amount: Interval
    origin: str = ""


@dataclass(frozen=True, slots=True)
class Bar:
    """One cause of a gap.

    Attributes
    ----------
    name, words : str
    amount : Interval
        Mean and band in the unit of the gap; the means of all bars add up to the gap.
    origin : str
        "measured", "published", "inferred", "assumed" or "not explained".
    merged : tuple of str
        Names of the causes in this bar when they could not be told apart.
    resolved : bool
        At least as large as the detection limit of the gap.
    p_sign : float
        Probability that the sign is the one printed.
    first_in, last_in : float or None
        What the cause is worth when switched first, or last; None for a merged bar.
    decisions : tuple of DecisionBar
    unexplained : Interval
        The cause less its decisions.
    remark : str
        Why bars were merged and what would separate them.
    separate_by : tuple of str
        Measurements that set its causes apart from their neighbours, one per cause; empty where none is known.
    """

    name: str
    words: str
    amount: Interval
    origin: str
    merged: tuple[str, ...]
    resolved: bool
    p_sign: float
    first_in: float | None
    last_in: float | None
    decisions: tuple[DecisionBar, ...]
    unexplained: Interval
    remark: str = ""
    separate_by: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Remark:
    """What cannot be told apart, and the measurements that would separate it."""

    told: str
    separate_by: tuple[str, ...] = ()

    def __str__(self) -> str:
        """Both in one piece."""
        ways = "; or ".join(self.separate_by)
        return f"{self.told} What would separate them: {ways}." if ways else self.told


@dataclass(frozen=True, slots=True)
class WeightedDraws:
    """Draws with weights that add up to 1 (equal when nothing had to be weighed)."""

    weight: Array

    @classmethod
    def equal(cls, n_draws: int) -> WeightedDraws:
        """Draws that all weigh the same."""
        return cls(np.full(n_draws, 1.0 / n_draws))

    @property
    def effective_count(self) -> float:
        """Number of equally weighted draws worth as much: (Σw)²/Σw² (Kish; from memory)."""
        return float(1.0 / np.sum(self.weight**2))

    def mean(self, draws: Array) -> float:
        """Weighted mean."""
        return float(self.weight @ draws)

    def interval(self, draws: Array) -> Interval:
        """Weighted mean and 2.5–97.5 % band."""
        order = np.argsort(draws)
        cumulative = np.cumsum(self.weight[order])
        # Each draw sits in the middle of its own step, which makes the band symmetric under a change of sign.
        centre = cumulative - 0.5 * self.weight[order]
        low, high = np.interp(BAND_QUANTILES, centre / cumulative[-1], draws[order])
        return Interval(self.mean(draws), float(low), float(high))

    def sign_probability(self, draws: Array) -> float:
        """Probability that the sign is that of the mean; 0.5 for a value that is exactly zero."""
        mean = self.mean(draws)
        if not np.any(draws):
            return 0.5
        agree = draws > 0.0 if mean > 0.0 else draws < 0.0
        return float(self.weight @ agree)


@dataclass(frozen=True, slots=True)
class Merge:
    """A group of causes shown as one bar, and the reason."""

    names: tuple[str, ...]
    reason: str


def merge_groups(
    shares: Mapping[str, Array], draws: WeightedDraws, ratio: float = MERGE_RATIO
) -> list[Merge]:
    """Group causes that cannot be told apart.

    Parameters
    ----------
    shares : mapping of name to array, shape (n_draws,)
        Share of each cause, any one unit.
    draws : WeightedDraws
    ratio : float
        Two groups are merged when the band of their sum is under `ratio` times the larger of their own bands.

    Returns
    -------
    list of Merge
        Every cause appears once; groups of one have an empty reason.

    Raises
    ------
    ValueError
        ratio is not in (0, 1].

    Notes
    -----
    The pair with the smallest ratio is merged first, and the rest is looked at again with the group in its place.

    Source
    ------
    common practice, no source: the project's own rule (design 2.1).
    """
    if not 0.0 < ratio <= 1.0:
        msg = f"ratio = {ratio!r}: give a share above 0 and up to 1."
        raise ValueError(msg)
    groups: dict[tuple[str, ...], Array] = {(name,): values for name, values in shares.items()}
    reasons: dict[tuple[str, ...], str] = dict.fromkeys(groups, "")
    width = {name: draws.interval(values).half_width for name, values in groups.items()}
    while len(groups) > 1:
        best: tuple[float, tuple[str, ...], tuple[str, ...], Array, float] | None = None
        for one, other in combinations(groups, 2):
            larger = max(width[one], width[other])
            if larger <= 0.0:
                continue
            together = groups[one] + groups[other]
            together_width = draws.interval(together).half_width
            if best is None or together_width / larger < best[0]:
                best = (together_width / larger, one, other, together, together_width)
        if best is None or best[0] >= ratio:
            break
        _, one, other, together, together_width = best
        names = one + other
        wider = max(width[one], width[other])
        reasons[names] = f"the band of their sum is {together_width / wider:.0%} of the wider one alone"
        width[names] = together_width
        for old in (one, other):
            del groups[old], width[old], reasons[old]
        groups[names] = together
    return [Merge(names, reasons[names]) for names in groups]
