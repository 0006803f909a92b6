"""Tables as they were found: cells, rows, merged ranges, before anybody asks what they mean."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum


@dataclass(frozen=True, slots=True)
class Limits:
    """How much is read before a file is refused. Every one can be raised by the caller.

    Attributes
    ----------
    file_bytes, unpacked_bytes : int
        Size on disk, and of everything in the archive together. [byte]
    entries : int
        Files inside a workbook, or CSV files in a folder.
    ratio : float
        Unpacked over packed size of one entry; only entries above `ratio_floor_bytes` are judged. [1]
    rows, columns : int
        Of one sheet; only cells with content count.
    cells : int
        With content, in all sheets together.
    faults : int
        So many are listed; of the rest only their number.
    depth : int
        Levels of the part tree below the vehicle.
    merged : int
        Merged ranges of one sheet.

    Notes
    -----
    A 10,000-part teardown with a reading of every part measures 0.8 MB packed, 8 MB unpacked at a ratio up to 11, and
    0.2 million cells (computed: ``benchmarks/bench_load.py``); deflate cannot exceed about 1030:1. The limits leave an
    honest workbook room by a factor of ten or more, pictures included. A vehicle taken apart to its last rivet has
    about ten levels (common practice), and memory grows with parts times levels.
    """

    file_bytes: int = 60_000_000
    unpacked_bytes: int = 250_000_000
    entries: int = 1_000
    ratio: float = 200.0
    ratio_floor_bytes: int = 1_000_000
    rows: int = 200_000
    columns: int = 256
    cells: int = 4_000_000
    faults: int = 20_000
    depth: int = 64
    merged: int = 1_000


LEAST_FIGURE, MOST_FIGURE = 1e-30, 1e30
"""project rule: no figure of a vehicle, in any unit, is smaller (0 apart) or larger. Converted, squared and divided by
another one it is still a number."""


def is_out_of_reach(value: float) -> bool:
    """Whether a figure is not finite, or too large or small to be worked with."""
    return value != 0.0 and not LEAST_FIGURE <= abs(value) <= MOST_FIGURE


class Oddity(Enum):
    """Why the content of a cell cannot be taken as it is."""

    DATE = "date"
    PERCENT = "percent"
    ERROR = "error"
    FORMULA = "formula"


@dataclass(frozen=True, slots=True)
class Odd:
    """A cell that is not simply text, number or yes/no; `text` is what a person sees there."""

    oddity: Oddity
    text: str


Cell = str | float | bool | Odd


def seen(cell: Cell | None) -> str:
    """Return the cell as text, the way the spreadsheet shows it."""
    if cell is None:
        return ""
    if isinstance(cell, Odd):
        return cell.text
    if isinstance(cell, bool):
        return "TRUE" if cell else "FALSE"
    if isinstance(cell, float):
        return str(int(cell)) if cell.is_integer() and abs(cell) < 1e15 else repr(cell)
    return cell


@dataclass(slots=True)
class Table:
    """One sheet or CSV file.

    `rows` maps the row number (heading = 1) to its non-blank cells by column number from 0.
    """

    name: str
    rows: dict[int, dict[int, Cell]] = field(default_factory=dict)
    merged: dict[str, None] = field(default_factory=dict)  # ranges, each once, in the order of the sheet
    more_merged: int = 0  # beyond the limit
    hidden_rows: list[int] = field(default_factory=list)
    hidden_columns: int = 0  # runs of them
    hidden: bool = False
    broken: bool = False  # not read to its end, which is a fault already
    formulas: int = 0
    typed: bool = True  # False for CSV, where everything is text


def column_letters(index: int) -> str:
    """Return the letters of a column, 0 → A, 26 → AA."""
    letters = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        letters = chr(65 + rest) + letters
    return letters


def column_index(letters: str) -> int:
    """Return the column number from 0 of its letters; the inverse of `column_letters`."""
    index = 0
    for letter in letters:
        index = index * 26 + ord(letter) - 64
    return index - 1
