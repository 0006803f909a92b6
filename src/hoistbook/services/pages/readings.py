"""Readings of parts with what became of each: counted, corrected, changed on loading, retired, or set aside."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from hoistbook.core.vehicle.records import Measurement, SubjectKind
from hoistbook.store.vehicles import models
from hoistbook.store.vehicles.mapping import KIND_OF, Quantities
from hoistbook.store.versions import columns


@dataclass(frozen=True, slots=True)
class ReadingRow:
    """One reading. `counts` is False for what no longer does, and `why` says why not."""

    record: Measurement
    counts: bool
    why: str


def readings_of(
    code: str, ids: Sequence[str], subjects: Sequence[str], set_aside: Mapping[str, str], quantity: str = ""
) -> dict[str, list[ReadingRow]]:
    """Readings of parts by tag, each with the versions it supersedes right below it.

    Parameters
    ----------
    code : str
    ids : sequence of str
        Of the readings (the `readings` of the parts).
    subjects : sequence of str
        Tags: readings of others under the same ids are left out.
    set_aside : mapping of id to reason
        Readings the mass book does not use.
    quantity : str
        Of this quantity only.
    """
    if not ids:
        return {}
    read = KIND_OF[models.Measurement].reader(code, Quantities())
    rows = models.Measurement.objects.filter(owner=code, slot__in=list(ids)).order_by("slot", "-id")
    wanted = set(subjects)
    versions = []
    for row in rows.values_list("slot", "retired", "superseded_by", *columns(models.Measurement)):
        record: Measurement = read(row[0], row[3:])
        versions.append((record, bool(row[1]), row[2] is not None))
    corrected = {
        record.supersedes: record.id
        for record, retired, superseded in versions
        if record.supersedes and not retired and not superseded
    }
    found: dict[str, list[ReadingRow]] = {}
    ended = {record.id for record, retired, superseded in versions if retired and not superseded}
    for record, retired, superseded in versions:
        if record.subject not in wanted or record.subject_kind is not SubjectKind.PART:
            continue
        if (quantity and record.quantity != quantity) or retired:
            continue
        if superseded:
            why = "retired" if record.id in ended else "superseded by a later statement"
        elif record.id in corrected:
            why = f"superseded by {corrected[record.id]}"
        else:
            reason = set_aside.get(record.id, "")
            found.setdefault(record.subject, []).append(ReadingRow(record, not reason, reason))
            continue
        found.setdefault(record.subject, []).append(ReadingRow(record, counts=False, why=why))
    return found
