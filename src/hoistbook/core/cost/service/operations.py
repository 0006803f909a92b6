"""Operations of a removal and what must come before what, with AND and OR."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from hoistbook.core.quantities.quantity import Quantity


@dataclass(frozen=True, slots=True)
class Operation:
    """One step of a removal.

    Attributes
    ----------
    id : str
    words : str
    seconds : Quantity
        Removal time without tool pick-up or change of position. [s]
    tool : str
        Empty for work by hand, which keeps the tool taken last.
    position : str
        Side or height of the vehicle; empty where any will do.
    after : tuple of str
        Operations that must all be done before.
    after_any : tuple of tuple of str
        Of each group at least one must be done before: either of two covers exposes it.

    Raises
    ------
    ValueError
        No id, a negative time, another unit than seconds, or an empty group.
    """

    id: str
    words: str
    seconds: Quantity
    tool: str = ""
    position: str = ""
    after: tuple[str, ...] = ()
    after_any: tuple[tuple[str, ...], ...] = ()

    def __post_init__(self) -> None:
        if not self.id:
            msg = f"operation {self.words!r} has no id; give it one, e.g. its joint."
            raise ValueError(msg)
        if self.seconds.unit != "s" or not self.seconds.value >= 0.0:
            msg = f"operation {self.id}: time {self.seconds.value!r} {self.seconds.unit}; give seconds, at least 0."
            raise ValueError(msg)
        if any(not group for group in self.after_any):
            msg = f"operation {self.id}: an empty group of alternatives can never be met; leave it out."
            raise ValueError(msg)


class OperationGraph:
    """Operations with their precedences, checked.

    Parameters
    ----------
    operations : sequence of Operation

    Raises
    ------
    ValueError
        An id used twice, an unknown predecessor, or operations that wait for each other.

    Notes
    -----
    A set of done operations is a bit mask over the order given. The sets that can occur form an antimatroid: with AND
    alone the down-sets of a partial order, with OR more.
    """

    __slots__ = ("_all_of", "_any_of", "_index", "operations")

    def __init__(self, operations: Sequence[Operation]) -> None:
        self.operations = tuple(operations)
        self._index: dict[str, int] = {}
        for i, operation in enumerate(self.operations):
            if operation.id in self._index:
                msg = f"operation {operation.id}: this id is used twice; each step has its own."
                raise ValueError(msg)
            self._index[operation.id] = i
        self._all_of = [self._mask(op.id, op.after) for op in self.operations]
        self._any_of = [tuple(self._mask(op.id, group) for group in op.after_any) for op in self.operations]
        stuck = self._stuck()
        if stuck:
            msg = f"operations {', '.join(stuck)} wait for each other; correct what must come before what."
            raise ValueError(msg)

    def _mask(self, owner: str, ids: Iterable[str]) -> int:
        mask = 0
        for name in ids:
            if name not in self._index:
                msg = f"operation {owner}: it must come after {name!r}, which is not among the operations."
                raise ValueError(msg)
            mask |= 1 << self._index[name]
        return mask

    def _stuck(self) -> list[str]:
        done = 0
        left = list(range(len(self.operations)))
        while ready := [i for i in left if self.ready(i, done)]:
            done |= sum(1 << i for i in ready)
            left = [i for i in left if i not in ready]
        return [self.operations[i].id for i in left]

    def __len__(self) -> int:
        return len(self.operations)

    def index(self, name: str) -> int:
        """Place of an operation; `KeyError` with the known ids when there is none."""
        if name not in self._index:
            msg = f"no operation {name!r}; known: {', '.join(self._index)}."
            raise KeyError(msg)
        return self._index[name]

    def all_of(self, i: int) -> int:
        """Mask of the operations that must all come before operation i."""
        return self._all_of[i]

    def any_of(self, i: int) -> tuple[int, ...]:
        """Masks of the groups of which one member each must come before operation i."""
        return self._any_of[i]

    def ready(self, i: int, done: int) -> bool:
        """Whether operation i can be done once the operations of the mask are."""
        return done & self._all_of[i] == self._all_of[i] and all(done & group for group in self._any_of[i])

    def needed(self, target: int) -> tuple[int, ...]:
        """Operations that every removal of the target contains: itself and all that come before it by AND."""
        return self._closure(target, alternatives=False)

    def useful(self, target: int) -> tuple[int, ...]:
        """Operations that a shortest removal can contain: those before it by AND or by OR."""
        return self._closure(target, alternatives=True)

    def _closure(self, target: int, *, alternatives: bool) -> tuple[int, ...]:
        found = {target}
        stack = [target]
        while stack:
            i = stack.pop()
            before = self._all_of[i]
            if alternatives:
                for group in self._any_of[i]:
                    before |= group
            for j in range(len(self.operations)):
                if before >> j & 1 and j not in found:
                    found.add(j)
                    stack.append(j)
        return tuple(sorted(found))

    def allows(self, order: Sequence[str]) -> bool:
        """Whether the operations can be done in this order."""
        done = 0
        for name in order:
            i = self.index(name)
            if done >> i & 1 or not self.ready(i, done):
                return False
            done |= 1 << i
        return True


@dataclass(frozen=True, slots=True)
class SetUp:
    """What changing tool and position costs, and where the work starts.

    Attributes
    ----------
    tool_s, move_s : float
        Each time another tool is taken; each change of position. [s]
    tool, position : str
        Tool in hand and position at the start; an empty position makes the first one free.
    """

    tool_s: float
    move_s: float = 0.0
    tool: str = ""
    position: str = ""

    def __post_init__(self) -> None:
        for name, value in (("tool_s", self.tool_s), ("move_s", self.move_s)):
            if not value >= 0.0:
                msg = f"{name} = {value!r} s: it is at least 0."
                raise ValueError(msg)


@dataclass(frozen=True, slots=True)
class Walked:
    """An order of operations with what it costs.

    Attributes
    ----------
    order : tuple of str
    picks, moves : int
        Tools taken, positions changed. [1]
    seconds : float
        Operations, tools and moves. [s]
    """

    order: tuple[str, ...]
    picks: int
    moves: int
    seconds: float


def walked(graph: OperationGraph, order: Sequence[str], set_up: SetUp) -> Walked:
    """Cost of an order of operations.

    Raises
    ------
    ValueError
        The precedences do not allow it.
    """
    if not graph.allows(order):
        msg = f"the order {' '.join(order)} breaks a precedence."
        raise ValueError(msg)
    return _walked(graph, order, set_up)


def _walked(graph: OperationGraph, order: Sequence[str], set_up: SetUp) -> Walked:
    tool, position = set_up.tool, set_up.position
    picks = moves = 0
    work = 0.0
    for name in order:
        operation = graph.operations[graph.index(name)]
        picks += bool(operation.tool) and operation.tool != tool
        moves += bool(operation.position and position) and operation.position != position
        tool, position = operation.tool or tool, operation.position or position
        work += operation.seconds.value
    return Walked(tuple(order), picks, moves, work + picks * set_up.tool_s + moves * set_up.move_s)
