"""The workbook to start from: headings, explanations, lists to choose from, a page to read first; empty or filled."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

import xlsxwriter
from xlsxwriter.format import Format
from xlsxwriter.utility import xl_col_to_name
from xlsxwriter.worksheet import Worksheet

from hoistbook.capture.check_rows import reading_lines
from hoistbook.capture.example_rows import EXAMPLE_ROWS
from hoistbook.capture.schema import SHEETS, Column, Holds, Sheet
from hoistbook.capture.write import CREATED, Rows, fill, prepared, width_of
from hoistbook.core.checks import CHECKS
from hoistbook.core.vehicle.kinds import QUANTITY_KINDS
from hoistbook.reference.taxonomy import taxonomy

# Rows that get lists and checks; typing further down works, only without help.
HELPED_ROWS = 20_000
_AS_TEXT = (Holds.NAME, Holds.NAMES, Holds.COVERS, Holds.DATE, Holds.UNIT)

READ_ME = (
    ("What this is", ""),
    (
        "",
        "The record of one torn-down vehicle. One sheet per kind of record, one row per record, headings in row 1.",
    ),
    (
        "",
        "Rest the pointer on a heading to read what the column holds; headings in bold must be filled in every row.",
    ),
    ("", "Sheets and columns of your own are kept and reported; start their names with _ to say so."),
    ("Order of work", ""),
    ("1", "vehicle, configurations, instruments, functions: before anything is touched."),
    (
        "2",
        "content: what the vehicles compared have unlike, with the rule for it, before any number is seen.",
    ),
    (
        "3",
        "facts: intact tests, corner weights, published figures, each with its band and where it comes from.",
    ),
    (
        "4",
        "parts and joints: tag at the moment of removal, before the part leaves the station; bag fasteners by joint.",
    ),
    (
        "5",
        "measurements: weigh singly above 20 divisions of the scale, else in counted lots; note the instrument.",
    ),
    (
        "6",
        "approaches, shares, effects: which parts do which function, and what the choice does to the vehicle.",
    ),
    (
        "7",
        "routes, reasons: how a part was made, step by step, and why it is a part of its own.",
    ),
    (
        "8",
        "checks: what a check asks for; the sheet lists says which figures each reads, and how they are measured.",
    ),
    (
        "9",
        "Load it. Every fault is listed at once, with sheet, row, column and how to mend it. Nothing loads by halves.",
    ),
    ("Numbers", ""),
    (
        "",
        "The number alone stands in the cell, its unit in the column 'unit'. Decimal point, no thousands mark.",
    ),
    ("", "A blank is never zero. Leave out what was not measured and say why in the note."),
    (
        "",
        "'plus or minus' is the 95 % half width unless the row says otherwise; 0 says that a figure is exact.",
    ),
    (
        "",
        "A reading is never edited: type the correction as a new row that names the old reading in 'supersedes'.",
    ),
    ("", "A second reading of the same thing counts up 'replicate'; its spread is used."),
    ("", "The parent of the vehicle itself is blank; every other part names the assembly it came out of."),
    ("Usual cautions", ""),
    (
        "",
        "Not an instruction. Local law, the maker's dismantling sheets and licensed people decide what is done.",
    ),
    (
        "",
        "Lifting: the maker's lift points; the balance shifts as heavy parts come off; nobody under a moving load.",
    ),
    (
        "",
        "High voltage: isolated and proved dead by a qualified person; the pack stays live inside after every step.",
    ),
    ("", "Refrigerant: recovered by a certified person before any joint is opened, and weighed."),
    (
        "",
        "Airbags, belt tensioners, pyrotechnic fuses: made safe by a qualified person after the maker's waiting time.",
    ),
    ("", "Springs and struts: hold stored energy; use the proper compressor, stand clear."),
    (
        "",
        "Fire: smell, hiss, smoke or unexplained heat at the battery: stop, leave, raise the alarm. It may come back.",
    ),
    ("", "Fluids: caught, weighed, kept apart, disposed of as the law says."),
)

_EXAMPLE = (
    "Example",
    "An invented van with invented figures, to show how a row is typed. Delete the rows to start.",
)


def write_template(path: str | Path, example: bool = False) -> None:
    """Write the workbook to start from.

    Parameters
    ----------
    path : str or Path
        File to write; an existing one is replaced.
    example : bool
        Fill it with a small invented vehicle, which loads without a fault. Empty, it loads with the faults that say
        what is still missing.

    Notes
    -----
    Columns that identify are formatted as text, so that no spreadsheet turns ``3-1`` into a day. The same call gives
    the same bytes.
    """
    lists = {
        "quantity": tuple(kind.words for kind in QUANTITY_KINDS.values()),
        "system": taxonomy().codes,
        "check": tuple(CHECKS),
    }
    lines = (_EXAMPLE, *READ_ME) if example else READ_ME
    write_form(path, SHEETS, EXAMPLE_ROWS if example else {}, lines, lists)


def write_form(
    path: str | Path,
    schema: Mapping[str, Sheet],
    rows: Rows,
    read_me: Sequence[tuple[str, str]],
    lists: Mapping[str, tuple[str, ...]],
) -> None:
    """Write a workbook to fill in: a page to read first, every sheet with its explanations, and lists to choose from.

    Parameters
    ----------
    path : str or Path
        File to write; an existing one is replaced.
    schema : mapping of name to Sheet
    rows : mapping of sheet name to rows
        What is filled in already.
    read_me : sequence of (str, str)
        Lines of the first sheet: heading or number, and text.
    lists : mapping of heading to words
        Words to choose from under a heading, wherever it stands; columns with choices of their own have those.
    """
    sheets = prepared({name: rows.get(name, ()) for name in schema}, schema)
    with xlsxwriter.Workbook(str(path), {"in_memory": True}) as workbook:
        workbook.set_properties({"created": CREATED.replace(tzinfo=None)})
        bold = workbook.add_format({"bold": True, "bottom": 1})
        plain = workbook.add_format({"bottom": 1})
        text = workbook.add_format({"num_format": "@"})
        wrapped = workbook.add_format({"text_wrap": True})
        _write_read_me(workbook.add_worksheet("read me"), bold, wrapped, read_me)
        worksheets = {name: workbook.add_worksheet(name) for name in schema}
        ranges = _write_lists(workbook.add_worksheet("lists"), bold, schema, lists)
        for name, (headers, cells) in sheets.items():
            fill(worksheets[name], headers, cells, bold)
            _dress(worksheets[name], schema[name], plain, text, ranges)


def _write_read_me(sheet: Worksheet, bold: Format, wrapped: Format, lines: Sequence[tuple[str, str]]) -> None:
    sheet.set_column(0, 0, 16)
    sheet.set_column(1, 1, 110)
    for place, (head, line) in enumerate(lines):
        sheet.write_string(place, 0, head, bold)
        sheet.write_string(place, 1, line, wrapped)


def _write_lists(
    sheet: Worksheet, bold: Format, schema: Mapping[str, Sheet], known: Mapping[str, tuple[str, ...]]
) -> dict[str, str]:
    """Write every list of choices to its own column; return the range of each by heading and words."""
    lists = dict(known)
    for column in (column for each in schema.values() for column in each.columns):
        if column.choices:
            lists.setdefault(_list_name(column), column.choices)
    ranges: dict[str, str] = {}
    for place, (name, words) in enumerate(lists.items()):
        sheet.write_string(0, place, name, bold)
        for row, word in enumerate(words, start=1):
            sheet.write_string(row, place, word)
        sheet.set_column(place, place, 24)
        letter = xl_col_to_name(place)
        ranges[name] = f"=lists!${letter}$2:${letter}${len(words) + 1}"
    if "system" not in known:
        return ranges
    # What the codes of the taxonomy mean, and what each check reads, beside them.
    beside = {"system means": tuple(_systems()), "a check reads": tuple(reading_lines(CHECKS))}
    for place, (name, words) in enumerate(beside.items(), start=len(lists)):
        sheet.write_string(0, place, name, bold)
        for row, line in enumerate(words, start=1):
            sheet.write_string(row, place, line)
        sheet.set_column(place, place, 48)
    return ranges


def _systems() -> Iterator[str]:
    systems = taxonomy()
    for code in systems.codes:
        system = systems.system(code)
        yield f"{code} {system.name if code == system.code else systems.subsystem(code).name}"


def _list_name(column: Column) -> str:
    return f"{column.header} ({', '.join(column.choices[:2])} …)"


def _dress(worksheet: Worksheet, sheet: Sheet, plain: Format, text: Format, lists: dict[str, str]) -> None:
    """Add explanations, text columns, lists and number checks to a sheet."""
    for place, column in enumerate(sheet.columns):
        if not column.required:
            worksheet.write_string(0, place, column.header, plain)
        if column.holds in _AS_TEXT:
            worksheet.set_column(place, place, width_of(column.header), text)
        worksheet.write_comment(
            0, place, _explanation(column), {"x_scale": 2.2, "y_scale": 1.2, "author": "hoistbook"}
        )
        listed = column.choices or column.holds is Holds.QUANTITY or column.header in ("system", "check")
        source = lists.get(_list_name(column) if column.choices else column.header) if listed else None
        if source is not None:
            worksheet.data_validation(
                1,
                place,
                HELPED_ROWS,
                place,
                {
                    "validate": "list",
                    "source": source,
                    "error_title": column.header,
                    "error_message": "Choose one of the list.",
                    # A quantity may be typed by its key too; what is not known at all is faulted on loading.
                    "error_type": "stop" if column.choices else "warning",
                },
            )
        elif column.holds is Holds.NUMBER:
            worksheet.data_validation(
                1,
                place,
                HELPED_ROWS,
                place,
                {
                    "validate": "decimal",
                    "criteria": "between",
                    "minimum": -1e12,
                    "maximum": 1e12,
                    "error_title": column.header,
                    "error_message": "The number alone: no unit, no ±, no text.",
                },
            )


def _explanation(column: Column) -> str:
    if column.required:
        need = "Every row needs it."
    else:
        need = "May be blank."
    choices = f" One of: {', '.join(column.choices)}." if column.choices else ""
    pointer = f" Points at the sheet {column.refers_to}." if column.refers_to else ""
    return f"{column.help} {need}{choices}{pointer}"
