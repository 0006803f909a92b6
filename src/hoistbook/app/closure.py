"""The closure bar of a vehicle with its answer sentence, as the parts page and the mass page show it."""

from __future__ import annotations

from dataclasses import dataclass

from hoistbook.app.cells import interval_of
from hoistbook.core.compare.bars import Interval
from hoistbook.report.closure_bar import ClosureBar, Piece, closure_bar
from hoistbook.report.figures import amount, figure, per_cent
from hoistbook.services.keeping import Json
from hoistbook.services.pages.heads import Head

UNIT = "\u202fkg"
_KINDS = (
    ("weighed", "weighed", ""),
    ("computed", "computed", "computed from geometry"),
    ("published", "published", "literature"),
    ("estimated", "estimated", "estimated"),
)
"""Outline, words, and line of the coverage table of each stretch of the bar, from left to right."""


@dataclass(frozen=True, slots=True)
class ClosureSheet:
    """What stands around the bar. `rest` is empty where nothing is unallocated or nothing was on the scale."""

    answer: str
    statement: str
    bar: ClosureBar
    weighed: str
    counts: str
    rest: str
    rest_band: str
    rest_words: str
    dimension: str
    spoken: str


def closure_sheet(found: Head, summary: Json) -> ClosureSheet | None:
    """Lay out the closure of a vehicle; None where it has no part tree.

    Notes
    -----
    The answer says what the bands allow: a difference whose band holds zero is no finding.
    """
    mass = summary["mass"]
    if mass is None:
        return None
    closed = mass["closure"]
    pieces = _pieces(summary)
    weighed_frac = per_cent(summary["weighed_frac"] or 0.0)
    dimension = rest = rest_band = rest_words = ""
    scale = difference = None
    if closed is None:
        told = f"{weighed_frac} of the mass of the parts is weighed; the whole vehicle was not on a scale."
        statement = "; ".join(mass["unchecked"])
    else:
        scale, difference = interval_of(closed["scale"]), interval_of(closed["difference"])
        statement = closed["statement"]
        dimension = f"{figure(scale, unit='kg')}{UNIT} on the scale" if scale else ""
        told, rest, rest_band, rest_words = _rest(weighed_frac, difference)
    weighed = next((piece for piece in pieces if piece.kind == "weighed"), None)
    bar = closure_bar(pieces, None if scale is None else scale.value, dimension)
    spoken = ", ".join(f"{piece.words} {piece.text}{UNIT}" for piece in pieces)
    return ClosureSheet(
        told,
        statement,
        bar,
        "" if weighed is None else weighed.text,
        f"{summary['weighed']:,} of {summary['parts']:,} parts".replace(",", "\u202f"),
        rest,
        rest_band,
        rest_words,
        dimension,
        f"Closure of {found.name}: {spoken}{f'; {rest_words} {rest}{UNIT}' if rest else ''}"
        f"{f'; {dimension}' if dimension else ''}. The same figures stand in the table of how the mass is known.",
    )


def _pieces(summary: Json) -> list[Piece]:
    lines = {line["how"]: line["mass"] for line in summary["mass"]["coverage"]}
    pieces = []
    for kind, words, way in _KINDS:
        found = interval_of(summary["weighed_mass"] if kind == "weighed" else lines.get(way))
        if found is None or not found.value:
            continue
        told = figure(found, unit="kg")
        pieces.append(Piece(kind, words, found.value, str(told) if kind == "weighed" else told.value))
    return pieces


def _rest(weighed_frac: str, difference: Interval | None) -> tuple[str, str, str, str]:
    """Answer, value, band and words of what is on the scale beyond the parts, or in the parts beyond the scale."""
    if difference is None:
        return f"{weighed_frac} of the mass is weighed.", "", "", ""
    told = figure(difference, unit="kg") if difference.value >= 0.0 else amount(difference, "kg")
    lead = f"{weighed_frac} of the mass is weighed"
    if difference.low <= 0.0 <= difference.high:
        side = "on the scale beyond the parts" if difference.value >= 0.0 else "in the parts beyond the scale"
        answer = f"{lead}; parts and scale agree within their bands, with {told}{UNIT} {side}."
    elif difference.value > 0.0:
        answer = f"{lead}; {told}{UNIT} has no part to its name."
    else:
        answer = f"{lead}; the parts weigh {told}{UNIT} more than the scale reads."
    words = "unallocated" if difference.value >= 0.0 else "parts above the scale"
    return answer, told.value, told.band, words
