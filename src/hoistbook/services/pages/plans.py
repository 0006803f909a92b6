"""The strip plan of a study as its page shows it: tags that lead to parts, what is on record, cautions by hazard."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from hoistbook.core.compare.strip_plan import FlagWeight, StepStatus, StripStep, tags_in, words_of
from hoistbook.core.vehicle.hazards import Hazard
from hoistbook.services.outlines import with_planned_parts
from hoistbook.services.pages.studies import StudyFront
from hoistbook.services.study_report import PlannedStep, planned_steps


@dataclass(frozen=True, slots=True)
class Run:
    """A stretch of words; `tag` is empty where it names no part of the vehicle."""

    words: str
    tag: str = ""


@dataclass(frozen=True, slots=True)
class Needed:
    """Something to be on record before a step. `where` says what was written of it, None while it is not recorded."""

    what: str
    where: str | None


@dataclass(frozen=True, slots=True)
class PlanLine:
    """A step with its words cut at the tags, what it needs on record, and what was recorded beyond that."""

    planned: PlannedStep
    what: tuple[Run, ...]
    needed: tuple[Needed, ...]
    besides: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Plan:
    """The steps of one vehicle in their order."""

    vehicle: str
    lines: tuple[PlanLine, ...]

    @property
    def removed(self) -> int:
        """How many steps are done."""
        return sum(line.planned.step.status is StepStatus.REMOVED for line in self.lines)

    @property
    def lost(self) -> int:
        """How many of them are off without all of their record."""
        return sum(any(flag.weight is FlagWeight.LOST for flag in line.planned.flags) for line in self.lines)


def plans_of(front: StudyFront) -> tuple[Plan, ...]:
    """The strip plan of every vehicle of a study that has one, in the order of the study."""
    study = front.study
    outlines = with_planned_parts(front.outlines, study)
    trees = {code: tuple(node.tag for node in outline.nodes) for code, outline in outlines.items()}
    planned = planned_steps(study, outlines)
    return tuple(
        Plan(code, tuple(_line(one, trees.get(code, ())) for one in planned if one.step.vehicle == code))
        for code in study.codes
        if any(one.step.vehicle == code for one in planned)
    )


def _line(planned: PlannedStep, tags: Sequence[str]) -> PlanLine:
    step = planned.step
    missing = set(step.unrecorded)
    written = {_folded(text.partition(":")[0]): text.partition(":")[2].strip() for text in step.recorded}
    needed = tuple(
        Needed(item, None if item in missing else written.get(_folded(item.partition(":")[0]), ""))
        for item in step.record_before
    )
    asked = {_folded(item.partition(":")[0]) for item in step.record_before}
    besides = tuple(text for text in step.recorded if _folded(text.partition(":")[0]) not in asked)
    return PlanLine(planned, _runs(step, tags), needed, besides)


def _folded(text: str) -> str:
    return " ".join(text.split()).casefold()


def _runs(step: StripStep, tags: Sequence[str]) -> tuple[Run, ...]:
    """Cut the words of a step where the tag of a part stands as a word of its own."""
    known = set(tags_in(step.what, tags))
    found: list[Run] = []
    rest = step.what
    for word in words_of(step.what):
        if word not in known:
            continue
        before, _, after = rest.partition(word)
        found += [Run(before)] if before else []
        found.append(Run(word, word))
        rest = after
    return (*found, Run(rest)) if rest else tuple(found)


def cautions_of(plans: Sequence[Plan]) -> tuple[tuple[Hazard, tuple[tuple[str, float], ...]], ...]:
    """Each hazard the steps speak of, with vehicle and number of these steps."""
    steps: dict[str, list[tuple[str, float]]] = {}
    hazards: dict[str, Hazard] = {}
    for plan in plans:
        for line in plan.lines:
            for hazard in line.planned.hazards:
                hazards[hazard.name] = hazard
                steps.setdefault(hazard.name, []).append((plan.vehicle, line.planned.step.step))
    return tuple((hazard, tuple(steps[name])) for name, hazard in hazards.items())
