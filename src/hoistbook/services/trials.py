"""Tests of the intact vehicle in the record: kept with their log, and entered as facts of the vehicle."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from hoistbook.capture.channel_map import as_mapping
from hoistbook.capture.logs import LogRead
from hoistbook.core.quantities.quantity import Origin
from hoistbook.core.trials.outcome import Outcome
from hoistbook.core.vehicle.records import Fact, Teardown
from hoistbook.services.as_json.trials import log_json, outcome_json
from hoistbook.services.kept_files import keep, sources_of
from hoistbook.services.loading import chosen_configuration
from hoistbook.services.pages.heads import head
from hoistbook.services.record import Record, enter_facts, known_code, subject_of
from hoistbook.services.trial_times import overlapping, span_of
from hoistbook.store.trials.models import TrialRun
from hoistbook.store.vehicles.reading import TEST
from hoistbook.store.writing import Counts, discard, state, writing

STATEMENT = "tests"
"""Whole that the tests of a vehicle are lines of; one test never makes another vanish."""


@dataclass(frozen=True, slots=True)
class Trial:
    """One test as it is kept.

    Attributes
    ----------
    name, kind, configuration, at, person, file_name, file_sha256, note : str
        `at` is when it was driven, as written down; `person` who entered it.
    change : int
        Of the version that counts.
    channels : dict
        The channel map that was used; empty where no log was read.
    outcome : dict
        As `as_json.trials.outcome_json` made it; `logs` holds how every log was read, `left_out` which figures are no
        facts and why. Tests recorded by an earlier program lack both.
    """

    name: str
    kind: str
    configuration: str
    at: str
    person: str
    file_name: str
    file_sha256: str
    note: str
    change: int
    channels: dict[str, Any]
    outcome: dict[str, Any]


@dataclass(frozen=True, slots=True)
class Recorded:
    """What recording a test came to: counts of its facts, and the figures that are no facts with the reason.

    `remarks` names tests of the vehicle that overlap it in time.
    """

    trial: Counts
    facts: Counts
    entered: tuple[Fact, ...]
    left_out: tuple[str, ...]
    remarks: tuple[str, ...] = ()


def facts_of(
    outcome: Outcome, configuration: str, evidence: str, note: str = ""
) -> tuple[list[Fact], list[str]]:
    """Facts that a test states, and why the other figures of a fact's kind are left out.

    Parameters
    ----------
    outcome : Outcome
    configuration : str
    evidence : str
        Log and test they come from.
    note : str

    Notes
    -----
    A figure that rests on an assumption is never entered: it would pass for more than it is.
    """
    facts, left_out = [], []
    for figure in outcome.figures:
        if not figure.fact:
            continue
        if figure.value.origin is Origin.ASSUMED:
            left_out.append(f"{figure.words}: it rests on an assumption")
            continue
        said = "; ".join(filter(None, (figure.words, figure.note, note)))
        facts.append(
            Fact(
                configuration,
                figure.fact,
                figure.value,
                mass_state=figure.mass_state,
                duty=figure.duty,
                evidence=evidence,
                note=said,
            )
        )
    return facts, left_out


def record_trial(
    record: Record,
    code: str,
    outcome: Outcome,
    *,
    name: str,
    person: str,
    configuration: str | None = None,
    at: str = "",
    file: Path | str | None = None,
    log: LogRead | None = None,
    more: Sequence[tuple[Path, LogRead | None]] = (),
    note: str = "",
) -> Recorded:
    """Keep a test with its log and enter its figures as facts, all in one change or none.

    Parameters
    ----------
    record : Record
    code : str
        Of the vehicle.
    outcome : Outcome
    name : str
        Of the test, e.g. "charge 1"; the same name again supersedes.
    person : str
        Who enters it.
    configuration : str, optional
        Needed where the vehicle has several.
    at : str
        When it was driven, as written down.
    file : Path or str, optional
        The log; it is kept.
    log : LogRead, optional
        How it was read.
    more : sequence of (Path, LogRead or None)
        Further files of the same test; they are kept, too.
    note : str

    Raises
    ------
    LookupError
        No such vehicle or configuration.
    LoadRefused
        The facts contradict the rest of the record; nothing is written then.
    ValueError
        The test has no name.
    """
    if not name.strip():
        msg = "the test has no name; give one, e.g. 'charge 1': the same name again supersedes it."
        raise ValueError(msg)
    code = known_code(record, code)
    # A test is recorded of a vehicle of 10,000 parts as quickly as of an empty one: its parts are not read.
    described = head(record, code)
    stated = Teardown(described.vehicle, described.configurations)
    chosen = chosen_configuration(stated, configuration).id
    source = None if file is None else Path(file)
    names = [] if source is None else [source.name, *(path.name for path, _ in more)]
    evidence = ", ".join([f"test {name}", *(f"log {one}" for one in names)])
    facts, left_out = facts_of(outcome, chosen, evidence, note)
    sources = () if source is None else sources_of(source)
    kept = None if source is None else keep(record, source, sources)
    sha256 = sources[0].sha256 if sources else ""
    further = [
        (keep(record, path, found), found, read) for path, read in more for found in [sources_of(path)]
    ]
    for hashed, read in ((sources, log), *((found, read) for _, found, read in further)):
        if read is not None and read.sha256 != (hashed[0].sha256 if hashed else ""):
            msg = (
                f"{read.series.name} was changed since it was read; save it, close it, and evaluate it again."
            )
            raise ValueError(msg)
    row = {
        "configuration": chosen,
        "kind": outcome.kind,
        "at": at,
        "file_name": "" if source is None else source.name,
        "file_sha256": sha256,
        "channels": "" if log is None else _text(as_mapping(log.channels)),
        "outcome": _text(
            {
                **outcome_json(outcome),
                "logs": [log_json(read) for read in (log, *(read for _, read in more)) if read is not None],
                "left_out": left_out,
            }
        ),
        "note": note,
    }
    with writing(
        person,
        "record test",
        subject_of(code),
        note,
        kept.file if kept else None,
        file_name=row["file_name"],
    ) as change:
        for one in (kept, *(held for held, _, _ in further)):
            if one is not None:
                one.note()
        counts = state(TrialRun, code, {name: row}, change, STATEMENT, whole=False)
        entered = enter_facts(record, code, facts, f"{TEST}{name}", person, note, source)
        if not (counts.wrote or entered.wrote):
            discard(change)
    spans = (span_of(one.name, one.at, one.outcome) for one in trials(record, code))
    remarks = overlapping((span for span in spans if span is not None), name)
    return Recorded(counts, entered, tuple(facts), tuple(left_out), remarks)


def trials(record: Record, code: str) -> tuple[Trial, ...]:
    """Tests of a vehicle that count, in the order in which they were recorded."""
    rows = (
        TrialRun.objects.current(owner=known_code(record, code))
        .select_related("change")
        .order_by("change_id", "slot")
    )
    return tuple(
        Trial(
            row.slot,
            row.kind,
            row.configuration,
            row.at,
            row.change.person,
            row.file_name,
            row.file_sha256,
            row.note,
            int(row.change_id),
            json.loads(row.channels) if row.channels else {},
            json.loads(row.outcome),
        )
        for row in rows
    )


def _text(data: dict[str, Any]) -> str:
    return json.dumps(data, ensure_ascii=False, sort_keys=True, allow_nan=False)
