"""What was taken, defined or left aside to get a result: sorted, and repeated lines folded into one."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from hoistbook.cli.page import Column, Page, Row
from hoistbook.core.quantities.assumption import Assumption, AssumptionKind
from hoistbook.core.quantities.units import from_si
from hoistbook.core.vehicle.kinds import QUANTITY_KINDS, field_words, unit_text
from hoistbook.report.figures import worded
from hoistbook.report.sentences import capital, counted

DRIVE_UNIT_EFFICIENCY = "efficiency of the drive unit"
WAY_OF_EFFICIENCY = {
    field_words("gear_efficiency_frac"): "driving",
    field_words("gear_efficiency_back_frac"): "braking",
}


@dataclass(frozen=True, slots=True)
class TakenFigure:
    """A figure nobody stated: the vehicles it was taken for, what it is, value with band and unit, and who says so."""

    whose: str
    words: str
    value: str
    source: str


@dataclass(frozen=True, slots=True)
class Assumed:
    """What stands behind a result, by kind; `cautions` limit what may be made of it."""

    cautions: tuple[str, ...]
    figures: tuple[TakenFigure, ...]
    definitions: tuple[str, ...]
    aside: tuple[str, ...]


def sorted_out(
    records: Sequence[Assumption], codes: tuple[str, ...] = (), names: tuple[str, ...] = ()
) -> Assumed:
    """Sort the assumptions of a result.

    Parameters
    ----------
    records : sequence of Assumption
    codes, names : tuple of str
        Of the vehicles, to say once what holds for both and to call a silent vehicle by its name.

    Returns
    -------
    Assumed
    """
    figures: list[TakenFigure] = []
    told: dict[AssumptionKind, list[str]] = {kind: [] for kind in AssumptionKind}
    called = dict(zip(codes, names, strict=True)) if names else {}
    for one in together(records, codes):
        if one.kind is AssumptionKind.DEFAULT:
            source = worded(f"{one.mark}: {one.source}")
            figures.append(
                TakenFigure(" and ".join(one.owners), _figure_words(one), _in_usual_unit(one), source)
            )
        else:
            told[one.kind].append(_silence(one, called) if one.about else worded(one.sentence))
    return Assumed(
        tuple(told[AssumptionKind.CAUTION]),
        tuple(_renamed(figures)),
        tuple(told[AssumptionKind.DEFINITION]),
        tuple(told[AssumptionKind.ASIDE]),
    )


def print_assumed(
    page: Page,
    records: Sequence[Assumption],
    codes: tuple[str, ...] = (),
    names: tuple[str, ...] = (),
) -> None:
    """Print the assumptions of a result in lists by kind; a list with nothing in it is left out."""
    found = sorted_out(records, codes, names)
    if found.cautions:
        page.heading("Take care")
        page.bullets(found.cautions)
    if found.figures:
        page.heading(f"Figures nobody stated, taken as default ({len(found.figures)})")
        owners = len({figure.whose for figure in found.figures}) > 1
        columns = [
            Column("figure", wraps=True),
            Column("value and band", wraps=True),
            Column("who says so", wraps=True),
        ]
        if owners:
            columns.insert(0, Column("of", wraps=True))
        elif found.figures[0].whose:
            page.text(f"Taken for {found.figures[0].whose}.")
        page.table(columns, [Row(_cells(figure, owners)) for figure in found.figures])
    for head, items in (
        ("Definitions and conversions", found.definitions),
        ("Left aside, not used", found.aside),
    ):
        if items:
            page.heading(f"{head} ({len(items)})")
            page.bullets(items)


def together(records: Iterable[Assumption], codes: tuple[str, ...]) -> list[Assumption]:
    """Say once what is assumed of both vehicles in the same words, and nothing twice."""
    records = list(records)
    of_each = [{one.text for one in records if one.owners == (code,)} for code in codes]
    of_both = set.intersection(*of_each) if len(codes) > 1 else set()
    said: dict[str, Assumption] = {}
    for one in records:
        whole = one.of(*codes) if one.owners and one.text in of_both else one
        said.setdefault(whole.sentence, whole)
    return list(said.values())


def _figure_words(taken: Assumption) -> str:
    """Words of a default: those of its quantity, or, for a figure of a method, those its sentence begins with."""
    words = field_words(taken.field)
    return taken.text.partition(" = ")[0] if words == taken.field else words


def _cells(figure: TakenFigure, owners: bool) -> tuple[str, ...]:
    cells = (capital(figure.words), figure.value, figure.source)
    return (figure.whose, *cells) if owners else cells


def _in_usual_unit(taken: Assumption) -> str:
    """A default in the unit its figure is mostly typed in; in its own where that is not known."""
    if taken.value is None:
        return ""
    words, unit = field_words(taken.field), taken.value.unit
    kind = next((kind for kind in QUANTITY_KINDS.values() if kind.words == words), None)
    usual = kind.example_units[0] if kind is not None and kind.example_units else unit
    number, half = (f"{from_si(part, usual):g}" for part in (taken.value.value, taken.half_width))
    band = f" ± {half}" if taken.half_width else ""
    return f"{number}{band} {unit_text(usual)}".rstrip()


def _renamed(figures: Sequence[TakenFigure]) -> Iterator[TakenFigure]:
    """Where the losses of the drive unit are defaults, too, the efficiency is that of all of it, not of the gears."""
    bare = {figure.whose for figure in figures if figure.words == field_words("loss_c0_w")}
    for figure in figures:
        way = WAY_OF_EFFICIENCY.get(figure.words)
        words = f"{DRIVE_UNIT_EFFICIENCY}, {way}" if way and figure.whose in bare else figure.words
        yield replace(figure, words=words)


def _silence(silent: Assumption, called: Mapping[str, str]) -> str:
    """One line for a vehicle that states nothing for many functions; a figure that lacks beside others is named."""
    lacking: dict[str, list[str]] = {}
    for function, field in silent.about:
        lacking.setdefault(function, []).append(field)
    who = [called.get(code, code) for code in silent.owners]
    verb = "states" if len(who) == 1 else "state"
    listed = "; ".join(
        function
        if "test_mass_kg" in fields
        else f"{function} ({', '.join(field_words(field) for field in fields)})"
        for function, fields in lacking.items()
    )
    return f"{' and '.join(who)} {verb} nothing for {counted(len(lacking), 'function')}: {listed}"


def print_doubts(page: Page, doubts: Sequence[str]) -> None:
    """Print what does not fit together, before any result that rests on it."""
    if doubts:
        page.heading("Read this first: figures that do not fit together")
        page.bullets(worded(doubt) for doubt in doubts)
        page.blank()
