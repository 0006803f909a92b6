"""Shortest and longest sequence of a removal, and how many there are: exact, by dynamic programming over done sets."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from hoistbook.core.arrays import Array
from hoistbook.core.cost.service.bounds import good_sequence
from hoistbook.core.cost.service.operations import OperationGraph, SetUp, Walked, walked

MOST_OPERATIONS = 20  # 2^20 sets at most; 20! sequences still fit 64 bits
_MOST_CELLS = 30_000_000  # cells of one layer: 240 MB

Masks = NDArray[np.int64]


class TooWideError(ValueError):
    """More operations or states than the exact method holds; the bounded one takes over."""


def shortest(graph: OperationGraph, target: str, set_up: SetUp) -> Walked:
    """Shortest sequence that removes the target.

    Parameters
    ----------
    graph : OperationGraph
    target : str
        Id of its last operation.
    set_up : SetUp

    Returns
    -------
    Walked
        Of alternatives (OR) only what the shortest sequence uses.

    Raises
    ------
    KeyError
        No such operation.
    TooWideError
        More than 20 operations can be useful.

    Notes
    -----
    State: set of done operations, tool in hand, position. A set with the target in it is an end: times are not
    negative, so nothing done after it can be part of a shortest sequence. Layer k holds the sets of k operations.
    States that cannot beat a good sequence, found before, are dropped: what must still be done, each tool and
    position among it at least once, is added to their time.

    Source
    ------
    first principles (Bellman's principle; Held and Karp 1962 for sequence-dependent set-up). Tested against every
    sequence of small random graphs.
    """
    goal = graph.index(target)
    members = graph.useful(goal)
    dp = _Layers(graph, members, set_up, np.minimum, np.inf)
    dp.prune_beyond(good_sequence(graph, target, set_up).seconds, graph, members, goal, set_up)
    return walked(graph, dp.run(1 << members.index(goal), everything=False), set_up)


def longest(graph: OperationGraph, members: tuple[str, ...], set_up: SetUp) -> Walked:
    """Longest sequence of exactly these operations that the precedences allow: how much the order matters.

    Parameters
    ----------
    graph : OperationGraph
    members : tuple of str
        Of a removal, e.g. the order of the shortest one.
    set_up : SetUp

    Raises
    ------
    TooWideError
        More than 20 operations.
    """
    indices = tuple(sorted(graph.index(name) for name in members))
    dp = _Layers(graph, indices, set_up, np.maximum, -np.inf)
    return walked(graph, dp.run((1 << len(indices)) - 1, everything=True), set_up)


def sequence_count(graph: OperationGraph, members: tuple[str, ...]) -> int:
    """Number of orders of exactly these operations that the precedences allow (linear extensions).

    Raises
    ------
    TooWideError
        More than 20 operations.
    """
    indices = tuple(sorted(graph.index(name) for name in members))
    _check_width(len(indices))
    steps = _Steps(graph, indices)
    masks: Masks = np.zeros(1, dtype=np.int64)
    counts = np.ones(1, dtype=np.int64)
    for _ in indices:
        chosen = [steps.ready(j, masks) for j in range(len(indices))]
        after = np.unique(np.concatenate([masks[c] | (1 << j) for j, c in enumerate(chosen)]))
        summed = np.zeros(after.size, dtype=np.int64)
        for j, c in enumerate(chosen):
            summed[np.searchsorted(after, masks[c] | (1 << j))] += counts[c]
        masks, counts = after, summed
    return int(counts[0])


def _check_width(count: int) -> None:
    if count > MOST_OPERATIONS:
        msg = f"{count} operations: sequences are exact up to {MOST_OPERATIONS}; use the bounded method."
        raise TooWideError(msg)


class _Steps:
    """Precedences among some operations, as masks over those alone."""

    def __init__(self, graph: OperationGraph, members: tuple[int, ...]) -> None:
        place = {i: k for k, i in enumerate(members)}

        def local(mask: int) -> int:
            return sum(1 << place[i] for i in members if mask >> i & 1)

        self.all_of = [local(graph.all_of(i)) for i in members]
        self.missing = [bool(graph.all_of(i) & ~sum(1 << m for m in members)) for i in members]
        self.any_of = [tuple(local(group) for group in graph.any_of(i)) for i in members]

    def ready(self, j: int, masks: Masks) -> NDArray[np.bool_]:
        """Which done sets allow operation j, and lack it."""
        if self.missing[j]:
            return np.zeros(masks.shape, dtype=np.bool_)
        allowed = (masks >> j & 1 == 0) & (masks & self.all_of[j] == self.all_of[j])
        for group in self.any_of[j]:
            allowed &= masks & group != 0
        found: NDArray[np.bool_] = allowed
        return found


class _Layers:
    def __init__(
        self,
        graph: OperationGraph,
        members: tuple[int, ...],
        set_up: SetUp,
        better: np.ufunc,
        nothing: float,
    ) -> None:
        _check_width(len(members))
        self.steps = _Steps(graph, members)
        self.ids = [graph.operations[i].id for i in members]
        self.better, self.nothing = better, nothing
        self.states = _states(graph, members, set_up)
        number = {state: k for k, state in enumerate(self.states)}
        self.after = np.zeros((len(members), len(self.states)), dtype=np.int64)
        self.cost: Array = np.zeros((len(members), len(self.states)))
        for j, i in enumerate(members):
            op = graph.operations[i]
            for k, (tool, position) in enumerate(self.states):
                self.after[j, k] = number[op.tool or tool, op.position or position]
                pick = bool(op.tool) and op.tool != tool
                move = bool(op.position and position) and op.position != position
                self.cost[j, k] = op.seconds.value + pick * set_up.tool_s + move * set_up.move_s

        self.rest: _Rest | None = None

    def prune_beyond(
        self, seconds: float, graph: OperationGraph, members: tuple[int, ...], goal: int, set_up: SetUp
    ) -> None:
        """Drop states that cannot end within a time that a known sequence reaches."""
        self.rest = _Rest(seconds, graph, members, goal, set_up, self.states)

    def run(self, goal: int, *, everything: bool) -> tuple[str, ...]:
        """Return the best order whose done set holds the goal; with `everything`, of all operations."""
        masks: Masks = np.zeros(1, dtype=np.int64)
        costs: Array = np.full((1, len(self.states)), self.nothing)
        costs[0, 0] = 0.0
        layers = [(masks, costs)]
        best: tuple[float, int, int, int] | None = None
        for depth in range(1, len(self.ids) + 1):
            masks, costs = self._next(masks, costs)
            if not masks.size:
                break
            layers.append((masks, costs))
            ends = masks & goal == goal
            if ends.any():
                best = self._best_end(best, depth, masks, costs, ends)
                if not everything:
                    masks, costs = masks[~ends], costs[~ends]
        if best is None:
            msg = "no order of these operations reaches the end; they lack one that must come before."
            raise ValueError(msg)
        return self._back(layers, best)

    def _best_end(
        self,
        best: tuple[float, int, int, int] | None,
        depth: int,
        masks: Masks,
        costs: Array,
        ends: NDArray[np.bool_],
    ) -> tuple[float, int, int, int]:
        rows = np.flatnonzero(ends)
        sign = 1.0 if self.nothing > 0.0 else -1.0
        row, state = divmod(int(np.argmin(sign * costs[rows])), costs.shape[1])
        value = float(costs[rows[row], state])
        if best is not None and sign * best[0] <= sign * value:
            return best
        return value, depth, int(masks[rows[row]]), state

    def _next(self, masks: Masks, costs: Array) -> tuple[Masks, Array]:
        chosen = [self.steps.ready(j, masks) for j in range(len(self.ids))]
        grown = [masks[c] | (1 << j) for j, c in enumerate(chosen)]
        after = np.unique(np.concatenate(grown))
        if after.size * len(self.states) > _MOST_CELLS:
            msg = (
                f"{after.size} sets × {len(self.states)} states of tool and position: use the bounded method."
            )
            raise TooWideError(msg)
        found: Array = np.full((after.size, len(self.states)), self.nothing)
        for j, c in enumerate(chosen):
            if not c.any():
                continue
            rows = np.searchsorted(after, grown[j])
            stepped = costs[c] + self.cost[j]
            for state in np.unique(self.after[j]):
                reached = self.better.reduce(stepped[:, self.after[j] == state], axis=1)
                found[rows, state] = self.better(found[rows, state], reached)
        if self.rest is not None:
            found[found + self.rest.least(after) > self.rest.limit_s] = self.nothing
            alive = np.isfinite(found).any(axis=1)
            return after[alive], found[alive]
        return after, found

    def _back(self, layers: list[tuple[Masks, Array]], best: tuple[float, int, int, int]) -> tuple[str, ...]:
        value, depth, mask, state = best
        order: list[str] = []
        while depth:
            masks, costs = layers[depth - 1]
            j, before, state = self._step_before(masks, costs, mask, state, value)
            order.append(self.ids[j])
            mask, depth = before, depth - 1
            value = float(costs[np.searchsorted(masks, mask), state])
        return tuple(reversed(order))

    def _step_before(
        self, masks: Masks, costs: Array, mask: int, state: int, value: float
    ) -> tuple[int, int, int]:
        for j in range(len(self.ids)):
            before = mask & ~(1 << j)
            row = int(np.searchsorted(masks, before))
            if not mask >> j & 1 or row >= masks.size or masks[row] != before:
                continue
            if not self.steps.ready(j, masks[row : row + 1])[0]:
                continue
            # The sum was made in the same order on the way forward, so it is equal to the last bit.
            same = (self.after[j] == state) & (costs[row] + self.cost[j] == value)
            if same.any():
                return j, before, int(np.argmax(same))
        msg = "the way back from the end was lost."  # cannot happen: every value came from a layer below
        raise AssertionError(msg)


class _Rest:
    """What must still be spent on needed operations from a done set and state, at the least."""

    def __init__(
        self,
        limit_s: float,
        graph: OperationGraph,
        members: tuple[int, ...],
        goal: int,
        set_up: SetUp,
        states: list[tuple[str, str]],
    ) -> None:
        self.limit_s = limit_s + 1e-9 * max(1.0, limit_s)  # the known sequence itself must survive round-off
        self.set_up, self.states = set_up, states
        needed = set(graph.needed(goal))
        self.seconds: list[tuple[int, float]] = []
        self.tools: dict[str, int] = {}
        self.positions: dict[str, int] = {}
        for k, i in enumerate(members):
            if i in needed:
                op = graph.operations[i]
                self.seconds.append((k, op.seconds.value))
                if op.tool:
                    self.tools[op.tool] = self.tools.get(op.tool, 0) | 1 << k
                if op.position:
                    self.positions[op.position] = self.positions.get(op.position, 0) | 1 << k

    def least(self, masks: Masks) -> Array:
        """Least rest of each done set and state, shape (n_masks, n_states). [s]"""
        work: Array = np.zeros(masks.size)
        for k, seconds in self.seconds:
            work += seconds * (masks >> k & 1 == 0)
        rest: Array = np.repeat(work[:, None], len(self.states), axis=1)
        for places, price, which in (
            (self.tools, self.set_up.tool_s, 0),
            (self.positions, self.set_up.move_s, 1),
        ):
            left: dict[str, Array] = {
                name: (mask & ~masks != 0).astype(np.float64) for name, mask in places.items()
            }
            count: Array = sum(left.values(), np.zeros(masks.size))
            for s, state in enumerate(self.states):
                if which == 1 and not state[1]:
                    here: Array = np.minimum(count, 1.0)  # the first position is free
                else:
                    here = left.get(state[which], np.zeros(masks.size))
                rest[:, s] += price * (count - here)
        return rest


def _states(graph: OperationGraph, members: tuple[int, ...], set_up: SetUp) -> list[tuple[str, str]]:
    """Pairs of tool and position that can occur, the start first."""
    found = {(set_up.tool, set_up.position): None}
    grew = True
    while grew:
        grew = False
        for tool, position in list(found):
            for i in members:
                op = graph.operations[i]
                state = (op.tool or tool, op.position or position)
                if state not in found:
                    found[state] = None
                    grew = True
    return list(found)
