"""Turn problems among the records into faults of their cells, and judge the depth of the part tree."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from hoistbook.capture.build import MOST_PIECES
from hoistbook.capture.faults import Findings, counted
from hoistbook.capture.headings import Matched
from hoistbook.capture.schema import SHEETS, Holds, Sheet
from hoistbook.capture.tables import seen
from hoistbook.core.vehicle.problem import Problem
from hoistbook.core.vehicle.records import Node, SubjectKind, Teardown

_SHEET_OF = {
    SubjectKind.PART: "parts",
    SubjectKind.JOINT: "joints",
    SubjectKind.APPROACH: "approaches",
    SubjectKind.CONFIGURATION: "configurations",
}
_AS_TYPED = (Holds.NUMBER, Holds.UNIT, Holds.QUANTITY)


class Reporter:
    """Says each problem in its cell, unless it only follows from another fault; a missing sheet is said once.

    Parameters
    ----------
    rows : mapping of str to sequence of int
        Row of every record of a sheet.
    matched : mapping of str to Matched
        The sheets that are there.
    findings : Findings
        Receives the faults.
    sheets : mapping of str to Sheet
        Those of this kind of workbook; a teardown's unless said otherwise.
    """

    def __init__(
        self,
        rows: Mapping[str, Sequence[int]],
        matched: Mapping[str, Matched],
        findings: Findings,
        sheets: Mapping[str, Sheet] = SHEETS,
    ) -> None:
        self._sheets = sheets
        self._rows = rows
        self._matched = matched
        self._findings = findings
        self._broken = {name for name, sheet in matched.items() if sheet.broken}
        self._absent: dict[str, list[tuple[str, int, str]]] = {}

    def report(self, problem: Problem, teardown: Teardown | None = None) -> None:
        """Report one problem; the teardown says what the subject of a reading is."""
        rows = self._rows[problem.sheet]
        row = rows[problem.index] if 0 <= problem.index < len(rows) else 0
        column = self._sheets[problem.sheet].column(problem.field)
        target = column.refers_to
        if teardown is not None and (problem.sheet, problem.field) == ("measurements", "of"):
            target = _SHEET_OF[teardown.measurements[problem.index].subject_kind]
        if {problem.sheet, target} & self._broken or self._findings.is_faulty(
            problem.sheet, row, problem.field
        ):
            return
        if target and target not in self._matched and problem.value and not self._sheets[target].required:
            self._absent.setdefault(target, []).append((problem.sheet, row, problem.value))
            return
        value = problem.value
        if column.holds in _AS_TYPED and row:
            sheet = self._matched[problem.sheet]
            value = seen(sheet.table.rows[row].get(sheet.columns.get(problem.field, -1))).strip() or value
        self._findings.fault(problem.message, sheet=problem.sheet, row=row, column=problem.field, value=value)

    def report_absent(self) -> None:
        """Report the sheets that are not there although something points at them."""
        for target, pointers in self._absent.items():
            sheet, row, name = pointers[0]
            self._findings.fault(
                f"the sheet {target!r} is not there, but "
                f"{counted(len(pointers), 'reference points', 'references point')} at it, e.g. {name!r} in {sheet} "
                f"row {row}; add the sheet, or clear these cells.",
                sheet=target,
            )


def judge_tree(nodes: Sequence[Node], rows: Sequence[int], most_levels: int, findings: Findings) -> None:
    """Fault the parts at which a chain of assemblies gets too long, or the pieces in the vehicle too many.

    Notes
    -----
    Only the first part of each chain is named; what hangs below it follows. Rings are reported with the references.
    """
    by_tag: dict[str, Node] = {}
    for node in nodes:
        by_tag.setdefault(node.tag, node)
    found: dict[str, tuple[int, float]] = {}
    for tag in by_tag:
        path: dict[str, None] = {}
        here: str | None = tag
        while here is not None and here in by_tag and here not in found and here not in path:
            path[here] = None
            here = by_tag[here].parent
        level, pieces = found.get(here or "", (-1, 1.0))
        for each in reversed(path):
            # Beyond any limit it stays there: a long chain of counts would else leave the range of a float.
            count = by_tag[each].count if by_tag[each].parent is not None else 1.0
            level, pieces = level + 1, min(pieces * count, 1e300)
            found[each] = (level, pieces)
    for node, row in zip(nodes, rows, strict=True):
        level, pieces = found[node.tag]
        above_level, above_pieces = found.get(node.parent or "", (-1, 1.0))
        if level > most_levels and above_level <= most_levels:
            findings.fault(
                f"part {node.tag} hangs {level} levels below the vehicle, and at most {most_levels} are read; hang "
                "it under the assembly it came out of, or raise limits.depth.",
                sheet="parts",
                row=row,
                column="parent",
                value=node.parent or "",
            )
        elif pieces > MOST_PIECES and above_pieces <= MOST_PIECES and node.count <= MOST_PIECES:
            findings.fault(
                f"with the counts of the assemblies above, the vehicle would hold {pieces:.4g} pieces of part "
                f"{node.tag}, more than {MOST_PIECES:,}; a count is per piece of the parent.",
                sheet="parts",
                row=row,
                column="count",
                value=f"{node.count:g}",
            )
