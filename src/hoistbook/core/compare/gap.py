"""The reconciled gap in range or consumption between two vehicles: causes, decisions, and what is left.

Level 1 shares the stated gap among causes by the exact Shapley value of every draw. Level 2 shares each cause among the
decisions found on the hoist by the Aumann–Shapley integral inside it, without ever dividing by the difference, so that
decisions that cancel keep their size. The model residual is a player of its own and is shown as unexplained.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field, replace
from types import MappingProxyType

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.compare.bars import WeightedDraws
from hoistbook.core.compare.causes import (
    CAUSES,
    CHARGING,
    DRAG_AREA,
    DRAG_FORCE,
    MASS,
    NATURAL_STEP,
    RECUPERATION,
    RESIDUAL,
    TYRES,
    Cause,
)
from hoistbook.core.compare.engine import ORDER, Combinations, GapQuantity, State, Surroundings
from hoistbook.core.compare.kernels_numba import sum_powers
from hoistbook.core.compare.shapley import coalition_weights, weights_without
from hoistbook.core.compiling import compiled
from hoistbook.core.energy.duty import Duty
from hoistbook.core.quantities.assumption import Assumption, definition, sentences
from hoistbook.core.quantities.quantity import Origin

KINKED = frozenset({MASS.name, TYRES.name, DRAG_AREA.name, DRAG_FORCE.name, RECUPERATION.name})
"""Causes along whose path steps change between driving and braking, or meet a limit: the value has kinks there."""

KINKED_NODES, SMOOTH_NODES = 3, 2
"""Gauss–Legendre nodes along a cause. A cycle has hundreds of small kinks, so they are averaged rather than split at;
the closing error is measured for every gap and returned."""

_ALONG_PATH = 1e-3

FAST_SLICE, NUMPY_SLICE, THREADS = 512, 256, 2
"""Draws in a slice, and threads: settings of speed only, the figures do not depend on them."""

SLOPE_DRAWS = 512
"""Draws for which slopes are worked out coalition by coalition. A slope moves by a few per cent from draw to draw and
is close to linear in the parameters, so the other draws take it from a linear fit; what the fit leaves is measured."""


@dataclass(frozen=True, slots=True)
class Side:
    """One vehicle of a gap.

    Attributes
    ----------
    code, family : str
        Vehicles of one family share part of the model's error.
    fields : mapping of field name to array, shape (n_draws,)
        Energy parameters, one draw per column, shared sources drawn once for both vehicles.
    origins : mapping of field name to Origin
    stated : array, shape (n_draws,), or None
        Draws of the stated range [m] or consumption [J/m]; None when nothing was stated.
    stated_origin : Origin or None
    """

    code: str
    family: str
    fields: Mapping[str, Array]
    origins: Mapping[str, Origin]
    stated: Array | None = None
    stated_origin: Origin | None = None


@dataclass(frozen=True, slots=True)
class Decision:
    """What one decision changes from X to Y: per energy parameter an array of shape (n_draws,), in SI."""

    name: str
    words: str
    change: Mapping[str, Array]
    origins: tuple[Origin, ...] = ()


@dataclass(frozen=True, slots=True)
class ResidualPrior:
    """What is known beforehand of the model's error: ln ρ ~ N(0, sd²), correlated within a maker's family."""

    sd_ln: float
    family_correlation: float

    def __post_init__(self) -> None:
        if not self.sd_ln > 0.0:
            msg = f"sd_ln = {self.sd_ln!r}: the model is never exact; give a positive relative error, e.g. 0.08."
            raise ValueError(msg)
        if not 0.0 <= self.family_correlation < 1.0:
            msg = f"family_correlation = {self.family_correlation!r}: give 0 up to below 1."
            raise ValueError(msg)


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked: quantity, duty, surroundings and the prior of the residual; fixed before results are seen."""

    quantity: GapQuantity
    duty: Duty
    surroundings: Surroundings
    residual: ResidualPrior
    seed: int = 1
    use_fast: bool = True


@dataclass(frozen=True, slots=True)
class GapDraws:
    """A gap before it is summed up: one column per draw.

    Attributes
    ----------
    gap : array, shape (n_draws,)
        Y less X.
    shares : mapping of cause name to array
        They add up to `gap` in every draw; the residual is "not_explained".
    first_in, last_in : mapping of cause name to array
    decisions : mapping of (cause name, decision name) to array
    draws : WeightedDraws
    closing_error : float
        Largest mean absolute error of the path integral against the share it must return, over causes with decisions.
    value_x, value_y : array
        Stated values, or the model's times the drawn residual.
    assumed : tuple of Assumption
    """

    gap: Array
    shares: Mapping[str, Array]
    first_in: Mapping[str, Array]
    last_in: Mapping[str, Array]
    decisions: Mapping[tuple[str, str], Array]
    draws: WeightedDraws
    closing_error: float
    value_x: Array
    value_y: Array
    residual_x: Array
    residual_y: Array
    assumed: tuple[Assumption, ...] = ()

    @property
    def assumptions(self) -> tuple[str, ...]:
        """What was assumed, as sentences."""
        return sentences(self.assumed)


_TWO_STATES = 2
_RESIDUAL_STREAM = (2, 71, 82)
"""Sets the draws of an unstated residual apart from every other use of the seed."""


@dataclass(frozen=True)
class _Pair:
    """Both vehicles: the states of each cause, and which causes differ at all."""

    question: Question
    x: Side
    y: Side
    active: tuple[str, ...] = field(init=False)
    states: Mapping[str, Sequence[State]] = field(init=False)

    def __post_init__(self) -> None:
        states: dict[str, Sequence[State]] = {}
        active = []
        for cause in CAUSES:
            one = {name: self.x.fields[name] for name in cause.fields}
            other = {name: self.y.fields[name] for name in cause.fields}
            same = all(np.array_equal(one[name], other[name]) for name in cause.fields)
            # A cause with equal coordinates in every draw, or that the quantity does not depend on (charging for
            # range), is a dummy: exactly nothing, and no work.
            same = same or (cause is CHARGING and self.question.quantity == "range")
            states[cause.name] = (one,) if same else (one, other)
            if not same:
                active.append(cause.name)
        object.__setattr__(self, "active", tuple(active))
        object.__setattr__(self, "states", MappingProxyType(states))


def model_value(question: Question, side: Side) -> Array:
    """The model's range [m] or wall consumption [J/m] of one vehicle, shape (n_draws,).

    Source
    ------
    first principles: `engine.Combinations` with a single state of everything.
    """
    n_draws = side.fields["test_mass_kg"].shape[0]
    states: dict[str, Sequence[State]] = {
        cause.name: ({name: side.fields[name] for name in cause.fields},) for cause in CAUSES
    }
    states[RESIDUAL] = ({"residual": np.ones(n_draws)},)
    return _in_slices(_combinations(question, states), lambda values: values.reshape(-1))


def _residuals(
    question: Question, x: Side, y: Side, model_x: Array, model_y: Array
) -> tuple[Array, Array, WeightedDraws, tuple[Assumption, ...]]:
    """Model residual ρ of both vehicles per draw, with the weight each draw has by the prior of ρ.

    With a stated value R, ρ = R/model(x) (for consumption its inverse), and the draw is weighted by the prior density
    of (ln ρ_X, ln ρ_Y): the model error enters as likelihood, so parameters that would need an unlikely residual
    count less (Bayes' theorem, self-normalised importance sampling). Without a stated value ρ is drawn from the prior,
    given the other vehicle's.
    """
    prior = question.residual
    correlation = prior.family_correlation if x.family and x.family == y.family else 0.0
    ln_x = _log_residual(question, x, model_x)
    ln_y = _log_residual(question, y, model_y)
    n_draws = model_x.shape[0]
    noise = np.random.default_rng([question.seed, *_RESIDUAL_STREAM]).standard_normal((2, n_draws))
    spread = prior.sd_ln * np.sqrt(1.0 - correlation**2)
    error = f"its band holds the model's error of {prior.sd_ln:.1%}"
    silent = ""
    if ln_x is not None and ln_y is not None:
        quadratic = (ln_x**2 - 2.0 * correlation * ln_x * ln_y + ln_y**2) / (1.0 - correlation**2)
        log_weight = -0.5 * quadratic / prior.sd_ln**2
    elif ln_x is not None:
        ln_y = correlation * ln_x + spread * noise[1]
        log_weight = -0.5 * (ln_x / prior.sd_ln) ** 2
        silent = f"no stated {question.quantity} for {y.code}: the model's own is used, and {error}"
    elif ln_y is not None:
        ln_x = correlation * ln_y + spread * noise[0]
        log_weight = -0.5 * (ln_y / prior.sd_ln) ** 2
        silent = f"no stated {question.quantity} for {x.code}: the model's own is used, and {error}"
    else:
        ln_x = prior.sd_ln * noise[0]
        ln_y = correlation * ln_x + spread * noise[1]
        log_weight = np.zeros(n_draws)
        both = f"{x.code} and {y.code}"
        silent = f"no stated {question.quantity} for {both}: the gap is the model's own, and {error}"
    weight = np.exp(log_weight - log_weight.max())
    assumed = (definition(silent),) if silent else ()
    return np.exp(ln_x), np.exp(ln_y), WeightedDraws(weight / weight.sum()), assumed


def _log_residual(question: Question, side: Side, model: Array) -> Array | None:
    if side.stated is None:
        return None
    if not np.all(side.stated > 0.0):
        msg = f"{side.code}: the stated {question.quantity} must be positive in every draw; its band reaches zero."
        raise ValueError(msg)
    ratio: Array = np.log(side.stated / model)
    return ratio if question.quantity == "range" else -ratio


def reconcile(
    question: Question,
    x: Side,
    y: Side,
    decisions: Sequence[Decision] = (),
    *,
    known_residuals: tuple[Array, Array, WeightedDraws] | None = None,
) -> GapDraws:
    """Share the gap Y − X among causes and decisions.

    Parameters
    ----------
    question : Question
    x, y : Side
        From X to Y.
    decisions : sequence of Decision
    known_residuals : tuple, optional
        Residuals and weights of another comparison of the same two vehicles (as found, for the normalised one).

    Returns
    -------
    GapDraws

    Raises
    ------
    ValueError
        A decision changes a parameter that no cause owns, or a stated value is not positive.

    Notes
    -----
    Level 1: share_i = Σ_S∌i w_S (v(S ∪ i) − v(S)) for every draw. Level 2:
    φ_{i,d} = Σ_S∌i w_S ∫₀¹ ∇_i v(S, x_i^X + tΔ)·δ_d dt, with slopes by central differences at Gauss–Legendre nodes.

    Source
    ------
    published: Shapley 1953 (level 1, see `shapley`); from memory: R. J. Aumann and L. S. Shapley, Values of Non-Atomic
    Games, 1974 (level 2).
    """
    known_fields = {name for cause in CAUSES for name in cause.fields}
    for decision in decisions:
        unknown = sorted(set(decision.change) - known_fields)
        if unknown:
            msg = f"decision {decision.name!r} changes {unknown[0]!r}, which no cause owns."
            raise ValueError(msg)
    pair = _Pair(question, x, y)
    sums = _level_one(pair)
    assumed: tuple[Assumption, ...] = ()
    if known_residuals is None:
        rho_x, rho_y, draws, assumed = _residuals(question, x, y, sums.model_x, sums.model_y)
    else:
        rho_x, rho_y, draws = known_residuals
    factor_x, factor_y = (rho_x, rho_y) if question.quantity == "range" else (1.0 / rho_x, 1.0 / rho_y)
    value_x, value_y = sums.model_x * factor_x, sums.model_y * factor_y
    zero = np.zeros_like(rho_x)
    players = [*pair.active, RESIDUAL]
    names = [*(cause.name for cause in CAUSES), RESIDUAL]

    def by_name(block: Array) -> dict[str, Array]:
        found = dict(zip(players, block, strict=True))
        return {name: found.get(name, zero) for name in names}

    # The residual multiplies every value, so both of its states follow from one set of sums.
    shares = by_name(sums.before_residual * factor_x + sums.after_residual * factor_y)
    residual_alone = np.stack([sums.model_x, sums.model_y]) * (factor_y - factor_x)
    first_in = by_name(np.concatenate([(sums.alone - sums.model_x) * factor_x, residual_alone[:1]]))
    last_in = by_name(np.concatenate([(sums.model_y - sums.without) * factor_y, residual_alone[1:]]))
    split: dict[tuple[str, str], Array] = {}
    closing = 0.0
    for cause in CAUSES:
        touching = [d for d in decisions if set(d.change) & set(cause.fields)]
        if not touching:
            continue
        fields = sorted({name for d in touching for name in d.change if name in cause.fields})
        slopes, error = _slopes(pair, rho_x, rho_y, cause, fields, shares[cause.name])
        closing = max(closing, error)
        for decision in touching:
            parts = [slopes[name] * decision.change[name] for name in fields if name in decision.change]
            split[cause.name, decision.name] = np.sum(parts, axis=0)
    return GapDraws(
        gap=value_y - value_x,
        shares=shares,
        first_in=first_in,
        last_in=last_in,
        decisions=split,
        draws=draws,
        closing_error=closing,
        value_x=value_x,
        value_y=value_y,
        residual_x=rho_x,
        residual_y=rho_y,
        assumed=assumed,
    )


def normalised_side(question: Question, side: Side, fields: Mapping[str, Array], residual: Array) -> Side:
    """The vehicle with its unlike content stripped, added or scaled; its stated value moved by the model.

    Parameters
    ----------
    fields : mapping
        Energy parameters after normalising.
    residual : array, shape (n_draws,)
        The residual of the vehicle as found, which normalising keeps.
    """
    moved = replace(side, fields=fields, stated=None)
    model = model_value(question, moved)
    return replace(moved, stated=model * residual if question.quantity == "range" else model / residual)


def _combinations(question: Question, states: Mapping[str, Sequence[State]]) -> Combinations:
    return Combinations(
        question.duty, question.quantity, states, question.surroundings, use_fast=question.use_fast
    )


def _in_slices(combinations: Combinations, reduce: Callable[[Array], Array]) -> Array:
    """Value all draws slice by slice and join what `reduce` returns along the last axis, the draws."""
    # A slice stays in the processor's cache; both kernels let a second thread work on another one meanwhile.
    size = FAST_SLICE if combinations.use_fast and compiled(sum_powers) is not None else NUMPY_SLICE
    slices = [slice(i, min(i + size, combinations.n_draws)) for i in range(0, combinations.n_draws, size)]

    def one(draws: slice) -> Array:
        return reduce(combinations.values(draws))

    if len(slices) == 1:
        return one(slices[0])
    with ThreadPoolExecutor(max_workers=THREADS) as pool:
        return np.concatenate(list(pool.map(one, slices)), axis=-1)


def _coalition_order(values: Array, kept_axis: int | None = None) -> Array:
    """Flatten axes of two states into bit-mask order (first axis = lowest bit); `kept_axis` goes first.

    Shape (…, n_draws) becomes (2**n, n_draws), or (n_kept, 2**n, n_draws).
    """
    axes = [axis for axis in range(values.ndim - 1) if axis != kept_axis and values.shape[axis] > 1]
    ones = [axis for axis in range(values.ndim - 1) if axis != kept_axis and values.shape[axis] == 1]
    lead = [] if kept_axis is None else [kept_axis]
    ordered = values.transpose(*ones, *lead, *reversed(axes), values.ndim - 1)
    shape = (2 ** len(axes), values.shape[-1])
    return ordered.reshape(*([values.shape[kept_axis]] if kept_axis is not None else []), *shape)


@dataclass(frozen=True, slots=True)
class _LevelOne:
    """Sums over coalitions of the causes with the residual left at 1; arrays of shape (n, n_draws).

    `before_residual` and `after_residual` are the shares' parts from coalitions without and with the residual in Y;
    `alone` is the value with one cause switched, `without` with all but one.
    """

    before_residual: Array
    after_residual: Array
    alone: Array
    without: Array
    model_x: Array
    model_y: Array


def _level_one(pair: _Pair) -> _LevelOne:
    m = len(pair.active)
    everything = 2**m - 1
    bits = 1 << np.arange(m)
    weights = coalition_weights(m + 1)
    chosen = np.zeros((2 * m + 2, 2**m))
    chosen[np.arange(m), bits] = 1.0
    chosen[m + np.arange(m), everything ^ bits] = 1.0
    chosen[2 * m, 0] = 1.0
    chosen[2 * m + 1, everything] = 1.0
    rows = np.concatenate([weights[:, : 2**m], weights[:, 2**m :], chosen])
    ones = ({"residual": np.ones(pair.x.fields["test_mass_kg"].shape[0])},)
    stacked = _in_slices(
        _combinations(pair.question, {**pair.states, RESIDUAL: ones}),
        lambda values: rows @ _coalition_order(values),
    )
    before, after, alone, without, model_x, model_y = np.split(stacked, np.cumsum([m + 1, m + 1, m, m, 1]))
    return _LevelOne(before, after, alone, without, model_x[0], model_y[0])


def _slopes(
    pair: _Pair, rho_x: Array, rho_y: Array, cause: Cause, fields: Sequence[str], share: Array
) -> tuple[dict[str, Array], float]:
    """Mean slope of the value along each field of a cause over coalitions and along the path; and the error.

    The error is the mean absolute miss of Σ slope · difference over all fields of the cause against its share, plus
    what the linear fit over the draws leaves of it.
    """
    n_draws = share.shape[0]
    few = slice(min(n_draws, SLOPE_DRAWS))
    start, end = ({name: side.fields[name][few] for name in cause.fields} for side in (pair.x, pair.y))
    delta = {name: end[name] - start[name] for name in cause.fields}
    differing = [name for name in cause.fields if np.any(delta[name])]
    nodes, weights = _path(cause, moves=bool(differing))
    # Each move is a small change of one field, or along the whole path where the fields do not span it.
    moves: list[dict[str, Array | float]] = [{name: NATURAL_STEP[name]} for name in fields]
    spanned = set(differing) <= set(fields)
    if not spanned:
        moves.append({name: _ALONG_PATH * delta[name] for name in differing})
    path: list[State] = []
    for node in nodes:
        at = {name: start[name] + node * delta[name] for name in cause.fields}
        for move in moves:
            path.extend(
                {**at, **{name: at[name] + sign * step for name, step in move.items()}}
                for sign in (1.0, -1.0)
            )
    states: dict[str, Sequence[State]] = {
        name: [{field_name: values[few] for field_name, values in state.items()} for state in rows]
        for name, rows in pair.states.items()
    }
    states[RESIDUAL] = ({"residual": rho_x[few]}, {"residual": rho_y[few]})
    states[cause.name] = path
    others = [name for name in (*pair.active, RESIDUAL) if name != cause.name]
    w = weights_without(len(others) + 1, 0)
    axis = ORDER.index(cause.name)

    def reduce(values: Array) -> Array:
        by_state = np.einsum("s,ksd->kd", w, _coalition_order(values, kept_axis=axis))
        pairs = by_state.reshape(len(nodes), len(moves), _TWO_STATES, -1)
        differences: Array = np.einsum("n,nfd->fd", weights, pairs[:, :, 0] - pairs[:, :, 1])
        return differences

    differences = _in_slices(_combinations(pair.question, states), reduce)
    found = np.stack([differences[i] / (2.0 * NATURAL_STEP[name]) for i, name in enumerate(fields)])
    if spanned:
        integral = sum(
            (found[fields.index(name)] * delta[name] for name in differing), start=np.zeros_like(share[few])
        )
    else:
        integral = differences[-1] / (2.0 * _ALONG_PATH)
    error = float(np.mean(np.abs(integral - share[few])))
    if n_draws > SLOPE_DRAWS:
        found, left = _carried_on(found, _coordinates(pair, rho_x, rho_y))
        error += max(left[i] * float(np.mean(np.abs(delta[name]))) for i, name in enumerate(fields))
    return dict(zip(fields, found, strict=True)), error


def _coordinates(pair: _Pair, rho_x: Array, rho_y: Array) -> Array:
    """Everything that differs from draw to draw, scaled, and a constant: shape (n_draws, n)."""
    columns = [
        state[name] for name_of_cause in pair.active for state in pair.states[name_of_cause] for name in state
    ]
    spread = [values for values in (*columns, rho_x, rho_y) if np.ptp(values) > 0.0]
    return np.stack(
        [np.ones_like(rho_x), *((values - values.mean()) / values.std() for values in spread)], axis=1
    )


def _carried_on(found: Array, coordinates: Array) -> tuple[Array, Array]:
    """Slopes of all draws from those of the first ones by a linear fit; and the root mean square it leaves."""
    known = found.shape[1]
    fit, *_ = np.linalg.lstsq(coordinates[:known], found.T, rcond=None)
    left = np.sqrt(np.mean((coordinates[:known] @ fit - found.T) ** 2, axis=0))
    return np.concatenate([found, (coordinates[known:] @ fit).T], axis=1), left


def _path(cause: Cause, *, moves: bool) -> tuple[Array, Array]:
    """Gauss–Legendre nodes and weights on [0, 1]; one node when the two ends are the same point."""
    count = (KINKED_NODES if cause.name in KINKED else SMOOTH_NODES) if moves else 1
    nodes, weights = np.polynomial.legendre.leggauss(count)
    return (nodes + 1.0) / 2.0, weights / 2.0
