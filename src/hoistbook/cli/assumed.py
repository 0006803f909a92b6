"""What was taken, defined or left aside to get a result: sorted, and repeated lines folded into one."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from hoistbook.cli.page import Column, Page, Row
from hoistbook.core.quantities.units import from_si, to_si
from hoistbook.core.vehicle.kinds import QUANTITY_KINDS, field_words, unit_text
from hoistbook.report.figures import worded
from hoistbook.report.sentences import capital, counted

_MARKS = "published|computed|first principles|common practice|from memory"
_DEFAULT = re.compile(rf"(?P<words>.+?) = (?P<value>.+?) \((?P<source>(?:{_MARKS}): .+)\)", re.DOTALL)
_SILENT = re.compile(r"(?P<codes>.+?): nothing stated, so no decision yet, for (?P<items>.+)", re.DOTALL)
_ASIDE = (
    "kept aside",
    "not used",
    "no decision yet",
    "states nothing",
    "state nothing",
    "has no part",
    "not compared",
    "left out",
)
"""Words that the sentences of the core use of what was stated or listed and yet had no say."""

_NUMBER = re.compile(r"(?P<value>-?[\d.e+-]+)(?: ± (?P<band>[\d.e+-]+))?(?: (?P<unit>\S+))?")
DRIVE_UNIT_EFFICIENCY = "efficiency of the drive unit"
WAY_OF_EFFICIENCY = {
    field_words("gear_efficiency_frac"): "driving",
    field_words("gear_efficiency_back_frac"): "braking",
}
_CAUTIONS = ("of its mass is listed", "lower bound")


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


def sorted_out(sentences: Sequence[str], codes: tuple[str, ...] = (), names: tuple[str, ...] = ()) -> Assumed:
    """Sort the assumptions of a result.

    Parameters
    ----------
    sentences : sequence of str
        As the result carries them; those of one vehicle begin with its code.
    codes, names : tuple of str
        Of the vehicles, to say once what holds for both and to call a silent vehicle by its name.

    Returns
    -------
    Assumed
    """
    figures: list[TakenFigure] = []
    cautions: list[str] = []
    definitions: list[str] = []
    aside: list[str] = []
    called = dict(zip(codes, names, strict=True)) if names else {}
    for sentence in together(sentences, codes):
        text = worded(sentence)
        silent = _SILENT.fullmatch(text)
        whose, bare = _owner(text, codes)
        taken = _DEFAULT.fullmatch(bare)
        if silent:
            aside.append(_silence(silent["codes"], silent["items"], called))
        elif taken:
            value = _in_usual_unit(taken["words"], taken["value"])
            figures.append(TakenFigure(whose, taken["words"], value, taken["source"]))
        elif any(word in text for word in _CAUTIONS):
            cautions.append(text)
        elif any(word in text for word in _ASIDE):
            aside.append(text)
        else:
            definitions.append(text)
    return Assumed(tuple(cautions), tuple(_renamed(figures)), tuple(definitions), tuple(aside))


def print_assumed(
    page: Page,
    sentences: Sequence[str],
    codes: tuple[str, ...] = (),
    names: tuple[str, ...] = (),
) -> None:
    """Print the assumptions of a result in lists by kind; a list with nothing in it is left out."""
    found = sorted_out(sentences, codes, names)
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


def together(sentences: Iterable[str], codes: tuple[str, ...]) -> list[str]:
    """Say once what is assumed of both vehicles in the same words, and nothing twice."""
    sentences = list(sentences)
    if len(codes) != 2:
        return list(dict.fromkeys(sentences))
    x, y = (f"{code}: " for code in codes)
    of_x = {text.removeprefix(x) for text in sentences if text.startswith(x)}
    of_y = {text.removeprefix(y) for text in sentences if text.startswith(y)}
    said: dict[str, None] = {}
    for text in sentences:
        bare = text.removeprefix(x).removeprefix(y)
        said[f"{codes[0]} and {codes[1]}: {bare}" if bare in of_x & of_y else text] = None
    return list(said)


def _owner(sentence: str, codes: tuple[str, ...]) -> tuple[str, str]:
    for whose in (" and ".join(codes), *codes):
        if whose and sentence.startswith(f"{whose}: "):
            return whose, sentence.removeprefix(f"{whose}: ")
    return "", sentence


def _cells(figure: TakenFigure, owners: bool) -> tuple[str, ...]:
    cells = (capital(figure.words), figure.value, figure.source)
    return (figure.whose, *cells) if owners else cells


def _in_usual_unit(words: str, value: str) -> str:
    """A default in the unit its figure is mostly typed in; as it stands where that is the same or not known."""
    kind = next((kind for kind in QUANTITY_KINDS.values() if kind.words == words), None)
    parts = _NUMBER.fullmatch(value)
    if kind is None or not kind.example_units or parts is None:
        return value
    usual = kind.example_units[0]
    number, band = (
        f"{from_si(to_si(float(part), parts['unit'] or '1')[0], usual):g}" if part else ""
        for part in (parts["value"], parts["band"])
    )
    band = f" ± {band}" if band else ""
    return f"{number}{band} {unit_text(usual)}".rstrip()


def _renamed(figures: Sequence[TakenFigure]) -> Iterator[TakenFigure]:
    """Where the losses of the drive unit are defaults, too, the efficiency is that of all of it, not of the gears."""
    bare = {figure.whose for figure in figures if figure.words == field_words("loss_c0_w")}
    for figure in figures:
        way = WAY_OF_EFFICIENCY.get(figure.words)
        words = f"{DRIVE_UNIT_EFFICIENCY}, {way}" if way and figure.whose in bare else figure.words
        yield replace(figure, words=words)


def _silence(codes: str, items: str, called: dict[str, str]) -> str:
    """One line for a vehicle that states nothing for many functions; a figure that lacks beside others is named."""
    lacking: dict[str, list[str]] = {}
    for item in re.split(r"(?<=\)), ", items):
        function, _, figures = item.removesuffix(")").partition(" (")
        lacking.setdefault(function, []).append(figures)
    who = [called.get(code, code) for code in codes.split(" and ")]
    verb = "states" if len(who) == 1 else "state"
    listed = "; ".join(
        function
        if field_words("test_mass_kg") in figures or not any(figures)
        else f"{function} ({', '.join(figures)})"
        for function, figures in lacking.items()
    )
    return f"{' and '.join(who)} {verb} nothing for {counted(len(lacking), 'function')}: {listed}"


def print_doubts(page: Page, doubts: Sequence[str]) -> None:
    """Print what does not fit together, before any result that rests on it."""
    if doubts:
        page.heading("Read this first: figures that do not fit together")
        page.bullets(worded(doubt) for doubt in doubts)
        page.blank()
