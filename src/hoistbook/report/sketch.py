"""The drawing of what to measure, as SVG: line work in the colour of the text, readings as numbered dimensions."""

from __future__ import annotations

import math
from collections.abc import Mapping
from xml.sax.saxutils import escape, quoteattr

from hoistbook.core.checks.sketch import Angle, Circle, Dimension, Label, Line, Point, Sketch

WIDTH = 640.0
_SCALE = WIDTH / 100.0
_MARGIN = 3.0
_ARROW = 1.3
_LETTER = 2.4
_TICK = 1.0


def sketch_svg(sketch: Sketch, numbers: Mapping[str, int]) -> str:
    """Draw a sketch.

    Parameters
    ----------
    sketch : Sketch
    numbers : mapping of str to int
        The number that stands for each reading, as in the list beside the drawing.

    Returns
    -------
    str
        An SVG element. Lines take ``currentColor``, so that it is read on light and dark.
    """
    height = sketch.height + 2.0 * _MARGIN
    width = 100.0 + 2.0 * _MARGIN
    parts = [_drawn(mark, sketch.height, numbers) for mark in sketch.marks]
    return (
        f'<svg class="sketch" role="img" xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_n(width)} {_n(height)}" '
        f'width="{_n(width * _SCALE)}" height="{_n(height * _SCALE)}" aria-label={quoteattr(sketch.caption)} '
        f'fill="none" stroke="currentColor" stroke-width="0.3" stroke-linejoin="round" font-size="{_n(_LETTER)}">'
        f"<title>{escape(sketch.caption)}</title>{''.join(parts)}</svg>"
    )


def _n(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".")


def _at(point: Point, height: float) -> Point:
    return point[0] + _MARGIN, height - point[1] + _MARGIN


def _drawn(mark: Line | Circle | Dimension | Angle | Label, height: float, numbers: Mapping[str, int]) -> str:
    match mark:
        case Line():
            points = " ".join(f"{_n(x)},{_n(y)}" for x, y in (_at(one, height) for one in mark.points))
            return f'<polyline points="{points}"{_style(mark.heavy, mark.dashed, mark.filled)}/>'
        case Circle():
            x, y = _at(mark.centre, height)
            style = _style(mark.heavy, False, mark.filled)
            return f'<circle cx="{_n(x)}" cy="{_n(y)}" r="{_n(mark.radius)}"{style}/>'
        case Dimension():
            return _dimension(
                _at(mark.start, height), _at(mark.end, height), -mark.shift, numbers[mark.reading]
            )
        case Angle():
            return _angle(mark, height, numbers[mark.reading])
        case Label():
            x, y = _at(mark.at, height)
            return _text(x, y, mark.text)


def _style(heavy: bool, dashed: bool, filled: bool) -> str:
    words = [word for word, on in (("heavy", heavy), ("dashed", dashed), ("filled", filled)) if on]
    given = f' class="{" ".join(words)}"' if words else ""
    if heavy:
        given += ' stroke-width="0.8"'
    if dashed:
        given += ' stroke-dasharray="1.6 1"'
    if filled:
        given += ' fill="currentColor" fill-opacity="0.12"'
    return given


def _dimension(start: Point, end: Point, shift: float, number: int) -> str:
    along = math.hypot(end[0] - start[0], end[1] - start[1])
    ux, uy = (end[0] - start[0]) / along, (end[1] - start[1]) / along
    nx, ny = -uy, ux
    a = start[0] + shift * nx, start[1] + shift * ny
    b = end[0] + shift * nx, end[1] + shift * ny
    lines = []
    if shift:
        over = math.copysign(_TICK, shift)
        lines += [_line(one, (two[0] + over * nx, two[1] + over * ny)) for one, two in ((start, a), (end, b))]
    lines.append(_line(a, b))
    lines += [_arrow(a, (-ux, -uy)), _arrow(b, (ux, uy))]
    middle = (a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0
    if along < 4.0 * _LETTER:  # no room between the arrows: the number stands beside the line
        middle = middle[0] + 2.2 * nx, middle[1] + 2.2 * ny
    return f'<g class="dim">{"".join(lines)}{_number(middle, number)}</g>'


def _angle(mark: Angle, height: float, number: int) -> str:
    x, y = _at(mark.at, height)

    def on(degrees: float, radius: float) -> Point:
        return x + radius * math.cos(math.radians(degrees)), y - radius * math.sin(math.radians(degrees))

    a, b = on(mark.from_deg, mark.radius), on(mark.to_deg, mark.radius)
    large = int(abs(mark.to_deg - mark.from_deg) > 180.0)
    sweep = int(mark.to_deg < mark.from_deg)
    r = _n(mark.radius)
    arc = f'<path d="M{_n(a[0])} {_n(a[1])}A{r} {r} 0 {large} {sweep} {_n(b[0])} {_n(b[1])}"/>'
    middle = on((mark.from_deg + mark.to_deg) / 2.0, mark.radius + 2.6)
    return f'<g class="dim">{arc}{_number(middle, number)}</g>'


def _line(a: Point, b: Point) -> str:
    return f'<line x1="{_n(a[0])}" y1="{_n(a[1])}" x2="{_n(b[0])}" y2="{_n(b[1])}"/>'


def _arrow(tip: Point, way: Point) -> str:
    back = tip[0] - _ARROW * way[0], tip[1] - _ARROW * way[1]
    side = 0.35 * _ARROW
    points = (
        tip,
        (back[0] - side * way[1], back[1] + side * way[0]),
        (back[0] + side * way[1], back[1] - side * way[0]),
    )
    told = " ".join(f"{_n(x)},{_n(y)}" for x, y in points)
    return f'<polygon points="{told}" fill="currentColor" stroke="none"/>'


def _number(at: Point, number: int) -> str:
    x, y = at
    return (
        f'<circle class="number" cx="{_n(x)}" cy="{_n(y)}" r="1.7" fill="var(--paper, #fff)"/>'
        f"{_text(x, y + 0.35 * _LETTER, str(number))}"
    )


def _text(x: float, y: float, words: str) -> str:
    style = 'text-anchor="middle" fill="currentColor" stroke="none"'
    return f'<text x="{_n(x)}" y="{_n(y)}" {style}>{escape(words)}</text>'
