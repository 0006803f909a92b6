"""The vehicles of a store: which there are, what is recorded of each now or after any change, what waits."""

from __future__ import annotations

import json
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path

from hoistbook.capture.faults import counted
from hoistbook.core.vehicle.problem import closest
from hoistbook.core.vehicle.records import Teardown
from hoistbook.services.held import Held
from hoistbook.store.changes.models import Change
from hoistbook.store.place import Place, open_store, refusal
from hoistbook.store.problems import StoreRefused
from hoistbook.store.vehicles import models
from hoistbook.store.vehicles.mapping import KIND_OF
from hoistbook.store.vehicles.reading import (
    WORKBOOK,
    Read,
    Waiting,
    last_change,
    last_changes,
    read_vehicle,
    vanished_owners,
    waiting_of,
)
from hoistbook.store.versions import Version

Record = Place
_HELD: Held[Teardown] = Held(6)

SHEET_OF: dict[type[Version], str] = {
    **{model: kind.sheet for model, kind in KIND_OF.items()},
    models.ShareSet: "shares",
    models.OwnColumn: "own columns",
    models.Remarks: "remarks",
}


@dataclass(frozen=True, slots=True)
class VehicleLine:
    """One vehicle of a store. `change` is the last one that touched it, `waiting` its rows that await retiring."""

    code: str
    name: str
    maker: str
    change: int
    at: str
    person: str
    parts: int
    readings: int
    facts: int
    waiting: int


@dataclass(frozen=True, slots=True)
class VanishedRow:
    """A row the workbook no longer holds; it counts until it is retired. `name` is how `hoistbook retire` takes it."""

    sheet: str
    name: str
    statement: str

    @property
    def place(self) -> str:
        """Sheet and name in one."""
        return f"{self.sheet}/{self.name}"


def open_record(folder: Path | str, create: bool = False) -> Record:
    """Open a store; with `create`, make it where there is none.

    Raises
    ------
    StoreRefused
        There is none, or it cannot be used; the message says what to do.
    """
    return open_store(folder, create=create)


def said_of_store(error: Exception) -> str | None:
    """What an error of the database means for the person at the store; None where it is a slip of the program."""
    refused = refusal(error)
    return None if refused is None else str(refused)


def codes(record: Record) -> tuple[str, ...]:
    """Codes of the vehicles of a store."""
    return tuple(models.Vehicle.objects.order_by("code").values_list("code", flat=True))


def known_code(record: Record, wanted: str) -> str:
    """Code of a vehicle by its code or its name; upper and lower case do not matter where only one is meant.

    Raises
    ------
    LookupError
        There is no such vehicle, or several are meant; the message names close ones.
    """
    known = codes(record)
    if wanted in known:
        return wanted
    names = dict(models.Identity.objects.current().values_list("owner_id", "name"))
    folded = wanted.casefold()
    alike = [code for code in known if folded in (code.casefold(), names.get(code, "").casefold())]
    if len(alike) == 1:
        return alike[0]
    if alike:
        msg = f"{wanted!r} stands for the vehicles {', '.join(alike)} of {record.folder}; give one of these codes."
        raise LookupError(msg)
    if not known:
        msg = f"{record.folder} holds no vehicle yet; hoistbook load PATH --store {record.folder} brings one in."
        raise LookupError(msg)
    hint = closest(wanted, [*known, *filter(None, names.values())])
    msg = f"{record.folder} holds no vehicle {wanted!r}; {hint}"
    raise LookupError(msg)


def vehicles(record: Record) -> tuple[VehicleLine, ...]:
    """Every vehicle of a store with what it holds, in the order of the codes."""
    parts, readings, facts = (
        model.objects.count_by_owner() for model in (models.Node, models.Measurement, models.Fact)
    )
    known = {row["owner"]: row for row in models.Identity.objects.current().values("owner", "name", "maker")}
    last = last_changes(sorted(known))
    written = Change.objects.in_bulk(list(last.values()))
    with_vanished = vanished_owners()
    return tuple(
        VehicleLine(
            code,
            known[code]["name"],
            known[code]["maker"],
            change,
            written[change].at.isoformat(timespec="seconds"),
            written[change].person,
            parts.get(code, 0),
            readings.get(code, 0),
            facts.get(code, 0),
            len(waiting_of(code)) if code in with_vanished else 0,
        )
        for code, change in last.items()
    )


def state_of(record: Record, code: str, at: int | None = None) -> int:
    """Id of the last change that touched a vehicle: between two of them its figures cannot differ."""
    return last_change(code, at)


def vehicle_states(record: Record, codes: Sequence[str]) -> dict[str, int]:
    """The same of several vehicles of the store, asked for at once."""
    return last_changes(codes)


def teardown(record: Record, code: str, at: int | None = None) -> Teardown:
    """Everything recorded of a vehicle, as it stands or as it stood right after a change.

    Parameters
    ----------
    record : Record
    code : str
    at : int, optional
        Id of a change.

    Returns
    -------
    Teardown
        `reported` also names the rows that vanished from their workbook and still count; `replaced` the figures that
        later ones took the place of.

    Raises
    ------
    LookupError
        There is no such vehicle, or there was none at that time.
    """
    code = known_code(record, code)
    change = last_change(code, at)
    # The time of the change parts copies of a store that went different ways.
    stamp = Change.objects.filter(pk=change).values_list("at", flat=True).first()
    whole = _HELD.get((record.id, code, change, stamp), lambda: _whole(record, code, change))
    if whole is None:
        msg = f"{record.folder} held no vehicle {code!r} at change {at}; hoistbook history {code} lists its changes."
        raise LookupError(msg)
    return whole


def _whole(record: Record, code: str, change: int) -> Teardown | None:
    try:
        read = read_vehicle(code, change)
    except StoreRefused:
        raise
    except (ValueError, TypeError, LookupError) as error:
        # What was written passed these very checks, so it was changed since, or is written otherwise than it is read.
        msg = (
            f"{record.folder}: rows of vehicle {code!r} cannot be read back ({error}): something else wrote into the "
            "database, or it is damaged. Put the store back from a copy."
        )
        raise StoreRefused(msg) from error
    if read is None:
        return None
    return replace(read.teardown, reported=(*read.teardown.reported, *_reported(read)))


def _reported(read: Read) -> list[str]:
    told = []
    names: dict[tuple[str, str], list[str]] = {}
    for waiting in read.waiting:
        row = vanished_row(waiting)
        names.setdefault((row.sheet, row.statement), []).append(row.name)
    for (sheet, stated), gone in names.items():
        more = f" and {len(gone) - 5} more" if len(gone) > 5 else ""
        told.append(
            f"{sheet}: {counted(len(gone), 'row is', 'rows are')} no longer in the {stated} and still counted until "
            f"retired: {', '.join(gone[:5])}{more}."
        )
    return told


def vanished_row(waiting: Waiting) -> VanishedRow:
    """Say where a vanished row stood and what it was called there."""
    name = waiting.slot
    if name.startswith("["):  # a slot of several names
        with suppress(ValueError):
            name = " / ".join(str(part) for part in json.loads(name) if part)
    return VanishedRow(SHEET_OF[waiting.model], name, waiting.statement)


def subject_of(code: str) -> str:
    """What a change about a vehicle says it is about."""
    return f"vehicle {code}"


def waiting_rows(record: Record, code: str) -> tuple[VanishedRow, ...]:
    """Rows of a vehicle that vanished from their workbook and wait to be retired."""
    return tuple(vanished_row(waiting) for waiting in waiting_of(known_code(record, code)))


def statements(record: Record, code: str) -> tuple[str, ...]:
    """Names of what the facts of a vehicle come from: the workbook, tests, tables."""
    code = known_code(record, code)
    found = models.Fact.objects.current(owner=code).values_list("statement", flat=True).distinct()
    return tuple(sorted(found, key=lambda name: (name != WORKBOOK, name)))
