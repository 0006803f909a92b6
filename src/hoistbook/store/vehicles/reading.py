"""Read a vehicle back out of the record, as it stands or as it stood after any change."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from django.db import connection

from hoistbook.core.vehicle.records import Fact, Teardown
from hoistbook.store.changes.models import Order, Vanished
from hoistbook.store.vehicles import models
from hoistbook.store.vehicles.mapping import KINDS, Kind, Quantities, ordered, own_cells, shares_of
from hoistbook.store.versions import Version, columns, table
from hoistbook.store.writing import order_of, vanished_versions

WORKBOOK = "workbook"
"""Name of the statement that a teardown workbook is."""


@dataclass(frozen=True, slots=True)
class TwiceStated:
    """Two statements have a fact for one slot: `counts` was entered later, `other` is set aside."""

    counts: Fact
    counts_from: str
    other: Fact
    other_from: str


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
    twice: tuple[TwiceStated, ...]
    waiting: tuple[Waiting, ...]


def last_change(code: str, at: int | None = None) -> int:
    """Id of the last change that touched anything of a vehicle, up to a change; 0 where there is none.

    Notes
    -----
    With the code it names a state of the vehicle: between two changes nothing can differ.
    """
    parts, given = [], []
    # A number is written into the statement, texts are handed over.
    until = "" if at is None else f" AND change_id <= {int(at)}"
    for model in models.TABLES:
        parts.append(f"SELECT MAX(change_id) AS c FROM {model._meta.db_table} WHERE owner_id = %s{until}")
        given.append(code)
    for noted in (Order, Vanished):
        parts.append(
            f"SELECT MAX(change_id) AS c FROM {noted._meta.db_table} "
            f"WHERE owner = %s AND {connection.ops.quote_name('table')} LIKE 'vehicles.%%'{until}"
        )
        given.append(code)
    with connection.cursor() as cursor:
        cursor.execute(f"SELECT MAX(c) FROM ({' UNION ALL '.join(parts)}) AS touched", given)
        return int(cursor.fetchone()[0] or 0)


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
    twice: list[TwiceStated] = []
    for kind in KINDS:
        found = _records(kind, code, change, quantities)
        if kind.held_in == "facts":
            held["facts"], twice = _facts(found)
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
    return Read(Teardown(**held), change, tuple(twice), waiting_of(code, change))


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


def _facts(found: list[tuple[str, int, Fact]]) -> tuple[tuple[Fact, ...], list[TwiceStated]]:
    """Of facts with one slot the one entered last counts."""
    by_slot: dict[tuple[object, ...], tuple[str, int, Fact]] = {}
    twice = []
    for statement, entered, fact in found:
        slot = (fact.configuration, fact.quantity, fact.mass_state, fact.duty, fact.basis, fact.value.origin)
        former = by_slot.get(slot)
        if former is None:
            by_slot[slot] = (statement, entered, fact)
            continue
        later, earlier = (statement, entered, fact), former
        if entered < former[1]:
            later, earlier = earlier, later
        by_slot[slot] = later
        twice.append(TwiceStated(later[2], later[0], earlier[2], earlier[0]))
    return tuple(fact for _, _, fact in by_slot.values()), twice


def _together(model: type[Version], code: str, change: int) -> tuple[dict[str, Sequence[Any]], list[str]]:
    """Rows of a table whose lines are kept together, and the order of the lines."""
    rows = model.objects.at(change, owner=code, statement=WORKBOOK).order_by("id")
    found = {slot: values for slot, *values in rows.values_list("slot", *columns(model))}
    return found, order_of(model, code, WORKBOOK, change)
