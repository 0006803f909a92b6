"""A gap as a printed page: the answer, the walk as a table, what is not explained, what to measure next."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from hoistbook.cli.assumed import print_assumed, print_doubts
from hoistbook.cli.page import Column, Page, Row
from hoistbook.cli.walk_table import below_word, print_decisions, print_walk
from hoistbook.core.compare.bars import Interval, Remark
from hoistbook.core.compare.walk import MODEL_END
from hoistbook.core.quantities.printing import NARROW_SPACE, quantity_text
from hoistbook.core.vehicle.kinds import QUANTITY_KINDS
from hoistbook.core.vehicle.records import Fact, Rule
from hoistbook.report.figures import US, figure, in_unit, shown, worded
from hoistbook.report.pairing import Pair, paired
from hoistbook.report.sentences import capital, end_word, limit_sentence, noun
from hoistbook.services.gap import ContentRow
from hoistbook.services.gap_view import RESIDUAL_NARROWED, GapView
from hoistbook.services.wording import statement_words, usual_unit

MOST_INSIDE = 3
MOST_NEXT = 3
CAUTION = (
    "Before anything is lifted, opened or isolated for it: local law, the maker's dismantling sheet and licensed "
    "people decide what is done."
)
_WAYS = "; or "


def print_gap(page: Page, view: GapView, *, by_cause: bool = False) -> None:
    """Print a gap.

    Parameters
    ----------
    page : Page
    view : GapView
    by_cause : bool
        Print every decision inside every cause, not only the largest.
    """
    main, unit = view.main, view.unit
    print_doubts(page, main.doubts)
    page.text(view.answer, style="bold")
    page.text(view.account)
    x, y = (
        f"{name} {figure(shown(end, unit), unit=unit)}{NARROW_SPACE}{unit} ({end_word(main, place, view.other)})"
        for place, (name, end) in enumerate(zip(view.names, (main.value_x, main.value_y), strict=True))
    )
    page.heading(f"{capital(noun(main.quantity))} walk, {main.comparison}, from {x} to {y}")
    note = f" {view.ends_note}." if view.ends_note else ""
    page.text(f"Positive: {view.names[1]} has more. Band 95 %; {view.conditions}.{note}")
    page.blank()
    print_walk(page, view, None if by_cause else MOST_INSIDE)
    print_legend(page, view)
    _apart(page, paired(main, view.other, view.report.as_found), view)
    said: set[str] = set()
    _list(page, "What cannot be told apart", [said_once(remark, said) for remark in main.remarked])
    if main.not_compared:
        _list(page, "Systems not compared, since one vehicle lists next to nothing there", main.not_compared)
        page.text("Their mass is in what is not explained.")
    print_decisions(page, view)
    _content(page, view)
    _replaced(page, view)
    print_assumed(page, main.assumed, (main.code_x, main.code_y), view.names)
    page.heading("What to measure next")
    print_next(page, view)


def print_legend(page: Page, view: GapView, *, with_decisions: bool = True) -> None:
    """Say how the table of a walk is read."""
    main, unit = view.main, view.unit
    half = main.detection_limit
    limit = figure(shown(Interval(0.0, -half, half), unit), unit=unit).band or "0"
    means = limit_sentence(main, f"{limit}{NARROW_SPACE}{unit}")
    lead = capital(below_word(page)) if main.is_stated else "Below"
    page.text(
        f"{lead}: {means}. Sign: probability that the sign is the one printed. Sign, standing and origin speak of the "
        f"gap {main.comparison}."
    )
    if main.decisions and with_decisions:
        page.text(
            "Values inside a cause add up to it; a sum of several smaller decisions is given without a band. For the "
            "rest of a cause, and for a cause with no lines inside, no decision is found yet."
        )


def said_once(remark: Remark, said: set[str]) -> str:
    """A remark without the measurements that an earlier one has already named; remembers those it names."""
    told, named = worded(remark.told), set(remark.separate_by)
    if not named:
        return told
    fresh = [worded(way) for way in dict.fromkeys(remark.separate_by) if way not in said]
    said.update(named)
    again = "as above" if not fresh else ", and as above" if len(fresh) < len(named) else ""
    return f"{told} What would separate them: {_WAYS.join(fresh)}{again}."


def _apart(page: Page, pairs: Iterable[Pair], view: GapView) -> None:
    """Bars that the other comparison shows in another grouping."""
    unit, other = view.unit, view.other
    sentences = []
    for pair in pairs:
        if pair.other is None and pair.apart:
            parts = (
                f"{bar.words} {figure(shown(bar.amount, unit), signed=True, unit=unit)}" for bar in pair.apart
            )
            told = f"{'; '.join(parts)}{NARROW_SPACE}{unit}"
            sentences.append(f"{capital(pair.bar.words)}: {other.comparison} it is {told}.")
    _list(page, f"Grouped otherwise {other.comparison}", sentences)


def _list(page: Page, head: str, items: Sequence[str]) -> None:
    if items:
        page.heading(head)
        page.bullets(items)


def _content(page: Page, view: GapView) -> None:
    if not view.content:
        return
    page.heading("Unlike content, and what was done with it to normalise")
    page.table(
        (
            Column("vehicle", wraps=True),
            Column("item", wraps=True),
            Column("rule"),
            Column("quantity", wraps=True),
            Column("value"),
        ),
        [
            Row(
                (
                    row.code,
                    row.item,
                    row.rule,
                    QUANTITY_KINDS[row.quantity].words,
                    _content_value(row, view.units),
                )
            )
            for row in view.content
        ],
    )


def _replaced(page: Page, view: GapView) -> None:
    """Figures that later ones took the place of: no doubt while the two bands meet, and worth knowing."""
    found = view.report.replaced
    if not found:
        return
    page.heading(f"Figures replaced by a later one ({len(found)})")
    page.table(
        (
            Column("of"),
            Column("figure", wraps=True),
            Column("was"),
            Column("is now"),
            Column("by", wraps=True),
            Column("date", wraps=True),
        ),
        [
            Row(
                (
                    row.vehicle,
                    capital(QUANTITY_KINDS[row.one.now.quantity].words),
                    _fact_value(row.one.was, view.units),
                    _fact_value(row.one.now, view.units),
                    statement_words(row.one.now_from),
                    row.one.at[:10] or f"{row.one.entered}, entered",
                )
            )
            for row in found
        ],
    )


def _fact_value(fact: Fact, units: str) -> str:
    unit = usual_unit(fact.quantity, fact.value.unit)
    return in_unit(fact.value, "lb" if units == US and unit == "kg" else unit)


def _content_value(row: ContentRow, units: str) -> str:
    """The amount in the unit people mostly type it in; a factor where the content is scaled."""
    if row.rule == Rule.SCALE.value:
        return f"× {quantity_text(row.value)}"
    usual = QUANTITY_KINDS[row.quantity].example_units
    unit = usual[0] if usual else row.value.unit
    return in_unit(row.value, "lb" if units == US and unit == "kg" else unit)


def print_next(page: Page, view: GapView) -> None:
    """Print which measurements would narrow a gap most, and to what band."""
    walk, unit = view.main, view.unit
    found = [one for one in view.next_measurements(walk) if one.is_worth_naming]
    narrowed = "what is not explained" if view.narrowed == RESIDUAL_NARROWED else "the gap"
    if walk.quantity == "mass":
        page.text(
            "hoistbook mass PATH ranks, for each vehicle, what to weigh next and how far it narrows the band."
        )
    elif not found:
        page.text(f"No measurement on the list would narrow {narrowed} by 1 % of its band or more.")
    else:
        now = _half_width(found[0].narrowing.half_width_now, unit)
        page.text(f"Band of {narrowed} now: {now}{NARROW_SPACE}{unit}. Expected after one of these:")
        names = dict(zip((walk.code_x, walk.code_y), view.names, strict=True))
        page.bullets(
            f"{capital(one.narrowing.words)}, {names[one.vehicle]}: "
            f"{_half_width(one.narrowing.half_width_then, unit)}{NARROW_SPACE}{unit} ({one.narrowing.how})"
            for one in found[:MOST_NEXT]
        )
    silent = [name for name, word in zip(view.names, walk.end_words, strict=True) if word == MODEL_END]
    if silent:
        page.text(
            f"The gap holds the model's own error, which only a stated {noun(walk.quantity)} in this duty takes away: "
            f"{' and '.join(silent)}."
        )
    page.text(CAUTION)


def _half_width(half: float, unit: str) -> str:
    return figure(shown(Interval(0.0, -half, half), unit), unit=unit).band
