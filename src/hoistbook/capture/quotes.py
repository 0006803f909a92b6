"""Read a table of known prices of parts: one quote per row, each with its basis, its money and who gave it."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from pathlib import Path

from hoistbook.capture.archive import opened
from hoistbook.capture.faults import Findings, LoadRefused
from hoistbook.capture.fields import RowReader
from hoistbook.capture.headings import match_headings
from hoistbook.capture.schema import Column, Holds, Sheet, squeezed
from hoistbook.capture.spreadsheet import read_workbook
from hoistbook.capture.tables import Limits, Table
from hoistbook.core.cost.calibration import BASES, Basis
from hoistbook.reference.csv_text import decoded, lines, separator
from hoistbook.reference.files import bytes_of

QUOTES = Sheet(
    "quotes",
    "one known price of one part",
    (
        Column("tag", Holds.NAME, "Of a part of the vehicle that has a route.", required=True),
        Column("price", Holds.NUMBER, "Of one piece.", required=True),
        Column(
            "basis",
            Holds.CHOICE,
            "buy: the delivered price of a supplier, with its mark-ups, packaging and freight. make: what the piece "
            "costs to make, without any of them and without tools.",
            required=True,
            choices=BASES,
        ),
        Column("currency", Holds.TEXT, "Three letters, e.g. EUR.", required=True),
        Column("year", Holds.NUMBER, "Of the price.", required=True),
        Column("source", Holds.TEXT, "Whose quote, and when.", required=True),
        Column(
            "index",
            Holds.TEXT,
            "Price index of the scenario by which it is carried to another year; general when blank.",
        ),
        Column("note", Holds.TEXT, "Anything else."),
    ),
)
GENERAL = "general"
"""Index taken where a row names none."""
MOST_QUOTES = 5_000
"""project rule: each quote is predicted from all others, so the work grows with the square of their number."""


@dataclass(frozen=True, slots=True)
class QuoteRow:
    """One quote as typed; `row` counts as the spreadsheet does. `price_money` is in `currency` of `year`."""

    row: int
    tag: str
    price_money: float
    basis: Basis
    currency: str
    year: int
    source: str
    index: str


@dataclass(frozen=True, slots=True)
class QuoteTable:
    """Rows of a table of quotes, and remarks on reading it."""

    rows: tuple[QuoteRow, ...]
    notes: tuple[str, ...]


def read_quotes(path: Path, limits: Limits | None = None) -> QuoteTable:
    """Read a table of quotes.

    Parameters
    ----------
    path : Path
        A .csv file, or an .xlsx workbook with the sheet "quotes" (or with one sheet only).
    limits : Limits, optional

    Raises
    ------
    LoadRefused
        With every fault found; nothing is half-loaded.
    FileNotFoundError
        There is no such file.
    """
    limits = limits or Limits()
    findings = Findings(limits.faults)
    table = _table(path, findings, limits)
    rows: list[QuoteRow] = []
    if table is not None:
        matched = match_headings(QUOTES, table, findings)
        if len(table.rows) > MOST_QUOTES + 1:
            findings.fault(
                f"more than {MOST_QUOTES:,} quotes; keep those of the vehicle that is calibrated.",
                sheet=QUOTES.name,
            )
        elif not matched.broken:
            for number, cells in matched.rows():
                row = _row(RowReader(matched, number, cells, findings))
                if row is not None:
                    rows.append(row)
            if not rows and not findings.faults:
                findings.fault("there is no quote below the headings.", sheet=QUOTES.name)
    if findings.faults:
        raise LoadRefused(findings.ordered([QUOTES.name]))
    return QuoteTable(tuple(rows), tuple(findings.notes))


def _table(path: Path, findings: Findings, limits: Limits) -> Table | None:
    try:
        data = bytes_of(path, limits.file_bytes, "raise limits.file_bytes.")
    except ValueError as error:
        findings.fault(str(error))
        return None
    if path.suffix.casefold() == ".csv":
        return _delimited(data, path.name, findings)
    archive = opened(data, findings, limits)
    if archive is None:
        return None
    tables = read_workbook(archive, lambda name: True, findings, limits)
    named = [table for table in tables if squeezed(table.name) == QUOTES.name]
    if not named and len(tables) != 1:
        findings.fault(
            f"the workbook has no sheet named {QUOTES.name!r}; name the sheet of the quotes so.",
            value=path.name,
        )
        return None
    return (named or tables)[0]


def _delimited(data: bytes, name: str, findings: Findings) -> Table | None:
    known = {squeezed(column.header) for column in QUOTES.columns}
    table = Table(QUOTES.name, typed=False)
    try:
        text, remark = decoded(data)
        heading = next((line for line in text.splitlines(keepends=True) if line.strip()), "")
        mark = separator(heading, lambda field: squeezed(field) in known)
        reader = csv.reader(lines(text), delimiter=mark, strict=True)
        for fields in reader:
            if any(field.strip() for field in fields):
                table.rows[reader.line_num] = dict(enumerate(fields))
    except (ValueError, csv.Error) as error:
        findings.fault(f"not proper CSV ({error}); save it as CSV in UTF-8.", value=name)
        return None
    if remark:
        findings.note(f"{name}: {remark}")
    return table


def _row(row: RowReader) -> QuoteRow | None:
    tag, source = row.name("tag"), row.text("source")
    price = row.bounded("price", above=0.0, why="is no price; give one above 0.")
    word = row.word("basis")
    basis = next((one for one in BASES if one == word), None)
    currency = row.short("currency").upper()
    if currency and not (len(currency) == 3 and currency.isascii() and currency.isalpha()):
        row.fault("currency", "is no code of three letters, e.g. EUR.", currency)
    year = row.bounded("year", least=1900.0, most=2200.0, whole=True, why="is no year; give e.g. 2024.")
    if not tag or price is None or basis is None or not currency or year is None or not source:
        return None
    return QuoteRow(row.place, tag, price, basis, currency, int(year), source, row.short("index") or GENERAL)
