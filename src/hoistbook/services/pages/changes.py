"""Who changed what in a vehicle, change by change; the rows of one change only when they are asked for."""

from __future__ import annotations

from dataclasses import dataclass

from hoistbook.services.history import Line, line_of
from hoistbook.services.vehicles import SHEET_OF, Record, subject_of
from hoistbook.store.vehicles.past import acts, steps_in

AT_ONCE = 100
"""project rule: rows of one change that a page shows at once."""


@dataclass(frozen=True, slots=True)
class ChangeRow:
    """One change: who, when, what was done and why, from what file, and how many rows it wrote by sheet and outcome."""

    id: int
    at: str
    person: str
    kind: str
    note: str
    file_name: str
    sha256: str
    program_version: str
    counts: tuple[tuple[str, dict[str, int]], ...]

    @property
    def totals(self) -> dict[str, int]:
        """Counts of all sheets together."""
        found: dict[str, int] = {}
        for _, counts in self.counts:
            for word, number in counts.items():
                found[word] = found.get(word, 0) + number
        return found


def changes_of(record: Record, code: str) -> tuple[ChangeRow, ...]:
    """Every change of a vehicle, latest first."""
    sheets = {model._meta.label: sheet for model, sheet in SHEET_OF.items() if sheet != "remarks"}
    return tuple(
        ChangeRow(
            act.id,
            act.at,
            act.person,
            act.kind,
            act.note,
            act.file_name,
            act.sha256,
            act.program_version,
            tuple((sheets[name], counts) for name, counts in act.counts.items() if name in sheets),
        )
        for act in reversed(acts(subject=subject_of(code)).values())
    )


def lines_of(
    record: Record, code: str, change: int, first: int = 0, most: int = AT_ONCE
) -> tuple[tuple[Line, ...], int]:
    """Rows that one change superseded, retired, lost or brought back, from one on, and how many there are in all.

    New rows are not among them; they are only counted, with the change.
    """
    steps, count = steps_in(code, change, first, most)
    return tuple(line_of(step) for step in steps), count
