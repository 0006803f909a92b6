"""Load the teardown of one vehicle from a workbook or a folder of CSV: all of it, or nothing and the list of faults."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from pathlib import Path
from types import MappingProxyType
from typing import Any, cast

from hoistbook.capture.build import Builder
from hoistbook.capture.faults import Fault, Findings, LoadRefused, Progress, counted
from hoistbook.capture.fields import RowReader
from hoistbook.capture.headings import Matched
from hoistbook.capture.opening import match_sheets, read_tables
from hoistbook.capture.problems import Reporter, judge_tree
from hoistbook.capture.remarks import remarks
from hoistbook.capture.schema import SHEETS
from hoistbook.capture.tables import Limits, Table
from hoistbook.core.vehicle.approaches import FunctionTree
from hoistbook.core.vehicle.records import Function, Kept, Measurement, Teardown, Vehicle
from hoistbook.core.vehicle.validate import problems
from hoistbook.reference.taxonomy import taxonomy

__all__ = ["Fault", "Limits", "LoadRefused", "read_teardown"]

_PROGRESS_ROWS = 500


def read_teardown(
    path: str | Path, progress: Progress | None = None, limits: Limits | None = None
) -> Teardown:
    """Load one vehicle.

    Parameters
    ----------
    path : str or Path
        An .xlsx workbook, or a folder with one CSV file per sheet.
    progress : callable, optional
        Called as ``progress(done, total, what)``; done and total count bytes while reading, rows while checking.
    limits : Limits, optional
        How much is read before a file is refused.

    Returns
    -------
    Teardown
        `reported` says what was met and set aside: the user's own columns, hidden rows, formulas, encodings.

    Raises
    ------
    LoadRefused
        Something is wrong; `faults` lists everything found in this one pass, with sheet, row, column, value and advice.
        Nothing is loaded by halves.
    FileNotFoundError
        There is no such file or folder.

    Notes
    -----
    Nothing is guessed: a comma decimal, a unit of another kind, a band that is missing, a word that is not known are
    faults. A blank is never zero.
    """
    limits = limits or Limits()
    findings = Findings(limits.faults)
    tables = read_tables(Path(path), SHEETS, findings, limits, progress)
    # No table and no fault: a workbook without sheets, which lacks the compulsory ones.
    loaded = _load(tables, findings, limits, progress) if tables or not findings.faults else None
    if loaded is not None:
        return loaded
    raise LoadRefused(findings.ordered(SHEETS))


@dataclass(slots=True)
class _Loaded:
    """Records of one sheet and the rows they came from."""

    records: list[object] = field(default_factory=list)
    rows: list[int] = field(default_factory=list)


def _load(
    tables: Iterable[Table], findings: Findings, limits: Limits, progress: Progress | None
) -> Teardown | None:
    matched = match_sheets(tables, SHEETS, findings, what="teardown")
    total = sum(len(m.table.rows) for m in matched.values())
    done = 0
    builder = Builder(findings)
    loaded: dict[str, _Loaded] = {name: _Loaded() for name in SHEETS}
    kept: list[Kept] = []
    for name, read_row in builder.readers().items():
        sheet = matched.get(name)
        if sheet is None or sheet.broken:
            continue
        into = loaded[name]
        for number, cells in sheet.rows():
            row = RowReader(sheet, number, cells, findings)
            record = read_row(row)
            if record is not None:
                into.records.append(record)
                into.rows.append(number)
            if sheet.own:
                kept.extend(Kept(name, number, header, text) for header, text in row.own().items())
            done += 1
            if progress is not None and done % _PROGRESS_ROWS == 0:
                progress(done, total, f"checking {name}")
        _after(name, into, builder, matched, findings)
    teardown = _teardown(loaded, builder, findings, kept)
    judge_tree(teardown.nodes, loaded["parts"].rows, limits.depth, findings)
    reporter = Reporter({name: into.rows for name, into in loaded.items()}, matched, findings)
    for problem in problems(teardown, taxonomy().codes):
        reporter.report(problem, teardown)
    reporter.report_absent()
    if progress is not None:
        progress(total, total, "checking")
    if findings.faults:
        return None
    _set_aside(matched, builder, findings)
    return replace(teardown, reported=(*builder.unusual, *findings.notes, *remarks(teardown)))


def _after(
    name: str, into: _Loaded, builder: Builder, matched: dict[str, Matched], findings: Findings
) -> None:
    """Use a finished sheet: the later ones need the code of the vehicle and the functions."""
    if name == "vehicle":
        count = sum(1 for _ in matched["vehicle"].rows())
        if count != 1:
            findings.fault(
                "the sheet needs exactly one row below the heading: the vehicle of this workbook."
                if count == 0
                else f"the sheet has {count} rows; a workbook holds one vehicle, give each its own workbook.",
                sheet=name,
                row=2 if count == 0 else 3,
            )
        if into.records:
            builder.vehicle = cast(Vehicle, into.records[0])
    elif name == "functions":
        builder.functions = FunctionTree(cast(list[Function], into.records))
    elif name == "measurements":
        into.records[:] = builder.inherit_replicates(cast(list[Measurement], into.records))


def _teardown(loaded: dict[str, _Loaded], builder: Builder, findings: Findings, kept: list[Kept]) -> Teardown:
    def records(name: str) -> tuple[Any, ...]:
        return tuple(loaded[name].records)

    return Teardown(
        vehicle=builder.vehicle,
        configurations=records("configurations"),
        facts=records("facts"),
        nodes=records("parts"),
        joints=records("joints"),
        measurements=records("measurements"),
        instruments=MappingProxyType(builder.instruments),
        functions=records("functions"),
        approaches=records("approaches"),
        shares=records("shares"),
        content=records("content"),
        effects=records("effects"),
        routes=records("routes"),
        reasons=records("reasons"),
        check_readings=records("checks"),
        kept=tuple(kept),
    )


def _set_aside(matched: dict[str, Matched], builder: Builder, findings: Findings) -> None:
    """Note how cells were taken where there was a choice."""
    for name, sheet in matched.items():
        if sheet.table.formulas:
            findings.note(
                f"sheet {name!r}: {counted(sheet.table.formulas, 'formula cell')}; their stored results were read."
            )
    if builder.typed_over_instrument:
        findings.note(
            f"{counted(builder.typed_over_instrument, 'figure names', 'figures name')} an instrument "
            "and a band of its own; the typed band was used."
        )
    if builder.band_of_check:
        findings.note(
            f"{counted(builder.band_of_check, 'figure', 'figures')} for checks without band and instrument; the band "
            "that the check states for the way of measuring was used."
        )
