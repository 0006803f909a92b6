"""By how much a process model misses: its band, and how much of it each part has for itself."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np
from scipy.optimize import brentq
from scipy.special import ndtr

from hoistbook.core.arrays import Array

_Z = 1.959963984540054
_TINY = 1e-6
"""Bands below this are drawn as they stand: their mean is 1 to their square."""


@dataclass(frozen=True, slots=True)
class Miss:
    """True cost over that of a model, exp(center + spread z) with one spread above and one below.

    Attributes
    ----------
    center_ln, below_ln, above_ln : float
        Median of the logarithm, and its spread for z below and above 0. [1]
    best : float
        Best estimate of the factor.
    own_share_frac : float
        Share of the variance of z that each part has for itself; the rest all parts of the process share. [1]
    dof : float
        Degrees of freedom of z; infinite for a normal error.

    Raises
    ------
    ValueError
        A share outside 0-1.
    """

    center_ln: float
    below_ln: float
    above_ln: float
    best: float
    own_share_frac: float
    dof: float = field(default=math.inf)

    def __post_init__(self) -> None:
        if not 0.0 <= self.own_share_frac <= 1.0:
            msg = (
                f"model_own_share_frac = {self.own_share_frac!r}: the share of a model's error that each part has for "
                "itself is between 0 (all parts miss alike) and 1 (each for itself)."
            )
            raise ValueError(msg)

    @property
    def exact(self) -> bool:
        """Whether nothing is drawn."""
        return self.below_ln == 0.0 and self.above_ln == 0.0

    def factor(self, z: Array) -> Array:
        """Carry errors of standard deviation 1 to factors; `z` is used up."""
        if self.above_ln == self.below_ln:
            z *= self.above_ln
        else:
            steep = np.maximum if self.above_ln > self.below_ln else np.minimum
            below = z * self.below_ln
            z *= self.above_ln
            steep(z, below, out=z)
        z += self.center_ln
        return np.exp(z, out=z)


def miss_of_band(low_frac: float, high_frac: float, own_share_frac: float) -> Miss:
    """Return the error of a model whose 95 % band is from 1 + low to 1 + high and whose mean is 1.

    Parameters
    ----------
    low_frac, high_frac : float
        As -0.20 and 0.30. [1]
    own_share_frac : float

    Raises
    ------
    ValueError
        A band that does not reach below and above 1, or down to nothing.

    Notes
    -----
    ln x = m + b z below and m + a z above, m - 1.96 b = ln(1 + low), m + 1.96 a = ln(1 + high); m so that the mean
    e^m (e^(b^2/2) Phi(-b) + e^(a^2/2) Phi(a)) is 1. With -20/+30 % the median is 0.984.

    Source
    ------
    first principles.
    """
    if low_frac == 0.0 and high_frac == 0.0:
        return Miss(0.0, 0.0, 0.0, 1.0, own_share_frac)
    if not -1.0 < low_frac < 0.0 < high_frac:
        msg = (
            f"band of an uncalibrated model {low_frac:+.0%} to {high_frac:+.0%}: it reaches below and above the model "
            "and never down to nothing, as -20 % to +30 %; or set both ends to 0."
        )
        raise ValueError(msg)
    low, high = math.log1p(low_frac), math.log1p(high_frac)

    def sides(center: float) -> tuple[float, float]:
        return (center - low) / _Z, (high - center) / _Z

    def mean_less_1(center: float) -> float:
        below, above = sides(center)
        halves = math.exp(0.5 * below**2) * ndtr(-below) + math.exp(0.5 * above**2) * ndtr(above)
        return math.exp(center) * float(halves) - 1.0

    center = 0.0
    if max(-low, high) > _TINY:
        if mean_less_1(low) * mean_less_1(high) > 0.0:
            msg = (
                f"band of an uncalibrated model {low_frac:+.0%} to {high_frac:+.0%}: so lopsided that its mean is not "
                "the model; move the nearer end out."
            )
            raise ValueError(msg)
        center = float(brentq(mean_less_1, low, high, xtol=1e-14))
    below, above = sides(center)
    return Miss(center, below, above, 1.0, own_share_frac)
