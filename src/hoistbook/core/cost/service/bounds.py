"""What needs no search: lower bounds, critical path, and a good sequence of many operations."""

from __future__ import annotations

import math
from collections.abc import Sequence

from hoistbook.core.cost.service.operations import OperationGraph, SetUp, Walked, walked

_MOST_PASSES = (
    50  # of improvement; each pass that helps shortens the sequence, so it ends by itself long before
)


def lower_bound_s(graph: OperationGraph, target: str, set_up: SetUp) -> float:
    """Time no removal of the target can beat with one person. [s]

    Notes
    -----
    Every removal contains the operations that come before the target by AND. Their times add up. Each tool among them
    other than the one in hand is taken at least once; each position beyond the first is gone to at least once.

    Source
    ------
    first principles; the tests hold it against every sequence of small random graphs.
    """
    needed = [graph.operations[i] for i in graph.needed(graph.index(target))]
    tools = {op.tool for op in needed} - {"", set_up.tool}
    positions = {op.position for op in needed} | {set_up.position}
    moves = max(0, len(positions - {""}) - 1)
    return math.fsum(op.seconds.value for op in needed) + len(tools) * set_up.tool_s + moves * set_up.move_s


def critical_path_s(graph: OperationGraph, target: str) -> float:
    """Earliest end of the target with as many people as are useful, tools and ways free. [s]

    Notes
    -----
    end_i = t_i + max(latest end before it by AND, latest over its groups of the earliest end in the group). Settled in
    order of rising end, as in Dijkstra's method, since no operation ends before one it waits for.

    Source
    ------
    first principles; Knuth 1977 for the generalisation to such functions (from memory).
    """
    goal = graph.index(target)
    ends: dict[int, float] = {}
    while goal not in ends:
        open_ones = {i: _end(graph, i, ends) for i in range(len(graph)) if i not in ends}
        first = min(open_ones, key=lambda i: (open_ones[i], i))
        ends[first] = open_ones[first]
    return ends[goal]


def _end(graph: OperationGraph, i: int, ends: dict[int, float]) -> float:
    before = [ends.get(j, math.inf) for j in _members(graph.all_of(i))]
    groups = [min(ends.get(j, math.inf) for j in _members(group)) for group in graph.any_of(i)]
    return graph.operations[i].seconds.value + max([0.0, *before, *groups])


def _members(mask: int) -> list[int]:
    return [i for i in range(mask.bit_length()) if mask >> i & 1]


def persons_bound_s(graph: OperationGraph, target: str, person_count: int) -> float:
    """Time no removal can beat with k persons: the critical path, or the needed work shared evenly. [s]

    Raises
    ------
    ValueError
        Fewer than one person.
    """
    if person_count < 1:
        msg = f"person_count = {person_count!r}: at least one person works."
        raise ValueError(msg)
    work = math.fsum(graph.operations[i].seconds.value for i in graph.needed(graph.index(target)))
    return max(critical_path_s(graph, target), work / person_count)


def good_sequence(graph: OperationGraph, target: str, set_up: SetUp) -> Walked:
    """A feasible sequence for many operations: greedy, then improved by moving single operations.

    Parameters
    ----------
    graph : OperationGraph
    target : str
    set_up : SetUp

    Returns
    -------
    Walked
        Not proven shortest: print it beside `lower_bound_s`.

    Notes
    -----
    Of alternatives, the one whose own removal is shortest is taken. Next comes the ready operation without change of
    tool and position, else the one with the smaller change; ties in the order given. Then each operation is tried in
    every other place until nothing helps.
    """
    chosen = _chosen(graph, graph.index(target))
    order: list[str] = []
    done = 0
    left = set(chosen)
    tool, position = set_up.tool, set_up.position
    while left:
        ready = sorted(i for i in left if graph.ready(i, done))

        def change(i: int, tool: str = tool, position: str = position) -> tuple[float, int]:
            op = graph.operations[i]
            pick = set_up.tool_s if op.tool and op.tool != tool else 0.0
            move = set_up.move_s if op.position and position and op.position != position else 0.0
            return pick + move, i

        i = min(ready, key=change)
        op = graph.operations[i]
        order.append(op.id)
        done |= 1 << i
        left.remove(i)
        tool, position = op.tool or tool, op.position or position
    return _improved(graph, order, set_up)


def _chosen(graph: OperationGraph, goal: int) -> set[int]:
    """Operations of one feasible removal: AND in full, of each group the member that can end first."""
    ends: dict[int, float] = {}
    while len(ends) < len(graph):
        open_ones = {i: _end(graph, i, ends) for i in range(len(graph)) if i not in ends}
        first = min(open_ones, key=lambda i: (open_ones[i], i))
        ends[first] = open_ones[first]
    chosen: set[int] = set()
    stack = [goal]
    while stack:
        i = stack.pop()
        if i in chosen:
            continue
        chosen.add(i)
        stack += _members(graph.all_of(i))
        for group in graph.any_of(i):
            stack.append(min(_members(group), key=lambda j: (ends[j], j)))
    return chosen


def _improved(graph: OperationGraph, order: Sequence[str], set_up: SetUp) -> Walked:
    best = walked(graph, order, set_up)
    for _ in range(_MOST_PASSES):
        better = next(
            (
                found
                for i in range(len(best.order))
                for k in range(len(best.order))
                if i != k and (found := _moved(graph, best, i, k, set_up)) is not None
            ),
            None,
        )
        if better is None:
            return best
        best = better
    return best


def _moved(graph: OperationGraph, best: Walked, i: int, k: int, set_up: SetUp) -> Walked | None:
    order = list(best.order)
    order.insert(k, order.pop(i))
    if not graph.allows(order):
        return None
    found = walked(graph, order, set_up)
    return found if found.seconds < best.seconds - 1e-9 else None
