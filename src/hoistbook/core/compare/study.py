"""The records of a study: what is asked of which vehicles, under which rules, and what is frozen before results."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import combinations

from hoistbook.core.compare.claims import Claim
from hoistbook.core.compare.strip_plan import StripStep
from hoistbook.core.vehicle.records import ContentItem, Kept, Teardown


class FindingKind(StrEnum):
    """What was found of a function besides a difference."""

    SAME = "same"
    CARRIED_OVER = "carried over"


class StatedIn(StrEnum):
    """Whose content sheet a row of the effective list comes from."""

    STUDY = "the study"
    VEHICLE = "the vehicle's own workbook"


@dataclass(frozen=True, slots=True)
class StudyVehicle:
    """One vehicle of a study. `configuration` may be empty where the vehicle has only one; `role` is free text."""

    vehicle: str
    configuration: str = ""
    role: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class EqualityRow:
    """One property of one vehicle in the table that shows that the vehicles do the same job.

    `value` is kept as typed (a number or words). `equal` says whether the vehicle equals the first one in it; None
    where nobody judged it, as for the first vehicle itself.
    """

    property: str
    vehicle: str
    value: str = ""
    unit: str = ""
    equal: bool | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class StudyContent:
    """One row of unlike content of one vehicle, and whose sheet it comes from."""

    vehicle: str
    item: ContentItem
    stated_in: StatedIn = StatedIn.STUDY


@dataclass(frozen=True, slots=True)
class StudyAssumption:
    """One assumption as typed. `study_settings.KNOWN` lists those that steer figures; the others are recorded."""

    name: str
    value: str
    source: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Finding:
    """A function that was looked at without finding a difference.

    same: compared between `vehicles` and found equal within bands. carried over: `vehicles` took it over from
    `taken_from`, their sister. `function` is a function code or a system of the taxonomy; a system speaks of those of
    its parts that serve no function of their own in the comparison.
    """

    function: str
    kind: FindingKind
    vehicles: tuple[str, ...]
    taken_from: str = ""
    compared: str = ""
    person: str = ""
    at: str = ""
    evidence: str = ""
    note: str = ""

    @property
    def speaks_of(self) -> frozenset[str]:
        """Every vehicle the finding makes equal to the others."""
        return frozenset((*self.vehicles, *((self.taken_from,) if self.taken_from else ())))

    def covers(self, x: str, y: str) -> bool:
        """Whether the finding says that these two vehicles are equal in the function."""
        return x != y and {x, y} <= self.speaks_of


@dataclass(frozen=True, slots=True)
class Study:
    """Everything a study workbook holds.

    The order of `vehicles` is the order of comparison: the gap starts at the first. `reported` says what was met on
    loading and set aside, `kept` holds the cells of the user's own columns.
    """

    code: str
    title: str
    question: str
    owner: str = ""
    note: str = ""
    vehicles: tuple[StudyVehicle, ...] = ()
    equality: tuple[EqualityRow, ...] = ()
    content: tuple[StudyContent, ...] = ()
    assumptions: tuple[StudyAssumption, ...] = ()
    findings: tuple[Finding, ...] = ()
    strip_plan: tuple[StripStep, ...] = ()
    claims: tuple[Claim, ...] = ()
    reported: tuple[str, ...] = ()
    kept: tuple[Kept, ...] = ()

    @property
    def codes(self) -> tuple[str, ...]:
        """Codes of the vehicles in the order of comparison."""
        return tuple(vehicle.vehicle for vehicle in self.vehicles)

    def pairs(self) -> tuple[tuple[str, str], ...]:
        """Pairs to look at: the first vehicle with every other, then pairs a finding speaks of."""
        first = self.codes[:1]
        found = [(x, y) for x, y in combinations(self.codes, 2) if x in first]
        found += [
            (x, y)
            for x, y in combinations(self.codes, 2)
            if x not in first and any(finding.covers(x, y) for finding in self.findings)
        ]
        return tuple(found)


def effective_content(study: Study, teardowns: Mapping[str, Teardown]) -> tuple[StudyContent, ...]:
    """Unlike content that counts in the study: a vehicle's rows in the study replace its own content sheet.

    Parameters
    ----------
    study : Study
    teardowns : mapping of vehicle code to Teardown
        A vehicle that is not there contributes the study's rows only.

    Returns
    -------
    tuple of StudyContent
        In the order of the vehicles; each row says whose it is.

    Notes
    -----
    Replaced is the whole sheet of a vehicle, not single rows: a list that is half of one person's and half of another's
    could count an item twice under two names.
    """
    rows: list[StudyContent] = []
    for code in study.codes:
        own = [row for row in study.content if row.vehicle == code]
        if own:
            rows.extend(replace(row, stated_in=StatedIn.STUDY) for row in own)
        elif code in teardowns:
            rows.extend(StudyContent(code, item, StatedIn.VEHICLE) for item in teardowns[code].content)
    return tuple(rows)


def with_content(teardown: Teardown, content: tuple[StudyContent, ...]) -> Teardown:
    """Return the vehicle with the content rows of a list that are its own, in place of its content sheet."""
    return replace(
        teardown, content=tuple(row.item for row in content if row.vehicle == teardown.vehicle.code)
    )


@dataclass(frozen=True, slots=True)
class Frozen:
    """What is fixed before results are seen: question, vehicles and configurations, equality, content, assumptions."""

    question: str
    vehicles: tuple[StudyVehicle, ...]
    equality: tuple[EqualityRow, ...]
    content: tuple[StudyContent, ...]
    assumptions: tuple[StudyAssumption, ...]

    @property
    def codes(self) -> tuple[str, ...]:
        """Codes of the vehicles in the order of comparison."""
        return tuple(vehicle.vehicle for vehicle in self.vehicles)


def to_freeze(study: Study, content: tuple[StudyContent, ...]) -> Frozen:
    """Return what of a study is to be frozen, with its effective content list."""
    return Frozen(study.question, study.vehicles, study.equality, content, study.assumptions)


@dataclass(frozen=True, slots=True)
class Difference:
    """One thing that differs between two states; `field` is empty for a row that only one of them has."""

    sheet: str
    row: str
    field: str
    was: str
    now: str

    def __str__(self) -> str:
        """Say the difference in one line."""
        place = f"{self.sheet}: {self.row}" if self.row else self.sheet
        if not self.field:
            return f"{place}: {'added' if self.now else 'taken away'} ({self.now or self.was})"
        return f"{place}: {self.field} was {self.was or 'blank'}, is {self.now or 'blank'}"


def differences(before: Frozen, after: Frozen) -> tuple[Difference, ...]:
    """What changed between two states of what is frozen.

    Parameters
    ----------
    before, after : Frozen

    Returns
    -------
    tuple of Difference
        Sheet by sheet; empty exactly when both say the same. Notes, titles and owners are not frozen, and neither is
        the order of rows except that of the vehicles.
    """
    found: list[Difference] = []
    old, new = _statement(before), _statement(after)
    for sheet in old:
        for row in dict.fromkeys((*old[sheet], *new[sheet])):
            was, now = old[sheet].get(row), new[sheet].get(row)
            if was is None or now is None:
                found.append(Difference(sheet, row, "", _in_short(was), _in_short(now)))
                continue
            found.extend(
                Difference(sheet, row, field, was[field], now[field])
                for field in was
                if was[field] != now[field]
            )
    return tuple(found)


@dataclass(frozen=True, slots=True)
class FrozenVersion:
    """A frozen version of a study: who froze it when (as text), what it says, what differs from the one before."""

    number: int
    person: str
    at: str
    frozen: Frozen
    differences: tuple[Difference, ...] = ()


Statement = dict[str, dict[str, dict[str, str]]]


def _statement(frozen: Frozen) -> Statement:
    """Everything frozen as text by sheet, row and field, so that two states can be held against each other."""
    return {
        "question": {"": {"question": frozen.question}},
        "vehicles": {
            vehicle.vehicle: {
                "configuration": vehicle.configuration,
                "role": vehicle.role,
                "place in the order": str(place),
            }
            for place, vehicle in enumerate(frozen.vehicles, start=1)
        },
        "equality": {
            f"{row.property} of {row.vehicle}": {
                "value": f"{row.value} {row.unit}".strip(),
                "equal": "" if row.equal is None else "yes" if row.equal else "no",
            }
            for row in frozen.equality
        },
        "content": dict(_content_rows(frozen.content)),
        "assumptions": {row.name: {"value": row.value, "source": row.source} for row in frozen.assumptions},
    }


def _content_rows(content: tuple[StudyContent, ...]) -> Iterator[tuple[str, dict[str, str]]]:
    for row in content:
        item = row.item
        yield (
            f"{item.item} of {row.vehicle}, {item.rule.value} {item.quantity.replace('_', ' ')}",
            {
                # Digits enough that a change anybody can type is a change here.
                "value": f"{item.value.value:.12g} {item.value.unit} ± {item.value.expanded():.9g}",
                "description": item.description,
                "function": item.function,
            },
        )


def _in_short(fields: Mapping[str, str] | None) -> str:
    if fields is None:
        return ""
    return ", ".join(text for text in fields.values() if text) or "blank"
