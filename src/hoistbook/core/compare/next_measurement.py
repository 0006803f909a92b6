"""Which measurement narrows a figure most: the expected band after each one, from the draws at hand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.compare.bars import WeightedDraws


@dataclass(frozen=True, slots=True)
class Candidate:
    """One measurement that could be taken.

    Attributes
    ----------
    name, words : str
    draws : array, shape (n_draws,) or (k, n_draws)
        What the instrument would show without its error, in every draw; several rows for a measurement that returns
        several figures at once (a coast-down: drag at three speeds).
    sd : float or sequence of k floats
        Standard uncertainty of the instrument and method, in the unit of `draws`; independent between rows.
    how : str
        What is done, in the words of the trade.
    minutes : float or None
        Time it takes; None when nobody said.
    """

    name: str
    words: str
    draws: Array
    sd: float | Sequence[float]
    how: str
    minutes: float | None = None


@dataclass(frozen=True, slots=True)
class Narrowing:
    """What one measurement is expected to do to a band.

    Attributes
    ----------
    name, words, how : str
        As in the candidate.
    half_width_now, half_width_then : float
        Half the 95 % band now, and expected after the measurement, in the unit of the target.
    minutes : float or None
    """

    name: str
    words: str
    how: str
    half_width_now: float
    half_width_then: float
    minutes: float | None = None

    @property
    def narrower_frac(self) -> float:
        """By what share the band shrinks."""
        return 1.0 - self.half_width_then / self.half_width_now if self.half_width_now > 0.0 else 0.0


def repeated(
    name: str,
    words: str,
    own: Array,
    sd: float,
    more: int,
    how: str,
    minutes: float | None = None,
) -> Candidate:
    """A test that is taken again, as one measurement.

    Parameters
    ----------
    name, words, how : str
    own : array, shape (n_draws,)
        Error of the first test that it shares with nothing else, in every draw of the figure.
    sd : float
        Standard uncertainty of one test by that error, in the unit of `own`.
    more : int
        Tests to be added to the first.
    minutes : float, optional

    Returns
    -------
    Candidate
        Shows `own` with the standard uncertainty sd/√more.

    Raises
    ------
    ValueError
        `more` is below 1.

    Notes
    -----
    With the first test the mean of n = more + 1 tests has s²(q̄) = s²(q)/n: of the variance s² of `own` the new tests
    explain s²/(s² + s²/(n − 1)) = (n − 1)/n, and s²/n is left. What the tests share is the same in each of them, so no
    difference between them shows it, and it stays as it is.

    Source
    ------
    from memory: JCGM 100:2008, 4.2.3, eq. (5) (experimental variance of the mean).
    """
    if more < 1:
        msg = f"{name}: {more} further tests; a repeat adds at least 1."
        raise ValueError(msg)
    return Candidate(name, words, own, sd / more**0.5, how, minutes)


def ranked(target: Array, weights: Array | None, candidates: Sequence[Candidate]) -> tuple[Narrowing, ...]:
    """Order measurements by the band they are expected to leave, the narrowest first.

    Parameters
    ----------
    target : array, shape (n_draws,)
        The figure whose band matters: the unexplained rest of a gap, one cause, the margin of a claim.
    weights : array, shape (n_draws,), or None
        Weight of each draw, any positive sum; None when all weigh the same.
    candidates : sequence of Candidate

    Returns
    -------
    tuple of Narrowing
        One per candidate; equal ones keep their order.

    Raises
    ------
    ValueError
        Shapes do not fit, weights or standard uncertainties are negative or not finite.

    Notes
    -----
    A measurement shows y = z + e, e ~ N(0, diag(sd²)). By the law of total variance the variance that is left is
    E Var(T | y) = Var T − Var E(T | y). With E(T | y) linear in y the explained part is
    R² = c' (S + diag(sd²))⁻¹ c / Var T, c = Cov(z, T), S = Cov(z), and the band now is scaled by √(1 − R²). Exact for
    jointly normal draws; otherwise the best linear reading of y, which never promises more than the measurement can
    do on average. R² is freed from chance agreement in a finite number of draws by 1 − (1 − R²)(n − 1)/(n − k − 1)
    with the effective number n (Kish), and is not below 0.

    Source
    ------
    first principles (law of total variance; conditional normal distribution). Adjusted R²: from memory, M. Ezekiel
    1930.

    Examples
    --------
    >>> import numpy as np
    >>> part = np.random.default_rng(1).standard_normal(4000)
    >>> rest = np.random.default_rng(2).standard_normal(4000)
    >>> found = ranked(part + rest, None, [Candidate("part", "the part", part, 0.0, "weigh it")])
    >>> round(found[0].half_width_then / found[0].half_width_now, 1)  # one of two equal variances is left
    0.7
    """
    target = np.asarray(target, dtype=float)
    if target.ndim != 1 or target.size == 0:
        msg = f"target has the shape {target.shape}: give one figure per draw."
        raise ValueError(msg)
    weight = np.full(target.size, 1.0) if weights is None else np.asarray(weights, dtype=float)
    if weight.shape != target.shape or not np.all(weight >= 0.0) or not 0.0 < weight.sum() < np.inf:
        msg = f"weights: give {target.size} weights of 0 or more with a positive sum, one per draw."
        raise ValueError(msg)
    draws = WeightedDraws(weight / weight.sum())
    now = draws.interval(target).half_width
    found = [
        Narrowing(
            c.name, c.words, c.how, now, now * float(np.sqrt(1.0 - _explained(target, draws, c))), c.minutes
        )
        for c in candidates
    ]
    return tuple(sorted(found, key=lambda one: one.half_width_then))


def _explained(target: Array, draws: WeightedDraws, candidate: Candidate) -> float:
    """Share of the variance of the target that the measurement is expected to take away."""
    shown = np.atleast_2d(np.asarray(candidate.draws, dtype=float))
    if shown.ndim != 2 or shown.shape[1] != target.size:
        msg = f"{candidate.name}: draws have the shape {shown.shape}; the target has {target.size} draws."
        raise ValueError(msg)
    sd = np.asarray(candidate.sd, dtype=float)
    if sd.shape not in ((), (shown.shape[0],)) or not np.all(np.isfinite(sd) & (sd >= 0.0)):
        msg = f"{candidate.name}: sd = {candidate.sd!r}; give one standard uncertainty of 0 or more per figure shown."
        raise ValueError(msg)
    deviation = target - draws.mean(target)
    variance = float(draws.weight @ deviation**2)
    off = shown - (shown @ draws.weight)[:, None]
    spread = np.sqrt(off**2 @ draws.weight)
    moves = spread > 0.0
    if variance <= 0.0 or not np.any(moves):
        return 0.0
    # In units of their own spread: forces, efficiencies and joules stand side by side in one matrix.
    off = off[moves] / spread[moves, None]
    noise = np.broadcast_to(sd, spread.shape)[moves] / spread[moves]
    covariance = (off * draws.weight) @ off.T + np.diag(noise**2)
    common = off @ (draws.weight * deviation)
    # Rows that repeat each other leave the matrix singular: least squares takes what they share once.
    gain = np.linalg.lstsq(covariance, common, rcond=None)[0]
    share = min(float(common @ gain) / variance, 1.0)
    free = draws.effective_count - off.shape[0] - 1.0
    if free <= 0.0:
        return 0.0
    return float(min(max(1.0 - (1.0 - share) * (draws.effective_count - 1.0) / free, 0.0), 1.0))
