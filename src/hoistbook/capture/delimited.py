"""Read a folder of CSV files: encoding and separator are found out and said, never guessed in silence."""

from __future__ import annotations

import codecs
import csv
import io
from collections.abc import Callable, Collection
from pathlib import Path

from hoistbook.capture.faults import Findings, Progress
from hoistbook.capture.schema import squeezed
from hoistbook.capture.tables import Cell, Limits, Table
from hoistbook.capture.write import FORMULA_STARTS

_SEPARATORS = (",", ";", "\t")
_BYTE_ORDER_MARKS = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)


def read_folder(
    folder: Path,
    known_headings: Callable[[str], Collection[str]],
    findings: Findings,
    limits: Limits,
    progress: Progress | None = None,
) -> list[Table]:
    """Read every CSV file of a folder.

    Parameters
    ----------
    folder : Path
    known_headings : callable
        Gives for a sheet name its squeezed headings; the separator is the one that finds most of them.
    findings : Findings
        Receives faults and remarks.
    limits : Limits
    progress : callable, optional
        Called with bytes done, bytes in all, and the file being read.

    Returns
    -------
    list of Table
        One per file, named after it, in alphabetical order.
    """
    files = sorted(path for path in folder.iterdir() if path.suffix.casefold() == ".csv" and path.is_file())
    others = sorted(
        path.name
        for path in folder.iterdir()
        if path.suffix.casefold() != ".csv" and not path.name.startswith(".")
    )
    if others:
        findings.note(f"not read, because not CSV: {', '.join(others)}.")
    if not files:
        findings.fault(
            "the folder holds no .csv file; name one file per sheet, e.g. vehicle.csv, parts.csv.",
            value=folder.name,
        )
        return []
    if len(files) > limits.entries:
        findings.fault(
            f"the folder holds {len(files)} CSV files, more than {limits.entries}; give the folder of one vehicle.",
            value=folder.name,
        )
        return []
    sizes = [path.stat().st_size for path in files]
    total = sum(sizes)
    if total > limits.unpacked_bytes:
        findings.fault(
            f"the CSV files hold {total} bytes, more than {limits.unpacked_bytes}; raise "
            "limits.unpacked_bytes if this is right."
        )
        return []
    done, filled = 0, 0
    tables = []
    for path, size in zip(files, sizes, strict=True):
        table = _read_file(path, known_headings(path.stem), findings, limits)
        tables.append(table)
        filled += sum(map(len, table.rows.values()))
        if filled > limits.cells:
            findings.fault(
                f"the files have more than {limits.cells} filled cells; split them, or raise limits.cells.",
                sheet=table.name,
            )
            return []
        done += size
        if progress is not None:
            progress(done, total, f"reading {path.stem}")
    return tables


def _read_file(path: Path, headings: Collection[str], findings: Findings, limits: Limits) -> Table:
    table = Table(path.stem, typed=False)
    text = _decoded(path, findings)
    if text is None:
        table.broken = True
        return table
    separator = _separator(text, headings)
    if separator != ",":
        findings.note(f"{path.name}: separated by {'tabs' if separator == chr(9) else 'semicolons'}.")
    number = 0
    try:
        lines = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
        for number, fields in enumerate(lines, start=1):
            cells: dict[int, Cell] = {index: _plain(value) for index, value in enumerate(fields) if value}
            if cells:
                table.rows[number] = cells
            if (trouble := _too_large(number, len(fields), limits)) is not None:
                findings.fault(trouble, sheet=table.name, row=number)
                table.broken = True
                break
    except csv.Error as error:
        findings.fault(
            f"the file is not proper CSV ({error}); text that holds a separator, a quote or a line break "
            "stands in double quotes.",
            sheet=table.name,
            row=number + 1,
        )
        table.broken = True
    return table


def _too_large(row: int, columns: int, limits: Limits) -> str | None:
    if row > limits.rows:
        return f"the file goes beyond row {limits.rows}; raise limits.rows if this is right."
    if columns > limits.columns:
        return f"{columns} columns, more than {limits.columns}; raise limits.columns if this is right."
    return None


def _decoded(path: Path, findings: Findings) -> str | None:
    data = path.read_bytes()
    for mark, encoding in _BYTE_ORDER_MARKS:
        if data.startswith(mark):
            if encoding == "utf-16":
                findings.note(f"{path.name}: read as UTF-16, as its first bytes say.")
            return _tried(data, encoding, path, findings)
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError:
        findings.note(
            f"{path.name}: not UTF-8; read as Windows-1252. Look at the accented letters, or save it as UTF-8."
        )
        return _tried(data, "cp1252", path, findings)


def _tried(data: bytes, encoding: str, path: Path, findings: Findings) -> str | None:
    try:
        return data.decode(encoding)
    except UnicodeDecodeError as error:
        findings.fault(
            f"the file is neither UTF-8 nor {encoding} ({error.reason} at byte {error.start}); save it as UTF-8.",
            sheet=path.stem,
        )
        return None


def _separator(text: str, headings: Collection[str]) -> str:
    first = next(iter(io.StringIO(text, newline=None)), "")

    def found(separator: str) -> tuple[int, int]:
        try:
            fields = next(csv.reader([first.rstrip("\n")], delimiter=separator), [])
        except csv.Error:
            return 0, 0  # the reading proper says what is wrong
        return sum(squeezed(field) in headings for field in fields), len(fields)

    return max(_SEPARATORS, key=found)


def _plain(value: str) -> str:
    """Take off the apostrophe that `write.write_csv_folder` puts before text that looks like a formula."""
    return value[1:] if value.startswith("'") and value[1:].startswith(FORMULA_STARTS) else value
