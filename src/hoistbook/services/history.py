"""Who changed what in the record, when, and from what evidence, in the words of the trade."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from hoistbook.core.vehicle.problem import closest
from hoistbook.services.record import SHEET_OF, Record, known_code, subject_of
from hoistbook.services.wording import NOTHING, differences, record_words, value_of_record
from hoistbook.store.vehicles import models
from hoistbook.store.vehicles.past import Act, Step, acts, listed, names_in, steps_after, steps_of


@dataclass(frozen=True, slots=True)
class Line:
    """What happened to one row. `fields` holds heading, old value and new value of what differs."""

    event: str
    sheet: str
    name: str
    words: str
    statement: str
    fields: tuple[tuple[str, str, str], ...]
    evidence: str

    def as_json(self) -> dict[str, Any]:
        """The same, for scripts."""
        return {
            "event": self.event,
            "sheet": self.sheet,
            "name": self.name,
            "words": self.words,
            "statement": self.statement,
            "evidence": self.evidence,
            "fields": [{"field": field, "old": old, "new": new} for field, old, new in self.fields],
        }


@dataclass(frozen=True, slots=True)
class Entry:
    """One change with the rows asked for. `counts` are those of the whole change, by sheet."""

    change: int
    at: str
    person: str
    kind: str
    note: str
    file_name: str
    sha256: str
    program_version: str
    counts: dict[str, dict[str, int]]
    lines: tuple[Line, ...]

    def as_json(self) -> dict[str, Any]:
        """The same, for scripts."""
        return {
            "change": self.change,
            "at": self.at,
            "person": self.person,
            "kind": self.kind,
            "note": self.note,
            "file": self.file_name,
            "sha256": self.sha256,
            "hoistbook": self.program_version,
            "counts": self.counts,
            "lines": [line.as_json() for line in self.lines],
        }


def history(record: Record, code: str, tag: str | None = None) -> tuple[Entry, ...]:
    """What happened to a vehicle, or to one name in it, change by change.

    Parameters
    ----------
    record : Record
    code : str
    tag : str, optional
        Tag of a part, id of a reading, quantity of a fact, approach, function, joint or instrument. Left out, every
        change of the vehicle is listed with its counts and with the rows it superseded, retired or lost; rows that
        were new are counted only.

    Returns
    -------
    tuple of Entry
        Oldest first.

    Raises
    ------
    LookupError
        Unknown vehicle, or nothing in it has this name; the message lists the closest ones.
    """
    code = known_code(record, code)
    if tag is None:
        known = acts(subject=subject_of(code))
        steps = steps_after(code, 0, max(known, default=0), added=False)
    else:
        steps = steps_of(code, tag)
        if not steps:
            msg = f"{code}: nothing in the record is called {tag!r}; {closest(tag, names_in(code))}"
            raise LookupError(msg)
        known = acts([step.change for step in steps])
    lines: dict[int, list[Line]] = {change: [] for change in known}
    for step in steps:
        lines[step.change].append(line_of(step))
    return tuple(_entry(act, lines[change]) for change, act in known.items())


def line_of(step: Step) -> Line:
    """Say what happened to a row."""
    sheet = SHEET_OF[step.model]
    shown = step.after if step.after is not None else step.before
    if isinstance(shown, dict):
        name, words, fields = _kept_together(step, shown)
    else:
        name, words = _name(step.slot), record_words(shown)
        fields = _fields(step)
    return Line(step.event, sheet, name, words, step.statement, fields, _evidence(shown))


def _evidence(shown: Any) -> str:
    """What a row rests on: its evidence, the instrument, who read it and when."""
    told = [str(getattr(shown, name, "") or "") for name in ("evidence", "instrument", "person", "at")]
    return ", ".join(filter(None, told))


def _name(slot: str) -> str:
    if slot.startswith("[") and slot.endswith("]"):
        return " / ".join(str(part) for part in listed(slot) if part)
    return slot


def _fields(step: Step) -> tuple[tuple[str, str, str], ...]:
    if step.event == "superseded":
        return differences(step.before, step.after)
    shown = step.after if step.after is not None else step.before
    # A choice that a check asks for has an option in place of a figure.
    field = "option" if getattr(shown, "option", "") else "value"
    value = getattr(shown, field, None)
    if value is None:
        return ()
    words = value_of_record(value, shown)
    if step.event == "added":
        return ((field, NOTHING, words),)
    return ((field, words, NOTHING),) if step.event == "retired" else ((field, words, words),)


def _kept_together(step: Step, shown: dict[str, Any]) -> tuple[str, str, tuple[tuple[str, str, str], ...]]:
    if step.model is models.ShareSet:
        fields = (("shares", _shares(step.before), _shares(step.after)),)
        return step.slot, f"shares of part {step.slot}", fields
    name = f"{shown['sheet']} / {shown['column']}"
    counts = [
        f"{len(listed(one['cells']))} cells" if one is not None else NOTHING
        for one in (step.before, step.after)
    ]
    return name, f"own column {shown['column']} of {shown['sheet']}", (("cells", counts[0], counts[1]),)


def _shares(row: dict[str, Any] | None) -> str:
    if row is None:
        return NOTHING
    return "; ".join(f"{approach} {100.0 * part:.6g} %" for approach, part in listed(row["shares"]))


def _entry(act: Act, lines: list[Line]) -> Entry:
    by_table = {model._meta.label: sheet for model, sheet in SHEET_OF.items() if sheet != "remarks"}
    counts = {by_table[name]: found for name, found in act.counts.items() if name in by_table}
    return Entry(
        act.id,
        act.at,
        act.person,
        act.kind,
        act.note,
        act.file_name,
        act.sha256,
        act.program_version,
        counts,
        tuple(lines),
    )


def changed_between(record: Record, code: str, after: int, until: int) -> tuple[Line, ...]:
    """Rows of a vehicle that differ between two of its states, each taken from the first to the last.

    Notes
    -----
    A row corrected twice is one line, from what it was to what it became; one that came and went again is none.
    """
    chains: dict[tuple[object, str, str], list[Step]] = {}
    for step in steps_after(code, after, until):
        if step.event in ("added", "superseded", "retired"):
            chains.setdefault((step.model, step.statement, step.slot), []).append(step)
    lines = []
    for chain in chains.values():
        first, last = chain[0], chain[-1]
        if first.before is None and last.after is None:
            continue
        if first.before == last.after:
            continue
        event = "added" if first.before is None else "retired" if last.after is None else "superseded"
        lines.append(line_of(replace(last, event=event, before=first.before, after=last.after)))
    return tuple(lines)
