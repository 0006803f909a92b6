"""Versions of rows, and the words they can be found by."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from django.db.models import Q

from hoistbook.core.vehicle.kinds import quantity_kind
from hoistbook.store.changes.models import Change, Outcome, Vanished
from hoistbook.store.vehicles import models
from hoistbook.store.vehicles.mapping import KIND_OF, Quantities, text_of
from hoistbook.store.versions import Version, columns, table


@dataclass(frozen=True, slots=True)
class Step:
    """What happened to a row: `before` and `after` are records, or plain columns of rows kept together.

    `event` is added, superseded, retired, vanished or returned.
    """

    model: type[Version]
    change: int
    event: str
    slot: str
    statement: str
    before: Any
    after: Any


@dataclass(frozen=True, slots=True)
class Act:
    """A change as it was written."""

    id: int
    at: str
    person: str
    kind: str
    subject: str
    note: str
    file_name: str
    sha256: str
    program_version: str
    counts: dict[str, dict[str, int]]


def acts(ids: Sequence[int] | None = None, subject: str | None = None) -> dict[int, Act]:
    """Changes by id, in their order: those asked for, or all about a subject."""
    wanted = Change.objects.order_by("id")
    if ids is not None:
        wanted = wanted.filter(pk__in=list(ids))
    if subject is not None:
        wanted = wanted.filter(subject=subject)
    rows = list(wanted)
    counts = dict(Outcome.objects.filter(pk__in=[row.pk for row in rows]).values_list("pk", "counts"))
    return {
        row.pk: Act(
            row.pk,
            row.at.isoformat(timespec="seconds"),
            row.person,
            row.kind,
            row.subject,
            row.note,
            row.file_name,
            row.file_id or "",
            row.program_version,
            counts.get(row.pk, {}),
        )
        for row in rows
    }


def matching(tag: str) -> list[tuple[type[Version], Q]]:
    """Where a word may stand: tag of a part, id of a reading, quantity of a fact, approach, function, instrument."""
    listed = text_of(tag)
    try:
        quantity = quantity_kind(tag).key
    except LookupError:
        quantity = tag
    slot = Q(slot=tag)
    return [
        (models.Configuration, slot),
        (models.Instrument, slot),
        (models.Function, slot | Q(parent=tag)),
        (models.Fact, Q(quantity=quantity)),
        (models.Node, slot),
        (models.Joint, slot | Q(parts__contains=listed) | Q(fastener=tag)),
        (models.Measurement, slot | Q(subject=tag) | Q(covers__contains=listed) | Q(corrects=tag)),
        (models.Approach, slot | Q(function=tag)),
        (models.ShareSet, slot | Q(shares__contains=listed)),
        (models.RouteStep, Q(tag=tag)),
        (models.Reason, Q(tag=tag)),
        (models.CheckReading, Q(of_check=tag) | Q(reading=tag) | Q(item=tag)),
        (models.ContentItem, Q(item=tag) | Q(function=tag)),
        (models.Effect, Q(function=tag)),
    ]


def names_in(code: str) -> set[str]:
    """Every name that `matching` could find in a vehicle, for the hint after one it does not."""
    found: set[str] = set()
    for model in (
        models.Configuration,
        models.Instrument,
        models.Function,
        models.Node,
        models.Joint,
        models.Measurement,
        models.Approach,
    ):
        found.update(model.objects.filter(owner=code).values_list("slot", flat=True))
    found.update(models.Fact.objects.filter(owner=code).values_list("quantity", flat=True))
    for names in models.CheckReading.objects.filter(owner=code).values_list("of_check", "reading", "item"):
        found.update(filter(None, names))
    return found


def steps_of(code: str, tag: str) -> list[Step]:
    """Everything that happened to the rows in which a name stands, or once stood."""
    found: list[Step] = []
    for model, where in matching(tag):
        slots = set(model.objects.filter(where, owner=code).values_list("statement", "slot"))
        if slots:
            wanted = model.objects.filter(owner=code, slot__in={slot for _, slot in slots})
            found += [step for step in _steps(model, code, wanted) if (step.statement, step.slot) in slots]
    return sorted(found, key=lambda step: step.change)


def steps_after(code: str, after: int, until: int, *, added: bool = True) -> list[Step]:
    """Everything that happened to a vehicle after one change and up to another.

    Parameters
    ----------
    code : str
    after, until : int
        Ids of changes.
    added : bool
        Rows that were new, too.
    """
    found: list[Step] = []
    for model in models.TABLES:
        if model is models.Remarks:
            continue
        written = model.objects.filter(owner=code, change_id__gt=after, change_id__lte=until)
        if not added:
            written = written.filter(supersedes__isnull=False)
        former = model.objects.filter(owner=code, pk__in=written.values("supersedes_id"))
        noted = Vanished.objects.filter(
            owner=code, table=table(model), change_id__gt=after, change_id__lte=until
        ).values("version")
        seen = written | former | model.objects.filter(owner=code, pk__in=noted)
        found += [
            step
            for step in _steps(model, code, seen)
            if after < step.change <= until and (added or step.event != "added")
        ]
    return sorted(found, key=lambda step: step.change)


def _steps(model: type[Version], code: str, versions: Any) -> Iterator[Step]:
    """Steps of the versions given, each with the one it supersedes where that is among them."""
    kind = KIND_OF.get(model)
    names = columns(model)
    read = kind.reader(code, Quantities()) if kind is not None else None
    rows: dict[int, tuple[Any, ...]] = {}
    for row in versions.order_by("id").values_list(
        "pk", "supersedes_id", "change_id", "slot", "statement", "retired", *names
    ):
        rows[row[0]] = row
    records = {
        pk: read(row[3], row[6:]) if read is not None else dict(zip(names, row[6:], strict=True))
        for pk, row in rows.items()
    }
    for pk, (_, supersedes, change, slot, statement, retired, *_) in rows.items():
        before = None
        event = "added"
        if supersedes is not None:
            former = rows.get(supersedes)
            back = former is not None and former[5]
            before = None if back else records.get(supersedes)
            event = "retired" if retired else "added" if back else "superseded"
        yield Step(model, change, event, slot, statement, before, None if retired else records[pk])
    events = Vanished.objects.filter(owner=code, table=table(model)).order_by("id")
    for change, version, slot, statement, event in events.values_list(
        "change_id", "version", "slot", "statement", "event"
    ):
        if version in records:
            yield Step(model, change, event, slot, statement, records[version], records[version])


def listed(text: str) -> list[Any]:
    """Lines of a row that is kept together."""
    return list(json.loads(text))
