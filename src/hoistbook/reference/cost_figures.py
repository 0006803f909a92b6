"""Reading figures of cost, time and mass models from TOML: value, limits, unit, mark and source of each."""

from __future__ import annotations

import math
from collections.abc import Mapping
from importlib import resources
from typing import Any

from hoistbook.core.cost.figure import Figure
from hoistbook.reference.files import toml_of

_KEYS = ("value", "low", "high", "unit", "words", "mark", "source")


def packaged_figures(folder: str, name: str) -> dict[str, Figure]:
    """Return the figures of a packaged file `data/<folder>/<name>`."""
    file = resources.files("hoistbook.reference") / "data" / folder / name
    return figures_from(file.read_text(encoding="utf-8"), name)


def figures_from(text: str, place: str) -> dict[str, Figure]:
    """Read figures from TOML, one table each; `[money]` states currency, year and price index of the amounts.

    Raises
    ------
    ValueError
        No TOML, a figure that lacks a key, or a value that is no number; the message names file and figure.
    """
    data = toml_of(text, place, "lay it out like the packaged one")
    money = data.pop("money", {})
    return {name: _figure(name, row, money, place) for name, row in data.items()}


def _figure(name: str, row: Mapping[str, Any], money: Mapping[str, Any], place: str) -> Figure:
    missing = [key for key in _KEYS if key not in row]
    if missing:
        msg = f"{place} {name}: {', '.join(missing)} missing; a figure has {', '.join(_KEYS)}."
        raise ValueError(msg)
    numbers = {}
    for key in ("value", "low", "high"):
        value = row[key]
        if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
            msg = (
                f"{place} {name}: {key} = {value!r} is no number; write it without quotes, e.g. {key} = 0.95."
            )
            raise ValueError(msg)
        numbers[key] = float(value)
    amount = str(row["unit"]).split("/")[0] == "money"
    return Figure(
        name=name,
        words=str(row["words"]),
        unit=str(row["unit"]),
        value=numbers["value"],
        low=numbers["low"],
        high=numbers["high"],
        mark=str(row["mark"]),
        source=str(row["source"]),
        currency=str(money.get("currency", "")) if amount else "",
        year=int(money.get("year", 0)) if amount else 0,
        index=str(money.get("index", "")) if amount else "",
        note=str(row.get("note", "")),
    )
