"""Assembly and service time as JSON."""

from __future__ import annotations

from typing import Any

from hoistbook.core.cost.assembly.tally import JointWork, PartWork, Tally
from hoistbook.core.cost.assembly.work import Step
from hoistbook.core.quantities.assumption import AssumptionKind
from hoistbook.services.as_json.cost import scenario_head
from hoistbook.services.as_json.parts import assumed, quantity
from hoistbook.services.cost_assembly import AssemblyReport, ServiceReport
from hoistbook.services.cost_motions import motion_sums

Json = dict[str, Any]


def assembly_json(report: AssemblyReport) -> Json:
    """Assembly of a vehicle or a function: seconds with their motions, fasteners, and reasons of parts."""
    scenario = report.scenario
    none = report.necessity
    return {
        "vehicle": report.vehicle,
        "configuration": report.configuration,
        "function": report.function,
        "currency": scenario.currency,
        "year": scenario.year,
        "scenario": scenario_head(scenario),
        **tally_json(report.tally),
        "motions": [
            {
                "code": one.code,
                "words": one.words,
                "times": one.times,
                "seconds": one.seconds,
                "mark": one.mark,
            }
            for one in motion_sums(report)
        ],
        "joints": [_joint(work, share) for work, share in report.joints],
        "placed": [_placed(work, share, report.names[work.tag]) for work, share in report.placed],
        "reasons": [
            {
                "tag": tag,
                "name": report.names[tag],
                "because": one.kind.value,
                "in_words": one.text,
                "policy": one.policy,
            }
            for tag, several in report.reasons.items()
            for one in several
        ],
        "parts_with_physical_reason": list(none.physical),
        "parts_with_economic_reason": list(none.economic),
        "parts_without_reason": list(none.none),
        "physical_frac": none.physical_frac,
        "not_counted": list(report.not_counted),
        "assumed": assumed(report.book.assumed),
    }


def tally_json(tally: Tally) -> Json:
    """Sums of some work; times in s."""
    return {
        "standard_s": quantity(tally.standard_s),
        "normal_s": quantity(tally.normal_s),
        "joining_s": quantity(tally.joining_s),
        "placing_s": quantity(tally.placing_s),
        "cost": None if tally.cost_money is None else quantity(tally.cost_money),
        "line_rule_s": quantity(tally.rule_s),
        "line_rule_motions_s": quantity(tally.ruled_s),
        "line_rule_joints": tally.ruled_joints,
        "fastener_count": tally.fastener_count,
        "quick_count": tally.quick_count,
        "drives": list(tally.drives),
        "directions": list(tally.directions),
        "joint_count": tally.joint_count,
        "made_elsewhere_count": tally.elsewhere_count,
        "direction_not_stated_count": tally.direction_not_stated,
        "obstructed_count": tally.obstructed_count,
        "without_time": list(tally.missing),
    }


def _joint(work: JointWork, share: float) -> Json:
    return {
        "joint": work.joint,
        "base": work.base,
        "parts": list(work.parts),
        "kind": work.reading.kind.value,
        "direction": work.reading.direction,
        "drive": work.reading.drive,
        "obstructed": work.reading.obstructed,
        "occurrences": work.occurrences,
        "fasteners": work.count,
        "share_frac": share,
        "normal_s": None if work.normal_s is None else quantity(work.normal_s),
        "motions": [_step(step) for step in work.steps],
        "notes": list(work.notes),
        "without_time": work.missing,
    }


def _placed(work: PartWork, share: float, name: str) -> Json:
    return {
        "tag": work.tag,
        "name": name,
        "joint": work.joint,
        "pieces": work.pieces,
        "share_frac": share,
        "normal_s": quantity(work.normal_s),
        "motions": [_step(step) for step in work.steps],
        "note": work.note,
    }


def _step(step: Step) -> Json:
    return {
        "code": step.code,
        "words": step.words,
        "times": step.times.value,
        "seconds": step.seconds.value,
        "slowed": step.slowed,
        "mark": step.mark,
    }


def service_json(report: ServiceReport) -> Json:
    """Remove-and-replace time of a part; times in s."""
    time, scenario = report.time, report.scenario
    return {
        "vehicle": report.vehicle,
        "tag": report.tag,
        "name": report.name,
        "currency": scenario.currency,
        "year": scenario.year,
        "total_s": quantity(time.total_s),
        "removal_s": quantity(time.removal_s),
        "replacement_s": quantity(time.replacement_s),
        "once_s": quantity(time.once_s),
        "once": [{"words": one.words, **quantity(one.seconds)} for one in time.once],
        "cost": quantity(report.money),
        "sequence": [
            {
                "operation": one.operation,
                "words": one.words,
                "tool_taken": one.tool_taken,
                "moved_to": one.moved_to,
                "seconds": one.seconds.value,
                "ends_s": one.ends_s,
            }
            for one in time.visits
        ],
        "exact": time.exact,
        "depth": time.depth,
        "tools_taken": time.picks,
        "moves": time.moves,
        "least_s": time.bound_s,
        "cautions": [one.text for one in time.assumed if one.kind is AssumptionKind.CAUTION],
        "assumed": assumed(time.assumed),
    }
