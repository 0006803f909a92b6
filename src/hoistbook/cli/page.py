"""A printed page: sentences, lists and tables that fit the window, readable without colour."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import IO, Literal

from rich.cells import cell_len, set_cell_size
from rich.console import Console
from rich.text import Text

from hoistbook.report.lettering import printable

WIDEST = 110
"""Columns beyond which a line is hard to follow with the eye."""

NARROWEST = 20
"""Columns a page is set for at least, whatever the terminal says of itself."""

_GAP = "  "
_BREAKABLE = 22


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a table. `wraps`: its words may go to further lines when the window is narrow."""

    head: str
    align: Literal["left", "right"] = "left"
    wraps: bool = False
    style: str = ""


@dataclass(frozen=True, slots=True)
class Row:
    """One row: cells with lines separated by a line break. `closing`: the sum under its rule."""

    cells: tuple[str, ...]
    closing: bool = False


class _Console(Console):
    """A console that hands on that nobody reads any more, instead of ending the process itself."""

    def on_broken_pipe(self) -> None:
        raise BrokenPipeError


class Page:
    """Writes to a stream. Colour and bold are left out where the stream or NO_COLOR asks for it."""

    def __init__(self, stream: IO[str]) -> None:
        self._console = _Console(file=stream, highlight=False, emoji=False, markup=False)
        self.width = min(max(self._console.width, NARROWEST), WIDEST)

    def text(self, words: str, *, style: str = "", indent: int = 0) -> None:
        """Write one paragraph."""
        for line in _broken(words, self.width - indent):
            self._line(Text(" " * indent + line, style))

    def heading(self, words: str) -> None:
        """Write a heading with a blank line before it."""
        self.blank()
        self.text(words, style="bold")

    def blank(self) -> None:
        """Write an empty line."""
        self._line(Text())

    def bullets(self, items: Iterable[str], *, sign: str = "-") -> None:
        """Write a list."""
        lead = f"{sign} "
        for item in items:
            for number, line in enumerate(_broken(item, self.width - len(lead))):
                self._line(Text((" " * len(lead) if number else lead) + line))

    def verbatim(self, line: str) -> None:
        """Write a line as it is: a command to be copied. Never broken, since half a command is none."""
        self._line(Text(printable(line).replace("\n", " ")))

    def table(self, columns: Sequence[Column], rows: Sequence[Row]) -> None:
        """Write a table no wider than the page."""
        rows = [Row(tuple(map(printable, row.cells)), row.closing) for row in rows]
        widths = _widths(columns, rows, self.width)
        self._cells(columns, [column.head for column in columns], widths, "bold")
        rule = "─" * (sum(widths) + len(_GAP) * (len(widths) - 1))
        self._line(Text(rule, "dim"))
        for row in rows:
            if row.closing:
                self._line(Text(rule, "dim"))
            self._cells(columns, row.cells, widths, "bold" if row.closing else "")

    def _cells(
        self, columns: Sequence[Column], cells: Sequence[str], widths: Sequence[int], style: str
    ) -> None:
        broken = [
            [line for part in cell.split("\n") for line in _broken(part, width)]
            for cell, width in zip(cells, widths, strict=True)
        ]
        for number in range(max(len(lines) for lines in broken)):
            line = Text()
            for place, (column, lines, width) in enumerate(zip(columns, broken, widths, strict=True)):
                words = lines[number] if number < len(lines) else ""
                room = " " * (width - cell_len(words))
                padded = room + words if column.align == "right" else words + room
                line.append((_GAP if place else "") + padded, style or column.style)
            line.rstrip()
            self._line(line)

    def _line(self, line: Text) -> None:
        self._console.print(line, no_wrap=True, overflow="ignore", crop=False, soft_wrap=True)


def _broken(words: str, width: int) -> list[str]:
    """Break at blanks only: a narrow no-break space holds a number to its band and unit."""
    words = printable(words)
    if not words.strip():
        return [words.replace("\n", " ")]
    indent = " " * (len(words) - len(words.lstrip(" ")))
    lines = textwrap.wrap(
        words.lstrip(" "),
        max(width, 1),
        break_on_hyphens=False,
        initial_indent=indent,
        subsequent_indent=indent,
    )
    # Letters of some scripts take two columns; textwrap counts letters.
    return [part for line in lines for part in _cut(line, width)]


def _cut(line: str, width: int) -> list[str]:
    parts = []
    while cell_len(line) > width:
        head = set_cell_size(line, width).rstrip()
        if not line.startswith(head) or not head:
            head = line[: max(1, width // 2)]
        blank = head.rfind(" ")
        head = head[:blank] if blank > 0 else head
        parts.append(head)
        line = line[len(head) :].lstrip()
    return [*parts, line]


def _longest_word(line: str) -> int:
    """Columns that the longest word of a line needs, with the indent that stands before it."""
    bare = line.lstrip(" ")
    return len(line) - len(bare) + max(map(cell_len, bare.split(" ")))


def _widths(columns: Sequence[Column], rows: Sequence[Row], room: int) -> list[int]:
    """Widths of all columns: where the page is narrow, words wrap first, then numbers part from their bands."""
    cells = [
        [line for row in rows for line in row.cells[place].split("\n")] + columns[place].head.split("\n")
        for place in range(len(columns))
    ]
    widths = [max(map(cell_len, lines)) for lines in cells]
    longest = [max(map(_longest_word, lines)) for lines in cells]
    wrapping = [
        min(word, _BREAKABLE) if column.wraps else width
        for column, word, width in zip(columns, longest, widths, strict=True)
    ]
    everything = [min(word, least) for word, least in zip(longest, wrapping, strict=True)]
    room -= len(_GAP) * (len(columns) - 1)
    for least in (wrapping, everything):
        while sum(widths) > room:
            widest = max(range(len(widths)), key=lambda place: (widths[place] > least[place], widths[place]))
            if widths[widest] <= least[widest]:
                break
            widths[widest] -= 1
    return widths
