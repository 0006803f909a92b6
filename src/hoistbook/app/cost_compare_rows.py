"""Rows and drawings of the page that compares what two vehicles do for one function in money."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from hoistbook.app.cells import Cell, column
from hoistbook.app.cost_sheet import bar, interval, wash_of
from hoistbook.app.templatetags.sheets import mark_number
from hoistbook.core.compare.bars import Interval
from hoistbook.core.cost.inputs import INPUTS
from hoistbook.core.quantities.printing import NARROW_SPACE, text
from hoistbook.core.vehicle.kinds import unit_text
from hoistbook.report.cost_chart import Curves, curves
from hoistbook.report.figures import aligned, certainty, figure, per_cent, to_place
from hoistbook.services.cost_compare import NEARLY_ALL
from hoistbook.services.keeping import Json
from hoistbook.services.pages.cost_compare import usual

Reader = Callable[[float], tuple[float, str]]
"""From a value to what is read, with its unit."""
MOST_SWINGS = 12
"""project rule: sources that are shown of those that move the difference; the widest first."""
MOST_LEFT = 6


def answer_of(page: Json) -> dict[str, Any]:
    """The difference in a sentence: which costs more, by how much, and how sure that is."""
    found = page["comparison"]
    difference = interval(found["difference"])
    sure = found["probability_a_cheaper"]
    dearer = 1 if difference.value > 0.0 else 0
    told = figure(Interval(abs(difference.value), *_ends(difference)))
    shares = [found[side]["mass_covered_frac"] for side in ("a", "b")]
    return {
        "partly": any(share is None or share < NEARLY_ALL for share in shares),
        "dearer": dearer,
        "cheaper": 1 - dearer,
        "told": told,
        "apart": not difference.low <= 0.0 <= difference.high,
        "sure": certainty(max(sure, 1.0 - sure)),
        "likelier": 0 if sure >= 0.5 else 1,
        "probability": certainty(sure) if sure >= 0.5 else f"{sure:.2f}" if sure >= 0.01 else "<0.01",
    }


def _ends(difference: Interval) -> tuple[float, float]:
    """Ends of the band of the size of a difference."""
    if difference.value < 0.0:
        return -difference.high, -difference.low
    return difference.low, difference.high


def line_rows(page: Json) -> dict[str, Any]:
    """Lines of both sides and their difference; each column adds up."""
    found = page["comparison"]
    sides = [{one["name"]: one["value"] for one in found[side]["lines"]} for side in ("a", "b")]
    names = list(dict.fromkeys([*sides[0], *sides[1]]))
    ends = [found["a"]["cost"]["value"], found["b"]["cost"]["value"]]
    columns = [
        aligned([to_place(value, 2) for value in (*(side.get(name, 0.0) for name in names), end)])
        for side, end in zip(sides, ends, strict=True)
    ]
    steps = aligned(
        [
            to_place(value, 2, signed=True)
            for value in (
                *(sides[1].get(name, 0.0) - sides[0].get(name, 0.0) for name in names),
                found["difference"]["value"],
            )
        ]
    )
    return {
        "rows": list(zip(names, *columns, steps, strict=False)),
        "sum": (columns[0][-1], columns[1][-1], steps[-1]),
        "bands": [figure(interval(one)).band for one in (found["a"]["cost"], found["b"]["cost"])]
        + [figure(interval(found["difference"]), signed=True).band],
    }


def walk_rows(page: Json) -> dict[str, Any]:
    """Factors by the size of what they make of the difference, and those in which the sides are alike."""
    found = page["comparison"]["walk"]
    moving = sorted(
        (one for one in found if one["value"] or one["low"] or one["high"]),
        key=lambda one: -abs(one["value"]),
    )
    cells = column([interval(one) for one in moving], signed=True)
    values = aligned(
        [
            to_place(value, 2, signed=True)
            for value in (*(one["value"] for one in moving), page["comparison"]["difference"]["value"])
        ]
    )
    return {
        "rows": [
            {"factor": one["factor"], "words": one["words"], "value": value, "band": cell.band}
            for one, value, cell in zip(moving, values, cells, strict=False)
        ],
        "sum": values[-1],
        "band": figure(interval(page["comparison"]["difference"]), signed=True).band,
        "alike": [one["factor"] for one in found if one not in moving],
    }


def swing_rows(page: Json) -> dict[str, Any]:
    """What moves the difference, as bars about it on one scale."""
    tornado = page["comparison"]["tornado"]
    shown = tornado["swings"][:MOST_SWINGS]
    ends = [0.0, tornado["difference"]] + [one[end] for one in shown for end in ("low", "high")]
    low, high = min(ends), max(ends)
    per_unit = 100.0 / (high - low) if high > low else 1.0

    def at(value: float) -> float:
        return round(per_unit * (value - low), 2)

    numbers = [aligned([to_place(one[end], 2, signed=True) for one in shown]) for end in ("low", "high")]
    return {
        "rows": [
            {
                "words": one["words"],
                "low": numbers[0][place],
                "high": numbers[1][place],
                "left": at(min(one["low"], one["high"])),
                "width": round(per_unit * abs(one["high"] - one["low"]), 2),
                "low_at": at(one["low"]),
            }
            for place, one in enumerate(shown)
        ],
        "zero": at(0.0),
        "here": at(tornado["difference"]),
        "note": tornado["note"],
        "more": max(len(tornado["swings"]) - MOST_SWINGS, 0),
    }


def even_rows(page: Json, places: Sequence[int]) -> list[dict[str, Any]]:
    """Break-even over each input: the sentence, and both costs as curves."""
    found = page["comparison"]
    names = page["names"]
    by_code = dict(zip((found["a"]["vehicle"], found["b"]["vehicle"]), names, strict=True))
    rows = []
    for one, curve in zip(found["break_even"], page["curves"], strict=True):
        words = _input_words(one["over"], page)

        def read(value: float, one: Json = one) -> tuple[float, str]:
            return usual(value, one["over"], one["unit"], found["currency"])

        def said(value: float, read: Reader = read) -> str:
            unit = unit_text(read(1.0)[1])
            return f"{text(float(f'{read(value)[0]:.3g}'))}{NARROW_SPACE}{unit}"

        crossings = [
            f"{by_code[it['cheaper_below']]} is cheaper below {said(it['at'])}, {by_code[it['cheaper_above']]} above"
            + (" (a further set of tools or machine)" if it["jump"] else "")
            for it in one["crossings"]
        ]
        reach = f"between {said(one['low'])} and {said(one['high'])}"
        if crossings:
            told = f"{'; '.join(crossings)}. Looked for {reach}."
        else:
            cheaper = names[0] if curve["b"][0] > curve["a"][0] else names[1]
            told = f"none {reach}: {cheaper} is cheaper throughout."
        rows.append(
            {
                "words": words,
                "told": told,
                "drawn": _curves(page, curve, one, (words, unit_text(read(1.0)[1]), told), places),
            }
        )
    return rows


def _input_words(what: str, page: Json) -> str:
    if what in INPUTS:
        return INPUTS[what].words
    if what.startswith("price of "):
        code = what.removeprefix("price of ")
        return f"price of {page['materials'].get(code, code)}"
    return {"volume": "vehicles a year"}.get(what, what)


def _curves(page: Json, curve: Json, one: Json, said: tuple[str, str, str], places: Sequence[int]) -> Curves:
    words, unit, told = said
    found = page["comparison"]

    def read(value: float) -> float:
        return usual(value, one["over"], one["unit"], found["currency"])[0]

    axis = words if words == unit else f"{words} [{unit}]" if unit else words
    return curves(
        [read(x) for x in curve["x"]],
        (curve["a"], curve["b"]),
        (page["names"][0], page["names"][1]),
        (axis[:1].upper() + axis[1:], f"Per vehicle [{found['currency']}]"),
        {read(it["at"]): text(float(f"{read(it['at']):.3g}")) for it in one["crossings"]},
        None if curve["here"] is None else read(curve["here"]),
        (mark_number(places[0]), mark_number(places[1])),
        f"Costs of both over {words}: {told}",
    )


def lacking_rows(page: Json) -> list[dict[str, Any]]:
    """What is left out on either side."""
    rows = []
    for name, side in zip(page["names"], ("a", "b"), strict=True):
        left = page["comparison"][side]["left_out"]
        covered = page["comparison"][side]["mass_covered_frac"]
        rows.append(
            {
                "name": name,
                "covered": "" if covered is None else per_cent(covered),
                "left": left[:MOST_LEFT],
                "more": max(len(left) - MOST_LEFT, 0),
                "parts": page["comparison"][side]["parts"],
            }
        )
    return rows


def part_rows(page: Json) -> list[list[dict[str, str]]]:
    """Dearest parts of either side, per vehicle."""
    found = []
    for side in ("a", "b"):
        parts = page["comparison"][side]["parts"][:10]
        numbers = aligned([to_place(one["value"], 2) for one in parts])
        found.append(
            [
                {"tag": one["tag"], "name": one["name"], "value": number}
                for one, number in zip(parts, numbers, strict=True)
            ]
        )
    return found


def function_rows(sums: Sequence[Json], places: Sequence[int]) -> list[dict[str, Any]]:
    """Functions that both vehicles do in some way, dearest first, with both sums drawn on one scale."""
    sides = [{one["key"]: one for one in page["functions"] if one["key"]} for page in sums]
    both = [key for key in sides[0] if key in sides[1]]
    both.sort(key=lambda key: -(sides[0][key]["total"]["value"] + sides[1][key]["total"]["value"]))
    amounts = [[interval(side[key]["total"]) for key in both] for side in sides]
    bands = [column(several) for several in amounts]
    values = [
        aligned([to_place(one.value, 1) if one.value else "none" for one in several]) for several in amounts
    ]
    cells = [
        [Cell(value, told.band) for value, told in zip(*pair, strict=True)]
        for pair in zip(values, bands, strict=True)
    ]
    longest = max((max(one.high, one.value) for several in amounts for one in several), default=0.0)
    rows = []
    for place, key in enumerate(both):
        costed = all(side[key]["total"]["value"] for side in sides)
        rows.append(
            {
                "key": key,
                "words": sides[0][key]["words"],
                "cells": [several[place] for several in cells],
                "bars": [
                    bar(several[place], longest, wash_of(at))
                    for several, at in zip(amounts, places, strict=True)
                ],
                "costed": costed,
            }
        )
    return rows
