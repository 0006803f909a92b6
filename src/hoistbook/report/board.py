"""The drawing board of a walk: rows, two plots on the same rows, detection limit, gap and what they are called."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import accumulate, pairwise

from hoistbook.core.compare.bars import Interval
from hoistbook.core.quantities.printing import NARROW_SPACE
from hoistbook.report.columns import MARGIN, OVERHANG, Columns, columns
from hoistbook.report.drawing import BAR_HEIGHT, Drawing, Spec
from hoistbook.report.figures import figure, to_place
from hoistbook.report.lettering import text_width, wrapped
from hoistbook.report.scale import Claim, Scale, fitted, share
from hoistbook.report.sheet import Board, Row, Stairs
from hoistbook.report.theme import ANSWER, BODY, CAPTION, THIN, WORD, Outline, Theme, outline

_LABEL_GAP = 9.0
_GHOST_APART = 3.0
_TICK_APART, _TICK_SHARE = 52.0, 0.09
_SHORTEST_ARROW = 12.0
_ROOM_FOR_BARS = 0.3
_ROW = 46.0
_WORD_LEAD, _CAPTION_LEAD = 19.0, 15.0
_PLAIN = Outline(THIN)
"""Outline of a bar that is not classed by origin: a decision."""

_GAINS = {"range": "gains", "energy": "uses less", "mass": "lighter", "cost": "cheaper"}
_AXIS = {"range": "range", "energy": "consumption", "mass": "mass", "cost": "cost"}


@dataclass(frozen=True, slots=True)
class _Line:
    """Where one row stands. [px]"""

    top: float
    bottom: float
    words: tuple[str, ...]
    detail: tuple[str, ...]

    @property
    def middle(self) -> float:
        return round(0.5 * (self.top + self.bottom))


def draw(board: Board, theme: Theme, width: float) -> Spec:
    """Draw a board.

    Parameters
    ----------
    board : Board
    theme : Theme
    width : float
        Of the sheet, at least 900. [px]

    Returns
    -------
    dict
        A Vega specification.
    """
    d = Drawing(theme)
    cols = columns(width, stairs=board.stairs is not None, origins=board.has_origins)
    inner = width - 2.0 * MARGIN
    y = MARGIN + 20.0 if board.captions.headed else 4.0
    if board.captions.headed:
        y = d.write_wrapped(board.captions.title, MARGIN, y, inner, size=ANSWER, lead=31.0)
    if board.captions.headed and board.captions.subtitle:
        y = d.write_wrapped(
            board.captions.subtitle, MARGIN, y, inner, size=WORD, lead=21.0, colour=theme.ink_2
        )
    plot_top = _heads(d, board, cols, y + 10.0)
    lines = _lines(board, cols, plot_top + (44.0 if board.stairs else 10.0))
    bottom = lines[-1].bottom
    worth, labels = _worth_axis(board, cols)
    axes = {"worth": worth}
    _worth(d, board, labels, worth, lines, plot_top)
    _causes(d, board, cols, lines)
    end = _foot(d, board, cols, worth, bottom)
    if board.stairs is not None:
        axes["walk"] = _walk_axis(board, board.stairs, cols)
        end = max(end, _stairs(d, board, board.stairs, cols, axes["walk"], lines, plot_top))
    end = _legend(d, board, end + 34.0, inner)
    said = [board.captions.title, board.captions.subtitle, *(d_row["words"] for d_row in d.bars)]
    return d.spec(width, round(end + MARGIN - 10.0), " ".join(filter(None, said)), axes)


def _heads(d: Drawing, board: Board, cols: Columns, y: float) -> float:
    """Column heads with the line under them; returns the top of the plots, below the numbers of the axes."""
    heads = [(cols.cause, "cause" if board.stairs else "decision")]
    heads.append((cols.worth, f"what each {heads[0][1]} is worth, {board.unit}"))
    if board.stairs is not None:
        walk = (f"the walk, {board.unit} of {_AXIS[board.quantity]}", f"the walk, {board.unit}")
        fits = text_width(walk[0], CAPTION) <= cols.walk[1] - cols.walk[0]
        heads.append((cols.walk, walk[0] if fits else walk[1]))
    if board.has_origins:
        heads.append((cols.origin, "origin of the figure"))
    for (left, right), words in heads:
        d.write(words, left, y, size=CAPTION, colour=d.theme.ink_2)
        d.line(left, y + 10.0, right, y + 10.0, width=2.0)
    return y + 34.0


def _lines(board: Board, cols: Columns, top: float) -> list[_Line]:
    width = cols.cause[1] - cols.cause[0]
    lines = []
    for row in board.rows:
        words = tuple(wrapped(row.words, WORD, width))
        detail = tuple(wrapped(row.detail, CAPTION, width)) if row.detail else ()
        height = max(_ROW, 14.0 + _WORD_LEAD * len(words) + _CAPTION_LEAD * len(detail))
        lines.append(_Line(top, top + height, words, detail))
        top += height
    return lines


def _label(row: Row, unit: str, narrow: bool) -> list[str]:
    """Text beside the whisker: a lopsided band goes under its value; where there is little room, every part does."""
    found = figure(row.amount, signed=True, unit=unit)
    if not narrow:
        return [found.value, found.band] if found.lopsided else [str(found)]
    low, to, high = found.band.partition(" to")
    return [part for part in (found.value, f"{low}{to}", high.strip()) if part]


def _reach(row: Row) -> tuple[float, float]:
    """Ends of everything drawn of a bar, its label apart."""
    values = [0.0, row.amount.value, row.amount.low, row.amount.high]
    if row.other is not None:
        values.append(row.other)
    return min(values), max(values)


def _worth_axis(board: Board, cols: Columns) -> tuple[Scale, list[list[str]]]:
    """The axis of the bars, and the lines of each label: set narrow where they would leave the bars too little room."""
    for narrow in (False, True):
        labels = [_label(row, board.unit, narrow) for row in board.rows]
        claims = [Claim(0.0, 30.0, 30.0)]
        for row, lines in zip(board.rows, labels, strict=True):
            room = _LABEL_GAP + 6.0 + max(text_width(line, BODY) for line in lines)
            low, high = _reach(row)
            claims.append(Claim(low, left=room if row.amount.value < 0.0 else 6.0))
            claims.append(Claim(high, right=room if row.amount.value >= 0.0 else 6.0))
        if board.limit is not None:
            claims += [Claim(-board.limit, left=6.0), Claim(board.limit, right=6.0)]
        axis = fitted(claims, *cols.worth)
        if share(axis, claims) >= _ROOM_FOR_BARS:
            break
    return axis, labels


def _ticks(d: Drawing, axis: Scale, top: float, bottom: float, *, signed: bool) -> None:
    """Grid with its numbers above."""
    ticks, places = axis.ticks(max(_TICK_APART, _TICK_SHARE * (axis.right - axis.left)))
    for value in ticks:
        x = axis(value)
        d.line(x, top, x, bottom, colour=d.theme.hairline, under=True)
        number = to_place(value, places, signed=signed)
        half = 0.5 * text_width(number, CAPTION)
        if axis.left - OVERHANG <= x - half and x + half <= axis.right + OVERHANG:
            d.write(number, x, top - 6.0, size=CAPTION, colour=d.theme.ink_2, align="center")


def _worth(
    d: Drawing, board: Board, labels: list[list[str]], axis: Scale, lines: list[_Line], top: float
) -> None:
    """Bars with whiskers and labels, over the grid and the strip of the detection limit."""
    bottom = lines[-1].bottom
    if board.limit is not None:
        d.strip(axis(-board.limit), axis(board.limit), top, bottom, d.theme.limit)
    _ticks(d, axis, top, bottom, signed=True)
    d.line(axis(0.0), top, axis(0.0), bottom, under=True)
    for row, line, label in zip(board.rows, lines, labels, strict=True):
        kind = outline(row.origin) if row.origin else _PLAIN
        vehicle = d.theme.vehicle(board.captions.places[row.gains])
        y, value = line.middle, row.amount.value
        d.bars.append(
            {
                "name": row.name,
                "words": f"{row.words}: {figure(row.amount, signed=True, unit=board.unit)}{NARROW_SPACE}{board.unit}"
                + (f", {row.origin}" if row.origin else ""),
                "value": value,
                "low": row.amount.low,
                "high": row.amount.high,
                "y": y,
                "fill": d.theme.paper if kind.hatched else vehicle.colour,
                "opacity": 1.0 if kind.hatched else vehicle.wash,
                "stroke": d.theme.line,
                "width": kind.width,
                "dash": list(kind.dash),
            }
        )
        if kind.hatched:
            d.hatch(axis(0.0), axis(value), y - 0.5 * BAR_HEIGHT)
        if row.amount.high > row.amount.low:
            d.whisker(axis(row.amount.low), axis(row.amount.high), y, halo=kind.hatched)
        if row.other is not None and abs(axis(row.other) - axis(value)) >= _GHOST_APART:
            d.ghost(axis(row.other), y - 0.5 * BAR_HEIGHT - 2.0)
        low, high = _reach(row)
        for place, words in enumerate(label):
            base = y + 4.5 + 15.0 * (place - 0.5 * (len(label) - 1))
            colour = d.theme.ink_2 if place else d.theme.ink
            if value < 0.0:
                d.write(words, axis(low) - _LABEL_GAP, base, colour=colour, align="right")
            else:
                d.write(words, axis(high) + _LABEL_GAP, base, colour=colour)


def _causes(d: Drawing, board: Board, cols: Columns, lines: list[_Line]) -> None:
    """Words and figures of each cause left, where its figure comes from right."""
    for number, (row, line) in enumerate(zip(board.rows, lines, strict=True)):
        block = _WORD_LEAD * len(line.words) + _CAPTION_LEAD * len(line.detail)
        y = line.middle - 0.5 * block + 14.0
        for words in line.words:
            d.write(words, cols.cause[0], y, size=WORD)
            y += _WORD_LEAD
        y -= 2.0
        for words in line.detail:
            d.write(words, cols.cause[0], y, size=CAPTION, colour=d.theme.ink_2)
            y += _CAPTION_LEAD
        if board.has_origins:
            base = line.middle + (-3.0 if row.standing else 4.5)
            d.swatch(outline(row.origin), cols.origin[0], base - 4.0)
            d.write(row.origin, cols.origin[0] + 36.0, base)
            if row.standing:
                d.write(row.standing, cols.origin[0], base + 17.0, size=CAPTION, colour=d.theme.ink_2)
        if number < len(lines) - 1:
            for left, right in (cols.cause, cols.origin) if board.has_origins else (cols.cause,):
                d.line(left, line.bottom, right, line.bottom, colour=d.theme.hairline)


def _walk_axis(board: Board, stairs: Stairs, cols: Columns) -> Scale:
    claims = [Claim(level, 12.0, 12.0) for level in _levels(board, stairs)]
    claims += [Claim(place, 8.0, 8.0) for end in (stairs.start, stairs.end) for place in (end.low, end.high)]
    return fitted(claims, *cols.walk)


def _levels(board: Board, stairs: Stairs) -> list[float]:
    return list(accumulate((row.amount.value for row in board.rows), initial=stairs.start.value))


def _stairs(
    d: Drawing, board: Board, stairs: Stairs, cols: Columns, axis: Scale, lines: list[_Line], top: float
) -> float:
    """Running value from X to Y, the gap dimensioned below; returns the lowest base line."""
    bottom = lines[-1].bottom
    _ticks(d, axis, top, bottom, signed=False)
    levels = _levels(board, stairs)
    above = top + 24.0
    _end(d, board, stairs, 0, axis, above, label_at=above - 11.0)
    for row, line, (start, end) in zip(board.rows, lines, pairwise(levels), strict=True):
        d.line(axis(start), above, axis(start), line.middle, colour=d.theme.rule)
        above = line.middle
        if row.origin and outline(row.origin).hatched:
            _hatched_step(d, axis(start), axis(end), line.middle)
            continue
        d.steps.append(
            {"name": row.name, "start": start, "end": end, "y": line.middle, "stroke": d.theme.line}
        )
        if abs(axis(end) - axis(start)) > _SHORTEST_ARROW:
            d.arrow(axis(start), line.middle, axis(end))
    y = bottom + 20.0
    d.line(axis(levels[-1]), above, axis(levels[-1]), y, colour=d.theme.rule)
    y = _end(d, board, stairs, 1, axis, y, label_at=y + 20.0)
    start, end = axis(stairs.start.value), axis(stairs.end.value)
    d.dimension(start, end, y + 18.0, y + 9.0)
    gap = f"gap {figure(stairs.gap, signed=True, unit=board.unit)}"
    half = 0.5 * text_width(gap, BODY, bold=True)
    middle = min(max(0.5 * (start + end), cols.walk[0] + half), cols.walk[1] - half)
    d.write(gap, middle, y + 40.0, bold=True, align="center")
    return y + 40.0


def _hatched_step(d: Drawing, start: float, end: float, y: float) -> None:
    d.hatch(start, end, y - 5.0, 10.0)
    path = f"M{start:.2f} {y - 5.0:.2f}H{end:.2f}v10H{start:.2f}Z"
    d.over.append({"path": path, "stroke": d.theme.line, "width": THIN, "dash": []})


def _fitting(board: Board, place: int, value: str, words: str, room: float) -> str:
    """Name, or else code, with the value of a vehicle and what it is; its mark says who it is where neither fits."""
    names = (board.captions.names[place], board.codes[place])
    told = [f"{value} ({words})", f"{value} ({words.partition(',')[0]})", value] if words else [value]
    labels = [f"{name} {what}".strip() for what in told for name in names]
    return next((label for label in labels if text_width(label, BODY, bold=True) <= room), value)


def _end(
    d: Drawing, board: Board, stairs: Stairs, place: int, axis: Scale, y: float, *, label_at: float
) -> float:
    """One vehicle at its end of the walk: mark, band, name and value (at `label_at` where too narrow).

    Returns the lowest y that is taken.
    """
    end = (stairs.start, stairs.end)[place]
    low, high = axis(end.low), axis(end.high)
    if high > low:
        d.whisker(low, high, y)
    d.mark(d.theme.vehicle(board.captions.places[place]), axis(end.value), y)
    value = figure(end, unit=board.unit).value
    label = _fitting(board, place, value, stairs.words[place], axis.right - axis.left)
    room = text_width(label, BODY, bold=True)
    beside = max(8.0, 0.5 * (high - low)) + _LABEL_GAP
    if axis(end.value) + beside + room <= axis.right:
        d.write(label, max(high, axis(end.value) + 8.0) + _LABEL_GAP, y + 4.5, bold=True)
    elif axis(end.value) - beside - room >= axis.left:
        d.write(label, min(low, axis(end.value) - 8.0) - _LABEL_GAP, y + 4.5, bold=True, align="right")
    else:
        middle = min(max(axis(end.value), axis.left + 0.5 * room), axis.right - 0.5 * room)
        d.write(label, middle, label_at, bold=True, align="center")
        return max(y + 6.0, label_at)
    return y + 6.0


def _foot(d: Drawing, board: Board, cols: Columns, axis: Scale, bottom: float) -> float:
    """Closing line, the sum, who gains on which side, and the detection limit; returns the lowest base line."""
    closed = [cols.cause, cols.worth]
    if board.has_origins:
        closed.append(cols.origin)
    for left, right in closed:
        d.line(left, bottom, right, bottom, width=2.0)
    d.write(board.foot[0], cols.cause[0], bottom + 22.0, size=WORD, bold=True)
    width = cols.cause[1] - cols.cause[0]
    y = d.write_wrapped(
        board.foot[1],
        cols.cause[0],
        bottom + 41.0,
        width,
        size=CAPTION,
        lead=_CAPTION_LEAD,
        colour=d.theme.ink_2,
    )
    lowest = y - _CAPTION_LEAD
    y = bottom
    if board.limit is not None:
        y += 16.0
        d.dimension(axis(-board.limit), axis(board.limit), y, bottom)
        limit = figure(Interval(0.0, -board.limit, board.limit), unit=board.unit).band
        words = f"{board.limit_words}, {limit}{NARROW_SPACE}{board.unit}"
        half = 0.5 * text_width(words, CAPTION)
        middle = min(max(axis(0.0), cols.worth[0] + half), cols.worth[1] - half)
        y += 20.0
        d.write(words, middle, y, size=CAPTION, colour=d.theme.ink_2, align="center")
    return max(lowest, _who_gains(d, board, cols, y + 20.0))


def _who_gains(d: Drawing, board: Board, cols: Columns, y: float) -> float:
    """The vehicle each side of the zero line favours; returns the lowest base line."""
    left = 0 if board.quantity == "range" else 1
    way = _GAINS[board.quantity]
    names = [_named(board, place, way, cols.worth[1] - cols.worth[0]) for place in (left, 1 - left)]
    words = (f"◂ {names[0]} {way}", f"{names[1]} {way} ▸")
    rooms = [text_width(side, CAPTION) + 15.0 for side in words]
    vehicles = [d.theme.vehicle(board.captions.places[place]) for place in (left, 1 - left)]
    d.mark(vehicles[0], cols.worth[0] + 5.0, y - 4.0, 56.0)
    d.write(words[0], cols.worth[0] + 15.0, y, size=CAPTION, colour=d.theme.ink_2)
    if sum(rooms) + 16.0 > cols.worth[1] - cols.worth[0]:
        y += 18.0
    d.mark(vehicles[1], cols.worth[1] - rooms[1] + 5.0, y - 4.0, 56.0)
    d.write(words[1], cols.worth[1], y, size=CAPTION, colour=d.theme.ink_2, align="right")
    return y


def _named(board: Board, place: int, way: str, room: float) -> str:
    """Name of a vehicle; its code where the name is too long for the column of the bars."""
    name, code = board.captions.names[place], board.codes[place]
    return name if text_width(f"◂ {name} {way}", CAPTION) + 15.0 <= room else code or name


def _legend(d: Drawing, board: Board, y: float, width: float) -> float:
    """What the signs mean, and the notes; returns the lowest base line."""
    x = MARGIN
    items = ["wash: the vehicle that gains", "whisker: 95 % band"]
    if board.limit is not None:
        items.append(
            "grey strip: smaller than a comparison of the two vehicles can see"
            if board.is_stated
            else "grey strip: the model's own error, no figure was stated"
        )
    if board.other:
        items.insert(0, f"◇ {board.other}, where it differs")
    for item in items:
        room = text_width(item, CAPTION)
        if x > MARGIN and x + room > MARGIN + width:
            x, y = MARGIN, y + 18.0
        if item.startswith("◇"):
            d.ghost(x + 4.0, y - 4.0)
            d.write(item.removeprefix("◇ "), x + 14.0, y, size=CAPTION, colour=d.theme.ink_2)
        else:
            d.write(item, x, y, size=CAPTION, colour=d.theme.ink_2)
        x += room + 32.0
    for note in board.captions.notes:
        y = (
            d.write_wrapped(note, MARGIN, y + 18.0, width, size=CAPTION, lead=16.0, colour=d.theme.ink_3)
            - 16.0
        )
    return y
