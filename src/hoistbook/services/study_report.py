"""A study joined with its vehicles: effective content, coverage of the mass gaps, strip plan, version state."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from hoistbook.core.compare.looked_at import LookedAt
from hoistbook.core.compare.strip_plan import StepFlag, StripStep, plan_flags, tags_in
from hoistbook.core.compare.study import (
    Difference,
    Finding,
    FrozenVersion,
    Study,
    StudyContent,
    differences,
    effective_content,
    to_freeze,
)
from hoistbook.core.compare.study_problems import OpenPoint, all_functions, open_points, resolved_function
from hoistbook.core.compare.study_settings import Settings, settings
from hoistbook.core.vehicle.hazards import Hazard, cautions
from hoistbook.core.vehicle.records import Teardown
from hoistbook.core.vehicle.tree import PartTree
from hoistbook.reference.taxonomy import taxonomy
from hoistbook.services.study_coverage import Coverage, coverage, resolved_findings


@dataclass(frozen=True, slots=True)
class VersionState:
    """Where a study stands: its frozen versions, and what has changed since the last of them."""

    versions: tuple[FrozenVersion, ...]
    changed: tuple[Difference, ...]

    @property
    def last(self) -> FrozenVersion | None:
        """The version in force; None before anything was frozen."""
        return self.versions[-1] if self.versions else None

    @property
    def sentences(self) -> tuple[str, ...]:
        """What every page and every print of a result under the study says about its version."""
        if self.last is None:
            return ("not frozen: no result stands under this study yet",)
        told = [f"version {self.last.number}, frozen {self.last.at} by {self.last.person}"]
        told += [
            f"changed after version {version.number - 1} was frozen: {_listed(version.differences)}"
            for version in self.versions
            if version.differences
        ]
        if self.changed:
            told.append(
                f"changed after version {self.last.number} was frozen: {_listed(self.changed)}; figures are "
                f"still those of version {self.last.number}, until the study is frozen again"
            )
        return tuple(told)


def _listed(found: Sequence[Difference]) -> str:
    return "; ".join(map(str, found))


@dataclass(frozen=True, slots=True)
class PlannedStep:
    """A step of the strip plan, what is wrong with it, and the cautions its words call for."""

    step: StripStep
    flags: tuple[StepFlag, ...]
    hazards: tuple[Hazard, ...]


@dataclass(frozen=True, slots=True)
class StudyReport:
    """A study as it stands with its vehicles.

    Attributes
    ----------
    study : Study
    content : tuple of StudyContent
        The effective list: of each vehicle the study's rows, else those of its own workbook.
    settings : Settings
    state : VersionState
    open_points : tuple of OpenPoint
        What blocks freezing first.
    coverage : tuple of LookedAt
        Of each pair whose vehicles both have a part tree.
    not_covered : tuple of str
        Why a pair has no coverage.
    plan : tuple of PlannedStep
        By vehicle and step.
    function_words : mapping of str to str
        What a finding's function is called, by what was typed.
    findings : tuple of Finding
        Those of the study with their functions by code.
    """

    study: Study
    content: tuple[StudyContent, ...]
    settings: Settings
    state: VersionState
    open_points: tuple[OpenPoint, ...]
    coverage: tuple[LookedAt, ...]
    not_covered: tuple[str, ...]
    plan: tuple[PlannedStep, ...]
    function_words: Mapping[str, str]
    findings: tuple[Finding, ...] = ()

    @property
    def blocking(self) -> tuple[OpenPoint, ...]:
        """What must be mended before the study can be frozen."""
        return tuple(point for point in self.open_points if point.blocks)


def resolved_content(study: Study, teardowns: Mapping[str, Teardown]) -> tuple[StudyContent, ...]:
    """Effective content list with every function by its code."""
    functions = all_functions(teardowns[code] for code in study.codes if code in teardowns)
    return tuple(
        replace(
            row,
            item=replace(
                row.item, function=resolved_function(row.item.function, functions) or row.item.function
            ),
        )
        for row in effective_content(study, teardowns)
    )


def version_state(
    study: Study, content: tuple[StudyContent, ...], versions: Sequence[FrozenVersion]
) -> VersionState:
    """Hold a study as it stands against the last version frozen of it."""
    changed = differences(versions[-1].frozen, to_freeze(study, content)) if versions else ()
    return VersionState(tuple(versions), changed)


def study_report(
    study: Study,
    teardowns: Mapping[str, Teardown],
    versions: Sequence[FrozenVersion] = (),
    covered: Coverage | None = None,
) -> StudyReport:
    """Join a study with its vehicles.

    Parameters
    ----------
    study : Study
    teardowns : mapping of vehicle code to Teardown
        Of the vehicles that are there.
    versions : sequence of FrozenVersion
        Frozen so far, the first one first.
    covered : Coverage, optional
        Worked out from the teardowns when left out; with it, outlines of the vehicles are enough.

    Returns
    -------
    StudyReport
    """
    content = resolved_content(study, teardowns)
    points = open_points(study, content, teardowns, taxonomy())
    found = coverage(study, teardowns) if covered is None else covered
    return StudyReport(
        study,
        content,
        settings(study.assumptions),
        version_state(study, content, versions),
        points,
        found.pairs,
        found.lacking,
        planned_steps(study, teardowns),
        function_words(study, teardowns),
        resolved_findings(study, teardowns),
    )


def function_words(study: Study, teardowns: Mapping[str, Teardown]) -> dict[str, str]:
    """What the function of each finding is called, by what was typed."""
    functions = all_functions(teardowns[code] for code in study.codes if code in teardowns)
    found = ((finding.function, functions.find(finding.function)) for finding in study.findings)
    return {typed: typed if function is None else function.name for typed, function in found}


def planned_steps(study: Study, teardowns: Mapping[str, Teardown]) -> tuple[PlannedStep, ...]:
    """Judge the strip plan against the part trees and put the cautions beside its steps."""
    trees = {code: PartTree(t.nodes) for code, t in teardowns.items() if t.nodes}
    flags = plan_flags(study.strip_plan, trees)
    found = []
    for step in sorted(study.strip_plan, key=lambda s: (study.codes.index(s.vehicle), s.step)):
        own = tuple(flag for flag in flags if (flag.vehicle, flag.step) == (step.vehicle, step.step))
        tree = trees.get(step.vehicle)
        tags = tags_in(step.what, tree.order) if tree else ()
        names = " ".join(tree[tag].name for tag in tags) if tree else ""
        systems = tuple(tree.system(tag) for tag in tags) if tree else ()
        text = " ".join((step.what, names, step.tools, step.note))
        found.append(PlannedStep(step, own, cautions(text, systems)))
    return tuple(found)
