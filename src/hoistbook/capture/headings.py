"""Match the headings of a table to the columns of its sheet; what is not known is kept and said."""

from __future__ import annotations

import difflib
from collections.abc import Iterator
from dataclasses import dataclass, field

from hoistbook.capture.faults import Findings, counted
from hoistbook.capture.schema import OWN_PREFIX, Sheet, squeezed
from hoistbook.capture.spreadsheet import cell_place
from hoistbook.capture.tables import Cell, Table, column_letters, seen

# A heading this like a known one that is missing is taken for a slip of the pen, and refused rather than set aside.
SLIP_RATIO = 0.8


@dataclass(slots=True)
class Matched:
    """A table whose headings are understood: where each known column is, and which columns are the user's own."""

    sheet: Sheet
    table: Table
    columns: dict[str, int] = field(default_factory=dict)
    own: dict[int, str] = field(default_factory=dict)
    broken: bool = False  # not read to its end, or a required column is missing: rows cannot be judged

    def rows(self) -> Iterator[tuple[int, dict[int, Cell]]]:
        """Yield number and cells of every row below the heading that holds more than blanks."""
        for number, cells in self.table.rows.items():
            if number > 1 and any(seen(cell).strip() for cell in cells.values()):
                yield number, cells

    def header_at(self, index: int) -> str:
        """Return the heading above a cell, or the letters of its column."""
        for header, column in self.columns.items():
            if column == index:
                return header
        return self.own.get(index, f"column {column_letters(index)}")


def match_headings(sheet: Sheet, table: Table, findings: Findings) -> Matched:
    """Find the columns of a sheet by their headings.

    Parameters
    ----------
    sheet : Sheet
    table : Table
    findings : Findings
        Receives a fault for a heading that is missing, doubled or a likely slip, and a remark for the user's own.

    Returns
    -------
    Matched
    """
    matched = Matched(sheet, table, broken=table.broken)
    if matched.broken:
        return matched
    headings = table.rows.get(1, {})
    if not headings:
        findings.fault(
            "row 1 holds no headings; it must name the columns, at least: "
            f"{', '.join(c.header for c in sheet.columns if c.required)}.",
            sheet=sheet.name,
            row=1,
        )
        matched.broken = True
        return matched
    known = {squeezed(column.header): column.header for column in sheet.columns}
    unknown: dict[int, str] = {}
    for index, cell in sorted(headings.items()):
        text = seen(cell).strip()
        header = known.get(squeezed(text))
        if header is None:
            if text:
                unknown[index] = text
        elif header in matched.columns:
            findings.fault(
                f"this heading stands twice, in columns {column_letters(matched.columns[header])} and "
                f"{column_letters(index)}; keep one.",
                sheet=sheet.name,
                row=1,
                column=header,
                value=text,
            )
        else:
            matched.columns[header] = index
    slips = _set_aside(matched, unknown, findings)
    for column in sheet.columns:
        if column.required and column.header not in matched.columns:
            matched.broken = True
            if column.header not in slips:
                findings.fault(
                    f"the column {column.header!r} is missing; add it, every row needs it.",
                    sheet=sheet.name,
                    row=1,
                    column=column.header,
                )
    _judge_unheaded(matched, findings)
    _judge_layout(matched, findings)
    return matched


def _set_aside(matched: Matched, unknown: dict[int, str], findings: Findings) -> set[str]:
    """Sort headings the schema does not know into slips (faults) and the user's own columns (kept)."""
    missing = {squeezed(c.header): c.header for c in matched.sheet.columns if c.header not in matched.columns}
    slips: set[str] = set()
    for index, text in unknown.items():
        matched.own[index] = text
        if text.startswith(OWN_PREFIX):
            continue
        near = difflib.get_close_matches(squeezed(text), missing, n=1, cutoff=SLIP_RATIO)
        if near:
            header = missing[near[0]]
            slips.add(header)
            findings.fault(
                f"no column has this heading; did you mean {header!r}? If it is a column of your own, "
                f"start it with {OWN_PREFIX!r}.",
                sheet=matched.sheet.name,
                row=1,
                column=text,
                value=text,
            )
    if kept := [text for text in matched.own.values() if text.startswith(OWN_PREFIX) or not slips]:
        findings.note(
            f"sheet {matched.sheet.name!r}: kept aside, not used: {counted(len(kept), 'column')} "
            f"{', '.join(map(repr, kept))}."
        )
    return slips


def _judge_unheaded(matched: Matched, findings: Findings) -> None:
    headed = set(matched.columns.values()) | set(matched.own)
    doubled = {
        index
        for index, cell in matched.table.rows.get(1, {}).items()
        if index not in headed and seen(cell).strip()
    }
    told: set[int] = set()
    for number, cells in matched.rows():
        for index, cell in cells.items():
            if index in headed or index in doubled or index in told or not seen(cell).strip():
                continue
            told.add(index)
            findings.fault(
                "there is content but no heading above it; give the column a heading"
                + (
                    ", or put double quotes round text that holds the separator."
                    if not matched.table.typed
                    else " or clear it."
                ),
                sheet=matched.sheet.name,
                row=number,
                column=f"column {column_letters(index)}",
                value=seen(cell),
            )


def _judge_layout(matched: Matched, findings: Findings) -> None:
    table, name = matched.table, matched.sheet.name
    for reference in table.merged:
        place = cell_place(reference)
        row, index = place if place else (0, 0)
        findings.fault(
            f"the cells {reference} are merged, so only the first of them holds a value; unmerge them "
            "and fill every cell.",
            sheet=name,
            row=row,
            column=matched.header_at(index),
            value=reference,
        )
    if table.more_merged:
        findings.fault(
            f"{table.more_merged} more ranges of merged cells; unmerge all cells of the sheet, or raise limits.merged.",
            sheet=name,
        )
    _excuse(matched, findings)
    if table.hidden:
        findings.note(f"sheet {name!r} is hidden; it was read like the others.")
    if hidden := table.hidden_rows:
        shown = ", ".join(map(str, hidden[:10])) + (" …" if len(hidden) > 10 else "")
        findings.note(f"sheet {name!r}: {counted(len(hidden), 'hidden row')} read like the others: {shown}.")
    if table.hidden_columns:
        findings.note(f"sheet {name!r} has hidden columns; they were read like the others.")


def _excuse(matched: Matched, findings: Findings) -> None:
    """Let the blank cells of merged ranges pass: the merging is the fault, not each blank."""
    if not matched.table.merged:
        return
    for header, index in matched.columns.items():
        spans = sorted(
            (first[0], last[0])
            for reference in matched.table.merged
            if (first := cell_place(reference)) and (last := cell_place(reference.partition(":")[2]))
            if first[1] <= index <= last[1]
        )
        # Rows and ranges side by side, each looked at once per column.
        reach, place = 0, 0
        for row in sorted(matched.table.rows):
            while place < len(spans) and spans[place][0] <= row:
                reach = max(reach, spans[place][1])
                place += 1
            if row <= reach:
                findings.faulty.add((matched.sheet.name, row, header))
