"""Which measurement would decide an open claim, and what it is expected to make of its probability."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr, ndtri

from hoistbook.core.arrays import Array
from hoistbook.core.compare.bars import BAND_QUANTILES
from hoistbook.core.compare.chance import EXACT_FRAC, Spread
from hoistbook.core.compare.claim_figures import Figures
from hoistbook.core.compare.claim_limits import Limits
from hoistbook.core.compare.next_measurement import ranked
from hoistbook.core.quantities.quantity import covariance

LISTED = 3
"""Measurements listed for an open claim, the best first."""

NO_HELP_FRAC = 0.99
"""project rule: a measurement that would leave more than this share of the band decides nothing and is not listed."""

_OUTCOMES: Array = ndtri((np.arange(400) + 0.5) / 400.0)
"""Equally likely outcomes of a measurement still to be taken, in standard deviations."""


@dataclass(frozen=True, slots=True)
class NextMeasurement:
    """A measurement that may decide an open claim.

    Attributes
    ----------
    name, words, how : str
        The reading or fact, what it is of, and how it would be taken.
    low, high : float
        The probability of the claim afterwards lies between these in 95 of 100 cases.
    decides_frac : float
        In this share of cases the claim would be confirmed or refuted. [1]
    band_left_frac : float
        Share of the band of the difference that would be left. [1]
    at_best : bool
        The error of the new reading is not known and was taken as nothing.
    """

    name: str
    words: str
    how: str
    low: float
    high: float
    decides_frac: float
    band_left_frac: float
    at_best: bool = False


def next_measurements(
    limits: Limits, figures: Figures, sure_enough_frac: float, listed: int = LISTED
) -> tuple[NextMeasurement, ...]:
    """Rank what could be measured by the chance that it decides the claim.

    Parameters
    ----------
    limits : Limits
    figures : Figures
        With the readings that could be taken anew.
    sure_enough_frac : float
    listed : int
        Longest list.

    Returns
    -------
    tuple of NextMeasurement
        Most likely to decide first, then the narrowest band left. Empty when nothing at hand would help.

    Notes
    -----
    e the limit with variance u², y the outcome of the new reading: knowing y takes τ² = cov(e, y)²/var(y) off u²
    (law of total variance), and the new mean of e lies around the present one with standard deviation τ. Each of 400
    equally likely outcomes gives a probability of the claim, taken as normal. For draws τ²/u² comes from
    `next_measurement.ranked`.

    Source
    ------
    first principles (conditional normal distribution); exact for jointly normal figures.
    """
    found: list[NextMeasurement] = []
    for name, words, how, left, at_best in _bands_left(limits, figures):
        if left > NO_HELP_FRAC:
            continue
        after = _probabilities(limits.spreads, left)
        low, high = np.quantile(after, BAND_QUANTILES)
        decided = (after >= sure_enough_frac) | (after <= 1.0 - sure_enough_frac + EXACT_FRAC)
        found.append(
            NextMeasurement(name, words, how, float(low), float(high), float(decided.mean()), left, at_best)
        )
    found.sort(key=lambda one: (-one.decides_frac, one.band_left_frac, one.name))
    best: dict[str, NextMeasurement] = {}
    for one in found:
        best.setdefault(one.name, one)  # of one thing the best of several instruments
    return tuple(best.values())[:listed]


def _bands_left(limits: Limits, figures: Figures) -> list[tuple[str, str, str, float, bool]]:
    """Name, words and how of every measurement at hand, with the share of the band it leaves."""
    if limits.drawn:
        narrowed = ranked(limits.drawn[0], figures.weight, figures.candidates)
        at_best = {c.name for c in figures.candidates if not np.any(np.asarray(c.sd))}
        return [
            (n.name, n.words, n.how, 1.0 - n.narrower_frac, n.name in at_best)
            for n in narrowed
            if n.half_width_now > 0.0
        ]
    error = limits.errors[0]
    variance = error.standard_uncertainty**2
    rows = []
    for retake in figures.retakes:
        spread = retake.outcome.standard_uncertainty**2
        if variance <= 0.0 or spread <= 0.0:
            continue
        explained = covariance(error, retake.outcome) ** 2 / spread
        left = math.sqrt(max(1.0 - explained / variance, 0.0))
        rows.append((retake.name, retake.words, retake.how, left, retake.at_best))
    return rows


def _probabilities(limits: tuple[Spread, ...], left: float) -> Array:
    """Probability of the claim after each outcome, shape (n_outcomes,)."""
    passed: Array = np.zeros_like(_OUTCOMES)
    moved = math.sqrt(max(1.0 - left * left, 0.0))
    # What brings a figure nearer to the limit above takes it away from the limit below.
    for limit, side in zip(limits, (1.0, -1.0), strict=False):
        sd = limit.standard_deviation
        mean = limit.mean + side * moved * sd * _OUTCOMES
        rest = left * sd
        passed += ndtr(mean / rest) if rest > EXACT_FRAC * sd else (mean > 0.0)
    return np.clip(1.0 - passed, 0.0, 1.0)
