"""A study as its pages name it: the vehicles in their order, what counts as unlike, and where it stands frozen."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from hoistbook.core.compare.study import Study, StudyContent
from hoistbook.core.compare.study_problems import OpenPoint, open_points
from hoistbook.core.vehicle.records import Teardown
from hoistbook.reference.taxonomy import taxonomy
from hoistbook.services.outlines import vehicle_outlines
from hoistbook.services.study import known_study
from hoistbook.services.study_report import VersionState, resolved_content, version_state
from hoistbook.services.vehicles import Record
from hoistbook.store.changes.models import Change
from hoistbook.store.studies.reading import versions

NAMED_CHANGES = 3
"""project rule: changes since the last freeze that are named on every page; the study page lists all of them."""


@dataclass(frozen=True, slots=True)
class Member:
    """A vehicle of a study. `place` in the order of comparison, from 0, decides its mark on every page of the study."""

    code: str
    name: str
    place: int
    configuration: str
    role: str
    note: str
    there: bool


@dataclass(frozen=True, slots=True)
class StudyFront:
    """A study without anything that needs a mass book.

    Attributes
    ----------
    study : Study
    members : tuple of Member
        In the order of comparison.
    content : tuple of StudyContent
        The effective list, functions by their codes.
    functions : mapping of str to str
        Names of the functions by code.
    open_points : tuple of OpenPoint
    state : VersionState
    change, at, person : int, str, str
        Of the last change of the study or of what is frozen of it.
    changes : int
    outlines : mapping of vehicle code to Teardown
        What was read of the vehicles that are there: functions, content, configurations.
    """

    study: Study
    members: tuple[Member, ...]
    content: tuple[StudyContent, ...]
    functions: Mapping[str, str]
    open_points: tuple[OpenPoint, ...]
    state: VersionState
    change: int
    at: str
    person: str
    changes: int
    outlines: Mapping[str, Teardown]

    @property
    def code(self) -> str:
        """Code of the study."""
        return self.study.code

    @property
    def title(self) -> str:
        """Title, or the code where there is none."""
        return self.study.title or self.study.code

    def member(self, code: str) -> Member | None:
        """Return the vehicle of a code; None where it is not in the study."""
        return next((one for one in self.members if one.code == code), None)

    def is_there(self, code: str) -> bool:
        """Whether the vehicle of a code is in the study and in the store."""
        return any(one.there for one in self.members if one.code == code)


def study_front(record: Record, code: str) -> StudyFront:
    """Read a study and, of its vehicles, no more than decides what is frozen.

    Parameters
    ----------
    record : Record
    code : str

    Returns
    -------
    StudyFront

    Raises
    ------
    LookupError
        There is no such study; the message names close ones.
    """
    study = known_study(record, code)
    outlines = vehicle_outlines(study.codes)
    content = resolved_content(study, outlines)
    written = list(
        Change.objects.filter(subject=f"study {code}")
        .exclude(kind="claims")
        .order_by("pk")
        .values_list("pk", "at", "person")
    )
    change, at, person = written[-1]
    return StudyFront(
        study,
        _members(study, outlines),
        content,
        {
            function.code: function.name or function.code
            for outline in reversed(list(outlines.values()))
            for function in outline.functions
        },
        open_points(study, content, outlines, taxonomy()),
        version_state(study, content, versions(code)),
        change,
        at.isoformat(timespec="minutes"),
        person,
        len(written),
        outlines,
    )


def _members(study: Study, outlines: Mapping[str, Teardown]) -> tuple[Member, ...]:
    found = []
    for place, row in enumerate(study.vehicles):
        outline = outlines.get(row.vehicle)
        known = () if outline is None else outline.configurations
        chosen = row.configuration or (known[0].id if len(known) == 1 else "")
        name = row.vehicle if outline is None else outline.vehicle.name or row.vehicle
        found.append(Member(row.vehicle, name, place, chosen, row.role, row.note, outline is not None))
    return tuple(found)


def standing_sentence(state: VersionState) -> str:
    """Where a study stands, in the one sentence that every page of it carries.

    Examples
    --------
    >>> standing_sentence(VersionState((), ()))
    'Draft, not frozen'
    """
    last = state.last
    if last is None:
        return "Draft, not frozen"
    if not state.changed:
        return f"Frozen as version {last.number} on {last.at[:10]}"
    told = [str(one) for one in state.changed[:NAMED_CHANGES]]
    more = len(state.changed) - len(told)
    told += [f"and {more} more"] if more else []
    return f"Frozen as version {last.number}; changed since: {'; '.join(told)}"
