"""Studies in a store: load and show them, freeze them, and work out the gap under what was frozen."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from hoistbook.capture.faults import Fault, LoadRefused
from hoistbook.capture.read_study import read_study
from hoistbook.capture.tables import Limits
from hoistbook.core.compare.study import FrozenVersion, Study, to_freeze, with_content
from hoistbook.core.compare.study_problems import open_points, problems
from hoistbook.core.compare.study_settings import Settings, check_duty, settings
from hoistbook.core.energy.defaults import EnergyDefaults
from hoistbook.core.vehicle.problem import closest
from hoistbook.core.vehicle.records import Teardown
from hoistbook.reference.taxonomy import taxonomy
from hoistbook.services import DEFAULT_DRAWS, DEFAULT_SEED
from hoistbook.services.gap import GapReport, gap_report
from hoistbook.services.gap_draws import Told, unheard
from hoistbook.services.kept_files import Source, keep, sources_of
from hoistbook.services.outlines import outlines_of
from hoistbook.services.record import Record, teardown
from hoistbook.services.study_coverage import stored_coverage
from hoistbook.services.study_report import (
    StudyReport,
    VersionState,
    resolved_content,
    study_report,
    version_state,
)
from hoistbook.store.studies.mapping import slot_words
from hoistbook.store.studies.reading import (
    add_version,
    retire_rows,
    state_study,
    stored_study,
    study_codes,
    vanished_slots,
    versions,
)
from hoistbook.store.writing import Counts, discard, writing

Progress = Callable[[int, int, str], None]
USUAL_QUANTITY, USUAL_DUTY = "range", "wltc3b"


@dataclass(frozen=True, slots=True)
class StudyLoad:
    """What a load came to. `change` is None when the record held all of it; `vanished` rows count until retired."""

    code: str
    title: str
    change: int | None
    counts: Counts
    vanished: tuple[str, ...]
    files: tuple[Source, ...]
    reported: tuple[str, ...]
    state: VersionState

    def as_json(self) -> dict[str, Any]:
        """Counts and vanished rows, for scripts."""
        return {
            "study": self.code,
            "change": self.change,
            **self.counts.as_json(),
            "vanished_rows": list(self.vanished),
            "version": list(self.state.sentences),
            "files": [{"name": f.name, "sha256": f.sha256, "size_bytes": f.size_bytes} for f in self.files],
            "reported": list(self.reported),
        }


def load_study(
    record: Record,
    path: Path | str,
    person: str,
    note: str = "",
    progress: Progress | None = None,
    *,
    retire_vanished: bool = False,
) -> StudyLoad:
    """Bring a study workbook into the record: all of it or nothing.

    Parameters
    ----------
    record : Record
    path : Path or str
    person, note : str
        Who loads it, and why.
    progress : callable, optional
    retire_vanished : bool
        Retire at once what an earlier load held and this one does not.

    Returns
    -------
    StudyLoad
        A second load of the same content adds nothing and leaves no trace.

    Raises
    ------
    LoadRefused
        With every fault found; also when what is new does not fit the rows that vanished and still count.
    """
    path = Path(path)
    files = sources_of(path, Limits().unpacked_bytes)
    stated = read_study(path, progress=progress)
    kept = keep(record, path, files)
    with writing(person, "load", f"study {stated.code}", note, file_name=path.name, file=kept.file) as change:
        counts = state_study(stated, change)
        vanished = vanished_slots(stated.code)
        if retire_vanished and vanished:
            counts += retire_rows(stated.code, vanished, change)
        elif vanished:
            _check_whole(stated.code)
        if not counts.wrote and kept.came_before(change):
            discard(change)
            number = None
        else:
            kept.note()
            number = int(change.pk)
    return StudyLoad(
        stated.code,
        stated.title,
        number,
        counts,
        () if retire_vanished else tuple(slot_words(slot) for slot in vanished),
        files,
        stated.reported,
        state_of_study(record, stated.code),
    )


def _check_whole(code: str) -> None:
    """Refuse a study whose new rows contradict rows that vanished and still count."""
    whole = stored_study(code)
    found = [] if whole is None else problems(whole)
    if found:
        advice = "rows that vanished still count; mend this, or retire them with --retire-vanished"
        raise LoadRefused(
            Fault(p.sheet, 0, p.field, p.value, f"{p.key}: {p.message} ({advice}.)".removeprefix(": "))
            for p in found
        )


def known_study(record: Record, code: str) -> Study:
    """Return a study of the store.

    Raises
    ------
    LookupError
        There is no such study; the message names close ones.
    """
    found = stored_study(code)
    if found is None:
        known = study_codes()
        if not known:
            msg = f"{record.folder} holds no study yet; hoistbook load FILE --store {record.folder} brings one in."
            raise LookupError(msg)
        msg = f"{record.folder} holds no study {code!r}; {closest(code, known)}"
        raise LookupError(msg)
    return found


def state_of_study(record: Record, code: str) -> VersionState:
    """Where a study stands: its frozen versions and what has changed since."""
    study = known_study(record, code)
    return version_state(study, resolved_content(study, outlines_of(study)), versions(code))


def report_of(record: Record, code: str, progress: Progress | None = None) -> StudyReport:
    """A study of the store joined with its vehicles; what takes mass books is kept."""
    study = known_study(record, code)
    there = outlines_of(study)
    return study_report(study, there, versions(code), stored_coverage(record, study, there, progress))


def freeze(record: Record, code: str, person: str, note: str = "") -> FrozenVersion | None:
    """Freeze a study as it stands with its vehicles: question, vehicles, equality, content, assumptions.

    Parameters
    ----------
    record : Record
    code : str
    person, note : str
        Who freezes it, and why.

    Returns
    -------
    FrozenVersion or None
        The new version with its differences from the one before; None when nothing changed since.

    Raises
    ------
    ValueError
        Something stands in the way; every point is named.
    LookupError
        There is no such study.
    """
    if not person.strip():
        msg = "nobody is named: say who freezes the study with --person NAME."
        raise ValueError(msg)
    with writing(person, "freeze", f"study {code}", note) as change:
        # Read inside the change, so that nothing can be loaded between looking and freezing.
        study = known_study(record, code)
        there = outlines_of(study)
        content = resolved_content(study, there)
        blocking = [str(point) for point in open_points(study, content, there, taxonomy()) if point.blocks]
        if blocking:
            msg = f"study {code} cannot be frozen yet: {'; '.join(blocking)}"
            raise ValueError(msg)
        state = version_state(study, content, versions(code))
        if state.last is not None and not state.changed:
            discard(change)
            return None
        frozen, found = to_freeze(study, content), state.changed
        number = add_version(code, frozen, found, change)
    return next(version for version in versions(code) if version.number == number)


@dataclass(frozen=True, slots=True)
class StudyGap:
    """A gap under a study: the report, the version it was made under, and what every print of it says."""

    report: GapReport
    vehicles: tuple[Teardown, Teardown]
    study: str
    title: str
    question: str
    version: int
    state: VersionState
    settings: Settings

    @property
    def under(self) -> str:
        """Study and version in short, as a drawing carries it."""
        after = [version.number - 1 for version in self.state.versions if version.differences]
        after += [self.version] if self.state.changed else []
        changed = f" (changed after version {', '.join(map(str, after))} was frozen)" if after else ""
        return f"study {self.study} version {self.version}{changed}"

    def as_json(self) -> dict[str, Any]:
        """What a script needs of the study beside the gap."""
        return {
            "code": self.study,
            "question": self.question,
            "version": self.version,
            "state": list(self.state.sentences),
            "changed": [str(one) for one in self.state.changed],
            "sure_enough_frac": self.settings.sure_enough_frac,
        }


def gap_under(
    record: Record,
    code: str,
    *,
    to: str | None = None,
    quantity: str | None = None,
    duty: str | None = None,
    merge: bool = True,
    defaults: EnergyDefaults | None = None,
    at: Mapping[str, int] | None = None,
    told: Told = unheard,
) -> StudyGap:
    """Reconcile the gap of a study under its last frozen version.

    Parameters
    ----------
    record : Record
    code : str
    to : str, optional
        The vehicle to go to; the second one when left out. The gap starts at the first.
    quantity, duty : str, optional
        Ask of the same vehicles what the study did not fix; its own when left out.
    merge : bool
        Merge causes that cannot be told apart.
    defaults : EnergyDefaults, optional
        What is taken for figures nobody stated.
    at : mapping of vehicle code to int, optional
        The change after which a vehicle is looked at; as it stands where none is given.
    told : callable
        Called with words before each step that takes long.

    Returns
    -------
    StudyGap

    Raises
    ------
    ValueError
        The study is not frozen.
    LookupError
        There is no such study, no such vehicle in it, or no duty of that name.

    Notes
    -----
    Vehicles, configurations, content and assumptions are those of the frozen version, also when the study has changed
    since: what was fixed before results holds until it is frozen anew. Measurements are those of today.
    """
    study = known_study(record, code)
    state = state_of_study(record, code)
    last = state.last
    if last is None:
        msg = (
            f"study {code} is not frozen, so no gap is worked out under it: question, vehicles, equality, content and "
            f"assumptions are fixed before results. hoistbook freeze {code} --store {record.folder} --person NAME "
            f"does it."
        )
        raise ValueError(msg)
    frozen = last.frozen
    rows = {row.vehicle: row for row in frozen.vehicles}
    x_code, y_code = frozen.codes[0], to or frozen.codes[1]
    if y_code not in rows or y_code == x_code:
        others = frozen.codes[1:]
        msg = f"study {code} has no vehicle {y_code!r} to go to from {x_code}; {closest(y_code, others)}"
        raise LookupError(msg)
    states = at or {}
    x, y = (with_content(teardown(record, one, states.get(one)), frozen.content) for one in (x_code, y_code))
    chosen = settings(frozen.assumptions)
    wanted, driven = quantity or chosen.quantity or USUAL_QUANTITY, duty or chosen.duty or USUAL_DUTY
    if wanted != "mass":
        check_duty(driven)
    report = gap_report(
        x,
        y,
        quantity=wanted,
        duty=driven,
        n_draws=chosen.n_draws or DEFAULT_DRAWS,
        seed=DEFAULT_SEED if chosen.seed is None else chosen.seed,
        merge=merge,
        configuration_x=rows[x_code].configuration or None,
        configuration_y=rows[y_code].configuration or None,
        defaults=defaults,
        told=told,
    )
    return StudyGap(report, (x, y), code, study.title, frozen.question, last.number, state, chosen)
