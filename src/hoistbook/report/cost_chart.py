"""A cost walk as a drawing in the manner of the other walks, and costs over an input as curves that cross."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from hoistbook.core.compare.bars import Interval
from hoistbook.core.compare.cost_walk import CostWalk
from hoistbook.core.cost.result import Money
from hoistbook.core.quantities.printing import NARROW_SPACE, text
from hoistbook.report.board import draw
from hoistbook.report.drawing import Spec
from hoistbook.report.figures import figure, to_place
from hoistbook.report.lettering import text_width
from hoistbook.report.scale import Scale
from hoistbook.report.sentences import capital
from hoistbook.report.sheet import Board, Captions, Row, Stairs
from hoistbook.report.theme import CAPTION, LIGHT, Theme

WIDTH, HEIGHT = 560.0, 250.0
"""A plot of curves beside another one. [px]"""
_TOP, _FOOT, _LABEL = 26.0, 38.0, 15.0


def cost_walk_spec(
    walk: CostWalk, captions: Captions, *, width_px: float = 1440.0, theme: Theme = LIGHT
) -> Spec:
    """Draw what each factor makes of the difference between two costs.

    Parameters
    ----------
    walk : CostWalk
    captions : Captions
        Details by factor stand under its words.
    width_px : float
        At least 900.
    theme : Theme

    Returns
    -------
    dict
        A Vega specification. Factors in which the sides do not differ are no rows; the widest comes first.
    """
    moving = sorted(
        (one for one in walk.steps if any((one.money.value, one.money.low, one.money.high))),
        key=lambda one: -abs(one.money.value),
    )
    rows = tuple(
        Row(
            name=one.factor,
            words=capital(one.factor),
            detail=captions.details.get(one.factor, ""),
            amount=_interval(one.money),
            origin="",
            standing="",
            gains=0 if one.money.value > 0.0 else 1,
        )
        for one in moving
    )
    if not rows:
        rows = (Row("none", "Nothing differs", "", Interval(0.0, 0.0, 0.0), "", "", 0),)
    difference = _interval(walk.difference)
    told = f"{figure(difference, signed=True)}{NARROW_SPACE}{walk.currency}"
    board = Board(
        rows=rows,
        captions=captions,
        unit=walk.currency,
        quantity="cost",
        foot=("Difference", told),
        stairs=Stairs(_interval(walk.first), _interval(walk.second), difference),
        codes=(walk.a, walk.b),
    )
    return draw(board, theme, width_px)


def _interval(found: Money) -> Interval:
    return Interval(found.value, found.low, found.high)


@dataclass(frozen=True, slots=True)
class Mark:
    """A place on the plot with its lettering, and the number of the mark that stands at it. [px]"""

    x: float
    y: float
    words: str
    mark: int = 0

    @property
    def mark_y(self) -> float:
        """Top of the mark."""
        return self.y - 5.5


@dataclass(frozen=True, slots=True)
class Curves:
    """Two costs over one input on a logarithmic axis: where everything stands, in px.

    `ends` are the names at the right ends of the curves, `crossings` where they change places, `here` the value that
    holds today.
    """

    title: str
    x_title: str
    width: float
    height: float
    left: float
    right: float
    top: float
    bottom: float
    x_ticks: tuple[Mark, ...]
    y_ticks: tuple[Mark, ...]
    paths: tuple[str, str]
    ends: tuple[Mark, Mark]
    crossings: tuple[Mark, ...]
    here: Mark | None
    words: str


def curves(
    x: Sequence[float],
    costs: tuple[Sequence[float], Sequence[float]],
    names: tuple[str, str],
    axes: tuple[str, str],
    crossings: Mapping[float, str],
    here: float | None,
    marks: tuple[int, int],
    words: str,
) -> Curves:
    """Lay out the costs of two sides over an input.

    Parameters
    ----------
    x : sequence of float
        Values of the input above 0, rising.
    costs : two of sequence of float
    names : two of str
    axes : two of str
        Words of the level and the upright axis, with their units.
    crossings : mapping of float to str
        Where the costs change places, with what is written there.
    here : float or None
        The value that holds, where it lies within.
    marks : two of int
        Numbers of the marks of the sides.
    words : str
        What it shows, for whoever cannot see it.

    Raises
    ------
    ValueError
        Fewer than two values, or one that is not above 0.
    """
    if len(x) < 2 or min(x) <= 0.0:
        msg = f"curves over {list(x)[:3]!r}…: give two values above 0 or more."
        raise ValueError(msg)
    room = max(text_width(name, CAPTION) for name in names) + 30.0
    highest = max(*costs[0], *costs[1])
    upright = Scale(0.0, 1.05 * highest, 0.0, HEIGHT - _FOOT - _TOP)
    bottom = HEIGHT - _FOOT
    values, places = upright.ticks(28.0)
    y_ticks = tuple(Mark(0.0, round(bottom - upright(one), 1), to_place(one, places)) for one in values)
    left = max(text_width(one.words, CAPTION) for one in y_ticks) + 12.0
    level = Scale(math.log10(x[0]), math.log10(x[-1]), left, WIDTH - room)

    def at(value: float) -> float:
        return round(level(math.log10(value)), 1)

    paths = []
    for several in costs:
        pens = [f"{at(one):.1f} {bottom - upright(cost):.1f}" for one, cost in zip(x, several, strict=True)]
        paths.append(f"M{'L'.join(pens)}")
    ends = [bottom - upright(several[-1]) for several in costs]
    if abs(ends[0] - ends[1]) < _LABEL:
        # Names of curves that end together stand one above the other.
        middle, order = 0.5 * (ends[0] + ends[1]), 1.0 if ends[0] >= ends[1] else -1.0
        ends = [middle + 0.5 * order * _LABEL, middle - 0.5 * order * _LABEL]
    named = [
        Mark(round(level.right + 8.0, 1), round(y, 1), name, mark)
        for y, name, mark in zip(ends, names, marks, strict=True)
    ]
    found = tuple(
        Mark(at(place), round(bottom - upright(_between(x, costs[0], place)), 1), said)
        for place, said in crossings.items()
        if x[0] <= place <= x[-1]
    )
    return Curves(
        axes[1],
        axes[0],
        WIDTH,
        HEIGHT,
        left,
        level.right,
        _TOP,
        bottom,
        tuple(Mark(at(one), bottom, text(one)) for one in _round_values(x[0], x[-1])),
        y_ticks,
        (paths[0], paths[1]),
        (named[0], named[1]),
        found,
        Mark(at(here), bottom, text(float(f"{here:.3g}")))
        if here is not None and x[0] <= here <= x[-1]
        else None,
        words,
    )


def _between(x: Sequence[float], y: Sequence[float], at: float) -> float:
    """Height of a curve between its points, along the logarithm of x."""
    for left, right, low, high in zip(x, x[1:], y, y[1:], strict=False):
        if left <= at <= right:
            share = math.log(at / left) / math.log(right / left)
            return low + share * (high - low)
    return y[-1]


def _round_values(low: float, high: float) -> list[float]:
    """1, 10, 100 … where they are three or more, else 1, 2, 5, 10 …"""
    decades = range(math.floor(math.log10(low)), math.ceil(math.log10(high)) + 1)
    for steps in ((1.0,), (1.0, 2.0, 5.0), (1.0, 1.5, 2.0, 3.0, 5.0, 7.0)):
        found = [
            float(f"{step * 10.0**one:.3g}")
            for one in decades
            for step in steps
            if low <= float(f"{step * 10.0**one:.3g}") <= high
        ]
        if len(found) >= 3:
            return found
    return found
