"""Write into the record: one change at a time, whole or not at all, and only what differs."""

from __future__ import annotations

import json
from collections.abc import Collection, Iterator, Mapping, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from django.db import OperationalError, connection, transaction
from django.db.models import Max

from hoistbook import __version__
from hoistbook.store.changes.models import Change, File, Order, Outcome, Vanished
from hoistbook.store.place import LOCK, WAIT_S, is_locked, said
from hoistbook.store.problems import Busy, StoreRefused
from hoistbook.store.versions import Version, columns, table

Row = Mapping[str, Any]
_LARGEST_WHOLE = 2**63 - 1


@dataclass(frozen=True, slots=True)
class Counts:
    """How many rows a statement added, superseded, left as they were, and no longer holds (`vanished_slots`).

    `vanished` counts every row that waits to be retired, also those that vanished from an earlier statement already.
    """

    added: int = 0
    superseded: int = 0
    unchanged: int = 0
    vanished: int = 0
    returned: int = 0
    retired: int = 0
    vanished_slots: tuple[str, ...] = ()
    noted: int = 0

    def __add__(self, other: Counts) -> Counts:
        """Add up the counts of two kinds of rows."""
        return Counts(
            self.added + other.added,
            self.superseded + other.superseded,
            self.unchanged + other.unchanged,
            self.vanished + other.vanished,
            self.returned + other.returned,
            self.retired + other.retired,
            (*self.vanished_slots, *other.vanished_slots),
            self.noted + other.noted,
        )

    @property
    def wrote(self) -> bool:
        """Whether anything at all was written."""
        return bool(self.added or self.superseded or self.retired or self.returned or self.noted)

    def as_json(self) -> dict[str, int]:
        """The numbers."""
        return {
            name: getattr(self, name)
            for name in ("added", "superseded", "unchanged", "vanished", "returned", "retired")
        }


@contextmanager
def writing(
    person: str,
    kind: str,
    subject: str,
    note: str = "",
    file: File | None = None,
    *,
    file_name: str = "",
    wait_s: float = WAIT_S,
) -> Iterator[Change]:
    """Write everything inside as one change, or nothing of it.

    Parameters
    ----------
    person : str
        Who says so.
    kind : str
        What is done: load, retire, enter facts, …
    subject : str
        What it is about: "vehicle WHIMBREL", "study vans".
    note : str
        Why.
    file : File, optional
        What it comes from.
    file_name : str
        Name the file had this time.
    wait_s : float
        How long to wait for somebody else who is writing. [s]

    Yields
    ------
    Change
        `discard(change)` ends the block without a trace.

    Raises
    ------
    Busy
        Somebody else is still writing after that time.
    StoreRefused
        The database cannot be written: the disk is full, the server is gone, …
    """
    for what, text in (("person", person), ("note", note), ("file name", file_name)):
        _check_text(what, text)
    with ExitStack() as stack:
        stack.enter_context(said())
        try:
            _set_wait(wait_s)
            stack.enter_context(transaction.atomic())
            if connection.vendor == "postgresql":
                with connection.cursor() as cursor:
                    cursor.execute(f"SET LOCAL lock_timeout = {round(1000 * wait_s)}")
                    cursor.execute("SELECT pg_advisory_xact_lock(%s)", [LOCK])
        except OperationalError as error:
            if not is_locked(error):
                raise
            msg = (
                f"somebody else is writing into this store and did not finish within {wait_s:g} s; "
                "nothing was written, try again when they are done."
            )
            raise Busy(msg) from error
        change = Change.objects.create(
            at=datetime.now(UTC),
            person=person,
            kind=kind,
            subject=subject,
            note=note,
            file=file,
            file_name=file_name,
            program_version=__version__,
        )
        change.outcome_counts = {}
        yield change
        if change.outcome_counts is None:
            transaction.set_rollback(True)
        elif change.outcome_counts:
            Outcome.objects.create(
                change=change, counts={name: c.as_json() for name, c in change.outcome_counts.items()}
            )


def discard(change: Change) -> None:
    """Let the change leave no trace."""
    change.outcome_counts = None


def _set_wait(wait_s: float) -> None:
    if connection.vendor == "sqlite":
        with connection.cursor() as cursor:
            cursor.execute(f"PRAGMA busy_timeout = {round(1000 * wait_s)}")


def state(
    model: type[Version],
    owner: str,
    rows: Mapping[str, Row],
    change: Change,
    statement: str,
    *,
    order: Sequence[str] | None = None,
    whole: bool = True,
) -> Counts:
    """Bring a statement into the record: add what is new, supersede what differs, leave the rest alone.

    Parameters
    ----------
    model : type of Version
    owner : str
        Key of what the rows belong to.
    rows : mapping of slot to row
        Each row has a value for every column of the model (`versions.columns`), in the order of the statement.
    change : Change
        Of the `writing` block this stands in.
    statement : str
        Which whole these rows are.
    order : sequence of str, optional
        What to keep as their order; the slots when left out.
    whole : bool
        The rows are all there are in the statement, so that others have vanished from it. They keep counting until
        `retire`. False for a statement that only adds.

    Returns
    -------
    Counts

    Raises
    ------
    StoreRefused
        A text or number that a database cannot hold.
    """
    names = columns(model)
    heads = {
        slot: (pk, retired, values)
        for pk, slot, retired, *values in model.objects.heads(owner=owner, statement=statement).values_list(
            "pk", "slot", "retired", *names
        )
    }
    pending = vanished_versions(model, owner, statement)
    fresh: list[Version] = []
    events: list[tuple[str, int, str]] = []
    added = superseded = unchanged = 0
    for slot, row in rows.items():
        values = [row[name] for name in names]
        head = heads.get(slot)
        if head is not None and head[0] in pending:
            events.append((slot, head[0], "returned"))
        if head is not None and not head[1] and head[2] == values:
            unchanged += 1
            continue
        _check(model, slot, names, values)
        if head is None or head[1]:
            added += 1
        else:
            superseded += 1
        fresh.append(_version(model, owner, slot, statement, change, row, names, head[0] if head else None))
    returned = len(events)
    gone = (
        [(slot, head[0]) for slot, head in heads.items() if not head[1] and slot not in rows] if whole else []
    )
    events += [(slot, pk, "vanished") for slot, pk in gone if pk not in pending]
    model.objects.bulk_create(fresh)
    _note_events(model, owner, statement, change, events)
    noted = len(events) - returned
    if whole:
        noted += _note_order(
            model, owner, statement, change, list(order if order is not None else rows), heads
        )
    counts = Counts(
        added, superseded, unchanged, len(gone), returned, 0, tuple(slot for slot, _ in gone), noted
    )
    _count(change, model, counts)
    return counts


def retire(model: type[Version], owner: str, slots: Sequence[str], change: Change, statement: str) -> Counts:
    """End slots: their rows no longer count, and stay readable.

    Raises
    ------
    StoreRefused
        A slot holds no row that counts.
    """
    names = columns(model)
    rows = {
        row["slot"]: row
        for row in model.objects.current(owner=owner, statement=statement).values("pk", "slot", *names)
    }
    fresh = []
    for slot in dict.fromkeys(slots):
        if slot not in rows:
            msg = f"{owner}: nothing that counts stands under {slot!r}, so it cannot be retired."
            raise StoreRefused(msg)
        row = rows[slot]
        fresh.append(_version(model, owner, slot, statement, change, row, names, row["pk"], retired=True))
    model.objects.bulk_create(fresh)
    counts = Counts(retired=len(fresh))
    _count(change, model, counts)
    return counts


def vanished_versions(
    model: type[Version], owner: str, statement: str | None = None, at: int | None = None
) -> dict[int, str]:
    """Rows that vanished from their statement and wait to be retired: version id and slot.

    Parameters
    ----------
    model : type of Version
    owner : str
    statement : str, optional
        Of one statement only.
    at : int, optional
        As of this change.
    """
    events = Vanished.objects.filter(owner=owner, table=table(model))
    if statement is not None:
        events = events.filter(statement=statement)
    if at is not None:
        events = events.filter(change_id__lte=at)
    last = {
        version: (event, slot)
        for version, event, slot in events.order_by("id").values_list("version", "event", "slot")
    }
    waiting = {version: slot for version, (event, slot) in last.items() if event == "vanished"}
    if not waiting:
        return {}
    counting = model.objects.current(owner=owner) if at is None else model.objects.at(at, owner=owner)
    if statement is not None:
        counting = counting.filter(statement=statement)
    there = set(counting.values_list("pk", flat=True))
    return {version: slot for version, slot in waiting.items() if version in there}


def order_of(model: type[Version], owner: str, statement: str, at: int | None = None) -> list[str]:
    """Slots in the order in which a statement lists them."""
    orders = Order.objects.filter(owner=owner, table=table(model), statement=statement)
    if at is not None:
        orders = orders.filter(change_id__lte=at)
    slots = orders.order_by("-id").values_list("slots", flat=True).first()
    return [] if slots is None else list(json.loads(slots))


def orders_of(model: type[Version], places: Collection[tuple[str, str]]) -> dict[tuple[str, str], list[str]]:
    """The same of several owners and statements, asked for at once."""
    if not places:
        return {}
    owners, statements = ({place[at] for place in places} for at in (0, 1))
    orders = Order.objects.filter(table=table(model), owner__in=owners, statement__in=statements)
    last = orders.values("owner", "statement").annotate(last=Max("id")).values("last")
    rows = Order.objects.filter(pk__in=last).values_list("owner", "statement", "slots")
    found = {(owner, statement): list(json.loads(slots)) for owner, statement, slots in rows}
    return {place: found.get(place, []) for place in places}


def _version(
    model: type[Version],
    owner: str,
    slot: str,
    statement: str,
    change: Change,
    row: Row,
    names: Sequence[str],
    supersedes: int | None,
    *,
    retired: bool = False,
) -> Version:
    return model(
        owner_id=owner,
        slot=slot,
        statement=statement,
        change=change,
        supersedes_id=supersedes,
        retired=retired,
        **{name: row[name] for name in names},
    )


def _note_events(
    model: type[Version], owner: str, statement: str, change: Change, events: Sequence[tuple[str, int, str]]
) -> None:
    Vanished.objects.bulk_create(
        Vanished(
            change=change,
            table=table(model),
            owner=owner,
            statement=statement,
            slot=slot,
            version=version,
            event=event,
        )
        for slot, version, event in events
    )


def _note_order(
    model: type[Version],
    owner: str,
    statement: str,
    change: Change,
    order: list[str],
    heads: Mapping[str, tuple[int, bool, list[Any]]],
) -> int:
    """Keep the order of a statement where it differs from the one kept; vanished rows stay behind their neighbours."""
    stated = set(order)
    former = [
        slot
        for slot in order_of(model, owner, statement)
        if slot in stated or (slot in heads and not heads[slot][1])
    ]
    after: dict[str, list[str]] = {}
    neighbour = ""
    for slot in former:
        if slot in stated:
            neighbour = slot
        else:
            after.setdefault(neighbour, []).append(slot)
    merged = [*after.get("", ())]
    for slot in order:
        merged.append(slot)
        merged += after.get(slot, ())
    if merged == former:
        return 0
    Order.objects.create(
        change=change,
        table=table(model),
        owner=owner,
        statement=statement,
        slots=json.dumps(merged, ensure_ascii=False, separators=(",", ":")),
    )
    return 1


def _count(change: Change, model: type[Version], counts: Counts) -> None:
    if change.outcome_counts is not None and (counts.wrote or counts.vanished or counts.unchanged):
        kind = table(model)
        change.outcome_counts[kind] = change.outcome_counts.get(kind, Counts()) + counts


def _check(model: type[Version], slot: str, names: Sequence[str], values: Sequence[Any]) -> None:
    """Refuse what only one of the databases would take."""
    _check_text("slot", slot)
    for name, value in zip(names, values, strict=True):
        if isinstance(value, str):
            _check_text(f"{model._meta.verbose_name} {slot}: {name}", value)
        elif type(value) is int and not -_LARGEST_WHOLE <= value <= _LARGEST_WHOLE:
            msg = f"{model._meta.verbose_name} {slot}: {name} = {value} is too large to be kept; check the number."
            raise StoreRefused(msg)


def _check_text(what: str, text: str) -> None:
    if "\0" in text or (not text.isascii() and any("\ud800" <= sign <= "\udfff" for sign in text)):
        msg = f"{what} holds a character that is none (NUL or half of a pair): {text!r}; retype it."
        raise StoreRefused(msg)
