"""Rows of the scenario page: figures as text, and the hour of a machine as a bar."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from hoistbook.app.cells import column
from hoistbook.core.compare.bars import Interval
from hoistbook.core.cost.lines import MARK_UPS
from hoistbook.core.cost.machine_rate import RATE_PARTS
from hoistbook.core.cost.result import Money
from hoistbook.core.quantities.printing import text
from hoistbook.core.vehicle.kinds import unit_text
from hoistbook.report.figures import aligned, to_place
from hoistbook.services.pages.scenario import Entry, ReadFigure, ScenarioPage

PRICE = "material_price_money_per_kg"
BAR = 160.0
"""Length of the longest bar in px."""


def interval(money: Money, factor: float = 1.0) -> Interval:
    """An amount as an interval."""
    return Interval(factor * money.value, factor * money.low, factor * money.high)


def figure_row(one: ReadFigure) -> dict[str, Any]:
    """A figure as its row shows it."""
    figure = one.figure
    return {
        "words": figure.words,
        "when": "" if figure.when is None else ": ".join(figure.when).replace("_", " "),
        "value": plain(one.value),
        "limits": "" if figure.exact else f"{plain(one.low)} to {plain(one.high)}",
        "unit": unit_text(one.unit),
        "year": figure.year or "",
        "index": figure.index,
        "mark": figure.mark,
        "source": figure.source,
        "note": figure.note,
        "reviewed": figure.reviewed,
    }


def plain(value: float) -> str:
    """A figure of data as it was stated: six digits bring back what was typed."""
    return text(float(f"{value:.6g}"))


def entry_rows(entries: Sequence[Entry], wanted: str) -> list[dict[str, Any]]:
    """Entries with those of their figures that are wanted: "never", "reviewed", or all of them."""
    found = []
    for entry in entries:
        figures = [one for one in entry.figures if is_wanted(one, wanted)]
        if figures:
            found.append({"entry": entry, "figures": [figure_row(one) for one in figures]})
    return found


def is_wanted(one: ReadFigure, wanted: str) -> bool:
    """Whether a figure is among those that are asked for."""
    return not wanted or bool(one.reviewed) == (wanted == "reviewed")


def supplier_lines(page: ScenarioPage) -> list[tuple[Entry, list[tuple[str, str]]]]:
    """Mark-ups side by side, one line per supplier, in the order of `MARK_UPS`."""
    found = []
    for entry in page.of("supplier"):
        figures = {one.figure.name: figure_row(one) for one in entry.figures}
        found.append(
            (entry, [(figures[name]["value"], figures[name]["limits"]) for name in MARK_UPS.values()])
        )
    return found


def material_lines(page: ScenarioPage) -> list[tuple[Entry, dict[str, Any], str]]:
    """The price of each material as it is stated, and in the money of the scenario."""
    found = []
    for entry in page.of("material"):
        for one in entry.figures:
            if one.figure.name == PRICE:
                now = page.scenario.money(one.figure).value
                found.append((entry, figure_row(one), to_place(now, 2)))
    return found


def rate_rows(page: ScenarioPage) -> list[dict[str, Any]]:
    """Hourly rates, dearest first, with their parts as bars that lie end to end."""
    rates = sorted(page.rates, key=lambda one: -one.whole.value)
    longest = rates[0].whole.value if rates else 1.0
    cells = column([interval(one.whole) for one in rates])
    parts = {name: aligned([to_place(one.parts[name].value, 1) for one in rates]) for name in RATE_PARTS}
    found = []
    for place, (rate, cell) in enumerate(zip(rates, cells, strict=True)):
        machine = page.scenario.machines[rate.code]
        at, bars = 0.0, []
        for name in RATE_PARTS:
            length = BAR * rate.parts[name].value / longest
            bars.append({"name": name, "x": round(at, 2), "length": round(length, 2)})
            at += length
        found.append(
            {
                "words": machine.words,
                "code": rate.code,
                "size": size_text(rate.size, machine.size_unit),
                "size_words": machine.size_words,
                "cell": cell,
                "parts": [parts[name][place] for name in RATE_PARTS],
                "bars": bars,
            }
        )
    return found


def size_text(size: float, unit: str) -> str:
    """Size of a machine in the unit people use; one of a kind that has no size says nothing."""
    if unit == "1" and size == 1.0:
        return ""
    read, factor = {"N": ("kN", 1e-3), "Pa": ("MPa", 1e-6)}.get(unit, (unit, 1.0))
    return f"{plain(float(f'{factor * size:.4g}'))}\u202f{unit_text(read)}".rstrip("\u202f")


def settings_of(page: ScenarioPage) -> list[tuple[str, str]]:
    """What the scenario decides and states without a band."""
    one = page.scenario
    learned = (
        "nothing is learned: the models hold for the whole programme"
        if one.learning_frac == 1.0
        else f"{plain(100.0 * one.learning_frac)} % with each doubling ({one.learning_theory.title()}), "
        f"models hold for the first {plain(one.learning_from)} pieces"
    )
    return [
        ("Vehicles a year", plain(one.volume_per_year)),
        ("Programme", f"{plain(one.programme_years)} years"),
        ("Pieces between two set-ups", plain(one.lot_count)),
        (
            "Machines are",
            "dedicated: whole ones stand for a part" if one.dedicated else "shared: paid by the hour",
        ),
        ("Machines live", f"{plain(one.machine_years)} years at {plain(100.0 * one.interest_frac)} % a year"),
        ("Tools", TOOLING_WORDS[one.tooling]),
        ("Learning", learned),
        ("Region", one.regions[one.region].words),
        ("Supplier", one.suppliers[one.supplier].words),
        ("Money", f"{one.currency} of {one.year}"),
    ]


TOOLING_WORDS = {
    "apart": "shown apart, not in the piece",
    "simple": "spread over all pieces, without interest",
    "annuity": "paid back over the programme, with interest",
}
"""Ways of paying tools as people say them."""
