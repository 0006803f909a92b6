"""A claim on one axis: the difference with its band, the limit it is held to, and how far beyond must be seen."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from hoistbook.core.compare.bars import Interval
from hoistbook.report.figures import to_place
from hoistbook.report.lettering import text_width
from hoistbook.report.scale import Scale

WIDTH, MARGIN = 440.0, 28.0
"""Of the drawing, and room at both ends for the mark and for figures of the axis. [px]"""
CAPTION = 12.0
_NEAR = 1.0
"""project rule: zero is drawn when it lies no further from the figures than they are apart; further off it would press
band and limit into one line, and the axis tells where they are."""
_TIPS = 30.0
"""Least distance of two limits between which there is room for arrows. [px]"""
_APART = 70.0
"""Least distance of the figures on the axis. [px]"""


@dataclass(frozen=True, slots=True)
class ClaimScale:
    """Where everything stands. [px]

    Attributes
    ----------
    value, low, high : float
    value_words, claimed_words : float
        Middle of the lettering of the figure, and of what is claimed.
    limits : tuple of float
    claimed : tuple of (float, float)
        Arrows from a limit towards where the claim holds.
    unsure : tuple of float
        Left end and width of the strip of the detection limit.
    ticks : tuple of (float, str)
    zero : float or None
    """

    value: float
    low: float
    high: float
    value_words: float
    limits: tuple[float, ...]
    claimed: tuple[tuple[float, float], ...]
    claimed_words: float
    unsure: tuple[float, float]
    ticks: tuple[tuple[float, str], ...]
    zero: float | None


def claim_scale(
    value: Interval,
    limits: Sequence[float],
    relation: str,
    unsure: tuple[float, float],
    value_text: str,
    claimed_text: str,
) -> ClaimScale:
    """Lay out a claim.

    Parameters
    ----------
    value : Interval
        In the unit of the drawing, as are all others.
    limits : sequence of float
        One; two for "about".
    relation : str
        "less than", "more than" or "about".
    unsure : tuple of float
        Ends of the strip in which nothing can be confirmed with today's bands.
    value_text, claimed_text : str
        Lettering beside the figure and beside the limit.

    Returns
    -------
    ClaimScale
    """
    drawn = [value.low, value.value, value.high, *limits, *unsure]
    lowest, highest = min(drawn), max(drawn)
    if min(abs(lowest), abs(highest)) <= _NEAR * (highest - lowest):
        lowest, highest = min(lowest, 0.0), max(highest, 0.0)
    if highest == lowest:
        half = 0.5 * max(abs(highest), 1.0)
        lowest, highest = lowest - half, highest + half
    axis = Scale(lowest, highest, MARGIN + 40.0, WIDTH - MARGIN - 40.0)
    reach = 40.0 * (highest - lowest) / (axis.right - axis.left)
    axis = Scale(lowest - reach, highest + reach, MARGIN, WIDTH - MARGIN)
    at = [axis(limit) for limit in limits]
    middle = 0.5 * (at[0] + at[-1])
    arrows: tuple[tuple[float, float], ...]
    if relation == "about":
        arrows = ((middle, at[0]), (middle, at[-1])) if at[-1] - at[0] > _TIPS else ()
    else:
        arrows = ((at[0], axis.left if relation == "less than" else axis.right),)
    side = {"less than": "end", "more than": "start"}.get(relation, "middle")
    left, right = axis(unsure[0]), axis(unsure[1])
    return ClaimScale(
        _px(axis(value.value)),
        _px(axis(value.low)),
        _px(axis(value.high)),
        _set(axis(value.value), value_text, "middle"),
        tuple(_px(one) for one in at),
        tuple((_px(start), _px(end)) for start, end in arrows),
        _set(middle, claimed_text, side),
        (_px(left), _px(right - left)),
        _ticks(axis),
        _px(axis(0.0)) if axis.low <= 0.0 <= axis.high else None,
    )


def _ticks(axis: Scale) -> tuple[tuple[float, str], ...]:
    """Figures of the axis, as far apart as their own width asks for, and inside the drawing."""
    apart = _APART
    found: tuple[tuple[float, str], ...] = ()
    for _ in range(2):
        values, places = axis.ticks(apart)
        found = tuple((_px(axis(value)), to_place(value, places)) for value in values)
        apart = max([_APART, *(text_width(words, CAPTION) + 12.0 for _, words in found)])
    return tuple((x, words) for x, words in found if 0.5 * text_width(words, CAPTION) <= min(x, WIDTH - x))


def _px(place: float) -> float:
    return round(place, 1)


def _set(place: float, words: str, side: str) -> float:
    """Middle of words set at a place, moved as far from it as the edges of the drawing ask for."""
    width = text_width(words, CAPTION, bold=True)
    left = place - {"start": 0.0, "middle": 0.5, "end": 1.0}[side] * width
    return _px(max(min(left, WIDTH - width), 0.0) + 0.5 * width)
