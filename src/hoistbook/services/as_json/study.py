"""A study as one JSON object."""

from __future__ import annotations

from hoistbook.core.compare.study import Difference, Finding, FrozenVersion
from hoistbook.services.as_json.coverage import coverage_json
from hoistbook.services.as_json.parts import Json, quantity
from hoistbook.services.study_report import PlannedStep, StudyReport


def study_json(report: StudyReport) -> Json:
    """Everything of a study with its vehicles; masses in kg, shares as fractions."""
    study = report.study
    return {
        "study": study.code,
        "title": study.title,
        "question": study.question,
        "owner": study.owner,
        "note": study.note,
        "version": {
            "state": list(report.state.sentences),
            "number": report.state.last.number if report.state.last else None,
            "changed": [difference_json(one) for one in report.state.changed],
            "history": [version_json(version) for version in report.state.versions],
        },
        "vehicles": [
            {"vehicle": v.vehicle, "configuration": v.configuration, "role": v.role, "note": v.note}
            for v in study.vehicles
        ],
        "equality": [
            {
                "property": row.property,
                "vehicle": row.vehicle,
                "value": row.value,
                "unit": row.unit,
                "equal": row.equal,
                "note": row.note,
            }
            for row in study.equality
        ],
        "content": [
            {
                "vehicle": row.vehicle,
                "item": row.item.item,
                "description": row.item.description,
                "rule": row.item.rule.value,
                "quantity": row.item.quantity,
                **quantity(row.item.value),
                "function": row.item.function,
                "stated_in": row.stated_in.value,
                "note": row.item.note,
            }
            for row in report.content
        ],
        "assumptions": [
            {"assumption": row.name, "value": row.value, "source": row.source, "note": row.note}
            for row in study.assumptions
        ],
        "findings": [_finding(finding) for finding in study.findings],
        "coverage": [coverage_json(found, report.findings) for found in report.coverage],
        "not_covered": list(report.not_covered),
        "strip_plan": [_step(step) for step in report.plan],
        "claims": [{"claim": claim.code, "sentence": claim.sentence} for claim in study.claims],
        "open_points": [
            {"sheet": point.sheet, "row": point.row, "message": point.message, "blocks": point.blocks}
            for point in report.open_points
        ],
    }


def version_json(version: FrozenVersion) -> Json:
    """One frozen version: who, when, and what differs from the one before."""
    return {
        "number": version.number,
        "person": version.person,
        "at": version.at,
        "differences": [difference_json(one) for one in version.differences],
    }


def difference_json(one: Difference) -> Json:
    """One difference between two states."""
    return {"sheet": one.sheet, "row": one.row, "field": one.field, "was": one.was, "now": one.now}


def _finding(finding: Finding) -> Json:
    return {
        "function": finding.function,
        "finding": finding.kind.value,
        "vehicles": list(finding.vehicles),
        "from": finding.taken_from,
        "compared": finding.compared,
        "person": finding.person,
        "time": finding.at,
        "evidence": finding.evidence,
        "note": finding.note,
    }


def _step(planned: PlannedStep) -> Json:
    step = planned.step
    return {
        "step": step.step,
        "vehicle": step.vehicle,
        "what": step.what,
        "who": step.who,
        "tools": step.tools,
        "record_before_removal": list(step.record_before),
        "recorded": list(step.recorded),
        "unrecorded": list(step.unrecorded),
        "status": step.status.value,
        "flags": [{"weight": flag.weight.value, "message": flag.message} for flag in planned.flags],
        "cautions": [hazard.name for hazard in planned.hazards],
        "evidence": step.evidence,
        "note": step.note,
    }
