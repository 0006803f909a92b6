"""What published figures say of two vehicles, as a printed page."""

from __future__ import annotations

from hoistbook.cli.assumed import print_assumed
from hoistbook.cli.gap_page import CAUTION
from hoistbook.cli.page import Column, Page, Row
from hoistbook.core.compare.bars import Interval
from hoistbook.core.compare.inference import Alternative, Learned
from hoistbook.core.compare.published_rows import Contradiction
from hoistbook.core.quantities.printing import NARROW_SPACE, text
from hoistbook.core.quantities.units import from_si
from hoistbook.core.vehicle.kinds import QUANTITY_KINDS, field_words, unit_text
from hoistbook.report.figures import display_unit, figure, per_cent, shown, worded
from hoistbook.services.infer import InferReport

MOST_NEXT = 6


def print_infer(page: Page, report: InferReport, units: str) -> None:
    """Print contradictions first, then the gap, what is known of each parameter, and what to measure."""
    walk = report.walk
    unit = display_unit("range", units)
    pair = {walk.code_x, walk.code_y}
    own = [c for c in report.contradictions if pair & {*c.vehicles, *c.beside}]
    gap = figure(shown(walk.gap, unit), signed=True, unit=unit)
    page.text(f"From {walk.code_x} to {walk.code_y}: {gap}{NARROW_SPACE}{unit} of label range.", style="bold")
    page.text(
        f"From published figures alone; band 95 %; {report.n_draws} draws, worth "
        f"{walk.effective_draws:.0f} after weighing, seed {report.seed}."
    )
    if report.doubts:
        page.heading("Read this first")
        page.bullets(worded(doubt) for doubt in report.doubts)
    _contradictions(page, own, "Published figures of these two that do not fit together")
    page.heading("Causes of the gap")
    page.table(
        (Column("cause", wraps=True), Column(unit, "right"), Column("known from")),
        [
            Row((bar.words, str(figure(shown(bar.amount, unit), signed=True, unit=unit)), bar.origin))
            for bar in walk.bars
        ],
    )
    page.text(
        "Published: as printed. Inferred: published figures imply it, by themselves or by narrowing what was assumed. "
        "Assumed: nobody states what carries it."
    )
    page.heading("What the figures say of each vehicle")
    page.table(
        (
            Column("vehicle", wraps=True),
            Column("figure", wraps=True),
            Column("value"),
            Column("narrower"),
            Column(""),
        ),
        [Row(_learned_cells(one)) for one in report.parameters],
    )
    page.heading("What must be true")
    page.text(
        "Of what mass, road load, label and charge leave of the difference, one of these carries most; where it "
        "does, its figure lies there in nine cases of ten:"
    )
    page.bullets(_sentence(one) for one in report.alternatives if one.probability >= 0.02)
    page.heading("What to measure next")
    now = report.next_measurements[0].narrowing.half_width_now if report.next_measurements else 0.0
    page.text(f"Band of what is not explained now: ±{_width(now, unit)}{NARROW_SPACE}{unit}.")
    page.table(
        (Column("measurement", wraps=True), Column("at", wraps=True), Column(f"leaves ± {unit}", "right")),
        [
            Row((one.narrowing.words, one.vehicle, _width(one.narrowing.half_width_then, unit)))
            for one in report.next_measurements[:MOST_NEXT]
        ],
    )
    page.text(CAUTION)
    _contradictions(page, [c for c in report.contradictions if c not in own], "Elsewhere in the table")
    print_assumed(page, (*walk.assumed, *report.assumed), (walk.code_x, walk.code_y))


def _width(metres: float, unit: str) -> str:
    return f"{shown(Interval(metres, metres, metres), unit).value:.1f}"


def _contradictions(page: Page, found: list[Contradiction], head: str) -> None:
    if not found:
        return
    page.heading(head)
    for one in found:
        page.text(f"{one.strength.value}: {one.sentence}.")
        page.text(f"It would mean: {one.means}.", indent=2)
        page.bullets(one.evidence)


def _learned_cells(one: Learned) -> tuple[str, ...]:
    unit = _unit_of(one.field)
    value = f"{figure(shown(one.after, unit), unit=unit)}{NARROW_SPACE}{unit_text(unit)}".rstrip()
    said = "says nothing" if one.narrower_frac < 0.02 else per_cent(one.narrower_frac)
    return (one.vehicle, field_words(one.field), value, said, one.origin)


def _unit_of(field: str) -> str:
    """Unit a parameter is printed in: the first of those it is usually typed in."""
    kind = next(kind for kind in QUANTITY_KINDS.values() if kind.field == field)
    return kind.example_units[0] if kind.example_units else kind.unit


def _sentence(one: Alternative) -> str:
    chance = per_cent(one.probability)
    if one.bound is None:
        return (
            f"{chance}: the published coefficients are those of another wheel or variant, or the energy model is off "
            "by this much for one of the two."
        )
    unit = _unit_of(one.name)
    side = "at most" if one.at_most else "at least"
    bound = text(float(f"{from_si(one.bound, unit):.3g}"))  # three digits: a quantile of a few thousand draws
    return (
        f"{chance}: {field_words(one.name)} of {one.vehicle} is {side} {bound}{NARROW_SPACE}{unit_text(unit)}".rstrip()
        + "."
    )
