"""A graph of numbers as formulas of a spreadsheet: which get a cell, how cells are called, what stands in them."""

from __future__ import annotations

import math
import re
from collections.abc import Collection, Sequence

from hoistbook.core.cost.symbol import CONSTANT, INPUT, Node

ENDLESS = 9.99e307
"""Stands for an endless number: the largest a spreadsheet holds."""
LONGEST = 150
"""Characters after which a part of a formula gets a cell of its own, so that people can read what is left."""
_OPERATORS = {
    "add": ("+", 2),
    "subtract": ("-", 2),
    "multiply": ("*", 3),
    "divide": ("/", 3),
    "power": ("^", 5),
    "greater": (">", 1),
    "greater_equal": (">=", 1),
    "less": ("<", 1),
    "less_equal": ("<=", 1),
    "equal": ("=", 1),
    "not_equal": ("<>", 1),
}
"""Sign and how strongly it binds; a minus before a number binds more strongly than a power in a spreadsheet."""
_CALLS = {
    "maximum": "MAX",
    "minimum": "MIN",
    "sqrt": "SQRT",
    "log": "LN",
    "exp": "EXP",
    "absolute": "ABS",
    "floor": "INT",
    "where": "IF",
    "and": "AND",
    "or": "OR",
    "not": "NOT",
}
_ATOM, _MINUS, _OUTSIDE = 9, 4, 0
_WORD = re.compile(r"[^A-Za-z0-9_]+")
_LIKE_A_CELL = re.compile(r"[A-Za-z]{0,3}[0-9]*|[Rr][0-9]*[Cc][0-9]*|[Tt][Rr][Uu][Ee]|[Ff][Aa][Ll][Ss][Ee]")


def cell_name(name: str, step: int, taken: Collection[str]) -> str:
    """Name of a cell: letters, digits and underscores, not like an address, not taken; case does not tell names apart.

    Examples
    --------
    >>> (
    ...     cell_name("pace", 1, ()),
    ...     cell_name("set-up time", 0, ()),
    ...     cell_name("pace", 0, ["pace"]),
    ...     cell_name("r", 0, ()),
    ... )
    ('s1_pace', 'set_up_time', 'pace_2', 'r_')
    """
    base = _WORD.sub("_", name).strip("_") or "number"
    base = f"s{step}_{base}" if step else base
    if base[0].isdigit() or _LIKE_A_CELL.fullmatch(base):
        base = f"n{base}" if base[0].isdigit() else f"{base}_"
    found, again = base, 1
    while found.casefold() in taken:
        again += 1
        found = f"{base}_{again}"
    return found


def number(value: float) -> str:
    """Write a number as it stands in a formula.

    Examples
    --------
    >>> number(3.0), number(0.25), number(1e-7), number(math.pi), number(2.5e20)
    ('3', '0.25', '1E-07', 'PI()', '2.5E+20')
    """
    if math.isnan(value):
        msg = "a formula cannot hold a number that is none."
        raise ValueError(msg)
    if math.isinf(value):
        value = math.copysign(ENDLESS, value)
    if value == math.pi:
        return "PI()"
    if value == int(value) and abs(value) < 1e15:
        return str(int(value))
    return repr(value).upper()


class Formulas:
    """Cells of a graph with their names and formulas.

    Parameters
    ----------
    nodes : sequence of Node
        Operands before what follows from them.
    known : collection of Node
        Results that people look for: they get a cell in any case, as do inputs, what has a name, what is used more than
        once, and what would make a formula too long to read.

    Attributes
    ----------
    cells : tuple of Node
    names : dict of Node to str
    """

    def __init__(self, nodes: Sequence[Node], known: Collection[Node]) -> None:
        used: dict[Node, int] = {}
        for node in nodes:
            for one in node.operands:
                used[one] = used.get(one, 0) + 1
        self.names: dict[Node, str] = {}
        self._written: dict[Node, tuple[str, int]] = {}
        taken: set[str] = set()
        cells = []
        for node in nodes:
            if node.function != CONSTANT and (
                node.function == INPUT
                or node.name
                or node in known
                or used.get(node, 0) > 1
                or len(self.formula(node)) > LONGEST
            ):
                name = cell_name(node.name or "term", node.step, taken)
                taken.add(name.casefold())
                self.names[node] = name
                cells.append(node)
            elif node.function != INPUT:
                self._written[node] = self._text(node)
        self.cells = tuple(cells)

    def formula(self, node: Node) -> str:
        """What stands in the cell of a node, without the sign of equality."""
        return self._text(node)[0]

    def refer(self, node: Node) -> str:
        """How another formula names it."""
        return self._inside(node, _OUTSIDE)

    def _text(self, node: Node) -> tuple[str, int]:
        if node.function == CONSTANT:
            if isinstance(node.value, bool):
                return ("TRUE" if node.value else "FALSE"), _ATOM
            return number(node.value), _MINUS if node.value < 0.0 else _ATOM
        if node.function in _OPERATORS:
            sign, level = _OPERATORS[node.function]
            first, second = node.operands
            # Equal strength needs no brackets on the left; a power needs them on both sides.
            left = self._inside(first, _ATOM if sign == "^" else level)
            return left + sign + self._inside(second, level + 1 if sign != "^" else _ATOM), level
        inner = ",".join(self._inside(one, _OUTSIDE) for one in node.operands)
        if node.function == "ceil":
            return f"-INT(-({inner}))", _MINUS
        if node.function == "negative":
            return f"-{self._inside(node.operands[0], _ATOM)}", _MINUS
        return f"{_CALLS[node.function]}({inner})", _ATOM

    def _inside(self, node: Node, level: int) -> str:
        if node in self.names:
            return self.names[node]
        text, own = self._written.get(node) or self._text(node)
        return f"({text})" if own < level or (own == _MINUS and level > _OUTSIDE) else text
