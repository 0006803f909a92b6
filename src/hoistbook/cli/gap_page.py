"""A gap as a printed page: the answer, the walk as a table, what is not explained, what to measure next."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from hoistbook.cli.cells import interval_cells
from hoistbook.cli.page import Column, Page, Row
from hoistbook.core.compare.bars import Bar, DecisionBar, Interval
from hoistbook.core.compare.causes import CAUSES
from hoistbook.core.compare.walk import NOT_EXPLAINED, Walk
from hoistbook.core.quantities.printing import NARROW_SPACE, quantity_text
from hoistbook.core.vehicle.kinds import QUANTITY_KINDS
from hoistbook.core.vehicle.records import Rule
from hoistbook.report.figures import certainty, display_unit, figure, in_unit, shown
from hoistbook.report.pairing import Pair, paired
from hoistbook.report.sentences import account, answer, capital, comparison_words, noun, test_word
from hoistbook.services.gap import ContentRow, GapReport

MOST_NEXT = 3
CAUTION = (
    "Before anything is lifted, opened or isolated for it: local law, the maker's dismantling sheet and licensed "
    "people decide what is done."
)


@dataclass(frozen=True, slots=True)
class GapView:
    """A gap report and how it is looked at: names, which comparison is spoken of, what makes it surprising."""

    report: GapReport
    names: tuple[str, str]
    as_found: bool = False
    although: str = ""

    @property
    def main(self) -> Walk:
        """The comparison spoken of."""
        return self.report.as_found if self.as_found else self.report.normalised

    @property
    def other(self) -> Walk:
        """The one beside it."""
        return self.report.normalised if self.as_found else self.report.as_found

    @property
    def answer(self) -> str:
        """The gap in one sentence."""
        lead = "" if self.as_found or not self.report.content else "With unlike content set equal,"
        return answer(self.main, self.names, although=self.although, lead=lead)

    @property
    def account(self) -> str:
        """What is explained, what is not, and what was unlike content."""
        return account(self.main, self.report.removed_frac if self.report.content else None)

    @property
    def conditions(self) -> str:
        """Duty, draws and seed in one line."""
        duty = f"duty {self.report.duty}, " if self.report.duty else ""
        return f"{duty}{self.report.n_draws} draws, seed {self.report.seed}"


def print_gap(page: Page, view: GapView, *, by_cause: bool = False) -> None:
    """Print a gap.

    Parameters
    ----------
    page : Page
    view : GapView
    by_cause : bool
        Print the decisions inside every cause, too.
    """
    main, unit = view.main, display_unit(view.main.quantity)
    page.text(view.answer, style="bold")
    page.text(view.account)
    x, y = (
        f"{name} {figure(shown(end, unit))}"
        for name, end in zip(view.names, (main.value_x, main.value_y), strict=True)
    )
    page.heading(
        f"{capital(noun(main.quantity))} walk, {main.comparison}, from {x} to {y}{NARROW_SPACE}{unit}"
    )
    page.text(f"Positive: {view.names[1]} has more. Band 95 %; {view.conditions}.")
    page.blank()
    print_walk(page, view)
    limit = figure(shown(Interval(0.0, -main.detection_limit, main.detection_limit), unit)).band or "0"
    page.text(
        f"Not resolved: smaller than the detection limit of this gap, {limit}{NARROW_SPACE}{unit}; "
        f"{comparison_words(main.quantity)} would not show it. Sign: probability that the sign is the one printed. "
        f"Sign, test and origin speak of the gap {main.comparison}."
    )
    _apart(page, paired(main, view.other, view.report.as_found), view.other, unit)
    _list(page, "What cannot be told apart", main.remarks)
    print_decisions(page, view)
    if by_cause:
        for bar in main.bars:
            _inside(page, bar, unit)
    _content(page, view.report.content)
    _list(page, "Assumed", together(main.assumptions, (main.code_x, main.code_y)))
    page.heading("What to measure next")
    print_next(page, main)


def print_walk(page: Page, view: GapView) -> None:
    """Print the table of a walk, both comparisons side by side, and its sum."""
    main, other, unit = view.main, view.other, display_unit(view.main.quantity)
    pairs = paired(main, other, view.report.as_found)
    own = interval_cells([*(shown(p.bar.amount, unit) for p in pairs), shown(main.gap, unit)], signed=True)
    beside = interval_cells(
        [*(shown(p.other.amount, unit) if p.other else None for p in pairs), shown(other.gap, unit)],
        signed=True,
        missing="see below",
    )
    rows = [
        Row(
            (
                capital(pair.bar.words),
                left,
                right,
                certainty(pair.bar.p_sign),
                seen(pair.bar),
                pair.bar.origin,
            )
        )
        for pair, left, right in zip(pairs, own, beside, strict=False)
    ]
    resolved = "seen" if abs(main.gap.value) >= main.detection_limit else "not resolved"
    rows.append(Row(("Gap", own[-1], beside[-1], certainty(main.gap_sign), resolved, ""), closing=True))
    page.table(
        (
            Column("cause", wraps=True),
            Column(f"{main.comparison}\n{unit}"),
            Column(f"{other.comparison}\n{unit}"),
            Column("sign", "right"),
            Column(test_word(main.quantity), wraps=True),
            Column("origin", wraps=True),
        ),
        rows,
    )


def seen(bar: Bar) -> str:
    """Whether a comparison of the two whole vehicles could show a bar."""
    if bar.amount == Interval(0.0, 0.0, 0.0):
        return "no difference"
    return "seen" if bar.resolved else "not resolved"


def print_decisions(page: Page, view: GapView, most: int | None = None) -> None:
    """Print what each decision is worth over all the causes it acts on, both comparisons side by side."""
    main, other, unit = view.main, view.other, display_unit(view.main.quantity)
    if not main.decisions:
        return
    chosen = main.decisions[:most]
    beside = {line.name: line.amount for line in other.decisions}
    left = interval_cells([shown(line.amount, unit) for line in chosen], signed=True)
    right = interval_cells(
        [shown(beside[line.name], unit) if line.name in beside else None for line in chosen],
        signed=True,
        missing="none",
    )
    page.heading("What each decision is worth, over all the causes it acts on")
    page.table(
        (
            Column("decision", wraps=True),
            Column(f"{main.comparison}\n{unit}"),
            Column(f"{other.comparison}\n{unit}"),
        ),
        [Row((capital(line.words), a, b)) for line, a, b in zip(chosen, left, right, strict=True)],
    )
    if len(chosen) < len(main.decisions):
        page.text(
            f"{len(main.decisions) - len(chosen)} smaller ones are not printed here; hoistbook gap prints all."
        )


def _inside(page: Page, bar: Bar, unit: str) -> None:
    """The decisions inside one cause, the part of it no decision accounts for, and their sum."""
    if not bar.decisions:
        return
    lines: Sequence[DecisionBar] = bar.decisions
    cells = interval_cells(
        [shown(amount, unit) for amount in (*(line.amount for line in lines), bar.unexplained, bar.amount)],
        signed=True,
    )
    words = [*(capital(line.words) for line in lines), "No decision found yet", capital(bar.words)]
    page.heading(f"{capital(bar.words)}, decision by decision")
    page.table(
        (Column("decision", wraps=True), Column(unit)),
        [
            Row((word, cell), closing=place == len(lines) + 1)
            for place, (word, cell) in enumerate(zip(words, cells, strict=True))
        ],
    )


def _apart(page: Page, pairs: Iterable[Pair], other: Walk, unit: str) -> None:
    """Bars that the other comparison shows in another grouping."""
    sentences = []
    for pair in pairs:
        if pair.other is None and pair.apart:
            parts = (f"{bar.words} {figure(shown(bar.amount, unit), signed=True)}" for bar in pair.apart)
            told = f"{'; '.join(parts)}{NARROW_SPACE}{unit}"
            sentences.append(f"{capital(pair.bar.words)}: {other.comparison} it is {told}.")
    _list(page, f"Grouped otherwise {other.comparison}", sentences)


def _list(page: Page, head: str, items: Sequence[str]) -> None:
    if items:
        page.heading(head)
        page.bullets(items)


def together(sentences: Sequence[str], codes: tuple[str, str]) -> list[str]:
    """Say once what is assumed of both vehicles in the same words."""
    x, y = (f"{code}: " for code in codes)
    of_x = {text.removeprefix(x) for text in sentences if text.startswith(x)}
    of_y = {text.removeprefix(y) for text in sentences if text.startswith(y)}
    said: dict[str, None] = {}
    for text in sentences:
        bare = text.removeprefix(x).removeprefix(y)
        said[f"{codes[0]} and {codes[1]}: {bare}" if bare in of_x & of_y else text] = None
    return list(said)


def _content(page: Page, content: Sequence[ContentRow]) -> None:
    if not content:
        return
    page.heading("Unlike content, and what was done with it to normalise")
    page.table(
        (
            Column("vehicle"),
            Column("item", wraps=True),
            Column("rule"),
            Column("quantity", wraps=True),
            Column("value"),
        ),
        [
            Row((row.code, row.item, row.rule, QUANTITY_KINDS[row.quantity].words, _content_value(row)))
            for row in content
        ],
    )


def _content_value(row: ContentRow) -> str:
    """The amount in the unit people mostly type it in; a factor where the content is scaled."""
    if row.rule == Rule.SCALE.value:
        return f"× {quantity_text(row.value)}"
    usual = QUANTITY_KINDS[row.quantity].example_units
    return in_unit(row.value, usual[0] if usual else row.value.unit)


def print_next(page: Page, walk: Walk) -> None:
    """Print what would narrow a gap most: the widest bars whose figures were not measured on the vehicles."""
    unit = display_unit(walk.quantity)
    ways = {cause.name: cause.separate_by for cause in CAUSES}
    open_bars = [
        bar
        for bar in sorted(walk.bars, key=lambda bar: -bar.amount.half_width)
        if bar.origin not in (NOT_EXPLAINED, "measured")
        and any(name in ways for name in bar.merged or (bar.name,))
    ]
    if walk.quantity == "mass":
        page.text(
            "hoistbook mass PATH ranks, for each vehicle, what to weigh next and how far it narrows the band."
        )
    elif not open_bars:
        page.text("Every cause rests on measured figures; repeat the one with the widest band.")
    page.bullets(
        f"{capital(bar.words)} ({bar.origin}, {figure(shown(bar.amount, unit), signed=True)}{NARROW_SPACE}{unit}): "
        + "; or ".join(ways[name] for name in bar.merged or (bar.name,) if name in ways)
        for bar in open_bars[:MOST_NEXT]
    )
    page.text(CAUTION)
