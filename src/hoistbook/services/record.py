"""Write into the record: load workbooks, retire rows, enter facts. Reading stands in `vehicles`, named here too."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from hoistbook.capture.faults import Fault, LoadRefused
from hoistbook.capture.read import read_teardown
from hoistbook.capture.tables import Limits
from hoistbook.core.vehicle.problem import closest
from hoistbook.core.vehicle.records import Fact, Teardown
from hoistbook.core.vehicle.validate import problems
from hoistbook.reference.taxonomy import taxonomy
from hoistbook.services.kept_files import Source, keep, sources_of
from hoistbook.services.vehicles import (
    SHEET_OF,
    Record,
    VanishedRow,
    VehicleLine,
    codes,
    known_code,
    open_record,
    state_of,
    statements,
    subject_of,
    teardown,
    vanished_row,
    vehicles,
    waiting_rows,
)
from hoistbook.store.changes.models import Change
from hoistbook.store.vehicles import models
from hoistbook.store.vehicles.mapping import KIND_OF, rows_of, statement
from hoistbook.store.vehicles.reading import WORKBOOK, Waiting, read_vehicle, waiting_of
from hoistbook.store.writing import Counts, discard, retire, state, writing

__all__ = [
    "SHEET_OF",
    "LoadOutcome",
    "Record",
    "VanishedRow",
    "VehicleLine",
    "codes",
    "enter_facts",
    "known_code",
    "load_workbook",
    "open_record",
    "retire_vanished",
    "state_of",
    "statements",
    "subject_of",
    "teardown",
    "vanished_row",
    "vehicles",
    "waiting_rows",
]

Progress = Callable[[int, int, str], None]


@dataclass(frozen=True, slots=True)
class LoadOutcome:
    """What a load came to.

    `change` is its id, None when the record held all of it already. `by_sheet` are the counts sheet by sheet. `files`
    are the names, hashes and sizes of what was kept.
    """

    code: str
    name: str
    change: int | None
    counts: Counts
    by_sheet: dict[str, Counts]
    vanished: tuple[VanishedRow, ...]
    files: tuple[Source, ...]
    reported: tuple[str, ...]

    def as_json(self) -> dict[str, Any]:
        """Counts and vanished rows, for scripts."""
        return {
            "vehicle": self.code,
            "change": self.change,
            **self.counts.as_json(),
            "by_sheet": {sheet: counts.as_json() for sheet, counts in self.by_sheet.items()},
            "vanished_rows": [
                {"sheet": row.sheet, "name": row.name, "statement": row.statement} for row in self.vanished
            ],
            "files": [{"name": f.name, "sha256": f.sha256, "size_bytes": f.size_bytes} for f in self.files],
            "reported": list(self.reported),
        }


def load_workbook(
    record: Record,
    path: Path | str,
    person: str,
    note: str = "",
    progress: Progress | None = None,
    *,
    retire_vanished: bool = False,
) -> LoadOutcome:
    """Bring a workbook, or a folder of its sheets as CSV, into the record: all of it or nothing.

    Parameters
    ----------
    record : Record
    path : Path or str
    person : str
        Who loads it.
    note : str
        Why.
    progress : callable, optional
        Called with rows done, rows in all, and what is being read.
    retire_vanished : bool
        Retire at once what an earlier load held and this one does not.

    Returns
    -------
    LoadOutcome
        A second load of the same content adds nothing and leaves no trace.

    Raises
    ------
    LoadRefused
        With every fault found.
    StoreRefused
        The file changed meanwhile, or somebody else is writing.
    """
    path = Path(path)
    files = sources_of(path, Limits().unpacked_bytes)
    stated = read_teardown(path, progress=progress)
    code = stated.vehicle.code
    kept = keep(record, path, files)
    with writing(person, "load", subject_of(code), note, file_name=path.name, file=kept.file) as change:
        known = _owner(record, code, change)
        if known:
            _check_root(stated)
        by_sheet: dict[str, Counts] = {}
        vanished: list[Waiting] = []
        for model, rows in statement(stated).items():
            counts = state(model, code, rows.rows, change, WORKBOOK, order=rows.order)
            gone = [Waiting(model, WORKBOOK, slot) for slot in counts.vanished_slots]
            if not retire_vanished:
                vanished += gone
            elif gone:
                retired = retire(model, code, counts.vanished_slots, change, WORKBOOK)
                counts = replace(counts, vanished=0, vanished_slots=(), retired=retired.retired)
            by_sheet[SHEET_OF[model]] = counts
        wrote = any(counts.wrote for counts in by_sheet.values())
        if vanished:
            _check_whole(
                code, "the rows that vanished still count; mend this, or retire them with --retire-vanished"
            )
        if not wrote and kept.came_before(change):
            discard(change)
            number = None
        else:
            kept.note()
            number = int(change.pk)
    del by_sheet["remarks"]  # sentences about the load, not rows of it
    return LoadOutcome(
        code,
        stated.vehicle.name,
        number,
        sum(by_sheet.values(), Counts()),
        {sheet: counts for sheet, counts in by_sheet.items() if counts != Counts()},
        tuple(vanished_row(one) for one in vanished),
        files,
        stated.reported,
    )


def _owner(record: Record, code: str, change: Change) -> bool:
    """Enter the vehicle if it is new; return whether it was there."""
    known = codes(record)
    if code in known:
        return True
    alike = [other for other in known if other.casefold() == code.casefold()]
    if alike:
        message = f"the record has this vehicle as {alike[0]!r}; write its code alike, or choose one that differs more."
        raise LoadRefused([Fault("vehicle", 2, "code", code, message)])
    models.Vehicle.objects.create(code=code, change=change)
    return False


def _check_root(stated: Teardown) -> None:
    """Refuse a part tree that starts from another root: it would be another vehicle under the same code."""
    code = stated.vehicle.code
    roots = list(models.Node.objects.current(owner=code, parent=None).values_list("slot", flat=True))
    now = [node.tag for node in stated.nodes if node.parent is None]
    if roots and now and not set(roots) & set(now):
        message = (
            f"in the record the part tree of {code} starts from {roots[0]!r}; if this is another vehicle give it a "
            "code of its own, otherwise keep the tag of the root."
        )
        raise LoadRefused([Fault("parts", 0, "tag", now[0], message)])


def _check_whole(code: str, advice: str) -> None:
    """Refuse a record in which rows contradict each other once everything that counts is taken together."""
    read = read_vehicle(code)
    if read is None:
        return
    faults = [
        Fault(problem.sheet, 0, problem.field, problem.value, f"{problem.key}: {problem.message} ({advice}.)")
        for problem in problems(read.teardown, taxonomy().codes)
    ]
    if faults:
        raise LoadRefused(faults)


def retire_vanished(
    record: Record, code: str, names: Sequence[str] | None, person: str, note: str = ""
) -> tuple[VanishedRow, ...]:
    """Retire rows that vanished: they no longer count and stay in the history.

    Parameters
    ----------
    record : Record
    code : str
    names : sequence of str or None
        As listed, "A12" or "parts/A12"; None for all of them.
    person, note : str
        Who says so, and why.

    Returns
    -------
    tuple of VanishedRow
        Those retired.

    Raises
    ------
    LookupError
        A name is not among the rows that wait, or stands for several.
    LoadRefused
        What is left would not hold together.
    """
    code = known_code(record, code)
    with writing(person, "retire", subject_of(code), note) as change:
        waiting = {one: vanished_row(one) for one in waiting_of(code)}
        chosen = list(waiting) if names is None else [_named(name, waiting, code) for name in names]
        if not chosen:
            discard(change)
            return ()
        for one in dict.fromkeys(chosen):
            retire(one.model, code, [one.slot], change, one.statement)
        _check_whole(code, "these rows are needed by others that count; correct those first")
    return tuple(waiting[one] for one in dict.fromkeys(chosen))


def _named(name: str, waiting: dict[Waiting, VanishedRow], code: str) -> Waiting:
    found = [one for one, row in waiting.items() if name in (row.name, row.place)]
    if len(found) == 1:
        return found[0]
    if found:
        places = ", ".join(waiting[one].place for one in found)
        msg = f"{code}: {name!r} stands for several rows that vanished ({places}); name one with its sheet."
        raise LookupError(msg)
    hint = closest(name, [row.name for row in waiting.values()]) if waiting else "none is waiting."
    msg = f"{code}: no row {name!r} waits to be retired; {hint}"
    raise LookupError(msg)


def enter_facts(
    record: Record,
    code: str,
    facts: Sequence[Fact],
    statement_name: str,
    person: str,
    note: str = "",
    file: Path | str | None = None,
) -> Counts:
    """Enter the facts of a test or a table beside those of the workbook.

    Parameters
    ----------
    record : Record
    code : str
    facts : sequence of Fact
        All facts of this statement; those it held before and does not hold now are retired.
    statement_name : str
        What they come from, "test coast-down 1"; entering the same name again supersedes.
    person, note : str
        Who says so, and why.
    file : Path or str, optional
        The log or table; it is kept.

    Returns
    -------
    Counts

    Raises
    ------
    LoadRefused
        The facts contradict the rest of the record.
    ValueError
        Two facts stand in one slot, or the name is that of the workbook.
    """
    code = known_code(record, code)
    if statement_name == WORKBOOK or not statement_name.strip():
        msg = f"facts cannot be entered as {statement_name!r}; name the test or table they come from."
        raise ValueError(msg)
    rows = rows_of(KIND_OF[models.Fact], facts)
    source = Path(file) if file is not None else None
    kept = keep(record, source, sources_of(source)) if source is not None else None
    name = source.name if source is not None else ""
    with writing(
        person, "enter facts", subject_of(code), note, kept.file if kept else None, file_name=name
    ) as change:
        counts = state(models.Fact, code, rows, change, statement_name)
        if counts.vanished:
            retired = retire(models.Fact, code, counts.vanished_slots, change, statement_name)
            counts = replace(counts, vanished=0, vanished_slots=(), retired=retired.retired)
        _check_whole(code, f"in the facts of {statement_name}, or where they meet the workbook")
        if not counts.wrote and (kept is None or kept.came_before(change)):
            discard(change)
        elif kept is not None:
            kept.note()
    return counts
