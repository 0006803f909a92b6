"""Rows of the page of a vehicle's cost."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from hoistbook.app.cells import Cell, column
from hoistbook.app.cost_sheet import bar, interval, money
from hoistbook.core.compare.bars import Interval
from hoistbook.report.figures import aligned, figure, to_place
from hoistbook.services.cost import NO_FUNCTION
from hoistbook.services.keeping import Json

LINES_AT_ONCE = 100
"""project rule: lines of an opened group, or parts without a cost, that are shown at once."""
KINDS = ("parts", "fasteners", "assembly")


def seconds_text(seconds: float) -> str:
    """A time in s, whole."""
    return to_place(seconds, 0)


def group_rows(groups: Sequence[Json], whole: Json, wash: str) -> list[dict[str, Any]]:
    """Systems or functions, dearest first; those without a cost stand below the others."""
    ordered = sorted(
        groups, key=lambda one: (one["key"] in ("unassigned", NO_FUNCTION), -one["total"]["value"])
    )
    shown = [one for one in ordered if one["part_count"] or one["assembly_s"] or one["total"]["value"]]
    amounts = [interval(one["total"]) for one in shown]
    bands = column([*amounts, interval(whole["total"])])
    values = _amounts([one["total"]["value"] for one in (*shown, whole)])
    longest = max((max(one.high, one.value) for one in amounts), default=0.0)
    kinds = {name: _amounts([one[name] for one in (*shown, whole)]) for name in (*KINDS, "tooling")}
    return [
        {
            "one": one,
            # To whole units of money whatever the band: the lines of the table then add up as they are printed.
            "cell": Cell(values[place], told.band),
            "bar": bar(amount, longest, wash),
            "kinds": [kinds[name][place] for name in KINDS],
            "tooling": kinds["tooling"][place],
            "seconds": seconds_text(one["assembly_s"]),
            "share": one["total"]["value"] / whole["total"]["value"] if whole["total"]["value"] else None,
        }
        for place, (one, told, amount) in enumerate(zip(shown, bands, amounts, strict=False))
    ]


def sum_row(whole: Json) -> dict[str, Any]:
    """The vehicle below its systems or functions."""
    return {
        "value": to_place(whole["total"]["value"], 0),
        "band": money(whole["total"]).band,
        "kinds": [to_place(whole[name], 0) for name in KINDS],
        "tooling": to_place(whole["tooling"], 0),
        "seconds": seconds_text(whole["assembly_s"]),
        "count": whole["part_count"],
    }


def _amounts(values: Sequence[float]) -> list[str]:
    """Amounts without a band, to whole units of money; what there is none of stays empty."""
    return aligned(["" if value == 0.0 else to_place(value, 0) for value in values])


def line_rows(found: Sequence[tuple[Json, float]], wash: str, first: int, most: int) -> list[dict[str, Any]]:
    """Lines, dearest first, each with its own pieces, fasteners and assembly; so many of them from one on."""
    longest = max(
        (share * max(one["total"]["high"], one["total"]["value"]) for one, share in found), default=0.0
    )
    ordered = found[first : first + most]
    amounts = [interval(one["total"], share) for one, share in ordered]
    bands = column(amounts)
    values = aligned([to_place(amount.value, 2) for amount in amounts])
    each = aligned(["" if one["kind"] == "assembly" else _a_piece(one) for one, _ in ordered])
    return [
        {
            "one": one,
            "share": None if share == 1.0 else share,
            "cell": Cell(values[place], told.band),
            "each": each[place],
            "bar": bar(amount, longest, wash),
            "seconds": seconds_text(one["assembly_s"] * share) if one["assembly_s"] else "",
            "fitting": to_place(one["assembly"] * share, 2) if one["assembly"] else "",
        }
        for place, ((one, share), told, amount) in enumerate(zip(ordered, bands, amounts, strict=True))
    ]


def _a_piece(one: Json) -> str:
    """A piece as it is bought, without fitting it."""
    return to_place((one["parts"] + one["fasteners"]) / one["pieces"], 2) if one["pieces"] else ""


def look_rows(found: Sequence[Json]) -> list[dict[str, Any]]:
    """Measurements that would narrow the cost, with the band now and then, and its ends in % of today's."""
    rows = []
    for one in found:
        half = 50.0 * min(one["then"] / one["now"], 1.0)
        rows.append(
            {
                "one": one,
                "now": _half(one["now"]),
                "then": _half(one["then"]),
                "left": round(50.0 - half, 1),
                "right": round(50.0 + half, 1),
            }
        )
    return rows


def _half(half: float) -> str:
    return figure(Interval(0.0, -half, half)).band


def doubt_rows(found: Sequence[Json], wash: str) -> list[dict[str, Any]]:
    """Processes by the width of the band of their parts."""
    amounts = [interval(one) for one in found]
    cells = column(amounts)
    longest = max((max(one.high, one.value) for one in amounts), default=0.0)
    return [
        {"one": one, "cell": cell, "bar": bar(amount, longest, wash)}
        for one, cell, amount in zip(found, cells, amounts, strict=True)
    ]
