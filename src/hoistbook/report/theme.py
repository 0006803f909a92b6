"""Colours, type and line kinds of everything that is drawn: ink draws, washes say which vehicle gains."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

FONT = "system-ui, -apple-system, 'Segoe UI', Roboto, 'Helvetica Neue', Arial, 'DejaVu Sans', sans-serif"
"""System faces first; Linux falls to DejaVu Sans, the widest of them, for which all text is measured (`lettering`)."""

CAPTION, BODY, WORD, ANSWER = 12.0, 13.0, 15.0, 24.0
"""Sizes of type in px; nothing is smaller than a caption."""

THIN, WIDE = 1.0, 2.0
"""Widths of lines in px."""


@dataclass(frozen=True, slots=True)
class Vehicle:
    """How one vehicle of a study is drawn: colour, shape of its mark, opacity of its wash."""

    colour: str
    shape: str
    wash: float


@dataclass(frozen=True, slots=True)
class Theme:
    """One set of colours. Contrast ratios against paper are at least 4.5 for text and 3 for lines and marks."""

    name: str
    paper: str
    ink: str
    ink_2: str
    ink_3: str
    line: str
    rule: str
    hairline: str
    limit: str
    vehicles: tuple[Vehicle, ...]

    def vehicle(self, place: int) -> Vehicle:
        """Drawing of a vehicle by its place in the study; from the sixth on outline and name only."""
        if place < len(self.vehicles):
            return self.vehicles[place]
        return Vehicle(self.paper, "circle", 1.0)


_SHAPES = ("circle", "square", "triangle-up", "diamond", "cross")


def _vehicles(colours: tuple[str, ...], wash: float, second: float) -> tuple[Vehicle, ...]:
    # The second colour is the palest of the set (Okabe–Ito orange), so its wash is stronger.
    washes = (wash, second, wash, wash, wash)
    return tuple(Vehicle(*row) for row in zip(colours, _SHAPES, washes, strict=True))


LIGHT = Theme(
    name="light",
    paper="#fdfcf9",
    ink="#15181c",
    ink_2="#454b52",
    ink_3="#62686f",
    line="#15181c",
    rule="#8a8e93",
    hairline="#d8d4ca",
    limit="#edeae2",
    vehicles=_vehicles(("#0072b2", "#e69f00", "#009e73", "#56b4e9", "#cc79a7"), 0.30, 0.40),
)
DARK = Theme(
    name="dark",
    paper="#1c2127",
    ink="#ece9e2",
    ink_2="#bdc1c5",
    ink_3="#9aa1a8",
    line="#cbc8c1",
    rule="#737b84",
    hairline="#3a424b",
    limit="#2a3139",
    vehicles=_vehicles(("#2e8ecb", "#e69f00", "#1baf86", "#56b4e9", "#cc79a7"), 0.34, 0.44),
)


SHEET = Theme(
    name="sheet",
    paper="var(--paper)",
    ink="var(--ink)",
    ink_2="var(--ink-2)",
    ink_3="var(--ink-3)",
    line="var(--line)",
    rule="var(--rule)",
    hairline="var(--hairline)",
    limit="var(--limit)",
    vehicles=_vehicles(tuple(f"var(--v{n})" for n in range(1, 6)), 0.30, 0.40),
)
"""Colours by the names the style of the pages gives them: one drawing inside a page follows its theme. The names pass
through the renderer as they are; outside such a page they stand for nothing."""


@dataclass(frozen=True, slots=True)
class Outline:
    """Line that says where a figure comes from: width in px and dash pattern; hatched when nobody knows yet."""

    width: float
    dash: tuple[float, ...] = ()
    hatched: bool = False


OUTLINES: Mapping[str, Outline] = MappingProxyType(
    {
        "measured": Outline(WIDE),
        "published": Outline(THIN),
        "inferred": Outline(1.4, (6.0, 3.0)),
        "assumed": Outline(1.4, (1.5, 2.5)),
        "not explained": Outline(THIN, (), hatched=True),
    }
)
"""By origin; line kinds in the spirit of ISO 128 (from memory)."""


def outline(origin: str) -> Outline:
    """Outline of an origin.

    Raises
    ------
    LookupError
        There is no such origin; the message lists those known.
    """
    found = OUTLINES.get(origin)
    if found is None:
        msg = f"no outline for origin {origin!r}; known origins: {', '.join(OUTLINES)}."
        raise LookupError(msg)
    return found
