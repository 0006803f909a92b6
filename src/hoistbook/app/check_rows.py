"""Rows of the pages of checks: figures with their bands, margins, what makes a band, effects, fields, equations."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from hoistbook.app.cells import Cell
from hoistbook.core.checks.declared import Check, Outcome, Reading
from hoistbook.core.checks.found import CheckResult, Figured, Held
from hoistbook.core.checks.run import shown
from hoistbook.core.checks.words import NO_PERMISSION, kept
from hoistbook.core.compare.bars import Interval
from hoistbook.core.quantities.printing import text
from hoistbook.core.quantities.units import from_si
from hoistbook.core.vehicle.kinds import QUANTITY_KINDS, unit_text
from hoistbook.report.figures import CERTAIN, aligned, certainty, figure
from hoistbook.services.checks import ON_SHEET
from hoistbook.services.keeping import Json
from hoistbook.services.pages.check_form import FACT, NOTHING, RECORD, TYPED, USUAL, printed_band
from hoistbook.services.pages.check_form import Cell as Typed
from hoistbook.services.pages.checks import WorkedCheck

EXACT_DIGITS = 6
"""project rule: digits of a figure that has no band."""
BAR = 120.0
"""Length of the longest bar in px."""
EVIDENCE = "check: {check}/{outcome}"
"""What an effect row says of the check it comes from."""
_ORIGINS = {
    RECORD: "on record",
    FACT: "on record",
    USUAL: "usual value",
    TYPED: "typed here",
    NOTHING: "not stated",
}


def told(value: float, low: float, high: float, unit: str, show: str, *, signed: bool = False) -> Cell:
    """A figure in the unit people read it in."""
    into = show or unit
    ends = [from_si(end, into, unit) for end in (value, low, high)]
    if ends[1] == ends[2]:
        ends = [float(f"{end:.{EXACT_DIGITS}g}") for end in ends]
    found = figure(Interval(ends[0], min(ends[1:]), max(ends[1:])), signed=signed, unit=into)
    return Cell(found.value, found.band)


def unit_words(one: Reading | Outcome | Figured) -> str:
    """The unit people read it in, as it is set in print."""
    return unit_text(one.show or one.unit)


def main_figure(result: CheckResult) -> dict[str, Any]:
    """The main figure for the head of the page."""
    one = result.figures[0]
    cell = told(one.value, one.low, one.high, one.unit, one.show)
    return {
        "words": one.words,
        "item": one.item,
        "cell": cell,
        "lopsided": bool(cell.band) and not cell.band.startswith("±"),
        "unit": unit_words(one),
        "formulas": len(one.formulas),
        "more": sum(each.name == one.name for each in result.figures) - 1,
    }


def figure_rows(check: Check, result: CheckResult) -> dict[str, Any]:
    """Figures of which there is one, and a table for each kind of thing there are several of."""
    single = [one for one in result.figures if not one.item]
    cells = [told(one.value, one.low, one.high, one.unit, one.show) for one in single]
    kinds = dict.fromkeys(one.each for one in check.outcomes if one.each)
    return {
        "single": [
            {"one": one, "cell": cell, "unit": unit_words(one), "formulas": _formulas(one)}
            for one, cell in zip(single, cells, strict=True)
        ],
        "tables": [_table(each, check, result) for each in kinds],
    }


def _formulas(one: Figured) -> list[dict[str, Any]]:
    return [
        {"words": by.formula, "cell": told(by.value, by.low, by.high, one.unit, one.show)}
        for by in one.formulas
    ]


def _table(each: str, check: Check, result: CheckResult) -> dict[str, Any]:
    outcomes = [one for one in check.outcomes if one.each == each]
    columns = [[one for one in result.figures if one.name == outcome.name] for outcome in outcomes]
    items = [one.item for one in columns[0]]
    cells = [[told(one.value, one.low, one.high, one.unit, one.show) for one in column] for column in columns]
    values = [aligned([cell.value for cell in column]) for column in cells]
    return {
        "id": f"by-{each}",
        "each": each,
        "heads": [(one.words, unit_words(one)) for one in outcomes],
        "rows": [
            {
                "item": item,
                "cells": [
                    Cell(values[column][row], cells[column][row].band) for column in range(len(outcomes))
                ],
            }
            for row, item in enumerate(items)
        ],
        "formulas": [
            {"words": one.words, "item": one.item, "unit": unit_words(one), "by": _formulas(one)}
            for column in columns
            for one in column
            if one.formulas
        ],
    }


def margin_rows(check: Check, result: CheckResult) -> list[dict[str, Any]]:
    """Margins against limits; drawn from zero, where the limit is passed, each at its own scale."""
    outcomes = {one.name: one for one in check.outcomes}
    return [_margin(outcomes[held.outcome], held) for held in result.held]


def _margin(outcome: Outcome, held: Held) -> dict[str, Any]:
    reach = max(abs(held.margin_low), abs(held.margin_high), abs(held.margin)) or 1.0

    def at(value: float) -> float:
        return round(50.0 + 46.0 * value / reach, 2)

    words = kept(held).removesuffix(f". {NO_PERMISSION}")  # said once, below the table
    return {
        "held": held,
        "words": outcome.words,
        "bound": f"{held.side} {shown(held.bound, outcome)}",
        "cell": told(held.margin, held.margin_low, held.margin_high, outcome.unit, outcome.show, signed=True),
        "unit": unit_words(outcome),
        "kept": chance(held.kept),
        "verdict": words,
        "low": at(held.margin_low),
        "value": at(held.margin),
        "high": at(held.margin_high),
        "source": f"{held.mark}: {held.source}",
    }


def share_rows(check: Check, result: CheckResult) -> list[dict[str, Any]]:
    """What makes the band of the main figure, largest first; what makes less than 1 % is left to the count."""
    words = {one.name: one.words for one in check.readings}
    largest = max((share for _, share in result.shares), default=1.0) or 1.0
    return [
        {"words": words[name], "share": share, "length": round(BAR * share / largest, 1)}
        for name, share in result.shares
        if share >= 0.01
    ]


def effect_rows(check: Check, result: CheckResult) -> list[dict[str, Any]]:
    """Rows for the sheet of effects.

    Notes
    -----
    An effect row has one half width; the longer side of the band is taken.
    """
    rows = []
    for one in result.figures:
        if not one.effect:
            continue
        kind = QUANTITY_KINDS[one.effect]
        unit = kind.example_units[0] if kind.example_units else kind.unit
        value, low, high = (from_si(end, unit, one.unit) for end in (one.value, one.low, one.high))
        rows.append(
            {
                "quantity": kind.words,
                "value": f"{value:.6g}",
                "unit": unit,
                "half": f"{max(value - low, high - value, 0.0):.3g}",
                "origin": "inferred",
                "evidence": EVIDENCE.format(check=check.name, outcome=one.name)
                + (f"[{one.item}]" if one.item else ""),
                "words": one.words,
            }
        )
    return rows


def form_rows(found: WorkedCheck) -> dict[str, Any]:
    """Fields as the form shows them, and what is wrong at each."""
    form = found.form
    slots: list[tuple[str, str, str]] = []

    def cell(one: Typed, reading: Reading) -> dict[str, Any]:
        slots.append((one.name, one.fault, reading.words))
        return {
            "one": one,
            "words": reading.words,
            "bare": _bare_band(reading),
            "fault": one.fault,
            "place": ""
            if one.place == ON_SHEET
            else one.place.removeprefix(f"{ON_SHEET} (").removesuffix(")"),
            "origin": _ORIGINS[one.origin],
            "est": one.origin == USUAL,
            "changed": one.origin == TYPED,
        }

    def reading(one: Reading) -> dict[str, Any]:
        usual = one.usual
        return {
            "reading": one,
            "unit": unit_words(one),
            "bare": _bare_band(one),
            "reach": f"{_short(one.least, one)} to {_short(one.most, one)}",
            "usual": "" if usual is None else f"{usual.mark}: {usual.source}",
        }

    fields = [
        {**reading(one.reading), "number": one.number, **cell(one.cell, one.reading)} for one in form.fields
    ]
    tables = []
    for table in form.tables:
        readings = [one for one, _ in table.readings]
        tables.append(
            {
                "table": table,
                "heads": [{**reading(one), "number": number} for one, number in table.readings],
                "rows": [
                    {
                        "item": item,
                        "cells": [cell(one, of) for one, of in zip(item.cells, readings, strict=True)],
                    }
                    for item in table.items
                ],
                "stated": {_ORIGINS[one.origin] for item in table.items for one in item.cells if one.origin},
            }
        )
        slots.append((table.count, table.fault, table.words))
    selects = [
        {"one": one, "changed": one.chosen != one.usual or bool(one.fault), "fault": one.fault}
        for one in form.selects
    ]
    slots += [(one.name, one.fault, one.words) for one in form.selects]
    return {
        "fields": fields,
        "tables": tables,
        "selects": selects,
        "slots": [(name, fault) for name, fault, _ in slots],
        "wrong": [(words, f"f-{name}") for name, fault, words in slots if fault],
    }


def _bare_band(one: Reading) -> str:
    """The band that is taken where none is typed, as its field shows it."""
    return printed_band(one.half_width, one.least, one) if one.half_width else ""


def chance(probability: float) -> str:
    """A probability as "0.98", capped at both ends."""
    return f"<{1.0 - CERTAIN:.2f}" if probability < 1.0 - CERTAIN else certainty(probability)


def _short(value: float, one: Reading) -> str:
    """An end of a range: four digits, so that a limit in radians reads as degrees are written."""
    unit = one.show or one.unit
    return f"{text(float(f'{from_si(value, unit, one.unit):.4g}'))} {unit_text(unit)}".rstrip()


def numbers_of(check: Check) -> dict[str, int]:
    """Number of each reading, in the drawing and in the form."""
    return {one.name: place for place, one in enumerate(check.readings, start=1)}


def method_blocks(method: str) -> list[dict[str, Any]]:
    """Equations of a check: tables and paragraphs of its Markdown."""
    blocks: list[dict[str, Any]] = []
    for block in re.split(r"\n\s*\n", method.strip()):
        lines = [line.strip() for line in block.splitlines() if line.strip()]
        if lines and all(line.startswith("|") for line in lines):
            cells = [[_bare(one) for one in line.strip("|").split("|")] for line in lines]
            blocks.append({"heads": cells[0], "rows": cells[2:]})
        elif lines:
            blocks.append({"text": _bare(" ".join(lines))})
    return blocks


def _bare(words: str) -> str:
    return re.sub(r"[`]|\*\*", "", words).strip()


def overview_rows(checks: Sequence[Json], known: dict[str, Check]) -> list[dict[str, Any]]:
    """Checks in short, by family; one that the program no longer has is left out."""
    families: dict[str, list[dict[str, Any]]] = {}
    for one in checks:
        check = known.get(one["name"])
        if check is not None:
            families.setdefault(check.family, []).append(_in_short(check, one))
    return [{"family": family, "rows": rows} for family, rows in families.items()]


def _in_short(check: Check, one: Json) -> dict[str, Any]:
    row: dict[str, Any] = {"check": check, "one": one, "state": one["state"]}
    found = one.get("figure")
    if found:
        row |= {
            "cell": told(found["value"], found["low"], found["high"], found["unit"], found["show"]),
            "unit": unit_text(found["show"] or found["unit"]),
        }
    margin = one.get("margin")
    if margin:
        outcome = next(each for each in check.outcomes if each.name == margin["outcome"])
        row["margin"] = {
            "cell": told(
                margin["value"], margin["low"], margin["high"], outcome.unit, outcome.show, signed=True
            ),
            "unit": unit_words(outcome),
            "kept": chance(margin["kept"]),
            "side": margin["side"],
            "bound": shown(margin["bound"], outcome),
            "words": margin["words"],
            "safety": margin["safety"],
            "item": margin["item"],
        }
    return row
