"""A gap as a drawing, with the figures behind its causes; the same for the command and the demo."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from hoistbook import __version__
from hoistbook.cli.gap_page import GapView
from hoistbook.core.compare.bars import Interval
from hoistbook.core.compare.walk import Walk
from hoistbook.core.vehicle.records import Teardown
from hoistbook.report.chart import decisions_spec, walk_spec
from hoistbook.report.details import change, pair_of_values
from hoistbook.report.drawing import Spec
from hoistbook.report.sentences import capital
from hoistbook.report.sheet import Captions
from hoistbook.services.energy import range_report

_DRAWS = 100
"""Only the best estimates are shown beside a cause, and they do not depend on the draws."""

BATTERY = "usable_energy"

Figures = Mapping[str, Interval]


@dataclass(frozen=True, slots=True)
class Behind:
    """Energy parameters of both vehicles by field, in SI; both empty where they do not speak of the same basis."""

    x: Figures
    y: Figures

    def change(self, cause: str) -> str:
        """The figures of a cause from X to Y."""
        return change(cause, self.x, self.y)


def figures_behind(
    x: Teardown,
    y: Teardown,
    duty: str,
    configuration_x: str | None = None,
    configuration_y: str | None = None,
) -> Behind:
    """Look up the figures behind the causes of a range or consumption gap.

    Specimen and label are never shown against each other: where the vehicles were resolved on different bases there are
    no figures.
    """
    reports = [
        range_report(teardown, duty=duty, configuration=configuration, n_draws=_DRAWS)
        for teardown, configuration in ((x, configuration_x), (y, configuration_y))
    ]
    if reports[0].basis != reports[1].basis:
        return Behind({}, {})
    of_x, of_y = (
        {row.field: Interval(row.value, row.low, row.high) for row in report.parameters} for report in reports
    )
    return Behind(of_x, of_y)


def surprise(walk: Walk, behind: Behind) -> str:
    """What makes a range gap surprising: a battery that pulls the other way, its band clear of zero."""
    battery = next((bar for bar in walk.bars if BATTERY in (bar.merged or (bar.name,))), None)
    values = pair_of_values(BATTERY, behind.x, behind.y)
    if walk.quantity != "range" or battery is None or values is None:
        return ""
    against = battery.amount.low > 0.0 > walk.gap.high or battery.amount.high < 0.0 < walk.gap.low
    return f"its battery holds {values[1]} against {values[0]}{values[2]}" if against else ""


def walk_drawing(
    view: GapView, behind: Behind, *, places: tuple[int, int] = (0, 1), dark: bool = False
) -> Spec:
    """Draw the walk of the comparison spoken of, the other one as ◇."""
    main = view.main
    details = {bar.name: behind.change(bar.name) for bar in main.bars}
    notes = (
        [f"Figures under a cause: as found, {view.names[0]} → {view.names[1]}."]
        if any(details.values())
        else []
    )
    notes.append(_made_with(view))
    captions = Captions(view.answer, view.names, view.account, places, details, tuple(notes))
    return walk_spec(main, captions, other=view.other, first=view.report.as_found, dark=dark)


def cause_drawing(
    view: GapView, cause: str, *, places: tuple[int, int] = (0, 1), dark: bool = False
) -> Spec | None:
    """Draw the decisions inside one cause; None where it has none."""
    bar = next((bar for bar in view.main.bars if bar.name == cause), None)
    if bar is None or not bar.decisions:
        return None
    title = f"{bar.words[:1].upper()}{bar.words[1:]}, {view.main.comparison}: decision by decision"
    captions = Captions(
        title, view.names, places=places, notes=(f"{view.conditions[:1].upper()}{view.conditions[1:]}.",)
    )
    return decisions_spec(view.main, bar, captions, dark=dark)


def _made_with(view: GapView) -> str:
    return f"{capital(view.conditions)}. hoistbook {__version__}."
