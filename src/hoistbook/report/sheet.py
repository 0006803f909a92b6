"""What is drawn on the sheet of a walk, in the unit of display: rows, both ends, and the words around them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from hoistbook.core.compare.bars import Interval


@dataclass(frozen=True, slots=True)
class Captions:
    """What is written around a walk.

    Attributes
    ----------
    title : str
        The answer sentence.
    names : (str, str)
        Of X and Y, as printed.
    subtitle : str
    places : (int, int)
        Place of each vehicle in the study: it keeps its colour and mark through all drawings.
    details : mapping of bar or decision name to str
        The figures behind a bar, as "8.9 against 7.6 N/kN".
    notes : tuple of str
        Duty, draws, versions: the last lines of the sheet.
    headed : bool
        Whether title and subtitle stand on the sheet; a page that says them above its drawing leaves them out.
    """

    title: str
    names: tuple[str, str]
    subtitle: str = ""
    places: tuple[int, int] = (0, 1)
    details: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    notes: tuple[str, ...] = ()
    headed: bool = True


@dataclass(frozen=True, slots=True)
class Row:
    """One bar, in the unit of display.

    `origin` is empty for a decision, `standing` says "not resolved · sign 0.98" or nothing, `gains` is 0 where X gains
    and 1 where Y does, `other` is the value in the other comparison.
    """

    name: str
    words: str
    detail: str
    amount: Interval
    origin: str
    standing: str
    gains: int
    other: float | None = None


@dataclass(frozen=True, slots=True)
class Stairs:
    """Both ends of a walk and the gap between them, in the unit of display; `words` say what each end is."""

    start: Interval
    end: Interval
    gap: Interval
    words: tuple[str, str] = ("", "")


@dataclass(frozen=True, slots=True)
class Board:
    """Everything on the sheet. Without `stairs` there is no running value, without `limit` no grey strip.

    `codes` stand for names that are too long for the column of the walk. `limit_words` say what the strip is, which is
    the model's own error where not `is_stated`.
    """

    rows: tuple[Row, ...]
    captions: Captions
    unit: str
    quantity: str
    foot: tuple[str, str]
    stairs: Stairs | None = None
    limit: float | None = None
    other: str = ""
    codes: tuple[str, str] = ("", "")
    limit_words: str = "detection limit of this gap"
    is_stated: bool = True

    @property
    def has_origins(self) -> bool:
        """Whether the bars are classed by where their figure comes from; a hatched rest says it of itself."""
        return any(row.origin for row in self.rows[:-1])
