"""Facts of a vehicle with their origin, the ones they took the place of, and its instruments."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from hoistbook.core.quantities.instruments import Instrument
from hoistbook.core.vehicle.records import Fact
from hoistbook.services.pages.standing import Standing, standing
from hoistbook.services.vehicles import Record
from hoistbook.store.changes.models import Change
from hoistbook.store.vehicles import models
from hoistbook.store.vehicles.mapping import KIND_OF, Quantities
from hoistbook.store.vehicles.reading import WORKBOOK
from hoistbook.store.versions import columns

SET_ASIDE = "set aside: "
"""What the reason of a row begins with whose place a later one took."""


@dataclass(frozen=True, slots=True)
class FactRow:
    """A fact. `statement` is empty for the workbook; `why` says why a row no longer counts, empty where it does."""

    fact: Fact
    statement: str
    at: str
    person: str
    why: str = ""


def facts_of(record: Record, code: str, configuration: str) -> tuple[FactRow, ...]:
    """Facts of a configuration in the order of the workbook, below each what it took the place of.

    Notes
    -----
    Of two facts in one slot the one entered later counts, as in the engines.
    """
    rows = [row for row in standing(models.Fact, code) if row.record.configuration == configuration]
    by_slot: dict[str, list[Standing]] = defaultdict(list)
    for row in rows:
        by_slot[row.slot].append(row)
    former = _superseded(code)
    written = _written(
        {row.change for row in rows} | {change for one in former.values() for change, _, _, _ in one}
    )
    found = []
    for slot, group in by_slot.items():
        # The first of equals stays, as it does where the engines read.
        counts = max(group, key=lambda row: row.change)
        found.append(_row(counts.record, counts.statement, written[counts.change]))
        for row in group:
            if row is not counts:
                why = f"{SET_ASIDE}{counts.statement} was entered later"
                found.append(_row(row.record, row.statement, written[row.change], why))
        for change, later, statement, fact in former.get(slot, ()):
            why = f"superseded {written[later][0][:10]}"
            found.append(_row(fact, statement, written[change], why))
    return tuple(found)


def _row(fact: Fact, statement: str, written: tuple[str, str], why: str = "") -> FactRow:
    return FactRow(fact, "" if statement == WORKBOOK else statement, *written, why)


def _superseded(code: str) -> dict[str, list[tuple[int, int, str, Fact]]]:
    """Former facts by slot, latest first: the change that wrote each, the one that superseded it, statement, fact."""
    read = KIND_OF[models.Fact].reader(code, Quantities())
    rows = models.Fact.objects.filter(owner=code, superseded_by__isnull=False, retired=False).order_by("-id")
    found: dict[str, list[tuple[int, int, str, Fact]]] = defaultdict(list)
    names = columns(models.Fact)
    for slot, statement, change, later, *values in rows.values_list(
        "slot", "statement", "change_id", "superseded_by__change_id", *names
    ):
        found[slot].append((change, later, statement, read(slot, values)))
    return found


def _written(changes: set[int]) -> dict[int, tuple[str, str]]:
    return {
        pk: (at.isoformat(timespec="minutes"), person)
        for pk, at, person in Change.objects.filter(pk__in=changes).values_list("pk", "at", "person")
    }


def instruments_of(record: Record, code: str) -> tuple[Instrument, ...]:
    """Instruments as the statement of this vehicle describes them."""
    return tuple(row.record for row in standing(models.Instrument, code))
