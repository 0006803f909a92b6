"""Open a workbook or a folder of CSV and match its tables to the sheets of one kind of workbook."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping
from pathlib import Path

from hoistbook.capture.archive import BROKEN, opened
from hoistbook.capture.book import open_book
from hoistbook.capture.delimited import read_folder
from hoistbook.capture.faults import Findings, Progress
from hoistbook.capture.headings import SLIP_RATIO, Matched, match_headings
from hoistbook.capture.markup import MarkupRefused
from hoistbook.capture.schema import OWN_PREFIX, SILENT_SHEETS, Sheet, squeezed
from hoistbook.capture.spreadsheet import read_workbook
from hoistbook.capture.tables import Limits, Table


def read_tables(
    path: Path,
    sheets: Mapping[str, Sheet],
    findings: Findings,
    limits: Limits,
    progress: Progress | None = None,
) -> list[Table]:
    """Read every table of a workbook or a folder; those of sheets that are not wanted come back empty.

    Raises
    ------
    FileNotFoundError
        There is no such file or folder.
    """
    by_name = {squeezed(name): sheet for name, sheet in sheets.items()}

    def headings(name: str) -> set[str]:
        known = by_name.get(squeezed(name))
        return {squeezed(column.header) for column in known.columns} if known else set()

    if path.is_dir():
        return read_folder(path, headings, findings, limits, progress)
    data = _bytes_of(path, findings, limits)
    archive = None if data is None else opened(data, findings, limits)
    if archive is None:
        return []
    return read_workbook(archive, lambda name: squeezed(name) in by_name, findings, limits, progress)


def _bytes_of(path: Path, findings: Findings, limits: Limits) -> bytes | None:
    if path.suffix.casefold() == ".csv":
        findings.fault(
            "one CSV file is one sheet; give the folder that holds the files of the vehicle.", value=path.name
        )
        return None
    if path.exists() and not path.is_file():
        findings.fault(
            "this is neither a file nor a folder; give an .xlsx file or a folder of CSV.", value=path.name
        )
        return None
    with path.open("rb") as file:
        data = file.read(limits.file_bytes + 1)
    if len(data) > limits.file_bytes:
        findings.fault(
            f"the file has more than {limits.file_bytes} bytes; take pictures out of it, or raise limits.file_bytes.",
            value=path.name,
        )
        return None
    return data


def sheet_names(path: Path, limits: Limits | None = None) -> tuple[str, ...]:
    """Names of the sheets of a workbook or a folder, squeezed; none where it cannot be read.

    What is wrong with a file is said by whoever reads it afterwards, not here.

    Raises
    ------
    FileNotFoundError
        There is no such file or folder.
    """
    if path.is_dir():
        return tuple(
            squeezed(file.stem) for file in sorted(path.iterdir()) if file.suffix.casefold() == ".csv"
        )
    limits = limits or Limits()
    findings = Findings(limits.faults)
    data = _bytes_of(path, findings, limits)
    archive = None if data is None else opened(data, findings, limits)
    if archive is None:
        return ()
    try:
        return tuple(squeezed(entry.name) for entry in open_book(archive).sheets)
    except (MarkupRefused, *BROKEN, LookupError):
        return ()


def match_sheets(
    tables: Iterable[Table], sheets: Mapping[str, Sheet], findings: Findings, *, what: str
) -> dict[str, Matched]:
    """Find the sheets of one kind of workbook among tables.

    Parameters
    ----------
    tables : iterable of Table
    sheets : mapping of name to Sheet
    findings : Findings
        Receives a fault for a sheet that is missing, doubled or a likely slip, and a remark for the user's own.
    what : str
        The kind of workbook in words, e.g. "teardown".

    Returns
    -------
    dict of str to Matched
        In the order of `sheets`.
    """
    known = {squeezed(name): name for name in sheets}
    by_name: dict[str, Table] = {}
    unknown: list[Table] = []
    for table in tables:
        name = known.get(squeezed(table.name))
        if name is None:
            unknown.append(table)
        elif name in by_name:
            findings.fault(
                f"there are two sheets named {name!r}; put their rows into one.", sheet=name, value=table.name
            )
        else:
            by_name[name] = table
    slips = _unknown_sheets(unknown, set(sheets) - set(by_name), findings, what)
    for name, sheet in sheets.items():
        if sheet.required and name not in by_name and name not in slips:
            needed = ", ".join(column.header for column in sheet.columns if column.required)
            findings.fault(f"the sheet {name!r} is missing; add it with the columns {needed}.", sheet=name)
    absent = [
        name
        for name, sheet in sheets.items()
        if name not in by_name and not sheet.required and not sheet.asked_for
    ]
    if absent:
        findings.note(f"not there, so nothing was loaded for: {', '.join(absent)}.")
    return {name: match_headings(sheets[name], by_name[name], findings) for name in sheets if name in by_name}


def _unknown_sheets(unknown: list[Table], missing: set[str], findings: Findings, what: str) -> set[str]:
    slips: set[str] = set()
    for table in unknown:
        folded = squeezed(table.name)
        if folded in SILENT_SHEETS:
            continue
        near = (
            []
            if table.name.startswith(OWN_PREFIX)
            else difflib.get_close_matches(folded, missing, n=1, cutoff=SLIP_RATIO)
        )
        if near:
            slips.add(near[0])
            findings.fault(
                f"no sheet has this name; did you mean {near[0]!r}? If it is a sheet of your own, "
                f"start its name with {OWN_PREFIX!r}.",
                sheet=table.name,
                value=table.name,
            )
        else:
            findings.note(f"sheet {table.name!r} is not one of the {what} workbook; it was not read.")
    return slips
