"""Where everything stands on the closure bar of a vehicle: in shares of its width, so that lettering keeps its size."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from hoistbook.report.lettering import text_width
from hoistbook.report.theme import CAPTION

NARROW = 760.0
"""Width for which labels are set apart; on a wider bar there is more room between them. [px]"""

_APART = 14.0


@dataclass(frozen=True, slots=True)
class Piece:
    """A way of knowing mass: its kind (the class of its outline), words, and mass in kg with its text."""

    kind: str
    words: str
    mass_kg: float
    text: str


@dataclass(frozen=True, slots=True)
class Segment:
    """A stretch of the bar, in % of the width. `words` are for whoever cannot see it."""

    kind: str
    left: float
    width: float
    words: str


@dataclass(frozen=True, slots=True)
class Label:
    """A label below the bar.

    `middle` is that of its segment, in % of the width; `right`, the right end of the text, and `foot`, where the line
    from the segment meets it, count from there in px: labels stay close together however wide the bar is.
    """

    words: str
    text: str
    kind: str
    middle: float
    right: float
    foot: float


@dataclass(frozen=True, slots=True)
class ClosureBar:
    """The bar: segments, labels below it, and the end of the dimension of the scale, in % of the width.

    `scale_end` is None where the vehicle was not weighed as a whole; below 100 where the parts weigh more. `half_text`
    is half the width of the dimension's lettering, in px.
    """

    segments: tuple[Segment, ...]
    labels: tuple[Label, ...]
    scale_end: float | None
    half_text: float

    @property
    def width_text(self) -> float:
        """Width of the dimension's lettering. [px]"""
        return 2.0 * self.half_text


def closure_bar(
    pieces: Sequence[Piece], scale_kg: float | None, dimension: str = "", narrow: float = NARROW
) -> ClosureBar:
    """Lay out the bar.

    Parameters
    ----------
    pieces : sequence of Piece
        From left to right; the first is labelled above the bar by whoever draws it, the rest below.
    scale_kg : float or None
        Mass on the vehicle scale. What it is above the pieces is drawn as the rest, hatched. [kg]
    dimension : str
        Lettering of the scale's dimension.
    narrow : float
        Least width the labels may overlap nowhere at. [px]

    Returns
    -------
    ClosureBar
        Pieces without mass above 0 are not drawn; they stand in the table beside the bar.
    """
    drawn = [piece for piece in pieces if piece.mass_kg > 0.0]
    total = sum(piece.mass_kg for piece in drawn)
    whole = max(total, scale_kg or 0.0)
    half_text = 0.5 * text_width(dimension, CAPTION) + 10.0
    if whole <= 0.0:
        return ClosureBar((), (), None if scale_kg is None else 100.0, half_text)
    segments: list[Segment] = []
    left = 0.0
    for piece in drawn:
        width = 100.0 * piece.mass_kg / whole
        segments.append(Segment(piece.kind, left, width, f"{piece.words} {piece.text}"))
        left += width
    if scale_kg is not None and scale_kg > total:
        segments.append(Segment("rest", left, 100.0 - left, "unallocated"))
    labels = _labels([(piece, segment) for piece, segment in zip(drawn, segments, strict=False)][1:], narrow)
    return ClosureBar(
        tuple(segments), labels, None if scale_kg is None else 100.0 * scale_kg / whole, half_text
    )


def _labels(placed: Sequence[tuple[Piece, Segment]], narrow: float) -> tuple[Label, ...]:
    """Set labels under their segments, from the right, each pushed left by the one before."""
    limit = narrow
    found: list[Label] = []
    for piece, segment in reversed(placed):
        width = text_width(f"{piece.words} {piece.text}", CAPTION, bold=True)
        middle = (segment.left + 0.5 * segment.width) * narrow / 100.0
        right = min(middle + 0.5 * width, limit)
        foot = min(max(middle, right - width + 6.0), right - 6.0)
        found.append(
            Label(
                piece.words,
                piece.text,
                piece.kind,
                segment.left + 0.5 * segment.width,
                right - middle,
                foot - middle,
            )
        )
        limit = right - width - _APART
    return tuple(reversed(found))
