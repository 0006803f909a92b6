"""Names for the numbers of a traced calculation: those the code gives them, and the first lines of its docstrings."""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType
from typing import Any

from hoistbook.core.cost.symbol import CONSTANT, INPUT, Node, Symbol

_PACKAGE = "hoistbook.core.cost."
_OWN = ("hoistbook.core.cost.symbol", "hoistbook.core.cost.naming", "hoistbook.core.cost.traced")
_SAYS_NOTHING = frozenset(
    {"found", "total", "share", "value", "whole", "one", "power", "self", "needed", "zero"}
)
_GENERAL = frozenset({"added", "grown"})
"""Functions that serve many numbers: their docstrings describe none of them."""
_UNITS = (
    ("_money_per_kg", "money/kg"),
    ("_money_per_s", "money/s"),
    ("_money_per_m2", "money/m2"),
    ("_money_per_j", "money/J"),
    ("_money", "money"),
    ("_kg_per_m3", "kg/m3"),
    ("_kg_per_m2", "kg/m2"),
    ("_kg_per_s", "kg/s"),
    ("_kg_per_m", "kg/m"),
    ("_j_per_kg_k", "J/(kg.K)"),
    ("_j_per_kg", "J/kg"),
    ("_j_per_m3", "J/m3"),
    ("_w_per_n", "W/N"),
    ("_m3_per_s", "m3/s"),
    ("_m2_per_s", "m2/s"),
    ("_m_per_s", "m/s"),
    ("_s_per_m", "s/m"),
    ("_per_s", "1/s"),
    ("_s_per_year", "s/year"),
    ("_per_year", "1/year"),
    ("_per_kg", ""),
    ("_per_m", ""),
    ("_degc", "degC"),
    ("_rad", "rad"),
    ("_frac", "1"),
    ("_count", "1"),
    ("_pa", "Pa"),
    ("_kg", "kg"),
    ("_m3", "m3"),
    ("_m2", "m2"),
    ("_mm", "mm"),
    ("_cm3", "cm3"),
    ("_m", "m"),
    ("_s", "s"),
    ("_h", "h"),
    ("_j", "J"),
    ("_w", "W"),
    ("_n", "N"),
    ("_k", "K"),
)
"""Ends of names that say a unit, the longer ones first."""
_BRACKET = re.compile(r"\s*\[([^\]]+)\]\s*$")


def unit_of(name: str) -> str:
    """Unit that a name ends with; empty where it says none.

    Examples
    --------
    >>> unit_of("shot_kg"), unit_of("wage_money_per_s"), unit_of("pace")
    ('kg', 'money/s', '')
    """
    if name.startswith("per_"):  # per what is not said
        return ""
    return next((unit for end, unit in _UNITS if name.endswith(end)), "")


def words_of(name: str) -> str:
    """A name as people read it: without the unit it ends with.

    Examples
    --------
    >>> words_of("plates_m2"), words_of("cut_length_m")
    ('plates', 'cut length')
    """
    for end, unit in _UNITS:
        if unit and unit != "1" and name.endswith(end):
            name = name.removesuffix(end)
            break
    return name.strip("_").removesuffix("_frac").replace("_", " ")


@contextmanager
def naming() -> Iterator[None]:
    """While it lasts, functions of the cost engine name the symbols they hold when they return.

    Notes
    -----
    A symbol is called what the outermost function calls it, and described by the docstring of the function that
    returned it first. A profiler that runs is put back afterwards; without docstrings (python -OO) names do.
    """
    before = sys.getprofile()
    sys.setprofile(_returned)
    try:
        yield
    finally:
        sys.setprofile(before)


def _returned(frame: FrameType, event: str, result: Any) -> None:
    if event != "return":
        return
    module = frame.f_globals.get("__name__", "")
    if not module.startswith(_PACKAGE) or module in _OWN:
        return
    if isinstance(result, Symbol) and not result.node.words:
        _describe(result.node, frame)
    for name, value in frame.f_locals.items():
        if (
            isinstance(value, Symbol)
            and name not in _SAYS_NOTHING
            and value.node.function not in (INPUT, CONSTANT)
        ):
            value.node.name = name
            value.node.unit = unit_of(name) or value.node.unit


def _describe(node: Node, frame: FrameType) -> None:
    if node.function in (INPUT, CONSTANT):
        return
    name = frame.f_code.co_name
    said = getattr(frame.f_globals.get(name), "__doc__", None)
    if not said or name in _GENERAL:
        return
    first = said.strip().splitlines()[0]
    unit = _BRACKET.search(first)
    node.unit = node.unit or (unit.group(1) if unit else unit_of(name))
    # What follows a colon is the formula itself, or why it is written so.
    plain = _BRACKET.sub("", first).removeprefix("Return ").split(": ")[0]
    node.words = plain.split("; ")[0].rstrip(".")
    node.name = node.name or name.strip("_")
