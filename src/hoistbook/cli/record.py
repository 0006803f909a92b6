"""hoistbook load, retire, history, results, check: what goes into a store, what happened in it, is it whole."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from hoistbook.cli.options import AsJson, NeededStore

if TYPE_CHECKING:
    from hoistbook.services.record import VanishedRow

Person = Annotated[
    str | None,
    typer.Option(metavar="NAME", help="Who says so; the name you are logged in under when left out."),
]
Note = Annotated[str, typer.Option(metavar="TEXT", help="Why; kept with the change.")]
VehicleCode = Annotated[
    str, typer.Argument(metavar="VEHICLE", help="Code or name of a vehicle of the store.")
]


def load(
    path: Annotated[
        Path,
        typer.Argument(
            metavar="PATH",
            help="Workbook (.xlsx) of a torn-down vehicle or of a study, or a folder of its sheets as CSV.",
        ),
    ],
    store: NeededStore,
    person: Person = None,
    note: Note = "",
    retire_vanished: Annotated[
        bool,
        typer.Option(
            "--retire-vanished",
            help="Retire at once the rows an earlier load held and this one does not; otherwise they still count.",
        ),
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Load a workbook into a store, all of it or nothing.

    A store that is not there yet is made. Loading the same again adds nothing; a corrected workbook supersedes only
    what changed, and everything stays in the history.
    """
    from hoistbook.cli.as_json import print_json
    from hoistbook.cli.page import Page
    from hoistbook.cli.progress import reading
    from hoistbook.cli.record_page import print_load
    from hoistbook.services.load import load as load_any
    from hoistbook.services.load import login_name
    from hoistbook.services.record import open_record

    if not path.exists():
        msg = f"{path}: there is no such file or folder."
        raise ValueError(msg)
    record = open_record(store, create=True)
    with reading(path) as advance:
        outcome = load_any(
            record, path, person or login_name(), note, advance, retire_vanished=retire_vanished
        )
    if as_json:
        print_json(outcome.as_json())
    else:
        print_load(Page(sys.stdout), record, outcome)


def retire(
    vehicle: VehicleCode,
    store: NeededStore,
    names: Annotated[
        list[str] | None,
        typer.Argument(metavar="[ROW]...", help="Rows to retire, as listed: A12, or parts/A12."),
    ] = None,
    everything: Annotated[bool, typer.Option("--all", help="Retire every row that waits.")] = False,
    person: Person = None,
    note: Note = "",
    as_json: AsJson = False,
) -> None:
    """Retire rows that vanished from a workbook.

    Rows that a later load no longer holds still count until somebody retires them here; without names they are listed.
    Retired rows stay in the history.
    """
    from hoistbook.cli.as_json import print_json
    from hoistbook.cli.page import Page
    from hoistbook.cli.record_page import print_retired
    from hoistbook.services.load import login_name
    from hoistbook.services.record import known_code, open_record, retire_vanished, waiting_rows

    if everything and names:
        msg = "--all retires every row that waits; leave the names out, or leave --all out."
        raise ValueError(msg)
    record = open_record(store)
    code = known_code(record, vehicle)
    retired: tuple[VanishedRow, ...] = ()
    if everything or names:
        retired = retire_vanished(record, code, None if everything else names, person or login_name(), note)
    waiting = waiting_rows(record, code)
    if as_json:
        listed = [
            [{"sheet": row.sheet, "name": row.name, "statement": row.statement} for row in rows]
            for rows in (retired, waiting)
        ]
        print_json({"vehicle": code, "retired": listed[0], "waiting": listed[1]})
    else:
        print_retired(Page(sys.stdout), record, code, retired, waiting)


def history(
    vehicle: VehicleCode,
    store: NeededStore,
    tag: Annotated[
        str | None,
        typer.Argument(
            metavar="[TAG]",
            help="Tag of a part, id of a reading, quantity of a fact, approach, function, joint or instrument.",
        ),
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Show who changed what, when, and why.

    Each change stands with the file it came from, each row with what it rests on, its old value and its new one.
    Without a tag every change of the vehicle is listed; rows that were new are counted only.
    """
    from hoistbook.cli.as_json import print_json
    from hoistbook.cli.page import Page
    from hoistbook.cli.record_page import print_history
    from hoistbook.services.history import history as history_of
    from hoistbook.services.record import known_code, open_record

    record = open_record(store)
    code = known_code(record, vehicle)
    entries = history_of(record, code, tag)
    if as_json:
        print_json({"vehicle": code, "tag": tag, "changes": [entry.as_json() for entry in entries]})
    else:
        print_history(Page(sys.stdout), code, tag, entries)


def results(
    store: NeededStore,
    vehicles: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="[VEHICLE]...", help="Only results of this vehicle, or of the gap between these two."
        ),
    ] = None,
    show: Annotated[
        str | None, typer.Option(metavar="ID", help="Print a kept result as JSON, as it was then.")
    ] = None,
    explain: Annotated[
        str | None, typer.Option(metavar="ID", help="Say why a kept result differs from today's.")
    ] = None,
    everything: Annotated[
        bool, typer.Option("--all", help="List what pages put by to open at once, too.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Show kept results, and what changed since.

    Commands that answer about vehicles of a store keep what they work out. The first eight digits of an id are enough.
    """
    from hoistbook.cli.as_json import print_json
    from hoistbook.cli.page import Page
    from hoistbook.cli.progress import working
    from hoistbook.cli.record_page import print_explained, print_results
    from hoistbook.services.explained import explained_change
    from hoistbook.services.kept import ANSWERS, result, results_of
    from hoistbook.services.record import open_record

    if show is not None and explain is not None:
        msg = "give --show or --explain, not both."
        raise ValueError(msg)
    record = open_record(store)
    if show is not None:
        print_json(result(record, show).as_json())
        return
    if explain is not None:
        old = result(record, explain)
        with working(f"working out {old.subject} anew"):
            explained = explained_change(record, old)
        if as_json:
            print_json(explained.as_json())
        else:
            print_explained(Page(sys.stdout), explained)
        return
    found = results_of(record, vehicles or ())
    listed = [one for one in found if everything or one.kind in ANSWERS]
    left_out = len(found) - len(listed)
    if as_json:
        told = [one.as_json(with_value=False) for one in listed]
        print_json({"results": told, "left_out": left_out})
    else:
        print_results(Page(sys.stdout), listed, left_out)


def verify(store: NeededStore, as_json: AsJson = False) -> int:
    """Look a store over: database, chains of versions, kept files.

    What is wrong is listed with what to do about it, and the exit code is then 2. Nothing is changed.
    """
    from hoistbook.capture.faults import Fault
    from hoistbook.cli.as_json import print_json
    from hoistbook.cli.outcome import DONE, REFUSED
    from hoistbook.cli.page import Page
    from hoistbook.cli.progress import working
    from hoistbook.cli.record_page import print_soundness
    from hoistbook.services.record import open_record
    from hoistbook.services.soundness import soundness

    record = open_record(store)
    with working(f"looking over {record.folder}"):
        found = soundness(record)
    if as_json:
        # As every command gives its faults.
        faults = [Fault("", 0, "--store", str(record.folder), text).to_dict() for text in found.faults]
        print_json({**found.as_json(), "faults": faults})
    else:
        print_soundness(Page(sys.stdout), record, found)
    return REFUSED if found.faults else DONE
