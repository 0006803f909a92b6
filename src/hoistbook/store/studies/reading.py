"""Read and write studies in the open store."""

from __future__ import annotations

from collections.abc import Sequence

from django.db.models import Max

from hoistbook.core.compare.study import Difference, Frozen, FrozenVersion, Study
from hoistbook.store.changes.models import Change
from hoistbook.store.studies.mapping import (
    differences_of,
    differences_text,
    frozen_of,
    frozen_text,
    study_of,
    study_rows,
)
from hoistbook.store.studies.models import Study as StudyKey
from hoistbook.store.studies.models import StudyRow, StudyVersion
from hoistbook.store.writing import Counts, order_of, retire, state, vanished_versions

STATEMENT = "study workbook"


def study_codes() -> tuple[str, ...]:
    """Codes of the studies in the store."""
    return tuple(StudyKey.objects.order_by("code").values_list("code", flat=True))


def stored_study(code: str, at: int | None = None) -> Study | None:
    """Return a study as it stands, or as it stood right after a change; None when it is not there.

    Rows that vanished from the workbook count until somebody retires them.
    """
    found = StudyRow.objects.current(owner=code) if at is None else StudyRow.objects.at(at, owner=code)
    rows = {slot: (sheet, data) for slot, sheet, data in found.values_list("slot", "sheet", "data")}
    if not rows:
        return None
    order = [slot for slot in order_of(StudyRow, code, STATEMENT, at) if slot in rows]
    return study_of(code, (rows[slot] for slot in dict.fromkeys((*order, *rows))))


def vanished_slots(code: str) -> tuple[str, ...]:
    """Slots that the last workbook no longer holds and nobody retired."""
    return tuple(sorted(vanished_versions(StudyRow, code, STATEMENT).values()))


def state_study(study: Study, change: Change) -> Counts:
    """Bring a study into the record as the full statement of its workbook; only what differs is written."""
    StudyKey.objects.get_or_create(code=study.code, defaults={"change": change})
    return state(StudyRow, study.code, study_rows(study), change, STATEMENT)


def retire_rows(code: str, slots: Sequence[str], change: Change) -> Counts:
    """End rows that vanished from the workbook."""
    return retire(StudyRow, code, slots, change, STATEMENT)


def versions(code: str) -> tuple[FrozenVersion, ...]:
    """Frozen versions of a study, the first one first."""
    rows = StudyVersion.objects.filter(study=code).select_related("change").order_by("number")
    return tuple(
        FrozenVersion(
            row.number,
            row.change.person,
            f"{row.change.at:%Y-%m-%d %H:%M} UTC",
            frozen_of(row.frozen),
            differences_of(row.differences),
        )
        for row in rows
    )


def add_version(code: str, frozen: Frozen, found: tuple[Difference, ...], change: Change) -> int:
    """Keep a frozen version and return its number."""
    last = StudyVersion.objects.filter(study=code).aggregate(last=Max("number"))["last"] or 0
    StudyVersion.objects.create(
        study_id=code,
        number=last + 1,
        change=change,
        frozen=frozen_text(frozen),
        differences=differences_text(found),
    )
    return int(last) + 1
