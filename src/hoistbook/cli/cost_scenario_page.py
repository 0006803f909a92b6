"""Scenarios and processes as printed pages: figures with limits, mark and source, and what was never reviewed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path

from hoistbook.cli.cost_page import PRICES_ARE, scenario_lines
from hoistbook.cli.money import CENTS, band, money_words
from hoistbook.cli.page import Column, Page, Row
from hoistbook.core.cost.inputs import INPUTS
from hoistbook.core.cost.process import Process
from hoistbook.core.cost.scenario import Scenario
from hoistbook.core.quantities.printing import text
from hoistbook.core.vehicle.kinds import unit_text
from hoistbook.report.figures import aligned, per_cent, to_place, worded
from hoistbook.report.sentences import capital
from hoistbook.services.pages.scenario import Entry, ReadFigure, ScenarioPage, read_figure

NEVER = "never reviewed"


def print_scenario(page: Page, found: ScenarioPage, group: str, *, never: bool) -> None:
    """Print a scenario.

    Parameters
    ----------
    page : Page
    found : ScenarioPage
    group : str
        Kind of entries whose figures are printed; none when empty.
    never : bool
        Only figures that nobody has looked at.
    """
    scenario = found.scenario
    page.text(
        f"{found.never} of {found.figures} figures were never reviewed ({per_cent(found.never / found.figures)}).",
        style="bold",
    )
    page.bullets(worded(line) for line in scenario_lines(scenario))
    page.bullets(
        (f"money: {money_words(scenario.currency, scenario.year)}; {PRICES_ARE[0].lower()}{PRICES_ARE[1:]}",)
    )
    if scenario.note:
        page.text(scenario.note)
    page.heading("Figures, and what nobody has looked at")
    page.table(
        (
            Column("kind"),
            Column("entries", "right"),
            Column("figures", "right"),
            Column(NEVER, "right"),
            Column("marks", wraps=True),
        ),
        [
            Row(
                (
                    one.group,
                    str(one.entries),
                    str(one.figures),
                    str(one.never),
                    ", ".join(f"{mark} {count}" for mark, count in one.marks.items() if count),
                )
            )
            for one in found.counts
        ],
    )
    if group or never:
        for entry in found.entries:
            if not group or entry.group == group:
                _entry(page, entry, never=never)
        return
    _choices(page, found)
    _rates(page, found)
    _money(page, scenario)
    page.text("Figures of one kind: --figures KIND. A copy to change: --write FILE.")


def _choices(page: Page, found: ScenarioPage) -> None:
    scenario = found.scenario
    for group, chosen in (("region", scenario.region), ("supplier", scenario.supplier)):
        page.heading(f"{capital(group)}s; this scenario takes {chosen!r}")
        page.bullets(f"{entry.code}: {entry.words}" for entry in found.of(group))
    page.heading("Materials")
    page.text("; ".join(entry.code for entry in found.of("material")) + ".")


def _rates(page: Page, found: ScenarioPage) -> None:
    scenario = found.scenario
    page.heading(f"Machine-hour rates at the reference size, {money_words(scenario.currency, scenario.year)}")
    page.text(
        "Capital recovery, maintenance, insurance, floor, energy, wear; without the crew. Machines "
        + (
            "stand for one part alone: the hour is paid whether it is run or not."
            if scenario.dedicated
            else "are shared."
        )
    )
    cells = aligned([to_place(one.whole.value, CENTS) for one in found.rates], pad=" ")
    page.table(
        (Column("machine", wraps=True), Column("per hour", "right"), Column("95 % band", wraps=True)),
        [
            Row((scenario.machines[one.code].words, cell, band(one.whole)))
            for one, cell in zip(found.rates, cells, strict=True)
        ],
    )


def _money(page: Page, scenario: Scenario) -> None:
    page.heading("Indices and rates of exchange")
    page.bullets(
        f"{one.code}: {one.words}, {', '.join(f'{year} {value:g}' for year, value in sorted(one.points.items()))} "
        f"({one.mark}: {one.source})"
        for one in scenario.indices.values()
    )
    page.bullets(
        f"1 {one.currency} = {one.rate:g} {scenario.currency} at {one.at} ({one.source})"
        for one in scenario.exchange.values()
    )


def _entry(page: Page, entry: Entry, *, never: bool) -> None:
    shown = [one for one in entry.figures if not never or not one.reviewed]
    if shown:
        page.heading(f"{capital(entry.group)} {entry.code}" + (f": {entry.words}" if entry.words else ""))
        _figures(page, shown)


def _figures(page: Page, figures: Sequence[ReadFigure], options: Sequence[str] = ()) -> None:
    """Print figures; `options` say for which option each holds, where any does."""
    page.table(
        (
            Column("figure", wraps=True),
            Column("value and limits", wraps=True),
            Column("who says so", wraps=True),
        ),
        [
            Row(
                (
                    f"{capital(one.figure.words)}{f' ({options[place]})' if options and options[place] else ''}",
                    _value(one),
                    f"{one.figure.mark}: {one.figure.source}; {one.reviewed or NEVER}",
                )
            )
            for place, one in enumerate(figures)
        ],
    )


def _value(one: ReadFigure) -> str:
    unit = "" if one.unit == "1" else f" {unit_text(one.unit)}"
    year = f" of {one.figure.year}" if one.figure.year else ""
    limits = "" if one.figure.exact else f" ({_number(one.low)} to {_number(one.high)})"
    return f"{_number(one.value)}{limits}{unit}{year}"


def _number(value: float) -> str:
    return text(float(f"{value:.4g}"))


def print_written(page: Page, path: Path) -> None:
    """Say that a copy was written and how it is used."""
    page.text(f"Written: {path}. Change what your case says, and state who looked at a figure in reviewed.")
    page.text("Then:")
    page.verbatim(f"  hoistbook cost VEHICLE --scenario {path}")
    page.verbatim(f"  hoistbook cost scenario --scenario {path}")


def print_processes(page: Page, found: Sequence[Process]) -> None:
    """Print the list of processes by family."""
    page.text(f"{len(found)} processes. One of them: hoistbook cost processes NAME.", style="bold")
    for family in dict.fromkeys(one.family for one in found):
        page.heading(capital(family))
        page.table(
            (Column("process", wraps=True), Column("name"), Column("must be read off the part", wraps=True)),
            [
                Row(
                    (
                        capital(one.title),
                        one.name,
                        ", ".join(INPUTS[name].words for name in one.needs) or "nothing",
                    )
                )
                for one in found
                if one.family == family
            ],
        )


def print_process(page: Page, process: Process, scenario: Scenario) -> None:
    """Print one process with its figures as a scenario has them."""
    page.text(f"{capital(process.title)} ({process.name})", style="bold")
    page.text(
        "Brings the material of the part." if process.adds_material else "Works on a piece that is there."
    )
    if process.sketch:
        page.text(process.sketch)
    for head, names in (
        ("Must be read off the part", process.needs),
        ("May be read off; else taken as usual or none", process.optional),
    ):
        if names:
            page.heading(head)
            page.bullets(f"{INPUTS[name].words}, by {INPUTS[name].how}" for name in names)
    for choice in process.choices:
        page.heading(f"Choice: {choice.words} (the first when none is made)")
        page.bullets(f"{option}: {words}" for option, words in choice.options.items())
    page.heading("Figures")
    kept = [(scenario.overrides.get(process.key(one), one), one) for one in process.figures]
    _figures(
        page,
        [read_figure(stated) for stated, _ in kept],
        ["" if one.when is None else one.when[1] for _, one in kept],
    )
    page.heading("Full names of these figures, for [process] of a scenario")
    page.text("; ".join(process.key(one) for one in process.figures))
    _said(page, "Refused", (one.words for one in process.limits))
    _said(page, "Costed, with a word of caution", (one.words for one in process.advice))
    if process.notes:
        page.heading("What it leaves out")
        page.text(process.notes)


def _said(page: Page, head: str, words: Iterable[str]) -> None:
    lines = [worded(capital(line)) for line in words]
    if lines:
        page.heading(head)
        page.bullets(lines)
