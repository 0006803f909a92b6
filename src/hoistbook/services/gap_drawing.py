"""A gap as a drawing, with the figures behind its causes; the same for the command and the demo."""

from __future__ import annotations

from hoistbook import __version__
from hoistbook.core.compare.bars import Bar, Interval
from hoistbook.core.compare.walk import Walk
from hoistbook.core.quantities.printing import NARROW_SPACE
from hoistbook.report.chart import WIDTH_PX, decisions_spec, walk_spec
from hoistbook.report.drawing import Spec
from hoistbook.report.figures import figure, shown, worded
from hoistbook.report.sentences import capital, end_word, limit_word
from hoistbook.report.sheet import Captions
from hoistbook.report.theme import LIGHT, Theme
from hoistbook.services.gap_view import GapView


def walk_drawing(
    view: GapView,
    *,
    places: tuple[int, int] = (0, 1),
    theme: Theme = LIGHT,
    width_px: float = WIDTH_PX,
    headed: bool = True,
) -> Spec:
    """Draw the walk of the comparison spoken of, the other one as ◇; without its head for a page that says it above."""
    main = view.main
    details = view.details(main)
    notes = [f"Does not fit together: {worded(doubt)}" for doubt in main.doubts]
    if any(details.values()):
        notes.append(f"Figures under a cause: {main.comparison}, {view.names[0]} → {view.names[1]}.")
    ends = (f"{name} {end_word(main, place, view.other)}" for place, name in enumerate(view.names))
    notes.append(f"Ends of the walk: {'; '.join(ends)}.")
    notes.append(_made_with(view))
    captions = Captions(view.answer, view.names, view.account, places, details, tuple(notes), headed)
    return walk_spec(
        main,
        captions,
        other=view.other,
        first=view.report.as_found,
        width_px=width_px,
        theme=theme,
        units=view.units,
    )


def cause_drawing(
    view: GapView, cause: str, *, places: tuple[int, int] = (0, 1), theme: Theme = LIGHT
) -> Spec | None:
    """Draw the decisions inside one cause; None where it has none."""
    bar = next((bar for bar in view.main.bars if bar.name == cause), None)
    if bar is None or not bar.decisions:
        return None
    title = f"{bar.words[:1].upper()}{bar.words[1:]}, {view.main.comparison}: decision by decision"
    notes = (_standing(view.main, bar, view.unit), f"{capital(view.conditions)}.")
    captions = Captions(title, view.names, places=places, notes=notes)
    return decisions_spec(view.main, bar, captions, theme=theme, units=view.units)


def _standing(walk: Walk, bar: Bar, unit: str) -> str:
    """Where the figures of a cause come from, and how small its decisions are beside what can be seen."""
    half = walk.detection_limit
    limit = f"{figure(shown(Interval(0.0, -half, half), unit), unit=unit).band}{NARROW_SPACE}{unit}"
    return (
        f"Origin of the figures of {bar.words}: {bar.origin}. {capital(limit_word(walk))}: {limit}, not drawn; a "
        "decision may be sure and yet far below it."
    )


def _made_with(view: GapView) -> str:
    return f"{capital(view.conditions)}. hoistbook {__version__}."
