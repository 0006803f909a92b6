"""Plots of what was read over time or speed: where every line, dot, band and number stands, in px, without a colour.

A template draws them with the classes of the pages, so one drawing serves both themes.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.quantities.printing import text
from hoistbook.report.lettering import printable, text_width
from hoistbook.report.scale import Scale
from hoistbook.report.theme import CAPTION

WIDTH, HEIGHT, SLIM = 740.0, 230.0, 110.0
"""A plot as wide as the left column of a sheet at 1440 px, and the height of one that stands below another. [px]"""

_TOP, _FOOT, _RIGHT, _GAP = 26.0, 38.0, 20.0, 8.0
_APART_X, _APART_Y, _APART_SLIM = 64.0, 24.0, 14.0
_ROOM, _FLAT = 0.06, 1e-9

LINE, BROAD, DASHED, DOTS, RINGS, STRIP = "line", "broad", "dashed", "dots", "rings", "strip"
"""Kinds of a trace: readings as a line, a fit, what was asked for, points, points of the way back, a 95 % band."""

Values = Sequence[float | None]


@dataclass(frozen=True, slots=True)
class Trace:
    """One line, cloud of points or band. `high` is the upper edge of a band, whose lower edge is `y`; None is a gap."""

    kind: str
    x: Values
    y: Values
    high: Values = ()


@dataclass(frozen=True, slots=True)
class Axis:
    """Words and unit of an axis, and its ends where several plots share them."""

    words: str
    unit: str
    low: float | None = None
    high: float | None = None

    @property
    def title(self) -> str:
        """As it is lettered: "Force [N]"."""
        return f"{self.words[:1].upper()}{self.words[1:]}{f' [{self.unit}]' if self.unit else ''}"


@dataclass(frozen=True, slots=True)
class Tick:
    """A round value on an axis: its place in px, as it is written into the drawing, and its lettering."""

    at: str
    words: str


@dataclass(frozen=True, slots=True)
class Stroke:
    """A path with the kind of trace it stands for."""

    kind: str
    path: str


@dataclass(frozen=True, slots=True)
class Plot:
    """A plot: frame in px, ticks, strokes; `grid` and `marks` are paths of the lines behind and of the ticks below.

    `zero` is the height of the zero line where it runs through the plot.
    """

    title: str
    width: float
    height: float
    left: float
    right: float
    top: float
    bottom: float
    x_title: str
    x_ticks: tuple[Tick, ...]
    y_ticks: tuple[Tick, ...]
    grid: str
    marks: str
    strokes: tuple[Stroke, ...]
    zero: float | None
    words: str

    @property
    def across(self) -> float:
        """Width inside the axes. [px]"""
        return self.right - self.left


def plot(
    traces: Sequence[Trace],
    x: Axis,
    y: Axis,
    *,
    words: str,
    title: str = "",
    width: float = WIDTH,
    height: float = HEIGHT,
    with_x: bool = True,
) -> Plot | None:
    """Lay out a plot.

    Parameters
    ----------
    traces : sequence of Trace
        Drawn in this order.
    x, y : Axis
    words : str
        What it shows, for whoever cannot see it.
    title : str
        Above the plot; the words of the vertical axis when left out.
    width, height : float
        [px]
    with_x : bool
        Numbers and words below the plot; without them where the next one below has the same axis.

    Returns
    -------
    Plot or None
        None where there is nothing to draw: an empty plot says nothing.

    Notes
    -----
    The vertical axis starts at 0 where all values are positive and reach down to less than half of the largest.
    """
    drawn = [(trace, edges) for trace in traces if len((edges := _edges(trace))[0])]
    if not drawn:
        return None
    across = _ends(np.concatenate([edges[0] for _, edges in drawn]), x)
    up = _ends(np.concatenate([edge for _, edges in drawn for edge in edges[1:]]), y, room=_ROOM)
    top, bottom = _TOP, height - (_FOOT if with_x else _GAP)
    upright = Scale(up[0], up[1], 0.0, bottom - top)
    values, places = upright.ticks(_APART_Y if upright.right >= SLIM else _APART_SLIM)
    y_ticks = tuple(Tick(f"{bottom - upright(value):.1f}", _number(value, places)) for value in values)
    left = max((text_width(tick.words, CAPTION) for tick in y_ticks), default=0.0) + 8.0
    level = Scale(across[0], across[1], max(left, 44.0), width - _RIGHT)
    x_values, x_places = level.ticks(_APART_X)
    x_ticks = tuple(Tick(f"{level(value):.1f}", _number(value, x_places)) for value in x_values)
    strokes = tuple(_stroke(trace, edges, level, upright, bottom) for trace, edges in drawn)
    return Plot(
        printable(title or y.title),
        width,
        height,
        level.left,
        level.right,
        top,
        bottom,
        printable(x.title) if with_x else "",
        x_ticks,
        y_ticks,
        "".join(f"M{level.left:.1f} {tick.at}H{level.right:.1f}" for tick in y_ticks),
        "".join(f"M{tick.at} {bottom:.1f}v4" for tick in x_ticks),
        strokes,
        bottom - upright(0.0) if up[0] < 0.0 < up[1] else None,
        printable(words),
    )


def widest(values: Iterable[float | None]) -> float:
    """Largest distance from 0, so that plots of residuals share one scale; 1 where all are 0."""
    return max((abs(value) for value in values if value is not None), default=0.0) or 1.0


def _number(value: float, places: int) -> str:
    return text(value) if places == 0 else f"{value:.{places}f}".replace("-", "−")


def _edges(trace: Trace) -> tuple[Array, ...]:
    """Places and heights of a trace, and the upper edge of a band.

    Lines keep their gaps as NaN; dots and bands have only places where everything is there. Empty where nothing is.
    """
    columns = [np.array(values, dtype=np.float64) for values in (trace.x, trace.y, trace.high) if len(values)]
    there = (
        np.logical_and.reduce([np.isfinite(column) for column in columns]) if columns else np.array([False])
    )
    if not there.any():
        return (np.empty(0),)
    if trace.kind in (LINE, BROAD, DASHED):
        return tuple(np.where(there, column, np.nan) for column in columns)
    return tuple(column[there] for column in columns)


def _ends(values: Array, axis: Axis, room: float = 0.0) -> tuple[float, float]:
    least, most = float(np.nanmin(values)), float(np.nanmax(values))
    low = axis.low if axis.low is not None else 0.0 if 0.0 <= least < 0.5 * most else least
    high = axis.high if axis.high is not None else most
    if high - low <= _FLAT * max(abs(low), abs(high), 1.0):
        half = 0.5 * max(abs(low), abs(high)) if max(abs(low), abs(high)) > _FLAT else 0.5
        return low - half, high + half
    spare = room * (high - low)
    return (
        low if axis.low is not None or low == 0.0 else low - spare,
        high if axis.high is not None else high + spare,
    )


def _stroke(trace: Trace, edges: tuple[Array, ...], level: Scale, upright: Scale, bottom: float) -> Stroke:
    def pens(edge: Array) -> list[str]:
        places = zip(_placed(level, edges[0]), (bottom - _placed(upright, edge)).tolist(), strict=True)
        return [f"{a:.1f} {b:.1f}" for a, b in places]

    if trace.kind == STRIP:
        return Stroke(trace.kind, f"M{'L'.join([*pens(edges[2]), *reversed(pens(edges[1]))])}Z")
    if trace.kind in (DOTS, RINGS):
        # A line of no length with round ends is a dot, and all of them are one path.
        return Stroke(trace.kind, "".join(f"M{pen}h0" for pen in pens(edges[1])))
    stretches = "".join(f"{'|' if pen.startswith('nan') else pen}L" for pen in pens(edges[1])).split("|")
    return Stroke(trace.kind, "".join(f"M{one.strip('L')}" for one in stretches if one.strip("L")))


def _placed(scale: Scale, values: Array) -> Array:
    """Places of many values at once. [px]"""
    return scale.left + (values - scale.low) / (scale.high - scale.low) * (scale.right - scale.left)
