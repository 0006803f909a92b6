"""The sheet: lettering, lines and bars placed in px and in values, collected into one Vega specification."""

from __future__ import annotations

from collections.abc import Mapping
from copy import deepcopy
from dataclasses import dataclass, field
from typing import Any, Literal

from hoistbook.report.lettering import printable, wrapped
from hoistbook.report.scale import Scale
from hoistbook.report.theme import BODY, FONT, THIN, WIDE, Outline, Theme, Vehicle

SCHEMA = "https://vega.github.io/schema/vega/v6.json"
BAR_HEIGHT = 18.0
Align = Literal["left", "center", "right"]
Spec = dict[str, Any]

_ARROW = 10.0
_ARROW_HALF = 2.4
_HATCH_APART = 6.0
_CAP = 4.0


@dataclass(slots=True)
class Drawing:
    """What has been put on the sheet so far, as plain data.

    `under`, `over`, `symbols` and `texts` are in px; `bars` and `steps` are in the unit of their axis, so that a page
    can bind tooltips and links to them. `under` lies below the bars, `over` above them, each in the order it was drawn.
    """

    theme: Theme
    under: list[Spec] = field(default_factory=list)
    bars: list[Spec] = field(default_factory=list)
    steps: list[Spec] = field(default_factory=list)
    over: list[Spec] = field(default_factory=list)
    symbols: list[Spec] = field(default_factory=list)
    texts: list[Spec] = field(default_factory=list)

    def write(
        self,
        text: str,
        x: float,
        y: float,
        *,
        size: float = BODY,
        bold: bool = False,
        colour: str = "",
        align: Align = "left",
    ) -> None:
        """Put one line of text with its base line at y."""
        self.texts.append(
            {
                "text": printable(text),
                "x": x,
                "y": y,
                "size": size,
                "weight": 600 if bold else 400,
                "fill": colour or self.theme.ink,
                "align": align,
            }
        )

    def write_wrapped(
        self,
        text: str,
        x: float,
        y: float,
        width: float,
        *,
        size: float,
        lead: float,
        bold: bool = False,
        colour: str = "",
    ) -> float:
        """Put text in lines of a given width, the first base line at y; returns the base line after the last."""
        for line in wrapped(text, size, width, bold=bold):
            self.write(line, x, y, size=size, bold=bold, colour=colour)
            y += lead
        return y

    def line(
        self,
        x: float,
        y: float,
        x2: float,
        y2: float,
        *,
        colour: str = "",
        width: float = THIN,
        dash: tuple[float, ...] = (),
        under: bool = False,
    ) -> None:
        """Draw a straight line; level and upright ones are set on whole pixels so that they stay crisp."""
        if x == x2:
            x = x2 = _crisp(x, width)
        if y == y2:
            y = y2 = _crisp(y, width)
        row = {"path": f"M{x:.2f} {y:.2f}L{x2:.2f} {y2:.2f}", "stroke": colour or self.theme.line}
        (self.under if under else self.over).append({**row, "width": width, "dash": list(dash)})

    def strip(self, x: float, x2: float, y: float, y2: float, colour: str) -> None:
        """Fill a rectangle under everything else."""
        self.under.append({"path": f"M{x:.2f} {y:.2f}H{x2:.2f}V{y2:.2f}H{x:.2f}Z", "fill": colour})

    def arrow(self, x: float, y: float, x2: float, *, width: float = THIN, both: bool = False) -> None:
        """Draw a level arrow with slim filled heads; without heads where they would not fit on it."""
        self.line(x, y, x2, y, width=width)
        heads = [(x2, x), (x, x2)] if both else [(x2, x)]
        if abs(x2 - x) >= _ARROW * len(heads) + 2.0:
            for tip, tail in heads:
                self._head(tip, y, 1.0 if tip > tail else -1.0)

    def _head(self, tip: float, y: float, direction: float) -> None:
        back, y = tip - direction * _ARROW, _crisp(y, THIN)
        path = f"M{tip:.2f} {y:.2f}L{back:.2f} {y - _ARROW_HALF:.2f}V{y + _ARROW_HALF:.2f}Z"
        self.over.append({"path": path, "fill": self.theme.line})

    def dimension(self, x: float, x2: float, y: float, top: float) -> tuple[float, float]:
        """Dimension a distance: extension lines from `top` past y, arrows between them or, where short, from outside.

        Returns the ends of what was drawn.
        """
        low, high = sorted((x, x2))
        for end in (low, high):
            self.line(end, top, end, y + 6.0, colour=self.theme.rule)
        if high - low >= 2.0 * _ARROW + 4.0:
            self.arrow(low, y, high, both=True)
            return low, high
        outside = (low - 2.0 * _ARROW, high + 2.0 * _ARROW)
        self.line(outside[0], y, outside[1], y)
        self._head(low, y, 1.0)
        self._head(high, y, -1.0)
        return outside

    def whisker(self, low: float, high: float, y: float, *, halo: bool = False) -> None:
        """Draw a 95 % band between two places; the halo keeps it readable on hatching."""
        if halo:
            self.line(low, y, high, y, colour=self.theme.paper, width=3.0)
        self.line(low, y, high, y)
        for end in (low, high):
            self.line(end, y - _CAP, end, y + _CAP)

    def mark(self, vehicle: Vehicle, x: float, y: float, size: float = 90.0) -> None:
        """Draw the mark of a vehicle."""
        self._symbol(vehicle.shape, vehicle.colour, x, y, size)

    def ghost(self, x: float, y: float) -> None:
        """Draw ◇, the value in the other comparison."""
        self._symbol("diamond", self.theme.paper, x, y, 56.0)

    def _symbol(self, shape: str, fill: str, x: float, y: float, size: float) -> None:
        row = {"x": x, "y": y, "shape": shape, "size": size, "fill": fill}
        self.symbols.append({**row, "stroke": self.theme.line, "width": THIN})

    def hatch(self, x: float, x2: float, y: float, height: float = BAR_HEIGHT) -> None:
        """Hatch a rectangle with lines at 45°: nobody knows yet."""
        low, high = sorted((x, x2))
        path = []
        start = low - height + _HATCH_APART / 2.0
        while start < high:
            left, right = max(start, low), min(start + height, high)
            if right > left:
                foot = y + height + start
                path.append(f"M{left:.2f} {foot - left:.2f}L{right:.2f} {foot - right:.2f}")
            start += _HATCH_APART
        self.over.append({"path": "".join(path), "stroke": self.theme.line, "width": 0.8, "dash": []})

    def swatch(self, outline: Outline, x: float, y: float, width: float = 26.0) -> None:
        """Draw a sample of an outline around a base line: a line, or a hatched box for what nobody knows."""
        if not outline.hatched:
            self.line(x, y, x + width, y, width=outline.width, dash=outline.dash)
            return
        self.hatch(x, x + width, y - 5.0, 10.0)
        path = f"M{x:.2f} {y - 5.0:.2f}h{width:.2f}v10h{-width:.2f}Z"
        self.over.append({"path": path, "stroke": self.theme.line, "width": outline.width, "dash": []})

    def spec(self, width: float, height: float, description: str, axes: Mapping[str, Scale]) -> Spec:
        """The whole as a Vega specification; `axes` holds "worth" for the bars and, if there are steps, "walk"."""
        layers = ("under", "bars", "steps", "over", "symbols", "texts")
        return {
            "$schema": SCHEMA,
            "description": printable(description),
            "width": width,
            "height": height,
            "padding": 0,
            "autosize": "none",
            "background": self.theme.paper,
            "data": [{"name": name, "values": getattr(self, name)} for name in layers],
            "scales": [
                {
                    "name": name,
                    "type": "linear",
                    "domain": [axis.low, axis.high],
                    "range": [axis.left, axis.right],
                    "zero": False,
                }
                for name, axis in axes.items()
            ],
            "marks": [deepcopy(_MARKS[name]) for name in layers if name != "steps" or "walk" in axes],
        }


def _crisp(place: float, width: float) -> float:
    return round(place) if round(width) % 2 == 0 else round(place - 0.5) + 0.5


def _fields(**names: str) -> Spec:
    return {channel: {"field": name} for channel, name in names.items()}


def _mark(kind: str, layer: str, encode: Spec, *, aria: bool = False) -> Spec:
    # Lines and lettering are silent to a screen reader: the description and the bars say all of it, as does the table.
    return {
        "type": kind,
        "name": f"{layer}_drawn",
        "aria": aria,
        "from": {"data": layer},
        "encode": {"enter": encode},
    }


_INK = _fields(fill="fill", stroke="stroke", strokeWidth="width", strokeDash="dash")
_MARKS: Mapping[str, Spec] = {
    "under": _mark("path", "under", {**_fields(path="path"), **_INK}),
    "bars": _mark(
        "rect",
        "bars",
        {
            "x": {"scale": "worth", "value": 0.0},
            "x2": {"scale": "worth", "field": "value"},
            "yc": {"field": "y"},
            "height": {"value": BAR_HEIGHT},
            **_fields(fillOpacity="opacity", tooltip="words", description="words"),
            **_INK,
        },
        aria=True,
    ),
    "steps": _mark(
        "rule",
        "steps",
        {
            "x": {"scale": "walk", "field": "start"},
            "x2": {"scale": "walk", "field": "end"},
            "y": {"field": "y"},
            **_fields(stroke="stroke"),
            "strokeWidth": {"value": WIDE},
        },
    ),
    "over": _mark("path", "over", {**_fields(path="path"), **_INK}),
    "symbols": _mark(
        "symbol",
        "symbols",
        _fields(x="x", y="y", shape="shape", size="size", fill="fill", stroke="stroke", strokeWidth="width"),
    ),
    "texts": _mark(
        "text",
        "texts",
        {
            **_fields(
                x="x", y="y", text="text", align="align", fontSize="size", fontWeight="weight", fill="fill"
            ),
            "font": {"value": FONT},
        },
    ),
}
