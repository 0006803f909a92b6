"""Read a vehicle back out of the record, as it stands or as it stood after any change."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from django.db import connection

from hoistbook.core.quantities.quantity import Origin
from hoistbook.core.vehicle.records import Fact, Replaced, Teardown
from hoistbook.store.changes.models import Change, Order, Vanished
from hoistbook.store.trials.models import TrialRun
from hoistbook.store.vehicles import models
from hoistbook.store.vehicles.mapping import KINDS, Kind, Quantities, ordered, own_cells, shares_of
from hoistbook.store.versions import Version, columns, table
from hoistbook.store.writing import order_of, vanished_versions

WORKBOOK = "workbook"
"""Name of the statement that a teardown workbook is."""

TEST = "test "
"""What the statement of a test's facts begins with; its name follows."""


@dataclass(frozen=True, slots=True)
class Waiting:
    """A row that vanished from its statement and counts until it is retired."""

    model: type[Version]
    statement: str
    slot: str


@dataclass(frozen=True, slots=True)
class Read:
    """A vehicle as the record has it. `change` is the last one that touched it."""

    teardown: Teardown
    change: int
    waiting: tuple[Waiting, ...]


def last_change(code: str, at: int | None = None) -> int:
    """Id of the last change that touched anything of a vehicle, up to a change; 0 where there is none.

    Notes
    -----
    With the code it names a state of the vehicle: between two changes nothing can differ.
    """
    return last_changes([code], at)[code]


def last_changes(codes: Sequence[str], at: int | None = None) -> dict[str, int]:
    """The same of several vehicles, asked for at once."""
    if not codes:
        return {}
    # A number is written into the statement, texts are handed over.
    until = "" if at is None else f" AND change_id <= {int(at)}"
    places = [(model._meta.db_table, "owner_id", "") for model in models.TABLES]
    kind = connection.ops.quote_name("table")
    places += [
        (noted._meta.db_table, "owner", f" AND {kind} LIKE 'vehicles.%%'") for noted in (Order, Vanished)
    ]
    # One look into an index for each vehicle and table: to group whole tables by vehicle would walk all their rows.
    parts = [
        f"SELECT v.code, (SELECT MAX(t.change_id) FROM {name} t WHERE t.{owner} = v.code{further}{until}) AS c "
        f"FROM {models.Vehicle._meta.db_table} v WHERE v.code IN ({', '.join(['%s'] * len(codes))})"
        for name, owner, further in places
    ]
    with connection.cursor() as cursor:
        cursor.execute(
            f"SELECT code, MAX(c) FROM ({' UNION ALL '.join(parts)}) AS touched GROUP BY code",
            [*codes] * len(parts),
        )
        found = dict(cursor.fetchall())
    return {code: int(found.get(code) or 0) for code in codes}


def read_vehicle(code: str, at: int | None = None) -> Read | None:
    """Read everything recorded of a vehicle.

    Parameters
    ----------
    code : str
    at : int, optional
        As it stood right after this change; as it stands now when left out.

    Returns
    -------
    Read or None
        None where there was no such vehicle.

    Notes
    -----
    All tables are read as of one change, so a load that ends meanwhile is in all of them or in none.
    """
    change = last_change(code, at)
    quantities = Quantities()
    held: dict[str, Any] = {}
    for kind in KINDS:
        found = _records(kind, code, change, quantities)
        if kind.held_in == "facts":
            held["facts"], replaced = _facts(found)
            held["replaced"] = _dated(replaced, code, change)
        else:
            held[kind.held_in] = tuple(record for _, _, record in found)
    if not held["vehicle"]:
        return None
    held["vehicle"] = held["vehicle"][0]
    held["instruments"] = MappingProxyType({one.id: one for one in held["instruments"]})
    held["shares"] = shares_of(*_together(models.ShareSet, code, change))
    held["kept"] = own_cells(*_together(models.OwnColumn, code, change))
    sentences, _ = _together(models.Remarks, code, change)
    held["reported"] = tuple(line for (text,) in sentences.values() for line in json.loads(text))
    return Read(Teardown(**held), change, waiting_of(code, change))


def vanished_owners() -> set[str]:
    """Codes of the vehicles of which any row ever vanished."""
    return set(
        Vanished.objects.filter(table__startswith="vehicles.").values_list("owner", flat=True).distinct()
    )


def waiting_of(code: str, at: int | None = None) -> tuple[Waiting, ...]:
    """Rows that vanished from their statement and still count."""
    kinds = Vanished.objects.filter(owner=code).values_list("table", "statement").distinct()
    wanted = set(kinds)
    return tuple(
        Waiting(model, statement, slot)
        for model in models.TABLES
        for name, statement in sorted(wanted)
        if name == table(model)
        for slot in vanished_versions(model, code, statement, at).values()
    )


def _records(kind: Kind, code: str, change: int, quantities: Quantities) -> list[tuple[str, int, Any]]:
    """Statement, change and record of every row that counts, statement by statement in its own order."""
    by_statement: dict[str, dict[str, tuple[int, Sequence[Any]]]] = defaultdict(dict)
    rows = kind.model.objects.at(change, owner=code).order_by("id")
    for statement, slot, entered, *values in rows.values_list(
        "statement", "slot", "change_id", *columns(kind.model)
    ):
        by_statement[statement][slot] = (entered, values)
    read = kind.reader(code, quantities)
    return [
        (statement, found[slot][0], read(slot, found[slot][1]))
        for statement, found in sorted(by_statement.items(), key=lambda item: (item[0] != WORKBOOK, item[0]))
        for slot in ordered(found, order_of(kind.model, code, statement, change))
    ]


@dataclass(frozen=True, slots=True)
class _Stated:
    """A fact, the statement it is in, and the change that entered it."""

    statement: str
    entered: int
    fact: Fact


def _facts(
    found: list[tuple[str, int, Fact]],
) -> tuple[tuple[Fact, ...], list[tuple[_Stated, _Stated]]]:
    """Of facts with one slot the one entered last counts; pairs of what was replaced and what took its place.

    Notes
    -----
    A figure measured in another statement takes the place of published, inferred and assumed ones, too: these stay
    among the facts, and every engine takes the measured one before them.
    """
    by_slot: dict[tuple[object, ...], _Stated] = {}
    pairs = []
    for statement, entered, fact in found:
        slot = (*_same_figure(fact), fact.value.origin)
        stated = _Stated(statement, entered, fact)
        former = by_slot.get(slot)
        if former is None:
            by_slot[slot] = stated
            continue
        later, earlier = (former, stated) if entered < former.entered else (stated, former)
        by_slot[slot] = later
        pairs.append((earlier, later))
    measured = {
        _same_figure(one.fact): one for one in by_slot.values() if one.fact.value.origin is Origin.MEASURED
    }
    for one in by_slot.values():
        better = measured.get(_same_figure(one.fact))
        if better is not None and better is not one and better.statement != one.statement:
            pairs.append((one, better))
    return tuple(one.fact for one in by_slot.values()), pairs


def _same_figure(fact: Fact) -> tuple[object, ...]:
    return (fact.configuration, fact.quantity, fact.mass_state, fact.duty, fact.basis)


def _dated(pairs: list[tuple[_Stated, _Stated]], code: str, change: int) -> tuple[Replaced, ...]:
    """Replaced figures with the day on which the later one was taken, and the day it was entered."""
    if not pairs:
        return ()
    entered = dict(
        Change.objects.filter(pk__in={later.entered for _, later in pairs}).values_list("pk", "at")
    )
    tests = TrialRun.objects.at(change, owner=code).values_list("slot", "at")
    taken = {f"{TEST}{slot}": at for slot, at in tests}
    return tuple(
        Replaced(
            was.fact,
            was.statement,
            now.fact,
            now.statement,
            taken.get(now.statement, ""),
            entered[now.entered].date().isoformat(),
        )
        for was, now in pairs
    )


def _together(model: type[Version], code: str, change: int) -> tuple[dict[str, Sequence[Any]], list[str]]:
    """Rows of a table whose lines are kept together, and the order of the lines."""
    rows = model.objects.at(change, owner=code, statement=WORKBOOK).order_by("id")
    found = {slot: values for slot, *values in rows.values_list("slot", *columns(model))}
    return found, order_of(model, code, WORKBOOK, change)
