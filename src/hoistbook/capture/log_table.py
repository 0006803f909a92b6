"""The table of a log: one array of numbers, or one list of texts, for every column."""

from __future__ import annotations

import csv
import hashlib
import itertools
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

from hoistbook.capture.archive import opened
from hoistbook.capture.faults import Findings, LoadRefused, counted
from hoistbook.capture.log_layout import (
    LINES_LOOKED_AT,
    Layout,
    find_layout,
    is_missing,
    is_number,
    sheet_layout,
)
from hoistbook.capture.log_text import LogLimits, open_log
from hoistbook.capture.spreadsheet import read_workbook
from hoistbook.capture.tables import Limits, Table, seen
from hoistbook.core.arrays import Array
from hoistbook.reference.files import bytes_of

Progress = Callable[[int, int, str], None]
WORKBOOKS = (".xlsx", ".xlsm")
_SHOWN = 40


@dataclass(slots=True)
class Column:
    """One column: `numbers` with NaN for missing, or `texts` for a column that holds no numbers."""

    heading: str
    unit: str
    numbers: Array | None = None
    texts: list[str] | None = None
    unread: int = 0
    first_unread: str = ""


@dataclass(slots=True)
class LogTable:
    """A log as it was found, before anybody asks what its columns mean.

    `rows` holds the row number of every sample in the file, heading included, as a person counts them.
    """

    name: str
    sha256: str
    layout: Layout
    columns: list[Column]
    rows: Array
    remarks: list[str] = field(default_factory=list)

    def column(self, heading: str) -> Column:
        """Return a column by its heading; case and blanks do not matter.

        Raises
        ------
        LookupError
            There is none; the message lists those there are.
        """
        wanted = " ".join(heading.split()).casefold()
        for column in self.columns:
            if column.heading.casefold() == wanted:
                return column
        msg = f"{self.name} has no column {heading!r}; it has: {', '.join(c.heading for c in self.columns)}."
        raise LookupError(msg)


def read_log_table(
    path: Path, limits: LogLimits | None = None, progress: Progress | None = None, sheet: str | None = None
) -> LogTable:
    """Read a log from CSV or a workbook.

    Parameters
    ----------
    path : Path
    limits : LogLimits, optional
    progress : callable, optional
        Called with bytes done, bytes in all, and what is being read.
    sheet : str, optional
        Which sheet of a workbook; needed where several hold samples.

    Raises
    ------
    ValueError
        The file is no text, holds no table, is larger than the limits, or is a workbook that is refused.
    LookupError
        No such sheet.
    FileNotFoundError
        There is no such file.

    Notes
    -----
    A cell that is no number in a column of numbers is missing, and how many there are is said. A row with words and no
    number (a repeated heading, a closing line) is left out and said, and so is a last row that was cut off. A row with
    more cells than the heading is refused: it is how a decimal comma looks in a file separated by commas.
    """
    limits = limits or LogLimits()
    if path.suffix.casefold() in WORKBOOKS:
        return _read_sheet(path, limits, progress, sheet)
    text = open_log(path, limits)
    blocks = text.blocks()
    head: list[str] = []
    for block in blocks:
        head += block
        if len(head) >= LINES_LOOKED_AT:
            break
    layout = find_layout(head[:LINES_LOOKED_AT], path.name, limits.columns)
    gather = _Gather(path.name, layout, limits)
    total, done = path.stat().st_size, 0
    for block in itertools.chain([head[layout.first_row :]], blocks):
        gather.lines(block)
        done += sum(map(len, block)) + len(block)
        if progress is not None:
            progress(min(done, total), total, f"reading {path.name}")
    return gather.table(text.sha256, text.remarks)


class _Gather:
    """Collects the samples of a log piece by piece."""

    def __init__(self, name: str, layout: Layout, limits: LogLimits) -> None:
        if len(layout.headings) > limits.columns:
            msg = f"{name}: {len(layout.headings)} columns, more than {limits.columns}; raise limits.columns if right."
            raise ValueError(msg)
        self._name, self._layout, self._limits = name, layout, limits
        self._columns = [
            Column(words, unit) for words, unit in zip(layout.headings, layout.units, strict=True)
        ]
        self._pieces: list[list[Array]] = [[] for _ in self._columns]
        self._texts: list[list[str]] = [[] for _ in self._columns]
        self._numbers: list[Array] = []
        self._row = layout.first_row
        self._count = 0
        self._words: list[str] = []
        self._words_count = 0
        self._short = 0
        self._infinite = 0
        # Text first and only there (a clock, perhaps with its day): the rest of the line is numbers.
        flags = layout.text_columns
        lead = next((i for i, flag in enumerate(flags) if not flag), len(flags))
        self._lead = lead if not any(flags[lead:]) and lead < len(flags) else -1

    def lines(self, lines: Sequence[str]) -> None:
        """Take a piece of the file, cut into lines."""
        if not lines:
            return
        if not self._fast(lines):
            self._slow(self._cut(lines))
        self._judge()

    def cells(self, rows: Iterable[tuple[int, Sequence[str]]]) -> None:
        """Take rows that are cut into cells already."""
        self._slow(rows)
        self._judge()

    def _judge(self) -> None:
        width = len(self._columns)
        if self._count > self._limits.rows or self._count * width > self._limits.cells:
            msg = (
                f"{self._name}: more than {min(self._limits.rows, self._limits.cells // width)} rows of {width} "
                "columns; split the log, leave out columns, or raise limits.rows and limits.cells."
            )
            raise ValueError(msg)

    def _fast(self, lines: Sequence[str]) -> bool:
        """Read a piece that is numbers throughout; False, and nothing taken, when it is not."""
        mark, width = self._layout.separator, len(self._columns)
        if self._lead < 0 or mark == " " or self._layout.decimal == mark:
            return False
        heads: list[list[str]] = []
        rest = lines
        if self._lead:
            split = [line.split(mark, self._lead) for line in lines]
            if not all(len(parts) == self._lead + 1 for parts in split):
                return False
            heads = [list(column) for column in zip(*(parts[:-1] for parts in split), strict=True)]
            rest = [parts[-1] for parts in split]
        text = "\n".join(rest)
        if '"' in text or "_" in text or not text.isascii():
            return False
        if self._layout.decimal == ",":
            text = text.replace(",", ".")
        text = f"\n{text}\n".replace(" ", "")
        while mark + mark in text:
            text = text.replace(mark + mark, f"{mark}nan{mark}")
        text = text.replace(f"\n{mark}", f"\nnan{mark}").replace(f"{mark}\n", f"{mark}nan\n")
        body = text[1:-1].split("\n")
        if not all(body):
            return False
        try:
            block = np.loadtxt(body, delimiter=mark, comments=None, ndmin=2)
        except ValueError:
            return False
        if block.shape != (len(lines), width - self._lead):
            return False
        for i, column in enumerate(heads):
            self._texts[i] += column
        for i in range(self._lead, width):
            self._pieces[i].append(self._finite(np.ascontiguousarray(block[:, i - self._lead])))
        self._numbers.append(np.arange(self._row + 1, self._row + 1 + len(lines), dtype=np.float64))
        self._row += len(lines)
        self._count += len(lines)
        return True

    def _finite(self, values: Array) -> Array:
        endless = np.abs(values) > self._limits.reading
        if endless.any():
            self._infinite += int(np.count_nonzero(endless))
            values = np.where(endless, np.nan, values)
        return values

    def _cut(self, lines: Sequence[str]) -> Iterator[tuple[int, Sequence[str]]]:
        mark = self._layout.separator
        if mark == " ":
            for line in lines:
                self._row += 1
                yield self._row, line.split()
            return
        start = self._row
        # No quotes, no rules: cutting at the separator is all there is to CSV then.
        plain = not any('"' in line for line in lines)
        reader: Iterable[list[str]] = (
            (line.split(mark) if line else [] for line in lines)
            if plain
            else csv.reader((line + "\n" for line in lines), delimiter=mark, skipinitialspace=True)
        )
        try:
            for offset, cells in enumerate(reader, start=1):
                self._row = start + offset
                yield self._row, cells
        except csv.Error as error:
            msg = f"{self._name} row {self._row + 1}: not proper CSV ({error}); close the quotes, or leave them out."
            raise ValueError(msg) from error
        self._row = start + len(lines)

    def _slow(self, rows: Iterable[tuple[int, Sequence[str]]]) -> None:
        width, texts = len(self._columns), self._layout.text_columns
        kept: list[Sequence[str]] = []
        numbers: list[int] = []
        for number, cells in rows:
            if len(cells) > width and any(cell.strip() for cell in cells[width:]):
                msg = (
                    f"{self._name} row {number}: {len(cells)} cells below {width} headings; a decimal comma in a file "
                    "separated by commas looks like this. Export with semicolons or with decimal points."
                )
                raise ValueError(msg)
            if not any(cell.strip() for cell in cells):
                continue
            if not any(is_number(cell) for cell, text in zip(cells, texts, strict=False) if not text) and any(
                not is_missing(cell) for cell, text in zip(cells, texts, strict=False) if not text
            ):
                self._set_aside(number, cells)
                continue
            if len(cells) < width:
                self._short += 1
                cells = [*cells, *[""] * (width - len(cells))]
            kept.append(cells)
            numbers.append(number)
        if not kept:
            return
        columns = list(zip(*(cells[:width] for cells in kept), strict=True))
        for i, column in enumerate(columns):
            if texts[i]:
                self._texts[i] += column
            else:
                self._pieces[i].append(self._finite(self._read(self._columns[i], column, numbers)))
        self._numbers.append(np.array(numbers, dtype=np.float64))
        self._count += len(kept)

    def _set_aside(self, number: int, cells: Sequence[str]) -> None:
        self._words_count += 1
        if len(self._words) < 3:
            said = " ".join(filter(None, (cell.strip() for cell in cells)))[:_SHOWN]
            self._words.append(f"row {number} ({said})")

    def _read(self, column: Column, cells: Sequence[str], numbers: Sequence[int]) -> Array:
        decimal = self._layout.decimal
        values = np.full(len(cells), np.nan)
        for i, cell in enumerate(cells):
            word = cell.strip().removesuffix("%").rstrip().replace("−", "-")
            if decimal == "," and "." not in word:
                word = word.replace(",", ".")
            try:
                # float() alone would also read 1_0, and the digits of other scripts.
                values[i] = float(word) if word.isascii() and "_" not in word else float("x")
            except ValueError:
                if not is_missing(cell):
                    column.unread += 1
                    column.first_unread = (
                        column.first_unread or f"row {numbers[i]}: {cell.strip()[:_SHOWN]!r}"
                    )
        return values

    def table(self, sha256: str, remarks: Iterable[str]) -> LogTable:
        """Put the pieces together and say what was met."""
        if not self._count:
            msg = f"{self._name}: no row of samples below the heading."
            raise ValueError(msg)
        said = [*remarks, *self._layout.remarks]
        if self._words_count:
            more = (
                f" and {self._words_count - len(self._words)} more"
                if self._words_count > len(self._words)
                else ""
            )
            said.append(f"left out, because there is no number in it: {', '.join(self._words)}{more}.")
        if self._short:
            said.append(
                f"{counted(self._short, 'row')} with fewer cells than the heading: what lacks is missing."
            )
        if self._infinite:
            said.append(
                f"{counted(self._infinite, 'reading')} infinite or beyond {self._limits.reading:g} taken as missing."
            )
        columns = []
        for i, column in enumerate(self._columns):
            if self._layout.text_columns[i]:
                column.texts = self._texts[i]
            else:
                column.numbers = np.concatenate(self._pieces[i])
                if column.unread:
                    said.append(
                        f"{column.heading}: {counted(column.unread, 'cell')} that are no number are taken as missing, "
                        f"the first in {column.first_unread}."
                    )
                if column.heading.startswith("column ") and np.isnan(column.numbers).all():
                    continue  # the separator at the end of every line
            columns.append(column)
        return LogTable(self._name, sha256, self._layout, columns, np.concatenate(self._numbers), said)


def _read_sheet(path: Path, limits: LogLimits, progress: Progress | None, sheet: str | None) -> LogTable:
    findings = Findings()
    sheet_limits = Limits(rows=limits.sheet_rows, columns=limits.columns, cells=limits.sheet_cells)
    data = bytes_of(path, sheet_limits.file_bytes, "export the log as CSV, which has no such limit.")
    archive = opened(data, findings, sheet_limits)
    tables = (
        []
        if archive is None
        else read_workbook(
            archive, lambda name: sheet is None or name == sheet, findings, sheet_limits, progress
        )
    )
    if findings.faults:
        raise LoadRefused(findings.ordered(()))
    chosen = _chosen(tables, sheet, path.name)
    width = 1 + max((max(row) for row in chosen.rows.values() if row), default=0)
    numbers = sorted(chosen.rows)
    rows = [[seen(chosen.rows[n].get(i)) for i in range(width)] for n in numbers]
    layout = sheet_layout(rows[:LINES_LOOKED_AT], f"{path.name}, sheet {chosen.name}")
    gather = _Gather(path.name, layout, limits)
    gather.cells(zip(numbers[layout.first_row :], rows[layout.first_row :], strict=True))
    remarks = []
    if chosen.hidden_rows:
        remarks.append(
            f"{counted(len(chosen.hidden_rows), 'hidden row')} of sheet {chosen.name} were read, too."
        )
    if chosen.formulas:
        remarks.append(
            f"{counted(chosen.formulas, 'formula')} of sheet {chosen.name}: their stored results were read."
        )
    return gather.table(hashlib.sha256(data).hexdigest(), remarks)


def _chosen(tables: Sequence[Table], sheet: str | None, name: str) -> Table:
    filled = [table for table in tables if table.rows]
    if sheet is not None:
        for table in filled:
            if table.name == sheet:
                return table
        msg = f"{name} has no sheet {sheet!r} with content; it has: {', '.join(t.name for t in tables)}."
        raise LookupError(msg)
    if len(filled) == 1:
        return filled[0]
    if not filled:
        msg = f"{name}: no sheet has any content."
        raise ValueError(msg)
    most = max(len(table.rows) for table in filled)
    large = [table for table in filled if 2 * len(table.rows) > most]
    if len(large) == 1:
        return large[0]
    msg = f"{name}: several sheets hold rows ({', '.join(t.name for t in large)}); say which with --sheet."
    raise ValueError(msg)
