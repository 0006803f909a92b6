"""Rows of the pages of assembly and service: seconds by function, joints with their motions, a removal in its order."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from hoistbook.app.cells import Cell, column
from hoistbook.app.cost_sheet import bar, interval
from hoistbook.app.scenario_rows import plain
from hoistbook.report.figures import Figure, aligned, figure, to_place
from hoistbook.services.keeping import Json

WORK_AT_ONCE = 50
"""project rule: joints or placings of an opened function that are shown at once, each with its motions."""
REST = ""
"""Key of the work that serves no function."""


def seconds_told(found: Json) -> Figure:
    """A time with its band as text."""
    return figure(interval(found))


def function_rows(page: Json, wash: str) -> list[dict[str, Any]]:
    """Functions, slowest first."""
    found = sorted(page["functions"], key=lambda one: -one["standard_s"]["value"])
    amounts = [interval(one["standard_s"]) for one in found]
    bands = column(amounts)
    values = aligned([to_place(one.value, 0) for one in amounts])
    money = aligned(["" if one["cost"] is None else to_place(one["cost"]["value"], 2) for one in found])
    longest = max((one.high for one in amounts), default=0.0)
    return [
        {
            "one": one,
            "cell": Cell(values[place], told.band),
            "bar": bar(amount, longest, wash),
            "cost": money[place],
            "fasteners": plain(round(one["fastener_count"], 1)),
            "quick": plain(round(one["quick_count"], 1)),
            "drives": len(one["drives"]),
            "directions": len(one["directions"]),
        }
        for place, (one, told, amount) in enumerate(zip(found, bands, amounts, strict=True))
    ]


def rest_and_sum(page: Json) -> dict[str, str]:
    """What is in no function, and the vehicle, below the functions: time and money add up down the table."""
    whole, functions = page["whole"], page["functions"]

    def rest_of(name: str, places: int) -> tuple[str, str]:
        if whole[name] is None:
            return "", ""
        taken = sum(one[name]["value"] for one in functions)
        rest, total = aligned(
            [to_place(value, places) for value in (whole[name]["value"] - taken, whole[name]["value"])]
        )
        return rest, total

    rest_s, sum_s = rest_of("standard_s", 0)
    rest_money, sum_money = rest_of("cost", 2)
    return {"rest_s": rest_s, "sum_s": sum_s, "rest_money": rest_money, "sum_money": sum_money}


def work_rows(found: Sequence[tuple[Json, float]]) -> list[dict[str, Any]]:
    """Joints or placings with their motions."""
    amounts = [None if one["seconds"] is None else interval(one["seconds"], share) for one, share in found]
    bands = column(amounts)
    values = aligned(["" if one is None else to_place(one.value, 1) for one in amounts])
    return [
        {
            "one": one,
            "share": None if share == 1.0 else share,
            "cell": Cell(values[place], told.band),
            "motions": [
                {
                    "code": code,
                    "words": words,
                    "times": plain(float(f"{times:.4g}")),
                    "seconds": to_place(seconds, 2),
                    "slowed": slowed,
                    "mark": mark,
                }
                for code, words, times, seconds, slowed, mark in one["motions"]
            ],
        }
        for place, ((one, share), told) in enumerate(zip(found, bands, strict=True))
    ]


def sum_of(found: Sequence[tuple[Json, float]]) -> float:
    """Sum of pieces of work by their shares, at normal performance. [s]"""
    return sum(share * float(one["seconds"]["value"]) for one, share in found if one["seconds"])


def visit_rows(found: Json) -> list[dict[str, Any]]:
    """A removal, one operation per row, with the clock."""
    rows = found["sequence"]
    each = aligned([to_place(one["seconds"], 0) for one in rows])
    ends = aligned([to_place(one["ends_s"], 0) for one in rows])
    return [
        {"one": one, "seconds": seconds, "ends": end}
        for one, seconds, end in zip(rows, each, ends, strict=True)
    ]


def time_rows(found: Json) -> list[dict[str, Any]]:
    """What the time is made of; the lines add up to all of it."""
    lines = [
        ("taking it off", found["removal_s"]),
        ("putting it back", found["replacement_s"]),
        *((one["words"], one) for one in found["once"]),
    ]
    values = aligned([to_place(one["value"], 0) for _, one in (*lines, ("", found["total_s"]))])
    bands = column([interval(one) for _, one in (*lines, ("", found["total_s"]))])
    return [
        {"words": words, "value": value, "band": told.band}
        for (words, _), value, told in zip((*lines, ("", None)), values, bands, strict=True)
    ]
