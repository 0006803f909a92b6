"""What is wrong with a study: by itself on loading, and against its vehicles once they are there."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from hoistbook.core.compare.study import FindingKind, Study, StudyContent
from hoistbook.core.compare.study_settings import KNOWN, check_duty, known_name
from hoistbook.core.vehicle.approaches import FunctionTree
from hoistbook.core.vehicle.problem import Hints, Place, Problem, listed_twice
from hoistbook.core.vehicle.records import Function, Teardown, Vehicle
from hoistbook.core.vehicle.taxonomy import Taxonomy
from hoistbook.core.vehicle.validate import content_item_problems
from hoistbook.core.vehicle.validate_shared import Names


def problems(study: Study) -> list[Problem]:
    """Everything wrong with a study that can be seen without its vehicles.

    Parameters
    ----------
    study : Study
        May be as wrong as it likes; nothing is raised.

    Returns
    -------
    list of Problem
        Empty when the study may be stored.

    Notes
    -----
    Judged are: fewer than two vehicles, rows stated twice, rows of vehicles that are not in the study, unlike content
    that acts on nothing or has a wrong unit or sign, assumptions that cannot be read, findings that name too few
    vehicles or no sister, steps that share a number.
    """
    return [
        *_vehicles(study),
        *_equality(study),
        *_content(study),
        *_assumptions(study),
        *_findings(study),
        *_strip_plan(study),
        *_claims(study),
    ]


def _vehicles(study: Study) -> Iterator[Problem]:
    sheet = "vehicles"
    if len(study.vehicles) < 2:
        message = "a study compares at least two vehicles; give one row each, the one to start from first."
        yield Problem(sheet, -1, "", "vehicle", "", message)
    yield from listed_twice(
        sheet,
        "vehicle",
        study.vehicles,
        lambda v: v.vehicle,
        "a study has one configuration of each vehicle.",
    )


class _Members:
    """The vehicles of the study, and the sentence for one that is none."""

    def __init__(self, study: Study) -> None:
        self._codes = study.codes
        self._hints = Hints()

    def unknown(self, place: Place, field: str, code: str) -> Iterator[Problem]:
        if code not in self._codes:
            hint = self._hints(code, self._codes)
            yield place.problem(field, code, f"this vehicle is not in the study; {hint}")


def _equality(study: Study) -> Iterator[Problem]:
    members = _Members(study)
    yield from listed_twice(
        "equality",
        "property",
        study.equality,
        lambda row: (row.property, row.vehicle),
        "give one value of it for a vehicle.",
    )
    for index, row in enumerate(study.equality):
        yield from members.unknown(Place("equality", index, row.property), "vehicle", row.vehicle)


def _content(study: Study) -> Iterator[Problem]:
    members = _Members(study)
    names = Names(Teardown(Vehicle("", ""), ()))
    yield from listed_twice(
        "content",
        "quantity",
        study.content,
        lambda row: (row.vehicle, row.item.item, row.item.quantity, row.item.rule.value),
        "add the two up in one row, or name them as two items.",
    )
    for index, row in enumerate(study.content):
        place = Place("content", index, row.item.item)
        yield from members.unknown(place, "vehicle", row.vehicle)
        yield from content_item_problems(place, row.item, names)


def _assumptions(study: Study) -> Iterator[Problem]:
    sheet = "assumptions"
    yield from listed_twice(
        sheet, "assumption", study.assumptions, lambda row: known_name(row.name), "keep one value."
    )
    for index, row in enumerate(study.assumptions):
        known = KNOWN.get(known_name(row.name))
        if known is None:
            continue
        try:
            known.read(row.value)
            if known.field == "duty":  # not while reading: a store may hold one from before
                check_duty(row.value)
        except (ValueError, LookupError) as error:
            yield Problem(sheet, index, row.name, "value", row.value, f"{row.name}: {error.args[0]}")


def _findings(study: Study) -> Iterator[Problem]:
    members = _Members(study)
    yield from listed_twice(
        "findings",
        "function",
        study.findings,
        lambda f: (f.function, f.kind.value, ", ".join(sorted(f.vehicles)), f.taken_from),
        "keep one of the two.",
    )
    for index, finding in enumerate(study.findings):
        place = Place("findings", index, finding.function)
        for code in finding.vehicles:
            yield from members.unknown(place, "vehicles", code)
        if len(set(finding.vehicles)) != len(finding.vehicles):
            yield place.problem(
                "vehicles", "; ".join(finding.vehicles), "names a vehicle twice; write each once."
            )
        if finding.kind is FindingKind.CARRIED_OVER:
            if not finding.taken_from:
                message = "say which sister vehicle it was carried over from."
                yield place.problem("from", "", message)
            else:
                yield from members.unknown(place, "from", finding.taken_from)
            if finding.taken_from in finding.vehicles:
                message = "a vehicle cannot carry over from itself; name the sister here and the others under vehicles."
                yield place.problem("from", finding.taken_from, message)
        elif len(set(finding.vehicles)) < 2:
            message = "same means compared between at least two vehicles; name them, separated by ;"
            yield place.problem("vehicles", "; ".join(finding.vehicles), message)
        elif finding.taken_from:
            message = "vehicles found the same come from no sister; clear the cell, or choose carried over."
            yield place.problem("from", finding.taken_from, message)


def _strip_plan(study: Study) -> Iterator[Problem]:
    members = _Members(study)
    yield from listed_twice(
        "strip plan",
        "step",
        study.strip_plan,
        lambda step: (step.vehicle, f"{step.step:g}"),
        "number the steps of a vehicle in their order.",
    )
    for index, step in enumerate(study.strip_plan):
        yield from members.unknown(Place("strip plan", index, step.name), "vehicle", step.vehicle)


def _claims(study: Study) -> Iterator[Problem]:
    members = _Members(study)
    yield from listed_twice(
        "claims", "claim", study.claims, lambda claim: claim.code, "give each claim its own short name."
    )
    for index, claim in enumerate(study.claims):
        place = Place("claims", index, claim.code)
        yield from members.unknown(place, "vehicle", claim.vehicle)
        if claim.other:
            yield from members.unknown(place, "other", claim.other)


@dataclass(frozen=True, slots=True)
class OpenPoint:
    """Something that does not fit between a study and its vehicles. What `blocks` must be mended before freezing."""

    sheet: str
    row: str
    message: str
    blocks: bool = False

    def __str__(self) -> str:
        """Say the point in one line."""
        return f"{self.sheet}: {self.row}: {self.message}" if self.row else f"{self.sheet}: {self.message}"


def all_functions(teardowns: Iterable[Teardown]) -> FunctionTree:
    """Return the functions of several vehicles as one tree; of a code that several list, the first counts."""
    found: dict[str, Function] = {}
    for teardown in teardowns:
        for function in teardown.functions:
            found.setdefault(function.code, function)
    return FunctionTree(found.values())


def resolved_function(text: str, functions: FunctionTree, systems: Taxonomy | None = None) -> str:
    """Code of the function (code, name or alias) or of the system of the taxonomy a text names; empty when unknown."""
    found = functions.find(text)
    if found is not None:
        return found.code
    if systems is None:
        return ""
    wanted = " ".join(text.split()).casefold()
    return next((s.code for s in systems.systems if wanted in (s.code.casefold(), s.name.casefold())), "")


def open_points(
    study: Study,
    content: tuple[StudyContent, ...],
    teardowns: Mapping[str, Teardown],
    systems: Taxonomy,
) -> tuple[OpenPoint, ...]:
    """What does not fit between a study and its vehicles.

    Parameters
    ----------
    study : Study
        Free of problems.
    content : tuple of StudyContent
        The effective list.
    teardowns : mapping of vehicle code to Teardown
        Of the vehicles that are there.
    systems : Taxonomy

    Returns
    -------
    tuple of OpenPoint
        What blocks freezing first. Blocking: a vehicle or configuration that is not there, a function nobody lists.
        Others: properties without a value, "equal" said of unlike values without a word why, unlike properties without
        one, findings of functions nobody lists.
    """
    functions = all_functions(teardowns[code] for code in study.codes if code in teardowns)
    found = [
        *_missing_vehicles(study, teardowns),
        *_unknown_functions(study, content, functions, systems, complete=set(study.codes) <= set(teardowns)),
        *_loose_equality(study),
    ]
    return tuple(sorted(found, key=lambda point: not point.blocks))


def _missing_vehicles(study: Study, teardowns: Mapping[str, Teardown]) -> Iterator[OpenPoint]:
    for row in study.vehicles:
        teardown = teardowns.get(row.vehicle)
        if teardown is None:
            message = "not in the store yet; load its workbook first."
            yield OpenPoint("vehicles", row.vehicle, message, blocks=True)
            continue
        known = [configuration.id for configuration in teardown.configurations]
        if row.configuration and row.configuration not in known:
            message = f"it has no configuration {row.configuration!r}; it has {', '.join(known)}."
            yield OpenPoint("vehicles", row.vehicle, message, blocks=True)
        elif not row.configuration and len(known) != 1:
            message = f"it has configurations {', '.join(known)}: say which one is compared."
            yield OpenPoint("vehicles", row.vehicle, message, blocks=True)


def _unknown_functions(
    study: Study,
    content: tuple[StudyContent, ...],
    functions: FunctionTree,
    systems: Taxonomy,
    *,
    complete: bool,
) -> Iterator[OpenPoint]:
    if not complete:
        return  # the vehicle that lists the function may be the one that is missing
    hints = Hints()
    words = functions.words
    for row in content:
        if row.item.function and not resolved_function(row.item.function, functions):
            message = (
                f"no vehicle lists the function {row.item.function!r}; {hints(row.item.function, words)}"
            )
            yield OpenPoint("content", f"{row.item.item} of {row.vehicle}", message, blocks=True)
    for finding in study.findings:
        if not resolved_function(finding.function, functions, systems):
            message = (
                f"no function or system of this name; {hints(finding.function, words)} It counts for nothing."
            )
            yield OpenPoint("findings", finding.function, message)


def _loose_equality(study: Study) -> Iterator[OpenPoint]:
    if not study.equality:
        yield OpenPoint(
            "equality", "", "nothing says that the vehicles do the same job; list what they have in common."
        )
    first = study.codes[0] if study.codes else ""
    for name in dict.fromkeys(row.property for row in study.equality):
        rows = {row.vehicle: row for row in study.equality if row.property == name}
        lacking = [code for code in study.codes if code not in rows or not rows[code].value]
        if lacking:
            yield OpenPoint("equality", name, f"no value for {', '.join(lacking)}.")
        reference = rows.get(first)
        for code, row in rows.items():
            alike = reference is not None and (row.value, row.unit) == (reference.value, reference.unit)
            if code == first or reference is None or not (row.value and reference.value) or row.note:
                continue
            if row.equal and not alike:
                message = (
                    f"{code} is called equal with {row.value} {row.unit}".rstrip()
                    + f" against {reference.value} {reference.unit}".rstrip()
                    + "; say in the note why that does not matter."
                )
                yield OpenPoint("equality", name, message)
            elif row.equal is False:
                message = f"{code} is unlike; name in the note the content item that sets it equal, or why it is none."
                yield OpenPoint("equality", name, message)
            elif row.equal is None and not alike:
                yield OpenPoint(
                    "equality", name, f"{code} differs and nobody judged it; say equal yes or no."
                )
