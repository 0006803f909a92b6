"""The drawing of what to measure: lines, circles and dimensions on a sheet of 100 units width, as plain data."""

from __future__ import annotations

from dataclasses import dataclass

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Line:
    """A polyline; `heavy` for what is measured, `dashed` for axes and datums, `filled` for a body."""

    points: tuple[Point, ...]
    heavy: bool = False
    dashed: bool = False
    filled: bool = False


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle: a joint, a wheel, a bolt."""

    centre: Point
    radius: float
    heavy: bool = False
    filled: bool = False


@dataclass(frozen=True, slots=True)
class Dimension:
    """A dimension between two points that bears the letter of a reading; `shift` moves it aside, square to itself."""

    reading: str
    start: Point
    end: Point
    shift: float = 0.0


@dataclass(frozen=True, slots=True)
class Angle:
    """An angle at a point between two directions in degrees, counted from +x towards +y (y points up)."""

    reading: str
    at: Point
    from_deg: float
    to_deg: float
    radius: float


@dataclass(frozen=True, slots=True)
class Label:
    """A word on the drawing."""

    text: str
    at: Point


@dataclass(frozen=True, slots=True)
class Sketch:
    """A drawing of what to measure.

    Attributes
    ----------
    caption : str
        What is drawn, seen from where; read out to who cannot see it.
    height : float
        Of the sheet, whose width is 100; y points up.
    marks : tuple
        In the order of drawing.
    """

    caption: str
    height: float
    marks: tuple[Line | Circle | Dimension | Angle | Label, ...]

    def readings(self) -> tuple[str, ...]:
        """Names of the readings that the drawing shows, in its order."""
        return tuple(one.reading for one in self.marks if isinstance(one, (Dimension, Angle)))
