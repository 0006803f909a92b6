"""The chance that a figure lies below another: exact for normal errors, by draws for all others."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from scipy.optimize import brentq
from scipy.special import ndtr

from hoistbook.core.arrays import Array
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.quantities.sampling import draw_source

DRAWS, SEED = 10_000, 1
"""Draws behind errors that are not normal: the chance is then known to 0.005 or better (√(p(1 − p)/n))."""

DRAWN_ONE_BY_ONE = 100
"""Bounded errors drawn with their own shape, largest first. Those beyond are taken together as one normal error: each
is under 1 % of the variance, so the excess kurtosis left out is under 1.2 % and moves a chance by under 0.001."""

EXACT_FRAC = 1e-12
"""Differences below this share of the figures compared are rounding, not bands."""


@dataclass(frozen=True, slots=True)
class Spread:
    """A figure with its distribution: mean + offset + sd·z, z standard normal, offset one of several with weights.

    Draws of everything that is not normal are the offsets; normal errors stay exact beside them.
    """

    mean: float
    offsets: Array
    weight: Array
    sd: float

    @property
    def standard_deviation(self) -> float:
        """Standard deviation of the whole."""
        offset_mean = float(self.weight @ self.offsets)
        return math.sqrt(float(self.weight @ (self.offsets - offset_mean) ** 2) + self.sd**2)

    def chance_below(self, limit: float, *, or_equal: bool = False) -> float:
        """Probability that the figure is below a limit."""
        return self._error_below(limit - self.mean, or_equal=or_equal)

    def error_quantile(self, probability: float) -> float:
        """Error (figure less mean) that is not exceeded with a probability."""
        return self._solved(probability, self._error_below)

    def absolute_error_quantile(self, probability: float) -> float:
        """Size of the error that is not exceeded with a probability."""

        def within(size: float) -> float:
            return self._error_below(size, or_equal=True) - self._error_below(-size)

        return self._solved(probability, within, least=0.0)

    def _error_below(self, limit: float, *, or_equal: bool = False) -> float:
        if self.sd > 0.0:
            return float(self.weight @ ndtr((limit - self.offsets) / self.sd))
        below = self.offsets <= limit if or_equal else self.offsets < limit
        # Weights add up to 1 but for rounding.
        return min(float(self.weight @ below), 1.0)

    def _solved(
        self, probability: float, chance: Callable[[float], float], least: float | None = None
    ) -> float:
        reach = float(np.max(np.abs(self.offsets))) + 10.0 * self.sd
        if reach == 0.0:
            return 0.0
        low, high = (-reach if least is None else least), reach * (1.0 + EXACT_FRAC)
        if self.sd > 0.0:
            return float(brentq(lambda x: chance(x) - probability, low, high, xtol=1e-9 * reach))
        for _ in range(60):  # a staircase: halving finds the step to the last digit
            middle = 0.5 * (low + high)
            low, high = (low, middle) if chance(middle) >= probability else (middle, high)
        return high


def spread_of(quantity: Quantity, scale: float, n_draws: int = DRAWS, seed: int = SEED) -> Spread:
    """Distribution of a quantity from its named sources of error.

    Parameters
    ----------
    quantity : Quantity
        Shared sources already taken together, as in a difference of two figures.
    scale : float
        Size of the figures it was formed of, in its unit: what is below `EXACT_FRAC` of it is rounding.
    n_draws, seed : int

    Returns
    -------
    Spread
        Normal sources as one exact normal; every other source drawn, each by its own name and seed.

    Source
    ------
    first principles: the chance of a sum of a normal and another error is the mean over the other of the normal
    chance. from memory: JCGM 101:2008 (draws).
    """
    rounding = EXACT_FRAC * abs(scale)
    mean = 0.0 if abs(quantity.value) <= rounding else quantity.value
    terms = [(source, c) for source, c in quantity.terms if abs(c) > rounding]
    normal = [c for source, c in terms if source.shape == "normal"]
    heavy = [term for term in terms if term[0].shape == "student"]
    bounded = [term for term in terms if term[0].shape not in ("normal", "student")]
    bounded.sort(key=lambda term: -abs(term[1]))
    normal += [c for _, c in bounded[DRAWN_ONE_BY_ONE:]]
    drawn = [*heavy, *bounded[:DRAWN_ONE_BY_ONE]]
    sd = math.sqrt(math.fsum(c * c for c in normal))
    if not drawn:
        return Spread(mean, np.zeros(1), np.ones(1), sd)
    offsets: Array = np.zeros(n_draws)
    for source, c in drawn:
        offsets += c * draw_source(source, n_draws, seed)
    return Spread(mean, offsets, np.full(n_draws, 1.0 / n_draws), sd)


def spread_of_draws(values: Array, weight: Array | None = None) -> Spread:
    """Distribution of a figure that is known by draws, shape (n_draws,), with weights that add up to 1."""
    weights = np.full(values.shape[0], 1.0 / values.shape[0]) if weight is None else weight
    mean = float(weights @ values)
    return Spread(mean, values - mean, weights, 0.0)
