"""Replacing a part as a printed page: cautions first, then the sequence, then how sure it is."""

from __future__ import annotations

from hoistbook.cli.assumed import sorted_out
from hoistbook.cli.money import money_words
from hoistbook.cli.page import Column, Page, Row
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.report.figures import aligned, in_unit, to_place
from hoistbook.report.sentences import capital, counted
from hoistbook.services.cost_assembly import ServiceReport


def print_service(page: Page, report: ServiceReport, name: str) -> None:
    """Print the removal and replacement of a part.

    Parameters
    ----------
    page : Page
    report : ServiceReport
    name : str
        Of the vehicle.
    """
    time, scenario = report.time, report.scenario
    told = sorted_out(time.assumed)
    page.heading("Before anything is touched")
    page.bullets(map(capital, told.cautions))
    page.blank()
    page.text(
        f"Replacing {report.name} ({report.tag}) of {name} takes {_minutes(time.total_s)}: out "
        f"{_minutes(time.removal_s)}, back in {_minutes(time.replacement_s)}, once {_minutes(time.once_s)}.",
        style="bold",
    )
    page.text(
        f"At the wage and overhead of {scenario.regions[scenario.region].words} it costs {in_unit(report.money, '1')} "
        f"{money_words(scenario.currency, scenario.year)} of labour; workshop rates are higher and are not in the "
        "scenario."
    )
    page.text(
        "No obstacle is guessed: what stands in the way without being joined to the part (a cover, a pack that must be "
        "lowered) is in it only where --before states it."
    )
    page.heading("Way out")
    ends = aligned([to_place(one.ends_s, 1) for one in time.visits], pad=" ")
    seconds = aligned([to_place(one.seconds.value, 1) for one in time.visits], pad=" ")
    page.table(
        (
            Column("operation", wraps=True),
            Column("tool taken", wraps=True),
            Column("moved to", wraps=True),
            Column("s", "right"),
            Column("done at", "right"),
        ),
        [
            Row((f"{capital(one.words)} ({one.operation})", one.tool_taken, one.moved_to, own, end))
            for one, own, end in zip(time.visits, seconds, ends, strict=True)
        ],
    )
    if time.exact:
        page.text("No shorter order of these operations exists.")
    else:
        page.text(
            f"Not proven shortest; no order can be shorter than {to_place(time.bound_s, 0)} s, this one takes "
            f"{to_place(time.search_s, 0)} s."
        )
    moves, tools = counted(time.moves, "change"), counted(time.picks, "tool")
    page.text(f"{counted(time.depth, 'operation')} to the part, {tools} taken, {moves} of place.")
    if time.once:
        page.heading("Added once")
        page.bullets(f"{capital(one.words)}: {_minutes(one.seconds)}" for one in time.once)
    page.heading("What it assumes")
    page.bullets(
        [f"{one.words}: {one.value} ({one.source})" for one in told.figures]
        + [*told.definitions, *told.aside]
    )


def _minutes(time: Quantity) -> str:
    """Seconds below ten minutes, minutes above."""
    return in_unit(time, "min" if time.value >= 600.0 else "s")
