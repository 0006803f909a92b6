"""Read an XLSX workbook as a stream: values, formulas without a result, merged ranges, hidden rows, in one pass.

A general spreadsheet reader shows values *or* formulas, and merged ranges only with the whole sheet in memory. This one
sees them together, follows no link, runs nothing, and reads a large sheet several times faster. The tests hold it
against openpyxl.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from typing import NoReturn

from hoistbook.capture.archive import BROKEN, Archive
from hoistbook.capture.book import Book, SheetEntry, Texts, open_book, unescaped
from hoistbook.capture.faults import Findings, Progress
from hoistbook.capture.markup import Enough, MarkupRefused, local, parse
from hoistbook.capture.number_formats import day_text
from hoistbook.capture.tables import Cell, Limits, Odd, Oddity, Table, column_index

_REFERENCE = re.compile(r"([A-Z]{1,7})([0-9]{1,10})$")


def read_workbook(
    archive: Archive,
    wanted: Callable[[str], bool],
    findings: Findings,
    limits: Limits,
    progress: Progress | None = None,
) -> list[Table]:
    """Read the wanted sheets of a workbook.

    Parameters
    ----------
    archive : Archive
        As opened by `archive.opened`.
    wanted : callable
        Says for a sheet name whether its cells are needed; others come back as empty tables.
    findings : Findings
        Receives the faults.
    limits : Limits
    progress : callable, optional
        Called with bytes done, bytes in all, and the sheet being read.

    Returns
    -------
    list of Table
        In the order of the workbook; empty when it could not be read.
    """
    try:
        book = open_book(archive)
    except (MarkupRefused, *BROKEN, LookupError) as error:
        findings.fault(
            f"the workbook cannot be read ({_words(error)}); open it in a spreadsheet program and "
            "save it again as .xlsx."
        )
        return []
    entries = [entry for entry in book.sheets if wanted(entry.name)]
    total = sum(archive.sizes.get(entry.path, 0) for entry in entries)
    done = 0
    tables = []
    for entry in book.sheets:
        if entry not in entries:
            tables.append(Table(entry.name, hidden=entry.hidden))
            continue
        reader = _SheetReader(entry, book, findings, limits)
        try:
            parse(
                _counting(archive.chunks(entry.path), done, total, entry.name, progress),
                reader.start,
                reader.end,
                reader.text,
            )
        except (MarkupRefused, *BROKEN, LookupError) as error:
            findings.fault(
                f"the sheet cannot be read to its end ({_words(error)}); open the workbook in a "
                "spreadsheet program and save it again.",
                sheet=entry.name,
                row=reader.row,
            )
            reader.table.broken = True
        if book.cells > limits.cells:
            return []
        done += archive.sizes.get(entry.path, 0)
        tables.append(reader.table)
    return tables


def _words(error: Exception) -> str:
    return (
        f"missing entry: {error.args[0]}"
        if isinstance(error, KeyError)
        else str(error) or type(error).__name__
    )


def _counting(
    chunks: Iterable[bytes], done: int, total: int, name: str, progress: Progress | None
) -> Iterator[bytes]:
    for chunk in chunks:
        yield chunk
        done += len(chunk)
        if progress is not None:
            progress(done, total, f"reading {name}")


class _SheetReader:
    """Turns the events of one worksheet into a Table."""

    def __init__(self, entry: SheetEntry, book: Book, findings: Findings, limits: Limits) -> None:
        self.table = Table(entry.name, hidden=entry.hidden)
        self.row = 0
        self._book = book
        self._findings = findings
        self._limits = limits
        self._column = -1
        self._cells: dict[int, Cell] = {}
        self._type = "n"
        self._style = 0
        self._pieces: list[str] = []
        self._collecting = False
        self._formula = False
        self._texts = Texts()
        self._too_wide = False
        self._hidden = False

    def start(self, name: str, attributes: dict[str, str]) -> None:
        if ":" in name:
            name = local(name)
        if name == "c":
            self._start_cell(attributes)
        elif name == "v":
            self._pieces.clear()
            self._collecting = True
        elif name == "f":
            self._formula = True
        elif name in ("t", "rPh"):
            self._texts.start(name)
        elif name == "row":
            self._start_row(attributes)
        elif name == "mergeCell":
            self._merge(attributes.get("ref", ""))
        elif name == "col" and attributes.get("hidden", "0") in ("1", "true"):
            self.table.hidden_columns += 1

    def text(self, data: str) -> None:
        if self._collecting:
            self._pieces.append(data)
        elif self._texts.collecting:
            self._texts.pieces.append(data)

    def end(self, name: str) -> None:
        if ":" in name:
            name = local(name)
        if name == "v":
            self._collecting = False
        elif name == "c":
            self._end_cell()
        elif name in ("t", "rPh"):
            self._texts.end(name)
        elif name == "row":
            self._end_row()

    def _merge(self, reference: str) -> None:
        if reference in self.table.merged:
            return
        if len(self.table.merged) < self._limits.merged:
            self.table.merged[reference] = None
        else:
            self.table.more_merged += 1

    def _start_row(self, attributes: dict[str, str]) -> None:
        number = attributes.get("r", "")
        row = int(number) if number.isascii() and number.isdigit() and len(number) < 11 else self.row + 1
        if row in self.table.rows or row < 1:
            self._findings.fault(
                "the file holds this row twice; save the workbook again.", sheet=self.table.name, row=row
            )
        self.row = row
        self._column = -1
        self._cells = {}
        self._hidden = attributes.get("hidden", "0") in ("1", "true")

    def _end_row(self) -> None:
        if not self._cells:
            return
        self.table.rows[self.row] = self._cells
        self._cells = {}
        if self._hidden:
            self.table.hidden_rows.append(self.row)

    def _start_cell(self, attributes: dict[str, str]) -> None:
        match = _REFERENCE.match(attributes.get("r", ""))
        self._column = column_index(match[1]) if match else self._column + 1
        self._type = attributes.get("t", "n")
        style = attributes.get("s", "0")
        self._style = int(style) if style.isascii() and style.isdigit() else 0
        self._formula = False
        self._pieces.clear()
        self._texts.pieces.clear()

    def _end_cell(self) -> None:
        cell = self._cell()
        if cell is None:
            return
        if self._column >= self._limits.columns:
            if not self._too_wide:
                self._findings.fault(
                    f"the sheet has content beyond column {self._limits.columns}; delete it, or raise limits.columns.",
                    sheet=self.table.name,
                    row=self.row,
                )
            self._too_wide = True
            return
        # Judged by content: some programs write an empty last row to say how tall it is.
        if self.row > self._limits.rows:
            self._give_up(
                f"the sheet goes beyond row {self._limits.rows}; delete what is below the data, or raise limits.rows."
            )
        self._book.cells += 1
        if self._book.cells > self._limits.cells:
            self._give_up(
                f"the workbook has more than {self._limits.cells} filled cells; split it, or raise limits.cells."
            )
        self._cells[self._column] = cell

    def _give_up(self, message: str) -> NoReturn:
        self._findings.fault(message, sheet=self.table.name, row=self.row)
        self.table.broken = True
        raise Enough

    def _cell(self) -> Cell | None:
        raw = "".join(self._pieces)
        if self._formula:
            self.table.formulas += 1
            if self._book.results_pending or (not raw and self._type != "str"):
                return Odd(Oddity.FORMULA, "(formula)")
        if self._type == "s":
            return self._shared(raw)
        if self._type == "inlineStr":
            return self._texts.take() or None
        if not raw:
            return None
        if self._type == "str":
            return unescaped(raw)
        if self._type == "b":
            return raw in ("1", "true")
        if self._type == "e":
            return Odd(Oddity.ERROR, raw)
        if self._type == "d":
            return Odd(Oddity.DATE, raw)
        return self._number(raw)

    def _shared(self, raw: str) -> Cell | None:
        if not raw:
            return None
        place = int(raw) if raw.isascii() and raw.isdigit() else len(self._book.strings)
        if place < len(self._book.strings):
            return self._book.strings[place] or None
        self._findings.fault(
            "the text of a cell is missing from the file; save the workbook again.",
            sheet=self.table.name,
            row=self.row,
            value=raw,
        )
        return None

    def _number(self, raw: str) -> Cell:
        try:
            number = float(raw.replace("_", " "))  # Python reads 1_0 as ten, a spreadsheet does not
        except ValueError:
            return raw  # text where the file promises a number; the field reader says so in its own words
        oddity = self._book.styles[self._style] if self._style < len(self._book.styles) else None
        if oddity is Oddity.DATE:
            return Odd(Oddity.DATE, day_text(number, from_1904=self._book.from_1904))
        if oddity is Oddity.PERCENT:
            return Odd(Oddity.PERCENT, f"{number * 100.0:.12g}%")
        return number


def cell_place(reference: str) -> tuple[int, int] | None:
    """Return row and column (from 0) of the first cell of a range such as ``A2:B5``."""
    match = _REFERENCE.match(reference.partition(":")[0])
    return (int(match[2]), column_index(match[1])) if match else None
