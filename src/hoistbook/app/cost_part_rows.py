"""Rows of the page of a part's cost: lines before and now, steps side by side, inputs, fields of the form."""

from __future__ import annotations

from typing import Any

from hoistbook.app.scenario_rows import plain, size_text
from hoistbook.core.compare.bars import Interval
from hoistbook.core.cost.inputs import INPUTS
from hoistbook.core.cost.result import Line, Money, PartCost, StepTaken
from hoistbook.core.vehicle.kinds import unit_text
from hoistbook.report.figures import Figure, aligned, figure, to_place
from hoistbook.services.keeping import Json
from hoistbook.services.pages.cost import is_estimate
from hoistbook.services.pages.cost_form import TYPED_IN, Field, Form, Select, field_name
from hoistbook.services.pages.cost_part import Worked
from hoistbook.services.pages.cost_witness import Witness

AFTER = "afterwards"
BAR = 120.0
"""Length of the longest bar in px."""


def told(found: Money) -> Figure:
    """An amount with its band as text."""
    return figure(Interval(found.value, found.low, found.high))


def places_of(value: float) -> int:
    """Decimals that amounts are printed to beside a whole of this size."""
    size = abs(value)
    return 0 if size >= 1000.0 else 2 if size >= 1.0 else 4


def line_rows(found: Worked) -> list[dict[str, Any]]:
    """Lines of a piece by name, as typed and as the record has it; they add up to the piece."""
    was = found.was.by_name()
    now = was if found.now is None else found.now.by_name()
    names = list(dict.fromkeys([*was, *now]))
    places = places_of(found.was.piece.value)
    largest = max((abs(value) for value in (*was.values(), *now.values())), default=1.0) or 1.0
    total = sum(now.values()) or 1.0

    def column(values: list[float], *, signed: bool = False) -> list[str]:
        return aligned([to_place(value, places, signed=signed) for value in values])

    ends = [sum(was.values()), sum(now.values())]
    before = column([*(was.get(name, 0.0) for name in names), ends[0]])
    after = column([*(now.get(name, 0.0) for name in names), ends[1]])
    change = column(
        [*(now.get(name, 0.0) - was.get(name, 0.0) for name in names), ends[1] - ends[0]], signed=True
    )
    return [
        {
            "words": name,
            "was": before[place],
            "now": after[place],
            "change": change[place],
            "differs": round(now.get(name, 0.0) - was.get(name, 0.0), places) != 0.0,
            "share": now.get(name, 0.0) / total,
            "length": round(BAR * max(now.get(name, 0.0), 0.0) / largest, 1),
            "before": round(BAR * max(was.get(name, 0.0), 0.0) / largest, 1),
        }
        for place, name in enumerate(names)
    ] + [{"words": "", "was": before[-1], "now": after[-1], "change": change[-1]}]


def step_table(cost: PartCost) -> dict[str, Any]:
    """Steps side by side: what limits each, its machine, what it takes, and its lines down to the sum of the piece."""
    steps = cost.steps
    places = places_of(cost.piece.value)
    lines: list[Line] = list(cost.lines)
    columns = [*range(1, len(steps) + 1), 0]
    if not any(line.step == 0 for line in lines):
        columns = columns[:-1]
    names = list(dict.fromkeys(line.name for line in lines))

    def amount(step: int, name: str) -> str:
        value = sum(line.value_money for line in lines if (line.step, line.name) == (step, name))
        return to_place(value, places) if value else ""

    def summed(step: int) -> float:
        return sum(line.value_money for line in lines if line.step == step)

    grid = [
        {
            "words": name,
            "cells": aligned([amount(step, name) for step in columns]),
            "sum": to_place(sum(line.value_money for line in lines if line.name == name), places),
        }
        for name in names
    ]
    return {
        "heads": [*(step.title for step in steps), *([AFTER] if 0 in columns else [])],
        "facts": [row for row in _facts(steps) if any(row["cells"])],
        "blank": 0 in columns,
        "lines": grid,
        "sums": [to_place(summed(step), places) for step in columns],
        "sum": to_place(cost.piece.value, places),
        "stages": [
            {
                "title": step.title,
                "limits": step.limits,
                "stages": [
                    (words, seconds_of(seconds), words == step.limits) for words, seconds in step.stages
                ],
            }
            for step in steps
            if step.stages
        ],
    }


def seconds_of(seconds: float) -> str:
    """A time to three digits."""
    return plain(float(f"{seconds:.3g}"))


def _facts(steps: tuple[StepTaken, ...]) -> list[dict[str, Any]]:
    """What each step takes, one row per quantity."""

    def three(value: float) -> str:
        return plain(float(f"{value:.3g}"))

    rows: list[tuple[str, str, list[str]]] = [
        ("Limited by", "", [step.limits for step in steps]),
        ("A piece every", "s", [three(step.pace_s) if step.pace_s else "" for step in steps]),
        ("Machine", "", [step.machine_words for step in steps]),
        (
            "of the size",
            "",
            [size_text(step.machine_size, step.size_unit) if step.machine else "" for step in steps],
        ),
        (
            "A running hour",
            "money",
            [to_place(step.machine_money_per_h, 0) if step.machine else "" for step in steps],
        ),
        (
            "Machines kept busy",
            "",
            [three(step.machine_need) if step.machine else "" for step in steps],
        ),
        ("People", "", [three(step.crew) if step.crew else "" for step in steps]),
        ("Rejects", "%", [three(100.0 * step.reject_frac) for step in steps]),
        ("Material in", "kg", [three(step.gross_kg) if step.gross_kg else "" for step in steps]),
        (
            "of it sold as offal",
            "kg",
            [three(step.returned_kg) if step.returned_kg else "" for step in steps],
        ),
        ("Energy", "kWh", [three(step.energy_j / 3.6e6) if step.energy_j else "" for step in steps]),
    ]
    return [{"words": words, "unit": unit, "cells": cells} for words, unit, cells in rows]


def tool_rows(cost: PartCost) -> list[dict[str, str]]:
    """Tools of each step that needs any: one set, how long it lives, how many sets the programme takes."""
    return [
        {
            "title": step.title,
            "set": to_place(step.tools_money, 0),
            "life": "the programme"
            if step.tool_life == float("inf")
            else f"{step.tool_life:,.0f}".replace(",", "\u202f"),
            "sets": plain(step.tool_sets),
            "all": to_place(step.tools_money * step.tool_sets, 0),
        }
        for step in cost.steps
        if step.tools_money
    ]


def input_rows(found: Worked) -> list[dict[str, Any]]:
    """Readings that the cost rests on, with their bands, and how each estimate was made."""
    part = found.part
    sentences = list(part.estimated)
    stated = {one.name for one in found.form.readings if one.origin == "stated here"}
    rows = []
    for name, one in INPUTS.items():
        if name not in part.readings:
            continue
        reading = part.readings[name]
        unit, factor = TYPED_IN.get(one.unit, (one.unit, 1.0))
        low, high = reading.band()
        if high > low:
            cell = figure(Interval(factor * reading.value, factor * low, factor * high))
        else:
            cell = Figure(plain(float(f"{factor * reading.value:.6g}")), "")
        estimated = is_estimate(part, name)
        rows.append(
            {
                "words": one.words,
                "cell": cell,
                "unit": "" if unit == "1" else unit_text(unit),
                "how": one.how,
                "origin": "stated here"
                if field_name(one) in stated
                else "estimated"
                if estimated
                else {"measured": "read", "inferred": "from other readings"}.get(
                    reading.origin.value, reading.origin.value
                ),
                "estimated": estimated,
                "because": next((said for said in sentences if said.startswith(f"{one.words} ")), "")
                if estimated
                else "",
            }
        )
    return rows


def form_rows(form: Form) -> dict[str, Any]:
    """Fields with their faults, grouped as the form shows them."""

    def field(one: Field) -> dict[str, Any]:
        return {
            "one": one,
            "unit": unit_text(one.unit) if one.unit else "",
            "hint": f"{one.usual} estimated"
            if one.origin == "estimated"
            else "not read"
            if not one.usual
            else "",
            "fault": form.faults.get(one.name, ""),
            "changed": one.origin == "stated here",
        }

    def select(one: Select) -> dict[str, Any]:
        return {"one": one, "fault": form.faults.get(one.name, ""), "changed": one.chosen != one.usual}

    several: list[Field | Select] = [*form.selects, *(one for step in form.steps for one in step)]
    return {
        "readings": [field(one) for one in form.readings],
        "numbers": [field(one) for one in form.numbers],
        "selects": [select(one) for one in form.selects if one.name != "material"],
        "material": next(select(one) for one in form.selects if one.name == "material"),
        "steps": [[select(one) for one in step] for step in form.steps],
        "fault": form.faults.get("", ""),
        "wrong": [
            (one.words, f"f-{one.name}")
            for one in (*form.readings, *form.numbers, *several)
            if one.name in form.faults
        ],
        "slots": [
            (one.name, form.faults.get(one.name, "")) for one in (*form.readings, *form.numbers, *several)
        ],
    }


def witness_rows(found: Witness) -> dict[str, Any]:
    """What can be seen, what it says of process and material, what to look at next, and what each would cost."""
    table = found.table
    looks = [
        {"one": one, "chosen": found.typed.get(one.name, ""), "fault": found.faults.get(one.name, "")}
        for one in table.looks.values()
    ]
    measures = [
        {
            "one": one,
            "unit": "" if one.unit == "1" else unit_text(one.unit),
            "typed": found.typed.get(one.name, ""),
            "fault": found.faults.get(one.name, ""),
        }
        for one in table.measures.values()
    ]
    said: dict[str, Any] = {"looks": looks, "measures": measures, "fault": found.faults.get("", "")}
    if found.belief is None:
        return said
    said |= {
        "processes": [
            (table.processes[code], share, round(BAR * share, 1))
            for code, share in list(found.belief.processes().items())[:5]
        ],
        "materials": [
            (table.materials[code], share, round(BAR * share, 1))
            for code, share in list(found.belief.materials().items())[:5]
        ],
        "next": [
            {
                "words": one.words,
                "how": one.how,
                "time": _time(one.time_s),
                "bits": to_place(one.expected_bits, 2),
            }
            for one in found.next
        ],
        "seen": len(found.belief.observed),
        "candidates": [
            {
                "process": table.processes[one.process],
                "material": table.materials[one.material],
                "share": one.probability,
                "told": None if one.cost is None else told(one.cost.piece),
                "why": one.why,
            }
            for one in found.candidates
        ],
        "mixed": None if found.mixed is None else told(found.mixed.piece),
        "mean": "" if found.mixed is None else to_place(found.mixed.mean_money, 2),
    }
    return said


def _time(seconds: float) -> str:
    """A time as people say it."""
    return f"{seconds:.0f}\u202fs" if seconds < 60.0 else f"{plain(float(f'{seconds / 60.0:.2g}'))}\u202fmin"


def fastener_lines(found: Json) -> list[dict[str, str]]:
    """Lines of a fastener that is priced as a whole."""
    numbers = aligned([to_place(one["value"], 4) for one in found["lines"]])
    return [{"words": one["name"], "now": text} for one, text in zip(found["lines"], numbers, strict=True)]
