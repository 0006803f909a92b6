"""Load a study from a workbook or a folder of CSV: all of it, or nothing and the list of faults."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any, cast

from hoistbook.capture.faults import Findings, LoadRefused, Progress, counted
from hoistbook.capture.fields import RowReader
from hoistbook.capture.headings import Matched
from hoistbook.capture.opening import match_sheets, read_tables, sheet_names
from hoistbook.capture.problems import Reporter
from hoistbook.capture.study_build import StudyBuilder
from hoistbook.capture.study_schema import STUDY_SHEETS
from hoistbook.capture.tables import Limits
from hoistbook.core.compare.study import Study
from hoistbook.core.compare.study_problems import problems
from hoistbook.core.vehicle.records import Kept

_STUDY = "study"
_NO_STUDY = Study("?", "?", "?")


def is_study(path: str | Path) -> bool:
    """Whether a workbook or folder holds a study: it has a sheet of that name.

    Raises
    ------
    FileNotFoundError
        There is no such file or folder.
    """
    return _STUDY in sheet_names(Path(path))


def read_study(path: str | Path, progress: Progress | None = None, limits: Limits | None = None) -> Study:
    """Load one study.

    Parameters
    ----------
    path : str or Path
        An .xlsx workbook, or a folder with one CSV file per sheet.
    progress : callable, optional
        Called as ``progress(done, total, what)``; done and total count bytes.
    limits : Limits, optional
        How much is read before a file is refused.

    Returns
    -------
    Study
        `reported` says what was met and set aside.

    Raises
    ------
    LoadRefused
        Something is wrong; `faults` lists everything found in this one pass. Nothing is loaded by halves.
    FileNotFoundError
        There is no such file or folder.

    Notes
    -----
    The vehicles need not be there yet: what does not fit them is said when the study is shown, and stops freezing.
    """
    limits = limits or Limits()
    findings = Findings(limits.faults)
    tables = read_tables(Path(path), STUDY_SHEETS, findings, limits, progress)
    if tables or not findings.faults:
        study = _load(match_sheets(tables, STUDY_SHEETS, findings, what=_STUDY), findings)
        if not findings.faults:
            return study
    raise LoadRefused(findings.ordered(STUDY_SHEETS))


def _load(matched: dict[str, Matched], findings: Findings) -> Study:
    records: dict[str, list[Any]] = {name: [] for name in STUDY_SHEETS}
    rows: dict[str, list[int]] = {name: [] for name in STUDY_SHEETS}
    kept: list[Kept] = []
    for name, read_row in StudyBuilder(findings).readers().items():
        sheet = matched.get(name)
        if sheet is None or sheet.broken:
            continue
        for number, cells in sheet.rows():
            row = RowReader(sheet, number, cells, findings)
            record = read_row(row)
            if record is not None:
                records[name].append(record)
                rows[name].append(number)
            kept.extend(Kept(name, number, header, text) for header, text in row.own().items())
        if sheet.table.formulas:
            findings.note(
                f"sheet {name!r}: {counted(sheet.table.formulas, 'formula cell')}; their stored results were read."
            )
    _judge_one_study(matched, findings)
    head = cast(Study, records[_STUDY][0]) if records[_STUDY] else _NO_STUDY
    study = replace(
        head,
        vehicles=tuple(records["vehicles"]),
        equality=tuple(records["equality"]),
        content=tuple(records["content"]),
        assumptions=tuple(records["assumptions"]),
        findings=tuple(records["findings"]),
        strip_plan=tuple(records["strip plan"]),
        claims=tuple(records["claims"]),
        reported=tuple(findings.notes),
        kept=tuple(kept),
    )
    reporter = Reporter(rows, matched, findings, STUDY_SHEETS)
    for problem in problems(study):
        reporter.report(problem)
    reporter.report_absent()
    return study


def _judge_one_study(matched: dict[str, Matched], findings: Findings) -> None:
    sheet = matched.get(_STUDY)
    if sheet is None or sheet.broken:
        return
    count = sum(1 for _ in sheet.rows())
    if count != 1:
        findings.fault(
            "the sheet needs exactly one row below the heading: the study of this workbook."
            if count == 0
            else f"the sheet has {count} rows; a workbook holds one study, give each its own workbook.",
            sheet=_STUDY,
            row=2 if count == 0 else 3,
        )
