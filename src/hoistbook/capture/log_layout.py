"""How a log is laid out: separator, decimal sign, lines before the heading, heading, row of units."""

from __future__ import annotations

import csv
import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from hoistbook.capture.log_units import is_unit, split_heading

SEPARATORS = (";", "\t", ",", "|")
LINES_LOOKED_AT = 400
"""Lines in which the table must have begun."""
MOST_HEADING = 200
"""project rule: letters of a heading or of a unit; a longer one is no name that could be typed or printed."""
_STEADY_ROWS = 3
"""So many rows alike in width and kind are a table."""

MISSING = frozenset(
    (
        "",
        "nan",
        "n/a",
        "na",
        "#n/a",
        "#nv",
        "null",
        "none",
        "-",
        "--",
        "---",
        "*",
        "inv",
        "invalid",
        "error",
        "#num!",
    )
)
"""Words loggers write where there is no reading, in small letters."""

_NUMBER = re.compile(r"[+\-−]?([0-9]+([.,][0-9]*)?|[.,][0-9]+)([eE][+-]?[0-9]+)?\s*%?")
_GROUPED = re.compile(r"[+\-−]?[0-9]{1,3}(?P<group>[.,])[0-9]{3}((?P=group)[0-9]{3})*")
_DATE = r"[0-9]{1,4}[-./][0-9]{1,2}[-./][0-9]{1,4}"
_OF_DAY = r"[0-9]{1,2}(:[0-9]{1,2}){1,2}([.,:][0-9]+)?( ?[AaPp][Mm])?(Z| ?[+-][0-9]{2}:?[0-9]{2})?"
_CLOCK = re.compile(rf"({_DATE}([T ]|, ?)?)?({_OF_DAY})?")


@dataclass(frozen=True, slots=True)
class Layout:
    """Where the table of a log stands and how its cells are written.

    Attributes
    ----------
    separator : str
        One character, or " " for any number of blanks; empty for a sheet.
    decimal : str
        "." or ",".
    first_row : int
        Lines before the first sample.
    headings, units : tuple of str
        One per column; a unit is empty where nothing says one.
    text_columns : tuple of bool
        Columns whose cells are not numbers: clock times, labels.
    preamble : tuple of str
        Lines before the heading.
    remarks : tuple of str
    """

    separator: str
    decimal: str
    first_row: int
    headings: tuple[str, ...]
    units: tuple[str, ...]
    text_columns: tuple[bool, ...]
    preamble: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()


def is_missing(cell: str) -> bool:
    """Whether a cell says that there is no reading."""
    return cell.strip().casefold() in MISSING


def is_number(cell: str) -> bool:
    """Whether a cell is a number, with either decimal sign, perhaps followed by %."""
    return _NUMBER.fullmatch(cell.strip()) is not None


def is_time(cell: str) -> bool:
    """Whether a cell is a clock time or a date with or without one."""
    cell = cell.strip()
    return len(cell) >= 4 and cell[0].isdigit() and _CLOCK.fullmatch(cell) is not None and not is_number(cell)


def split_line(line: str, separator: str) -> list[str]:
    """Split one line into its cells.

    Raises
    ------
    ValueError
        Quotes that do not close.
    """
    if separator == " ":
        return line.split()
    try:
        return next(csv.reader([line], delimiter=separator, strict=True, skipinitialspace=True), [])
    except csv.Error as error:
        msg = f"not proper CSV ({error})"
        raise ValueError(msg) from error


def find_layout(lines: Sequence[str], name: str, most_columns: int) -> Layout:
    """Find the table in the first lines of a text log.

    Parameters
    ----------
    lines : sequence of str
        The first `LINES_LOOKED_AT` lines, or all.
    name : str
        What messages call the file.
    most_columns : int
        Wider lines are not looked into; a table made of them is refused.

    Raises
    ------
    ValueError
        No separator gives rows of at least two columns with numbers in them, the rows are wider than `most_columns`, or
        a heading is longer than `MOST_HEADING`.
    """
    best = (False, 0, 0)
    chosen = ""
    widest = 0
    for mark in (*SEPARATORS, " "):
        # Counted before anything is cut: a line of a million separators would take minutes to judge cell by cell.
        widths = [_width(line, mark) for line in lines]
        widest = max(widest, *widths)
        narrow = [line if wide <= most_columns else "" for line, wide in zip(lines, widths, strict=True)]
        rows = _rows(narrow, mark)
        start, width, count = _table(rows)
        if not count or width < 2:
            continue
        score = (_heading(rows, start, width)[0] is not None, _told(rows[start:]), width)
        if not chosen or score > best:
            best, chosen = score, mark
    if not chosen and widest > most_columns:
        msg = (
            f"{name}: a line of up to {widest} columns, more than {most_columns}; export fewer channels, or raise "
            "limits.columns if right."
        )
        raise ValueError(msg)
    if not chosen:
        msg = (
            f"{name}: no table found in the first {len(lines)} lines; a log has one row per sample and at least two "
            "columns, a time and a reading, separated by semicolons, commas, tabs or |, with a heading above them."
        )
        raise ValueError(msg)
    return sheet_layout(_rows(lines, chosen), name, chosen)


def sheet_layout(rows: Sequence[Sequence[str]], name: str, separator: str = "") -> Layout:
    """Find heading, units and kinds of columns of rows that are split already.

    Raises
    ------
    ValueError
        No row of samples with at least two columns, or a heading longer than `MOST_HEADING`.
    """
    start, width, count = _table(rows)
    if not count or width < 2:
        msg = f"{name}: no rows of samples found in the first {len(rows)}; a log has a time and at least one reading."
        raise ValueError(msg)
    remarks: list[str] = []
    heading, units, above = _heading(rows, start, width)
    if heading is None:
        heading = [f"column {i + 1}" for i in range(width)]
        remarks.append(
            "there is no heading above the samples, so the columns are numbered; check every channel."
        )
    columns = max(width, len(heading))
    heading = [*heading, *[""] * (columns - len(heading))]
    words, found = [], []
    for i, cell in enumerate(heading):
        text, unit = split_heading(cell)
        below = units[i].strip() if units is not None and i < len(units) else ""
        words.append(text or f"column {i + 1}")
        found.append(_bare(below) or unit)
        longest = max(words[-1], found[-1], key=len)
        if len(longest) > MOST_HEADING:
            msg = (
                f"{name}, column {i + 1}: a heading or unit of {len(longest)} letters ({longest[:40]!r} …), more than "
                f"{MOST_HEADING}; give the column a short name."
            )
            raise ValueError(msg)
    body = [row for row in rows[start:] if row]
    decimal, doubt = _decimal(body, separator)
    remarks.extend(doubt)
    texts = tuple(_is_text([row[i] for row in body if i < len(row)]) for i in range(columns))
    preamble = tuple(" ".join(filter(None, row)).strip() for row in rows[:above] if any(row))
    return Layout(
        separator, decimal, start, _told_apart(words), tuple(found), texts, preamble, tuple(remarks)
    )


def _width(line: str, mark: str) -> int:
    return len(line.split()) if mark == " " else line.count(mark) + 1


def _rows(lines: Sequence[str], mark: str) -> list[list[str]]:
    rows = []
    for line in lines:
        try:
            rows.append(split_line(line, mark) if line.strip() else [])
        except ValueError:
            rows.append([])
    return rows


def _told(rows: Sequence[Sequence[str]]) -> int:
    """Readings less twice the words: a separator that cuts numbers in two leaves words like "5;2" behind."""
    cells = [cell for row in rows for cell in row]
    readings = sum(is_number(cell) or is_time(cell) for cell in cells)
    return readings - 2 * sum(not (is_number(cell) or is_time(cell) or is_missing(cell)) for cell in cells)


def _is_sample(row: Sequence[str]) -> bool:
    """Whether a row looks like readings: more numbers, times and blanks than words, and at least one reading."""
    readings = sum(is_number(cell) or is_time(cell) for cell in row)
    words = sum(not (is_number(cell) or is_time(cell) or is_missing(cell)) for cell in row)
    return readings > 0 and readings >= words


def _table(rows: Sequence[Sequence[str]]) -> tuple[int, int, int]:
    """First row of samples, their usual width, and how many there are."""
    flags = [len(row) >= 2 and _is_sample(row) for row in rows]
    widths = Counter(len(row) for row, flag in zip(rows, flags, strict=True) if flag)
    if not widths:
        return 0, 0, 0
    width = max(widths, key=lambda w: (widths[w], w))
    good = [flag and len(row) == width for row, flag in zip(rows, flags, strict=True)]
    need = min(_STEADY_ROWS, sum(good))
    for start in range(len(rows)):
        ahead = [
            g
            for g, row in zip(good[start : start + 2 * need], rows[start : start + 2 * need], strict=True)
            if row
        ]
        if good[start] and sum(ahead[:need]) >= need:
            return start, width, sum(good[start:])
    start = good.index(True)
    return start, width, sum(good[start:])


def _heading(
    rows: Sequence[Sequence[str]], start: int, width: int
) -> tuple[list[str] | None, Sequence[str] | None, int]:
    """Heading cells, the row of units if there is one, and how many rows stand above both."""
    above = [i for i in range(start) if any(cell.strip() for cell in rows[i])]
    if not above:
        return None, None, 0
    last = above[-1]
    if len(above) > 1 and _is_units(rows[last]) and _is_heading(rows[above[-2]], width):
        return list(rows[above[-2]]), rows[last], above[-2]
    if _is_heading(rows[last], width):
        return list(rows[last]), None, last
    return None, None, start


def _is_heading(row: Sequence[str], width: int) -> bool:
    words = sum(bool(cell.strip()) and not is_number(cell) for cell in row)
    return len(row) >= 2 and width - 1 <= len(row) <= width + 1 and words * 2 >= len(row)


def _is_units(row: Sequence[str]) -> bool:
    cells = [_bare(cell) for cell in row if cell.strip()]
    return bool(cells) and sum(is_unit(cell) or cell in ("hh:mm:ss", "") for cell in cells) * 2 > len(cells)


def _bare(cell: str) -> str:
    return cell.strip().strip("[]()").strip()


def _decimal(body: Sequence[Sequence[str]], separator: str) -> tuple[str, list[str]]:
    """Decimal sign of the numbers, and what is doubtful about it."""
    cells = [cell.strip() for row in body for cell in row]
    points = [cell for cell in cells if "." in cell and "," not in cell and is_number(cell)]
    commas = [cell for cell in cells if "," in cell and "." not in cell and is_number(cell)]
    if not commas:
        return ".", []
    if not points:
        if all(_GROUPED.fullmatch(cell) for cell in commas):
            doubt = f"numbers such as {commas[0]} are read with a decimal comma; if it groups digits, export without."
            return ",", [doubt]
        return ",", []
    mark, other = (".", commas) if len(points) >= len(commas) else (",", points)
    doubt = (
        f"decimal points and decimal commas stand side by side; {mark!r} is taken and cells such as {other[0]} are "
        "not read."
    )
    return mark, [doubt]


def _is_text(cells: Sequence[str]) -> bool:
    there = [cell for cell in cells if not is_missing(cell)]
    return bool(there) and 2 * sum(map(is_number, there)) < len(there)


def _told_apart(words: Sequence[str]) -> tuple[str, ...]:
    """Headings that are all different: the second "Current" becomes "Current #2"."""
    seen: Counter[str] = Counter()
    told = []
    for word in words:
        seen[word] += 1
        told.append(word if seen[word] == 1 else f"{word} #{seen[word]}")
    return tuple(told)
