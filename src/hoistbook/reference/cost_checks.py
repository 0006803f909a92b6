"""Checks of a scenario as it is written: kinds of its entries, and names nobody reads."""

from __future__ import annotations

import difflib
import tomllib
from collections.abc import Mapping, Sequence
from functools import cache
from importlib import resources
from typing import Any

from hoistbook.core.cost.money import FIRST_YEAR, LAST_YEAR, MoneyBasis
from hoistbook.core.cost.processes import PROCESSES

Table = Mapping[str, Any]
HEAD = (
    "code", "title", "version", "at", "currency", "year", "volume_per_year", "programme_years", "machine_years",
    "interest_frac", "lot_count", "dedicated", "tooling", "learning_frac", "learning_theory", "learning_from", "region",
    "supplier",
)  # fmt: skip
_TEXTS = ("code", "title", "version", "at", "currency", "tooling", "learning_theory", "region", "supplier")
_SHARES = ("interest_frac", "learning_frac")
_REGION = ("wage_money_per_s", "overhead_frac", "energy_money_per_j", "floor_money_per_m2")
_SUPPLIER = ("scrap_frac", "sga_frac", "profit_frac", "development_frac")


def check_head(head: Table, place: str) -> None:
    """Refuse a head whose entries are of another kind than they should be, or shares that cannot be."""
    for name in HEAD:
        value = head[name]
        if name in _TEXTS:
            wanted, sound = "a text in quotes", isinstance(value, str)
        elif name == "dedicated":
            wanted, sound = "true or false", isinstance(value, bool)
        elif name == "year":
            check_year(value, place)
            continue
        else:
            wanted, sound = "a number", isinstance(value, int | float) and not isinstance(value, bool)
        if not sound:
            msg = f"{place}: {name} = {value!r}; it must be {wanted}."
            raise ValueError(msg)
    for name in _SHARES:
        if not 0.0 <= head[name] <= 1.0:
            msg = f"{place}: {name} = {head[name]!r}; a share is between 0 and 1."
            raise ValueError(msg)
    try:
        MoneyBasis(head["currency"], head["year"])
    except ValueError as error:
        msg = f"{place}: {error.args[0]}"
        raise ValueError(msg) from error
    if head["learning_frac"] == 0:
        msg = f"{place}: learning_frac = 0; it is the share kept with each doubling: 1 means that nothing is learned."
        raise ValueError(msg)


def check_kinds(row: Table, texts: Sequence[str], numbers: Sequence[str], place: str) -> None:
    """Refuse entries of a table that are there and are no texts, or no numbers."""
    for names, kinds, wanted in ((texts, str, "a text in quotes"), (numbers, int | float, "a number")):
        for name in names:
            if name in row and (isinstance(row[name], bool) or not isinstance(row[name], kinds)):
                msg = f"{place}: {name} = {row[name]!s:.40}; it must be {wanted}."
                raise ValueError(msg)


def check_year(year: object, place: str) -> None:
    """Refuse what is no year of money."""
    if year is None:
        msg = f"{place}: an amount needs the year of its money; add year = 2023."
        raise ValueError(msg)
    if isinstance(year, bool) or not isinstance(year, int) or not FIRST_YEAR <= year <= LAST_YEAR:
        msg = f"{place}: year = {year!s:.20}; it must be a year from {FIRST_YEAR} to {LAST_YEAR}, as 2024."
        raise ValueError(msg)


def check_names(data: Table, place: str) -> None:
    """Refuse figures nobody reads, and regions and suppliers that lack one: either would go unseen until it matters."""
    for table, wanted in (("region", _REGION), ("supplier", _SUPPLIER)):
        for code, row in data.get(table, {}).items():
            known = ("words", *wanted)
            _refuse(f"{place} [{table}.{code}]", [name for name in row if name not in known], wanted)
            missing = [name for name in known if name not in row]
            if missing:
                msg = f"{place} [{table}.{code}]: {', '.join(missing)} missing."
                raise ValueError(msg)
    _refuse(
        f"{place} [figure]",
        [name for name in data.get("figure", {}) if name not in _packaged_figures()],
        _packaged_figures(),
    )
    keys = [one.key(figure) for one in PROCESSES.values() for figure in one.figures]
    for name in data.get("process", {}):
        if name not in keys:
            near = difflib.get_close_matches(name, keys, n=3) or [
                one for one in keys if one.startswith(f"{name.split('/')[0]}/")
            ]
            hint = (
                f"did you mean {', '.join(near)}?"
                if near
                else "hoistbook cost processes NAME lists the full names."
            )
            msg = f"{place} [process.{name!r}]: no process has this figure; {hint}"
            raise ValueError(msg)


def _refuse(place: str, unknown: Sequence[str], known: Sequence[str]) -> None:
    if unknown:
        msg = f"{place}: no figure named {unknown[0]!r}; known: {', '.join(known)}."
        raise ValueError(msg)


@cache
def _packaged_figures() -> tuple[str, ...]:
    folder = resources.files("hoistbook.reference") / "data" / "cost"
    return tuple(tomllib.loads((folder / "scenario.toml").read_text(encoding="utf-8"))["figure"])
