"""The tables of a gap: the walk with decisions inside their causes, and each decision over all causes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from hoistbook.cli.cells import interval_cells
from hoistbook.cli.page import Column, Page, Row
from hoistbook.core.compare.bars import Bar, DecisionBar, Interval
from hoistbook.report.figures import certainty, shown
from hoistbook.report.pairing import Pair, paired
from hoistbook.report.sentences import capital, test_word
from hoistbook.services.gap_view import GapView

NARROW = 90
"""Columns of a page below which "not resolved" is said shorter, so that its column does not break."""

_INDENT = "  "
REST, NO_DECISION = "rest of the cause", "no decision found yet"


@dataclass(frozen=True, slots=True)
class _Line:
    """One line of a table before its numbers are written; `bar` is set where the line is a cause."""

    words: str
    main: Interval | None
    other: Interval | None
    bar: Bar | None = None


def print_walk(page: Page, view: GapView, most: int | None) -> None:
    """Print the table of a walk, both comparisons side by side, and its sum.

    Parameters
    ----------
    page : Page
    view : GapView
    most : int or None
        Decisions that are printed inside each cause, the largest first; None prints all, 0 none and no rest either.
    """
    main, other = view.main, view.other
    lines = [
        line for pair in paired(main, other, view.report.as_found) for line in _with_decisions(pair, most)
    ]
    own, beside = _columns(view, [*lines, _Line("Gap", main.gap, other.gap)])
    below, narrow = below_word(page), page.width < NARROW
    rows: list[Row] = []
    for line, left, right in zip(lines, own, beside, strict=False):
        told = ("", "", "") if line.bar is None else _told(line.bar, view, below)
        rows.append(Row((line.words, left, right, *_set(told, narrow, below))))
    resolved = abs(main.gap.value) >= main.detection_limit
    told = (certainty(main.gap_sign), _standing(resolved, view, below), "")
    rows.append(Row(("Gap", own[-1], beside[-1], *_set(told, narrow, below)), closing=True))
    last: tuple[Column, ...] = (Column("origin", wraps=True),)
    if not narrow:
        last = (Column(test_word(main), wraps=True), *last)
    page.table(
        (
            Column("cause", wraps=True),
            Column(f"{main.comparison}\n{view.unit}"),
            Column(f"{other.comparison}\n{view.unit}"),
            Column("sign", "right"),
            *last,
        ),
        rows,
    )


def _told(bar: Bar, view: GapView, below: str) -> tuple[str, str, str]:
    """Sign, standing and origin of a cause."""
    return certainty(bar.p_sign), _seen(bar, view, below), bar.origin


def _set(told: tuple[str, str, str], narrow: bool, below: str) -> tuple[str, ...]:
    """The last columns of a row; on a narrow page the standing goes under the origin, and only where it is a limit."""
    sign, standing, origin = told
    if not narrow:
        return told
    return sign, "\n".join(
        filter(None, (origin, standing if standing in (below, "below", "no difference") else ""))
    )


def below_word(page: Page) -> str:
    """What is said of a bar that a comparison of the two whole vehicles could not show."""
    return "below limit" if page.width < NARROW else "not resolved"


def _with_decisions(pair: Pair, most: int | None) -> Iterator[_Line]:
    """A cause, its largest decisions, the sum of the smaller ones, and what no decision accounts for."""
    bar, other = pair.bar, pair.other
    yield _Line(capital(bar.words), bar.amount, other.amount if other else None, bar)
    if not bar.decisions or most == 0:
        return
    beside = {line.name: line.amount for line in other.decisions} if other else {}
    chosen, small = bar.decisions[:most], bar.decisions[len(bar.decisions[:most]) :]
    for line in chosen:
        yield _Line(f"{_INDENT}{capital(line.words)}", line.amount, beside.get(line.name))
    if len(small) == 1:
        yield _Line(f"{_INDENT}{capital(small[0].words)}", small[0].amount, beside.get(small[0].name))
    elif small:
        words = f"{_INDENT}{len(small)} smaller decisions"
        yield _Line(
            words, _sum(small), _sum([*other.decisions], {line.name for line in small}) if other else None
        )
    yield _Line(f"{_INDENT}{capital(REST)}", bar.unexplained, other.unexplained if other else None)


def _sum(lines: Sequence[DecisionBar], names: set[str] | None = None) -> Interval:
    """Sum of values; it has no band, since bands do not add up."""
    total = sum(line.amount.value for line in lines if names is None or line.name in names)
    return Interval(total, total, total)


def _columns(view: GapView, lines: Sequence[_Line]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    unit = view.unit

    def column(intervals: list[Interval | None], missing: str) -> tuple[str, ...]:
        found = [None if one is None else shown(one, unit) for one in intervals]
        return interval_cells(found, signed=True, unit=unit, missing=missing)

    own = column([line.main for line in lines], "none")
    beside = column([line.other for line in lines], "see below")
    return own, tuple(
        "" if line.bar is None and cell == "see below" else cell
        for line, cell in zip(lines, beside, strict=True)
    )


def _standing(resolved: bool, view: GapView, below: str) -> str:
    if not view.main.is_stated:
        return "above" if resolved else "below"
    return "seen" if resolved else below


def _seen(bar: Bar, view: GapView, below: str) -> str:
    """Whether a comparison of the two whole vehicles could show a bar."""
    if bar.amount == Interval(0.0, 0.0, 0.0):
        return "no difference"
    return _standing(bar.resolved, view, below)


def print_decisions(page: Page, view: GapView, most: int | None = None) -> None:
    """Print what each decision is worth over all the causes it acts on, and what is left of the gap without them."""
    main, other, unit = view.main, view.other, view.unit
    if not main.decisions:
        return
    chosen, small = main.decisions[:most], main.decisions[len(main.decisions[:most]) :]
    beside = {line.name: line.amount for line in other.decisions}
    lines = [_Line(capital(line.words), line.amount, beside.get(line.name)) for line in chosen]
    if small:
        lines.append(
            _Line(
                f"{len(small)} smaller decisions", _sum(small), _sum(other.decisions, {s.name for s in small})
            )
        )
    lines += [
        _Line(capital(NO_DECISION), main.undecided, other.undecided),
        _Line(capital(main.rest.words), main.rest.amount, other.rest.amount),
        _Line("Gap", main.gap, other.gap),
    ]
    own, next_to_it = _columns(view, lines)
    page.heading("What each decision is worth, over all the causes it acts on")
    page.table(
        (
            Column("decision", wraps=True),
            Column(f"{main.comparison}\n{unit}"),
            Column(f"{other.comparison}\n{unit}"),
        ),
        [
            Row((line.words, left, right), closing=place == len(lines) - 1)
            for place, (line, left, right) in enumerate(zip(lines, own, next_to_it, strict=True))
        ],
    )
    if small:
        page.text(f"hoistbook gap prints the {len(small)} smaller decisions one by one.")
