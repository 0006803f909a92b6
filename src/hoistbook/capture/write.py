"""Write rows as a workbook or as a folder of CSV: same rows, same bytes; text is never taken for a formula."""

from __future__ import annotations

import csv
import math
from collections.abc import Mapping, Sequence
from datetime import UTC, date, datetime
from enum import Enum
from pathlib import Path

import xlsxwriter
from xlsxwriter.format import Format
from xlsxwriter.worksheet import Worksheet

from hoistbook.capture.schema import SHEETS, Sheet

# A workbook states when it was made; a fixed day keeps the bytes the same for the same rows.
CREATED = datetime(2000, 1, 1, tzinfo=UTC)
CELL_CHARACTERS = 32_767  # the most a spreadsheet cell holds
# A spreadsheet takes a CSV field that starts so for a formula; a leading apostrophe marks it as text.
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "'")

Row = Mapping[str, object]
Rows = Mapping[str, Sequence[Row]]
Content = str | float | int | None


def cell_value(value: object) -> Content:
    """Turn a value into what a cell holds: text, a number, or None for a blank cell.

    Raises
    ------
    ValueError
        A number that is not finite, text longer than a cell, or a type no cell can hold.

    Notes
    -----
    True and False become yes and no, days and times ISO 8601 text, members of an Enum their value. Empty text is blank.
    """
    if isinstance(value, Enum):
        value = value.value
    if value is None or value == "":
        return None
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        number = float(value)
        if not math.isfinite(number):
            msg = f"{value!r} cannot be written to a cell; leave a missing value out (None)."
            raise ValueError(msg)
        return int(value) if isinstance(value, int) else number
    if isinstance(value, date):
        return value.isoformat(sep=" ") if isinstance(value, datetime) else value.isoformat()
    if isinstance(value, str):
        if len(value) > CELL_CHARACTERS:
            msg = f"text of {len(value)} characters does not fit a cell ({CELL_CHARACTERS}); shorten {value[:40]!r}…"
            raise ValueError(msg)
        return value
    msg = f"a cell cannot hold {value!r} of type {type(value).__name__}; give text, a number, yes/no, a day or None."
    raise ValueError(msg)


def headers_of(sheet: str, rows: Sequence[Row], sheets: Mapping[str, Sheet] = SHEETS) -> list[str]:
    """Headings of a sheet: those of the schema in its order, then further ones in the order they appear."""
    known = [column.header for column in sheets[sheet].columns] if sheet in sheets else []
    further: dict[str, None] = {}
    for row in rows:
        further.update(dict.fromkeys(header for header in row if header not in known))
    return known + list(further)


def _placed(sheet: str, number: int, header: str, value: object) -> Content:
    try:
        return cell_value(value)
    except ValueError as error:
        msg = f"sheet {sheet!r} row {number}, {header}: {error}"
        raise ValueError(msg) from None


def prepared(
    rows_by_sheet: Rows, schema: Mapping[str, Sheet] = SHEETS
) -> dict[str, tuple[list[str], list[list[Content]]]]:
    """Return headings and cell contents of every sheet; whatever cannot be written is found before a file is touched.

    Raises
    ------
    ValueError
        A value no cell can hold; the message says sheet, row and column.
    """
    sheets: dict[str, tuple[list[str], list[list[Content]]]] = {}
    for sheet, rows in rows_by_sheet.items():
        headers = headers_of(sheet, rows, schema)
        cells = [
            [_placed(sheet, number, header, row.get(header)) for header in headers]
            for number, row in enumerate(rows, start=2)
        ]
        sheets[sheet] = (headers, cells)
    return sheets


def fill(
    worksheet: Worksheet, headers: Sequence[str], cells: Sequence[Sequence[Content]], bold: Format
) -> None:
    """Write headings and contents to a worksheet, the heading row frozen."""
    for column, header in enumerate(headers):
        worksheet.write_string(0, column, header, bold)
        worksheet.set_column(column, column, width_of(header))
    worksheet.freeze_panes(1, 0)
    for place, contents in enumerate(cells, start=1):
        for column, content in enumerate(contents):
            if isinstance(content, str):
                worksheet.write_string(place, column, content)
            elif content is not None:
                worksheet.write_number(place, column, content)


def width_of(header: str) -> int:
    """Width of a column in characters: that of its heading within limits."""
    return max(10, min(28, len(header) + 3))


def write_workbook(path: str | Path, rows_by_sheet: Rows, schema: Mapping[str, Sheet] = SHEETS) -> None:
    """Write rows to an XLSX workbook.

    Parameters
    ----------
    path : str or Path
        File to write; an existing one is replaced.
    rows_by_sheet : mapping of sheet name to rows
        A row is a mapping of heading to value. Headings the schema does not know are written after those it does.

    Raises
    ------
    ValueError
        A value no cell can hold; the message says sheet, row and column.

    Notes
    -----
    Text is written as text whatever it starts with, so ``=1+1`` stays five characters. The same rows give the same
    bytes: the creation day is fixed.
    """
    sheets = prepared(rows_by_sheet, schema)
    with xlsxwriter.Workbook(str(path), {"in_memory": True}) as workbook:
        workbook.set_properties({"created": CREATED.replace(tzinfo=None)})
        bold = workbook.add_format({"bold": True, "bottom": 1})
        for sheet, (headers, cells) in sheets.items():
            fill(workbook.add_worksheet(sheet), headers, cells, bold)


def write_csv_folder(path: str | Path, rows_by_sheet: Rows, schema: Mapping[str, Sheet] = SHEETS) -> None:
    """Write rows to a folder with one UTF-8 CSV file per sheet.

    Parameters
    ----------
    path : str or Path
        Folder to write into; made when missing. Files of the same name are replaced.
    rows_by_sheet : mapping of sheet name to rows
        As for `write_workbook`.

    Raises
    ------
    ValueError
        A value no cell can hold, or a sheet name that is not a plain file name.

    Notes
    -----
    Text that a spreadsheet would take for a formula (it starts with = + - @, a tab, a return or an apostrophe) gets a
    leading apostrophe; the loader takes that one off again. Numbers are written as numbers, negative ones too.
    """
    sheets = prepared(rows_by_sheet, schema)
    for sheet in sheets:
        if Path(sheet).name != sheet or sheet.startswith("."):
            msg = f"sheet name {sheet!r} is not a plain file name; use letters, digits and blanks."
            raise ValueError(msg)
    folder = Path(path)
    folder.mkdir(parents=True, exist_ok=True)
    for sheet, (headers, cells) in sheets.items():
        with (folder / f"{sheet}.csv").open("w", encoding="utf-8", newline="") as file:
            writer = csv.writer(file, lineterminator="\r\n")
            writer.writerow(headers)
            writer.writerows([_csv_field(content) for content in contents] for contents in cells)


def _csv_field(content: Content) -> str:
    if content is None:
        return ""
    if isinstance(content, str):
        return f"'{content}" if content.startswith(FORMULA_STARTS) else content
    return repr(content)
