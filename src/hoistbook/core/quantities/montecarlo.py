"""Propagation of distributions by Monte Carlo (JCGM 101), for results that are not well described by a first order."""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.quantities.sampling import JointStream

BLOCK = 10_000  # draws per block, JCGM 101 7.9.4 c: at least 100/(1 - p) and at least 10^4


@dataclass(frozen=True, slots=True)
class MonteCarlo:
    """Result of a Monte Carlo propagation.

    `values` are the model values in drawing order, shape (n_draws,). `interval` is the probabilistically symmetric
    interval, `shortest` the shortest one. `mean_error` and `uncertainty_error` are standard errors of the run itself.
    `converged` tells whether an adaptive run met its tolerance; None when the number of draws was fixed.
    """

    value: float
    standard_uncertainty: float
    interval: tuple[float, float]
    shortest: tuple[float, float]
    probability: float
    n_draws: int
    seed: int
    mean_error: float
    uncertainty_error: float
    converged: bool | None
    values: Array


def numerical_tolerance(standard_uncertainty: float, digits: int = 2) -> float:
    """Half a unit of the last of the digits of u that are meaningful.

    Parameters
    ----------
    standard_uncertainty : float
        Above 0.
    digits : int
        Significant digits of u regarded as meaningful, 1 or 2.

    Returns
    -------
    float
        delta = 10^l / 2 where u = c·10^l and c is a whole number of that many digits.

    Raises
    ------
    ValueError
        u is not above 0, or digits below 1.

    Source
    ------
    from memory: JCGM 101 7.9.2.

    Examples
    --------
    >>> numerical_tolerance(0.00035)  # 35e-5
    5e-06
    """
    if not 0.0 < standard_uncertainty < math.inf or digits < 1:
        msg = (
            f"standard uncertainty {standard_uncertainty!r} with {digits} digits has no numerical tolerance."
        )
        raise ValueError(msg)
    power = math.floor(math.log10(standard_uncertainty)) - digits + 1
    if round(standard_uncertainty / 10.0**power) >= 10**digits:
        power += 1
    return 0.5 * 10.0**power


def symmetric_interval(values: Array, probability: float = 0.95) -> tuple[float, float]:
    """Interval with equal probability on both sides, from draws.

    Parameters
    ----------
    values : array, shape (n,)
    probability : float
        Coverage, between 0 and 1. [1]

    Returns
    -------
    (float, float)

    Raises
    ------
    ValueError
        Too few draws for the coverage.

    Source
    ------
    from memory: JCGM 101 7.7.2.
    """
    ordered, q = _ordered(values, probability)
    return _symmetric(ordered, q)


def shortest_interval(values: Array, probability: float = 0.95) -> tuple[float, float]:
    """Shortest interval that holds the share `probability` of the draws.

    Parameters
    ----------
    values : array, shape (n,)
    probability : float
        Coverage, between 0 and 1. [1]

    Returns
    -------
    (float, float)

    Raises
    ------
    ValueError
        Too few draws for the coverage.

    Source
    ------
    from memory: JCGM 101 5.3.4, 7.7.2.
    """
    ordered, q = _ordered(values, probability)
    return _shortest(ordered, q)


def _ordered(values: Array, probability: float) -> tuple[Array, int]:
    if not 0.0 < probability < 1.0:
        msg = f"probability = {probability!r} is outside 0–1; give 0.95 for 95 %."
        raise ValueError(msg)
    ordered: Array = np.sort(values)
    q = math.floor(probability * ordered.size + 0.5)
    if not 1 <= q < ordered.size:
        msg = f"{ordered.size} draws are too few for an interval of {probability:.3%}; take at least {BLOCK}."
        raise ValueError(msg)
    return ordered, q


def _symmetric(ordered: Array, q: int) -> tuple[float, float]:
    rank = (ordered.size - q + 1) // 2  # counted from 1
    return float(ordered[rank - 1]), float(ordered[rank - 1 + q])


def _shortest(ordered: Array, q: int) -> tuple[float, float]:
    start = int(np.argmin(ordered[q:] - ordered[:-q]))
    return float(ordered[start]), float(ordered[start + q])


def _evaluate(model: Callable[..., Array], names: tuple[str, ...], block: Array) -> Array:
    n = block.shape[1]
    result = np.asarray(model(**dict(zip(names, block, strict=True))), dtype=np.float64)
    if result.shape != (n,):
        msg = f"the model returned shape {result.shape} for {n} draws; it must return one value per draw, shape ({n},)."
        raise ValueError(msg)
    bad = int(np.count_nonzero(~np.isfinite(result)))
    if bad:
        msg = f"the model gave no finite value for {bad} of {n} draws; keep its inputs inside its range of validity."
        raise ValueError(msg)
    return result


def propagate(
    model: Callable[..., Array],
    inputs: Mapping[str, Quantity],
    n_draws: int = 1_000_000,
    seed: int = 0,
    adaptive: bool = False,
    *,
    probability: float = 0.95,
    digits: int = 2,
) -> MonteCarlo:
    """Distribution of a model's result from the distributions of its inputs.

    Parameters
    ----------
    model : callable
        Called with one keyword array of shape (n,) per input; returns shape (n,).
    inputs : mapping of str to Quantity
        Inputs that share sources are drawn together.
    n_draws : int
        Number of draws; with `adaptive` the most that may be taken.
    seed : int
        Same seed, same result.
    adaptive : bool
        Draw blocks of 10 000 until twice the standard errors of the mean, of u and of both ends of the symmetric
        interval are within the numerical tolerance of u. `converged` is False when `n_draws` came first.
    probability : float
        Coverage of the intervals. [1]
    digits : int
        Significant digits of u to be secured by an adaptive run.

    Returns
    -------
    MonteCarlo

    Raises
    ------
    ValueError
        Too few draws for the coverage, a model that returns another shape, or values that are not finite.

    Notes
    -----
    u is the standard deviation of the draws. It does not exist for student inputs with 2 degrees of freedom or fewer;
    the intervals do.

    Source
    ------
    from memory: JCGM 101 7.2–7.7, adaptive procedure 7.9.
    """
    names = tuple(inputs)
    stream = JointStream(list(inputs.values()), seed)
    blocks: list[Array] = []
    converged: bool | None = None
    if adaptive:
        converged = False
        figures: list[tuple[float, float, float, float]] = []
        for _ in range(n_draws // BLOCK):
            block = _evaluate(model, names, stream.take(BLOCK))
            blocks.append(block)
            low, high = symmetric_interval(block, probability)
            figures.append((float(block.mean()), float(block.std(ddof=1)), low, high))
            if len(blocks) >= 2 and _stable(figures, blocks, digits):
                converged = True
                break
    else:
        for start in range(0, n_draws, BLOCK * 10):
            blocks.append(_evaluate(model, names, stream.take(min(BLOCK * 10, n_draws - start))))
    if not blocks:
        msg = f"n_draws = {n_draws!r}; take at least {BLOCK} draws."
        raise ValueError(msg)
    values = np.concatenate(blocks)
    ordered, q = _ordered(values, probability)
    n = values.size
    u = float(values.std(ddof=1))
    return MonteCarlo(
        value=float(values.mean()),
        standard_uncertainty=u,
        interval=_symmetric(ordered, q),
        shortest=_shortest(ordered, q),
        probability=probability,
        n_draws=n,
        seed=seed,
        mean_error=u / math.sqrt(n),
        uncertainty_error=_error_of_u(values, u),
        converged=converged,
        values=values,
    )


def _stable(figures: list[tuple[float, float, float, float]], blocks: list[Array], digits: int) -> bool:
    h = len(figures)
    u = float(np.concatenate(blocks).std(ddof=1))
    if u == 0.0:
        return True
    errors = np.std(np.array(figures), axis=0, ddof=1) / math.sqrt(h)
    return bool(np.all(2.0 * errors <= numerical_tolerance(u, digits)))


def _error_of_u(values: Array, u: float) -> float:
    # Standard error of a standard deviation, from the fourth moment: u/sqrt(2n) for a normal result.
    if u == 0.0:
        return 0.0
    z = (values - values.mean()) / u
    kurtosis = float(np.mean(z**4))
    return 0.5 * u * math.sqrt(max(kurtosis - 1.0, 0.0) / values.size)
