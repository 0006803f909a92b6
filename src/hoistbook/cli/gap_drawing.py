"""A gap as a drawing, with the figures behind its causes; the same for the command and the demo."""

from __future__ import annotations

from hoistbook import __version__
from hoistbook.cli.gap_page import GapView
from hoistbook.report.chart import decisions_spec, walk_spec
from hoistbook.report.details import change
from hoistbook.report.drawing import Spec
from hoistbook.report.figures import per_cent
from hoistbook.report.sentences import capital
from hoistbook.report.sheet import Captions
from hoistbook.services.gap import GapReport

BATTERY = "usable_energy"


def surprise(report: GapReport, *, as_found: bool) -> str:
    """What makes a range gap surprising: a battery that pulls the other way, its band clear of zero."""
    walk = report.as_found if as_found else report.normalised
    battery = next((bar for bar in walk.bars if BATTERY in (bar.merged or (bar.name,))), None)
    if walk.quantity != "range" or battery is None or report.battery_more_frac is None:
        return ""
    against = battery.amount.low > 0.0 > walk.gap.high or battery.amount.high < 0.0 < walk.gap.low
    more = "more" if report.battery_more_frac > 0.0 else "less"
    return f"its battery holds {per_cent(abs(report.battery_more_frac))} {more}" if against else ""


def walk_drawing(view: GapView, *, places: tuple[int, int] = (0, 1), dark: bool = False) -> Spec:
    """Draw the walk of the comparison spoken of, the other one as ◇."""
    main = view.main
    of_x, of_y = view.report.figures_x, view.report.figures_y
    details = {bar.name: change(bar.name, of_x, of_y) for bar in main.bars}
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
