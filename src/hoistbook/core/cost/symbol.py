"""A number that remembers how it came about: it stands in for an array, and code that uses it leaves a formula."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Any, cast

import numpy as np

from hoistbook.core.arrays import Array

INPUT, CONSTANT = "input", "constant"
FUNCTIONS = {
    "add": "add",
    "subtract": "subtract",
    "multiply": "multiply",
    "divide": "divide",
    "power": "power",
    "negative": "negative",
    "absolute": "absolute",
    "maximum": "maximum",
    "minimum": "minimum",
    "sqrt": "sqrt",
    "log": "log",
    "exp": "exp",
    "ceil": "ceil",
    "floor": "floor",
    "greater": "greater",
    "greater_equal": "greater_equal",
    "less": "less",
    "less_equal": "less_equal",
    "equal": "equal",
    "not_equal": "not_equal",
    "bitwise_and": "and",
    "logical_and": "and",
    "bitwise_or": "or",
    "logical_or": "or",
    "invert": "not",
    "logical_not": "not",
}
"""Functions of NumPy that can be written down, with the names that nodes give them; besides them there is "where"."""


@dataclass(eq=False, slots=True)
class Node:
    """One number of a calculation.

    Attributes
    ----------
    function : str
        "input", "constant", "where" or a value of `FUNCTIONS`.
    operands : tuple of Node
    value : float or bool
        At the best estimate.
    order : int
        Operands have smaller ones.
    name, words, unit : str
        Empty where nobody named it.
    step : int
        Last step of the route that it follows from, 0 where none.
    """

    function: str
    operands: tuple[Node, ...]
    value: float | bool
    order: int
    name: str = ""
    words: str = ""
    unit: str = ""
    step: int = 0


@dataclass(slots=True)
class Record:
    """All nodes of one calculation; the same function of the same operands is one node.

    `branches`: comparisons that the code asked for while it ran, with the answer: the formulas hold as long as each of
    them comes out the same.
    """

    branches: dict[Node, bool] = field(default_factory=dict)
    _known: dict[tuple[object, ...], Node] = field(default_factory=dict)
    _count: int = 0

    def input(self, name: str, value: float, words: str = "", unit: str = "", step: int = 0) -> Symbol:
        """Return a number that a person may change."""
        return Symbol(self._new(INPUT, (), float(value), name, words, unit, step), self)

    def constant(self, value: float | bool) -> Node:
        """Return the node of a number that stands in the code."""
        # 0.0 and False are equal, and so are their hashes.
        key = (CONSTANT, type(value), value)
        found = self._known.get(key)
        if found is None:
            found = self._known[key] = self._new(CONSTANT, (), value)
        return found

    def node(self, value: object) -> Node:
        """Return the node of a symbol, or of a plain number."""
        if isinstance(value, Symbol):
            return value.node
        cells = np.asarray(value)
        if cells.size != 1 or cells.dtype.kind not in "bif":
            msg = f"{value!r} is no single number; formulas are traced for one part at its best estimate."
            raise TypeError(msg)
        only = cells.reshape(-1)[0]
        return self.constant(bool(only) if cells.dtype.kind == "b" else float(only))

    def made(self, function: str, operands: tuple[Node, ...], value: float | bool) -> Node:
        """Return the node of a function of nodes, simplified where that leaves the number as it is."""
        plain = _simplified(function, operands)
        if plain is not None:
            return plain
        if all(one.function == CONSTANT for one in operands) or _is_zero(function, operands, value):
            return self.constant(value)
        key = (function, *(one.order for one in operands))
        found = self._known.get(key)
        if found is None:
            found = self._known[key] = self._new(function, operands, value)
            found.step = max(one.step for one in operands)
        return found

    def _new(
        self,
        function: str,
        operands: tuple[Node, ...],
        value: float | bool,
        name: str = "",
        words: str = "",
        unit: str = "",
        step: int = 0,
    ) -> Node:
        self._count += 1
        return Node(function, operands, value, self._count, name, words, unit, step)


def _constant(node: Node, value: float) -> bool:
    return node.function == CONSTANT and not isinstance(node.value, bool) and node.value == value


def _simplified(function: str, operands: tuple[Node, ...]) -> Node | None:
    """Return the operand that a function of it equals: x + 0, x times 1, a switch that is set."""
    if function == "where":
        asked = operands[0]
        return operands[1 if asked.value else 2] if asked.function == CONSTANT else None
    if len(operands) != 2:
        return None
    first, second = operands
    neutral = {"add": 0.0, "multiply": 1.0}.get(function)
    if neutral is not None and _constant(first, neutral):
        return second
    neutral = {"add": 0.0, "subtract": 0.0, "multiply": 1.0, "divide": 1.0, "power": 1.0}.get(function)
    if neutral is not None and _constant(second, neutral):
        return first
    return None


def _is_zero(function: str, operands: tuple[Node, ...], value: float | bool) -> bool:
    """Whether it is 0 whatever the inputs: 0 times x, 0 over x, x over an endless number."""
    if isinstance(value, bool) or value != 0.0 or len(operands) != 2:
        return False
    first, second = operands
    if function == "multiply":
        return _constant(first, 0.0) or _constant(second, 0.0)
    return function == "divide" and (_constant(first, 0.0) or _constant(second, math.inf))


class Symbol(np.lib.mixins.NDArrayOperatorsMixin):
    """Stands in for an array of one number: whatever is done with it is done with the number and written down.

    Parameters
    ----------
    node : Node
    record : Record

    Notes
    -----
    Arithmetic, comparisons, NumPy's element-wise functions and ``np.where``, as far as a spreadsheet has them (see
    `FUNCTIONS`). A comparison that code branches on answers by the number and is kept in `Record.branches`.
    """

    __slots__ = ("node", "record")

    def __init__(self, node: Node, record: Record) -> None:
        self.node = node
        self.record = record

    @property
    def array(self) -> Array:
        """As the engine has it for one part without draws."""
        return np.full((1, 1), self.node.value)

    def __array_ufunc__(
        self, function: np.ufunc, method: str, *operands: object, **more: object
    ) -> Symbol | object:
        name = FUNCTIONS.get(function.__name__)
        if name is None or method != "__call__" or more:
            msg = f"np.{function.__name__} ({method}) is nothing that a cell of a spreadsheet can do."
            raise TypeError(msg)
        if name == "power":
            # As the operator does it, which takes a short way for squares and roots.
            base, exponent = (_array(one) for one in operands)
            return self._made(name, operands, base**exponent)
        return self._made(name, operands, function(*(_array(one) for one in operands)))

    def __array_function__(
        self,
        function: Callable[..., Any],
        types: object,
        operands: Sequence[object],
        more: object,
    ) -> Symbol | int:
        if function is np.size:
            return 1
        if function is np.where and len(operands) == 3 and not more:
            return self._made("where", operands, np.where(*(cast(Any, _array(one)) for one in operands)))
        msg = f"np.{function.__name__} is nothing that a cell of a spreadsheet can do."
        raise TypeError(msg)

    def _made(self, name: str, operands: Sequence[object], found: object) -> Symbol:
        cells = np.asarray(found)
        value = cells.reshape(-1)[0].item()
        nodes = tuple(self.record.node(one) for one in operands)
        return Symbol(self.record.made(name, nodes, value), self.record)

    def __getitem__(self, place: object) -> Symbol:
        """Return the best estimate, which is all there is."""
        if place != (slice(None), slice(None, 1)):
            msg = f"a symbol has no place {place!r}; only its best estimate can be asked for."
            raise TypeError(msg)
        return self

    def __bool__(self) -> bool:
        answer = bool(self.node.value)
        if self.node.function != CONSTANT:
            self.record.branches[self.node] = answer
        return answer

    def __format__(self, form: str) -> str:
        return format(self.node.value, form)

    def __repr__(self) -> str:
        return f"Symbol({self.node.name or self.node.function}, {self.node.value!r})"

    __hash__ = None  # type: ignore[assignment]  # equal is a formula, not an answer


def _array(one: object) -> Any:
    return one.array if isinstance(one, Symbol) else one
