"""Shares of causes over all coalitions, and slopes along a cause: the sums behind a gap, slice by slice of the draws.

The residual of the model multiplies every value, so it is left at 1 here and enters in `gap.reconcile`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from types import MappingProxyType

import numpy as np

from hoistbook.core.arrays import Array
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
from hoistbook.core.compare.engine import ORDER, Combinations, State
from hoistbook.core.compare.kernels_numba import sum_powers
from hoistbook.core.compare.question import Question, Side
from hoistbook.core.compare.shapley import coalition_weights, weights_without
from hoistbook.core.compiling import compiled

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

_TWO_STATES = 2


@dataclass(frozen=True)
class Pair:
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
class LevelOne:
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


def level_one(pair: Pair) -> LevelOne:
    """Shapley sums of every active cause, and of the residual, over all coalitions.

    Source
    ------
    published: Shapley 1953, see `shapley`.
    """
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
    return LevelOne(before, after, alone, without, model_x[0], model_y[0])


def slopes_along(
    pair: Pair, rho_x: Array, rho_y: Array, cause: Cause, fields: Sequence[str], share: Array
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


def _coordinates(pair: Pair, rho_x: Array, rho_y: Array) -> Array:
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
