"""Checks as printed pages: the list, what one reads, and what it found."""

from __future__ import annotations

from collections.abc import Sequence

from hoistbook.cli.page import Column, Page, Row
from hoistbook.core.checks.declared import FAMILIES, Check, Reading
from hoistbook.core.checks.found import Figured, Held
from hoistbook.core.checks.run import shown as in_words
from hoistbook.core.checks.run import shown_band
from hoistbook.core.compare.bars import Interval
from hoistbook.core.quantities.units import from_si
from hoistbook.core.vehicle.kinds import unit_text
from hoistbook.report.figures import figure, per_cent
from hoistbook.report.sentences import capital
from hoistbook.services.checks import CheckReport


def print_checks(page: Page, checks: Sequence[Check]) -> None:
    """Print the checks with their questions, family by family."""
    for family, words in FAMILIES.items():
        of_family = [one for one in checks if one.family == family]
        if of_family:
            page.heading(words)
            page.table(
                (Column("check"), Column("question", wraps=True)),
                [Row((one.name, one.question)) for one in of_family],
            )
    page.blank()
    page.text("What one reads: hoistbook check NAME --list")


def print_declared(page: Page, check: Check) -> None:
    """Print what a check reads and gives."""
    page.text(check.title, style="bold")
    page.text(check.question)
    page.heading("What it reads")
    page.bullets(map(_declared, check.readings))
    for choice in check.choices:
        options = "; ".join(f"{name}: {words}" for name, words in choice.options.items())
        page.text(f"{choice.name} ({choice.words}): {options}. The first is taken where nobody chose.")
    for names in check.names:
        page.text(f"{names.name}: {names.words}, one for each {names.each}.")
    page.heading("What it gives")
    page.bullets(f"{one.name}: {one.words} [{unit_text(one.show or one.unit)}]" for one in check.outcomes)
    _print_list(page, "Take care", check.cautions)
    _print_list(page, "What it cannot say", check.cannot_say)
    _print_list(page, "Rests on", check.references)


def _declared(one: Reading) -> str:
    if one.usual is None:
        default = "must be stated"
    else:
        band = f" ± {shown_band(one.usual.half_width, one)}" if one.usual.half_width else ""
        default = f"else {in_words(one.usual.value, one)}{band} ({one.usual.mark}: {one.usual.source})"
    each = f", for each {one.each}" if one.each else ""
    reach = f"{in_words(one.least, one)} to {in_words(one.most, one)}"
    return f"{one.name}: {one.words}{each}; {one.how}; {reach}; {default}"


def print_check(page: Page, report: CheckReport) -> None:
    """Print what a check found: the verdict, figures with bands, margins, and what stands behind them."""
    result, check = report.result, report.check
    of = f", {report.vehicle}" if report.vehicle else ""
    page.text(f"{check.title}{of}", style="bold")
    page.text(check.question)
    page.blank()
    page.text(result.verdict, style="bold")
    page.blank()
    cells = [_cells(one) for one in result.figures]
    page.table(
        (Column("figure", wraps=True), Column("value with band", align="right"), Column("unit")),
        [Row((_words(one), cell, _unit(one))) for one, cell in zip(result.figures, cells, strict=True)],
    )
    page.text(f"Band 95 %; {result.draws} draws, seed {result.seed}.")
    for one in result.figures:
        if one.formulas:
            page.heading(f"The literature disagrees on: {_words(one)}")
            page.bullets(
                f"{by.formula}: {figure(_shown(one, by.value, by.low, by.high))} {_unit(one)}"
                for by in one.formulas
            )
    if result.held:
        page.heading("Held against")
        page.bullets(_held(report, one) for one in result.held)
    if result.dominant:
        page.heading("What makes the band")
        page.text(_dominant(report))
    page.heading("Readings")
    where = dict(report.filled)
    page.bullets(
        f"{check.reading(name).words}: from the {where[name]}"
        if name in where
        else f"{check.reading(name).words}: set"
        for name in report.stated.values
    )
    page.bullets(
        f"{choice.words}: {report.stated.choices[choice.name]}, "
        + (f"from the {where[choice.name]}" if choice.name in where else "set")
        for choice in check.choices
        if choice.name in report.stated.choices
    )
    page.bullets(capital(one.sentence) for one in result.assumptions)
    _print_list(page, "Take care", result.cautions)
    _print_list(page, "What it cannot say", result.caveats)
    _print_list(page, "Rests on", result.references)


def _print_list(page: Page, heading: str, items: Sequence[str]) -> None:
    if items:
        page.heading(heading)
        page.bullets(map(capital, items))


def _words(one: Figured) -> str:
    return f"{one.words}, {one.item}" if one.item else one.words


def _unit(one: Figured) -> str:
    unit = one.show or one.unit
    return unit_text(unit)


def _shown(one: Figured, value: float, low: float, high: float) -> Interval:
    unit = one.show or one.unit
    return Interval(*(from_si(end, unit, one.unit) for end in (value, low, high)))


def _cells(one: Figured) -> str:
    if one.low == one.high:  # exact: no band says how many digits it deserves
        unit = one.show or one.unit
        return f"{from_si(one.value, unit, one.unit):.6g}"
    return str(figure(_shown(one, one.value, one.low, one.high)))


def _held(report: CheckReport, one: Held) -> str:
    outcome = next(found for found in report.check.outcomes if found.name == one.outcome)
    item = f", {one.item}" if one.item else ""
    bound = in_words(one.bound, outcome)
    margin, low, high = (
        shown_band(value, outcome) for value in (one.margin, one.margin_low, one.margin_high)
    )
    return (
        f"{outcome.words}{item} {one.side} {bound} ({one.words}; {one.mark}: {one.source}): margin {margin} ({low} to "
        f"{high}), kept with a chance of {per_cent(one.kept)}"
    )


def _dominant(report: CheckReport) -> str:
    result = report.result
    if result.dominant == "formula":
        return "The choice of formula moves the main figure by more than all readings do."
    shares = ", ".join(
        f"{report.check.reading(name).words} {per_cent(share)}"
        for name, share in result.shares[:3]
        if share >= 0.01
    )
    return f"Of the variance of the main figure: {shares}. Measure the first again to narrow it."
