"""The page of a test of the intact vehicle: figures first, then what they stand on."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from hoistbook.cli.page import Column, Page, Row
from hoistbook.core.quantities.printing import quantity_text
from hoistbook.core.vehicle.kinds import QUANTITY_KINDS, unit_text

if TYPE_CHECKING:
    from hoistbook.capture.logs import LogRead
    from hoistbook.core.quantities.quantity import Quantity
    from hoistbook.core.trials.outcome import Outcome
    from hoistbook.services.trials import Recorded

_PRINTED_IN = {"J": "kWh", "J/m": "Wh/km", "m": "km", "m/s": "km/h", "1": "%", "A.s": "Ah", "ohm": "mohm"}


def print_outcome(page: Page, title: str, outcome: Outcome, log: LogRead | None = None) -> None:
    """Print a test: its figures with bands, checks, assumptions and what was set aside."""
    page.text(title, style="bold")
    rows = [
        Row((figure.words, _text(figure.value), figure.value.origin.value, "yes" if figure.fact else "—"))
        for figure in outcome.figures
    ]
    page.table(
        (Column("figure", wraps=True), Column("value", "right"), Column("origin"), Column("fact")), rows
    )
    notes = [f"{figure.words}: {figure.note}" for figure in outcome.figures if figure.note]
    for heading, lines in (
        ("Checks", outcome.checks),
        ("Notes", tuple(dict.fromkeys(notes))),
        ("Assumed", outcome.assumptions),
        ("Not used", outcome.set_aside),
        ("Met while reading the log", () if log is None else log.remarks),
    ):
        if lines:
            page.heading(heading)
            page.bullets(lines)
    if log is not None and log.guessed:
        page.blank()
        page.text("The mapping of the columns was proposed and accepted as printed (--guess).")


def print_recorded(page: Page, recorded: Recorded) -> None:
    """Print what was kept of a test."""
    if recorded.remarks:
        page.heading("Look at this first")
        page.bullets(recorded.remarks)
    page.heading("Entered")
    if not recorded.trial.wrote and not recorded.facts.wrote:
        page.text("Nothing changed: the store holds this test like this already.")
    page.bullets(
        f"{QUANTITY_KINDS[fact.quantity].words}: {_text(fact.value)}{f' for {fact.duty}' if fact.duty else ''}"
        for fact in recorded.entered
    )
    if recorded.left_out:
        page.text("Not entered:")
        page.bullets(recorded.left_out)


def _text(value: Quantity) -> str:
    unit = _PRINTED_IN.get(value.unit)
    if not value.expanded() and value.value:  # taken as exact, so no band says where its digits end
        value = replace(value, value=float(f"{value.value:.5g}"))
    plain = quantity_text(value, unit)
    return plain if unit else plain.removesuffix(value.unit) + unit_text(value.unit)
