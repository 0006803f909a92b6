"""Remove-and-replace time of a component from its operations."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from hoistbook.core.cost.figure_set import FigureSet
from hoistbook.core.cost.service.bounds import (
    critical_path_s,
    good_sequence,
    lower_bound_s,
    persons_bound_s,
)
from hoistbook.core.cost.service.operations import OperationGraph, SetUp, Walked
from hoistbook.core.cost.service.sequence import TooWideError, longest, sequence_count, shortest
from hoistbook.core.quantities.assumption import Assumption, definition
from hoistbook.core.quantities.quantity import Quantity, total


@dataclass(frozen=True, slots=True)
class Once:
    """Work that is added once per removal and replacement, whatever the sequence: fluids, isolation, calibration."""

    words: str
    seconds: Quantity


@dataclass(frozen=True, slots=True)
class Visit:
    """One operation in its place of the sequence.

    `tool_taken` is the tool picked up for it, `moved_to` the position gone to; empty where nothing changes. `ends_s` is
    its end counted from the first operation, by best estimates. [s]
    """

    operation: str
    words: str
    tool_taken: str
    moved_to: str
    seconds: Quantity
    ends_s: float


@dataclass(frozen=True, slots=True)
class ServiceTime:
    """Remove-and-replace time of one component.

    Attributes
    ----------
    target : str
    visits : tuple of Visit
        The sequence of removal.
    exact : bool
        Whether the sequence is proven shortest; otherwise compare `search_s` with `bound_s`.
    depth : int
        Operations to the target, itself included. [1]
    picks, moves : int
        Tools taken and positions changed on the way out. [1]
    search_s, bound_s : float
        Removal by best estimates, and what no removal of one person can beat. [s]
    worst_s : float or None
        Longest order of the same operations; None where it was not asked for or is too wide to be exact. [s]
    sequence_count : int or None
        Orders the precedences allow; None where they are too many operations to count.
    critical_path_s, persons_bound_s : float
        Removal with any number of people, and with `person_count` of them, at the least. [s]
    person_count : int
    removal_s, replacement_s, once_s, total_s : Quantity
        Out; back in; added once (set-up included); all. [s]
    once : tuple of Once
    assumed : tuple of Assumption
        Defaults, definitions and cautions.
    """

    target: str
    visits: tuple[Visit, ...]
    exact: bool
    depth: int
    picks: int
    moves: int
    search_s: float
    bound_s: float
    worst_s: float | None
    sequence_count: int | None
    critical_path_s: float
    persons_bound_s: float
    person_count: int
    removal_s: Quantity
    replacement_s: Quantity
    once_s: Quantity
    total_s: Quantity
    once: tuple[Once, ...]
    assumed: tuple[Assumption, ...]


def service_time(
    graph: OperationGraph,
    target: str,
    figures: FigureSet,
    *,
    once: Sequence[Once] = (),
    person_count: int = 1,
    worst: bool = False,
    start: SetUp | None = None,
    cautions: Sequence[Assumption] = (),
) -> ServiceTime:
    """Remove-and-replace time of a component.

    Parameters
    ----------
    graph : OperationGraph
    target : str
        Id of the operation that takes the component out.
    figures : FigureSet
        `tool_pick_up_s`, `reposition_s`, `reinstall_frac`, `service_setup_s`.
    once : sequence of Once
        Fluids, isolation, calibration: each once.
    person_count : int
        For the bound; the time itself is one person's. [1]
    worst : bool
        Also find the longest order.
    start : SetUp, optional
        Tool in hand and position at the start; its times are replaced by the figures.
    cautions : sequence of Assumption
        Carried along, first in `assumed`.

    Returns
    -------
    ServiceTime

    Raises
    ------
    KeyError
        No such operation.

    Notes
    -----
    T = set-up + Σ r_i (1 + f) + 2 (n_tool t_tool + n_move t_move) + Σ once, f = `reinstall_frac`. The way back in takes
    the same tools in reverse order. The sequence is the shortest by best estimates: exact up to 20 useful operations,
    a good one with a proven lower bound beyond. The band is that of this sequence.

    Source
    ------
    common practice: the build-up and its factor of 1.1 to 1.3; first principles: the search.
    """
    tool_s, move_s = figures["tool_pick_up_s"], figures["reposition_s"]
    begin = start or SetUp(0.0)
    set_up = SetUp(tool_s.value, move_s.value, begin.tool, begin.position)
    try:
        found, exact = shortest(graph, target, set_up), True
    except TooWideError:
        found, exact = good_sequence(graph, target, set_up), False
    work = total([graph.operations[graph.index(name)].seconds for name in found.order], unit="s")
    changes = tool_s * float(found.picks) + move_s * float(found.moves)
    removal = work + changes
    replacement = (work * figures["reinstall_frac"]).in_unit("s") + changes
    extras = (Once("vehicle in, protection, tools laid out", figures["service_setup_s"]), *once)
    added = total([extra.seconds for extra in extras], unit="s")
    return ServiceTime(
        target=target,
        visits=_visits(graph, found, set_up),
        exact=exact,
        depth=len(found.order),
        picks=found.picks,
        moves=found.moves,
        search_s=found.seconds,
        bound_s=lower_bound_s(graph, target, set_up),
        worst_s=_worst(graph, found, set_up) if worst else None,
        sequence_count=_sequence_count(graph, found),
        critical_path_s=critical_path_s(graph, target),
        persons_bound_s=persons_bound_s(graph, target, person_count),
        person_count=person_count,
        removal_s=removal,
        replacement_s=replacement,
        once_s=added,
        total_s=removal + replacement + added,
        once=extras,
        assumed=(
            *cautions,
            *figures.assumed("tool_pick_up_s", "reposition_s", "reinstall_frac", "service_setup_s"),
            definition("the way back in takes the same tools and positions in reverse order"),
            *_how(exact),
        ),
    )


def _how(exact: bool) -> tuple[Assumption, ...]:
    if exact:
        return ()
    return (
        definition(
            "more operations than an exact search holds: a good sequence, beside the time no sequence can beat"
        ),
    )


def _worst(graph: OperationGraph, found: Walked, set_up: SetUp) -> float | None:
    try:
        return longest(graph, found.order, set_up).seconds
    except TooWideError:
        return None


def _sequence_count(graph: OperationGraph, found: Walked) -> int | None:
    try:
        return sequence_count(graph, found.order)
    except TooWideError:
        return None


def _visits(graph: OperationGraph, found: Walked, set_up: SetUp) -> tuple[Visit, ...]:
    tool, position, clock = set_up.tool, set_up.position, 0.0
    visits = []
    for name in found.order:
        op = graph.operations[graph.index(name)]
        taken = op.tool if op.tool and op.tool != tool else ""
        moved = op.position if op.position and position and op.position != position else ""
        clock += op.seconds.value + bool(taken) * set_up.tool_s + bool(moved) * set_up.move_s
        visits.append(Visit(name, op.words, taken, moved, op.seconds, clock))
        tool, position = op.tool or tool, op.position or position
    return tuple(visits)
