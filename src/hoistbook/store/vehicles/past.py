"""Versions of rows, and the words they can be found by."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
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


def steps_in(code: str, change: int, first: int, most: int) -> tuple[list[Step], int]:
    """Rows that one change superseded, retired, lost or brought back, some of them, and how many there are.

    Parameters
    ----------
    code : str
    change : int
    first, most : int
        From which on, counted from 0, and how many are read.

    Notes
    -----
    In the order of the sheets. Rows outside the piece are counted, not read, however many a change wrote.
    """
    found: list[Step] = []
    before = 0
    for model in models.TABLES:
        if model is models.Remarks:
            continue
        written = model.objects.filter(
            Q(retired=True) | Q(supersedes__retired=False),
            owner=code,
            change_id=change,
            supersedes__isnull=False,
        ).order_by("id")
        noted = Vanished.objects.filter(owner=code, table=table(model), change_id=change).order_by("id")
        for rows in (written, noted):
            count = rows.count()
            low, high = max(first - before, 0), min(first + most - before, count)
            before += count
            if low >= high:
                continue
            if rows is written:
                piece = dict(rows.values_list("pk", "supersedes_id")[low:high])
                seen = model.objects.filter(pk__in=[*piece, *piece.values()])
                found += [step for pk, step in _written(model, _rows(model, code, seen)) if pk in piece]
            else:
                events = list(rows.values_list(*_EVENT)[low:high])
                seen = model.objects.filter(pk__in=[event[1] for event in events])
                found += _noted(model, _rows(model, code, seen), events)
    return found, before


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


@dataclass(frozen=True, slots=True)
class _Row:
    """A version as it was written, with what it states: a record, or plain columns of rows kept together."""

    supersedes: int | None
    change: int
    slot: str
    statement: str
    retired: bool
    states: Any


_EVENT = ("change_id", "version", "slot", "statement", "event")


def _steps(model: type[Version], code: str, versions: Any) -> Iterator[Step]:
    """Steps of the versions given, each with the one it supersedes where that is among them."""
    rows = _rows(model, code, versions)
    for _, step in _written(model, rows):
        yield step
    events = Vanished.objects.filter(owner=code, table=table(model)).order_by("id")
    yield from _noted(model, rows, events.values_list(*_EVENT))


def _rows(model: type[Version], code: str, versions: Any) -> dict[int, _Row]:
    """Versions by their id."""
    kind = KIND_OF.get(model)
    names = columns(model)
    read = kind.reader(code, Quantities()) if kind is not None else None
    found = {}
    for pk, supersedes, change, slot, statement, retired, *values in versions.order_by("id").values_list(
        "pk", "supersedes_id", "change_id", "slot", "statement", "retired", *names
    ):
        states = read(slot, values) if read is not None else dict(zip(names, values, strict=True))
        found[pk] = _Row(supersedes, change, slot, statement, retired, states)
    return found


def _written(model: type[Version], rows: Mapping[int, _Row]) -> Iterator[tuple[int, Step]]:
    """What each version did, by its id."""
    for pk, row in rows.items():
        before = None
        event = "added"
        if row.supersedes is not None:
            former = rows.get(row.supersedes)
            back = former is not None and former.retired
            before = None if back or former is None else former.states
            event = "retired" if row.retired else "added" if back else "superseded"
        after = None if row.retired else row.states
        yield pk, Step(model, row.change, event, row.slot, row.statement, before, after)


def _noted(
    model: type[Version], rows: Mapping[int, _Row], events: Iterable[tuple[int, int, str, str, str]]
) -> Iterator[Step]:
    """Which of the versions were lost or found again."""
    for change, version, slot, statement, event in events:
        if version in rows:
            states = rows[version].states
            yield Step(model, change, event, slot, statement, states, states)


def listed(text: str) -> list[Any]:
    """Lines of a row that is kept together."""
    return list(json.loads(text))
