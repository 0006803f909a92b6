"""What published figures say about driveline, recuperation, accessories and charging of two vehicles.

Draws of what is known beforehand are weighed by how well they meet the two test cycles of both vehicles, with the
model's own error correlated between the cycles and within a maker's family (importance sampling from the prior).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import log_ndtr, logsumexp

from hoistbook.core.arrays import Array
from hoistbook.core.compare.bars import Interval, WeightedDraws
from hoistbook.core.compare.causes import DRAG_AREA, DRAG_FORCE, TYRES
from hoistbook.core.compare.gap import ResidualPrior, Side
from hoistbook.core.compare.published_rows import Span
from hoistbook.core.energy.us_label import CITY_WEIGHT, HIGHWAY_WEIGHT

ROAD_LOAD_FIELDS = frozenset({*TYRES.fields, *DRAG_AREA.fields, *DRAG_FORCE.fields})
"""What the published coefficients set."""


@dataclass(frozen=True, slots=True)
class InferencePrior:
    """What is known beforehand besides the energy defaults; see `reference/data/published.toml`."""

    road_load_a_frac: float
    road_load_c_frac: float
    gross_sd_frac: float
    usable_low_frac: float
    cycle_correlation: float
    narrower_frac: float


@dataclass(frozen=True, slots=True)
class MeasurementKind:
    """One measurement that could be taken: what it shows, and how well."""

    name: str
    words: str
    how: str
    fields: tuple[str, ...]
    sd: float
    relative: bool
    minutes: float | None


@dataclass(frozen=True, slots=True)
class RepeatKind:
    """How a test is repeated: tests there would be in all, the first one among them, and the time each takes."""

    tests: int
    minutes_each: float | None = None

    def __post_init__(self) -> None:
        if self.tests < 2:
            msg = f"tests = {self.tests!r}: a repeated test is taken at least 2 times in all."
            raise ValueError(msg)


@dataclass(frozen=True, slots=True)
class Observed:
    """Published results of one vehicle: unadjusted consumption per cycle [J/m], gross battery energy [J]."""

    city: Span | None
    highway: Span | None
    gross: Span | None = None


@dataclass(frozen=True, slots=True)
class Learned:
    """One parameter of one vehicle before and after the published results.

    Attributes
    ----------
    vehicle, field : str
    before, after : Interval
    narrower_frac : float
        By what share the standard deviation shrank; not below 0.
    origin : str
        "inferred" where the results narrow it, otherwise as it was known beforehand.
    """

    vehicle: str
    field: str
    before: Interval
    after: Interval
    narrower_frac: float
    origin: str


def error_covariance(residual: ResidualPrior, cycle_correlation: float, *, same_family: bool) -> Array:
    """Covariance of the model's ln error of X city, X highway, Y city, Y highway.

    Notes
    -----
    Kronecker product of family and cycle correlation. The variance per cycle is such that the error of the combined
    energy, 0.55 city + 0.45 highway, has the standard deviation of the prior.

    Source
    ------
    first principles; the correlations are data.

    Examples
    --------
    >>> w = np.array([0.55, 0.45])
    >>> full = error_covariance(ResidualPrior(0.1, 0.5), 0.8, same_family=True)
    >>> round(float(w @ full[:2, :2] @ w), 6)
    0.01
    """
    r = cycle_correlation
    combined = CITY_WEIGHT**2 + HIGHWAY_WEIGHT**2 + 2.0 * CITY_WEIGHT * HIGHWAY_WEIGHT * r
    family = residual.family_correlation if same_family else 0.0
    of_cycles = np.array([[1.0, r], [r, 1.0]])
    of_family = np.array([[1.0, family], [family, 1.0]])
    return np.asarray(residual.sd_ln**2 / combined * np.kron(of_family, of_cycles))


def log_likelihood(error: Array, covariance: Array) -> Array:
    """Logarithm of the density of N(0, covariance) for each column of `error`, shape (k, n_draws).

    Source
    ------
    first principles. Checked against scipy.stats.multivariate_normal in the tests.
    """
    factor = np.linalg.cholesky(covariance)
    scaled = np.linalg.solve(factor, error)
    constant = 2.0 * float(np.sum(np.log(np.diag(factor)))) + len(covariance) * float(np.log(2.0 * np.pi))
    return np.asarray(-0.5 * (np.sum(scaled**2, axis=0) + constant))


def weighed(log_weight: Array) -> WeightedDraws:
    """Draws from their log weights, any constant added.

    Raises
    ------
    ValueError
        No draw has a finite weight.
    """
    total = logsumexp(log_weight)
    if not np.isfinite(total):
        msg = (
            "no draw of what is known beforehand meets the published results; look for a wrong figure first."
        )
        raise ValueError(msg)
    return WeightedDraws(np.exp(log_weight - total))


def results_log_weight(
    observed: Sequence[Observed], model: Sequence[tuple[Array, Array]], covariance: Array
) -> Array:
    """Log weight of every draw by the test cycles that are published.

    Parameters
    ----------
    observed : the two vehicles
    model : per vehicle consumption of city and highway, each of shape (n_draws,). [J/m]
    covariance : array, shape (4, 4)
        As `error_covariance`; rows of what is not published are left out.

    Notes
    -----
    The rounding of the printed digits is added as the variance of a rectangular error, half²/3.
    """
    rows, errors, rounding = [], [], []
    for i, (one, computed) in enumerate(zip(observed, model, strict=True)):
        for j, (span, expected) in enumerate(zip((one.city, one.highway), computed, strict=True)):
            if span is None:
                continue
            rows.append(2 * i + j)
            errors.append(np.log(span.value / expected))
            rounding.append(((span.high - span.low) / 2.0 / span.value) ** 2 / 3.0)
    if not rows:
        return np.zeros_like(model[0][0])
    chosen = covariance[np.ix_(rows, rows)] + np.diag(rounding)
    return log_likelihood(np.stack(errors), chosen)


def pack_log_weight(usable_energy_j: Array, gross: Span | None, prior: InferencePrior) -> Array:
    """Log weight by the gross battery energy: usable is a share of it, from `usable_low_frac` to all.

    Source
    ------
    first principles: ln(share) flat from ln(low) to 0, seen through a normal error of ln(gross).
    """
    if gross is None:
        return np.zeros_like(usable_energy_j)
    ln = np.log(usable_energy_j / gross.value)
    upper = log_ndtr(-ln / prior.gross_sd_frac)
    lower = log_ndtr((np.log(prior.usable_low_frac) - ln) / prior.gross_sd_frac)
    with np.errstate(divide="ignore"):
        return np.asarray(upper + np.log1p(-np.exp(np.minimum(lower - upper, 0.0))))


def learned(
    side: Side, names: Sequence[str], draws: WeightedDraws, narrower_frac: float
) -> tuple[Learned, ...]:
    """Parameters before and after, and by how much the results narrow them."""
    equal = WeightedDraws.equal(draws.weight.shape[0])
    found = []
    for name in names:
        values = side.fields[name]
        before, after = (
            float(np.std(values)),
            float(np.sqrt(draws.weight @ (values - draws.mean(values)) ** 2)),
        )
        narrower = max(1.0 - after / before, 0.0) if before > 0.0 else 0.0
        known = side.origins[name].value
        found.append(
            Learned(
                side.code,
                name,
                equal.interval(values),
                draws.interval(values),
                narrower,
                "inferred" if narrower >= narrower_frac and known == "assumed" else known,
            )
        )
    return tuple(found)


@dataclass(frozen=True, slots=True)
class Alternative:
    """One thing that would carry most of what mass, road load, label and charge leave of the difference.

    Attributes
    ----------
    name : str
        An energy parameter, or "model error".
    vehicle : str
        Whose parameter.
    probability : float
        That it is the largest of all; the alternatives add up to 1.
    bound : float or None
        Where it is the largest, the parameter lies beyond this in nine cases of ten; None for the model's error.
    at_most : bool
    """

    name: str
    vehicle: str
    probability: float
    bound: float | None
    at_most: bool


def alternatives(
    x: Side,
    y: Side,
    names: Sequence[str],
    ln_consumption: tuple[Array, Array],
    ln_error: Array,
    draws: WeightedDraws,
) -> tuple[Alternative, ...]:
    """What must be true: which parameter, or the model's error, carries most of the difference left over.

    Parameters
    ----------
    x, y : Side
    names : sequence of str
        Parameters in question.
    ln_consumption : pair of array, shape (n_draws,)
        ln of the model's combined consumption of each vehicle.
    ln_error : array, shape (n_draws,)
        ln error of Y less that of X: published over model.
    draws : WeightedDraws

    Notes
    -----
    Around the middle of what was known beforehand ln consumption is linear in the parameters; a parameter carries its
    slope times its deviation from there. The direction asked for is that of the difference left over.

    Source
    ------
    first principles; that the largest carrier is what is named: the project's own rule.
    """
    carried: list[tuple[str, str, Array, Array]] = []
    # Wrong coefficients and a wrong model cannot be told apart by published figures: they are one alternative.
    apart = ln_error.copy()
    for side, ln, sign in ((x, ln_consumption[0], -1.0), (y, ln_consumption[1], 1.0)):
        moving = {name: values for name, values in side.fields.items() if np.ptp(values) > 0.0}
        if not moving:
            continue
        columns = np.stack([(v - v.mean()) / v.std() for v in moving.values()], axis=1)
        slopes, *_ = np.linalg.lstsq(columns, ln - ln.mean(), rcond=None)
        for name, slope, column in zip(moving, slopes, columns.T, strict=True):
            if name in names:
                carried.append((name, side.code, sign * slope * column, moving[name]))
            elif name in ROAD_LOAD_FIELDS:
                apart = apart + sign * slope * column
    left = apart + np.sum([share for _, _, share, _ in carried], axis=0) if carried else apart
    direction = 1.0 if draws.mean(left) >= 0.0 else -1.0
    table = direction * np.stack([apart, *(share for _, _, share, _ in carried)])
    largest = np.argmax(table, axis=0)
    found = [Alternative("model error", "", float(draws.weight @ (largest == 0)), None, False)]
    for i, (name, code, share, values) in enumerate(carried, start=1):
        chosen = largest == i
        probability = float(draws.weight @ chosen)
        if probability <= 0.0:
            continue
        falls = float(np.cov(share * direction, values)[0, 1]) < 0.0
        order = np.argsort(values[chosen])
        cumulative = np.cumsum(draws.weight[chosen][order]) / probability
        bound = float(np.interp(0.9 if falls else 0.1, cumulative, values[chosen][order]))
        found.append(Alternative(name, code, probability, bound, falls))
    return tuple(sorted(found, key=lambda one: -one.probability))
