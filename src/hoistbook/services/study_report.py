"""A study joined with its vehicles: effective content, coverage of the mass gaps, strip plan, version state."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from hoistbook.core.compare.cautions import Hazard, cautions
from hoistbook.core.compare.looked_at import LookedAt, Side, looked_at
from hoistbook.core.compare.mass_walk import MassSide
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
from hoistbook.core.vehicle.records import Teardown
from hoistbook.core.vehicle.tree import PartTree
from hoistbook.reference.taxonomy import taxonomy
from hoistbook.services import DEFAULT_DRAWS, DEFAULT_SEED
from hoistbook.services.loading import chosen_configuration
from hoistbook.services.mass import MassFigures, mass_figures, mass_report


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
    study: Study, teardowns: Mapping[str, Teardown], versions: Sequence[FrozenVersion] = ()
) -> StudyReport:
    """Join a study with its vehicles.

    Parameters
    ----------
    study : Study
    teardowns : mapping of vehicle code to Teardown
        Of the vehicles that are there.
    versions : sequence of FrozenVersion
        Frozen so far, the first one first.

    Returns
    -------
    StudyReport
    """
    content = resolved_content(study, teardowns)
    points = open_points(study, content, teardowns, taxonomy())
    chosen = settings(study.assumptions)
    coverage, lacking = _coverage(study, teardowns, chosen)
    return StudyReport(
        study,
        content,
        chosen,
        version_state(study, content, versions),
        points,
        coverage,
        lacking,
        planned_steps(study, teardowns),
        _function_words(study, teardowns),
    )


def _function_words(study: Study, teardowns: Mapping[str, Teardown]) -> dict[str, str]:
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


def _coverage(
    study: Study, teardowns: Mapping[str, Teardown], chosen: Settings
) -> tuple[tuple[LookedAt, ...], tuple[str, ...]]:
    sides: dict[str, Side] = {}
    lacking: list[str] = []
    words = {s.code: s.name for s in taxonomy().systems}
    for row in study.vehicles:
        teardown = teardowns.get(row.vehicle)
        if teardown is None or not teardown.nodes:
            lacking.append(f"{row.vehicle}: {'no part tree' if teardown else 'not in the store'} yet")
            continue
        try:
            configuration = chosen_configuration(teardown, row.configuration or None).id
        except LookupError as error:
            lacking.append(str(error.args[0]))
            continue
        figures = mass_figures(mass_report(teardown, configuration, proposals=0))
        sides[row.vehicle] = _side(teardown, figures, configuration)
        words |= {function.code: function.name for function in teardown.functions}
    findings = resolved_findings(study, teardowns)
    return (
        tuple(
            looked_at(
                sides[x],
                sides[y],
                findings,
                words,
                n_draws=chosen.n_draws or DEFAULT_DRAWS,
                seed=DEFAULT_SEED if chosen.seed is None else chosen.seed,
                piece_spread_frac=chosen.piece_spread_frac,
            )
            for x, y in study.pairs()
            if x in sides and y in sides
        ),
        tuple(lacking),
    )


def _side(teardown: Teardown, figures: MassFigures, configuration: str) -> Side:
    own = [approach for approach in teardown.approaches if approach.configuration == configuration]
    return Side(
        MassSide(
            teardown.vehicle.code,
            figures.vehicle,
            figures.systems,
            figures.functions_by_system,
            figures.system_origins,
            figures.vehicle.origin,
            frozenset(approach.function for approach in own if not approach.present),
        ),
        frozenset(approach.function for approach in own),
    )


def resolved_findings(study: Study, teardowns: Mapping[str, Teardown]) -> tuple[Finding, ...]:
    """Findings with their function by its code; one of a function nobody lists counts for nothing."""
    functions = all_functions(teardowns[code] for code in study.codes if code in teardowns)
    return tuple(
        replace(
            finding, function=resolved_function(finding.function, functions, taxonomy()) or finding.function
        )
        for finding in study.findings
    )
