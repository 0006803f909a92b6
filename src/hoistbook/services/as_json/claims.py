"""The claims of a study as one JSON object."""

from __future__ import annotations

from hoistbook.core.compare.claim_figures import Figure
from hoistbook.core.compare.claim_next import NextMeasurement
from hoistbook.core.compare.claim_verdict import State
from hoistbook.core.compare.claims import Claim, claim_unit
from hoistbook.services.as_json.parts import Json
from hoistbook.services.claims import ClaimsReport, JudgedClaim


def claims_json(report: ClaimsReport) -> Json:
    """Everything said of the claims of a study; figures in SI, probabilities and shares as fractions."""
    found = report.conflicts
    return {
        "sure_enough_frac": report.sure_enough_frac,
        "duty": report.duty,
        **{state.value: report.count(state) for state in State},
        "claims": [claim_json(one) for one in report.claims],
        "conflicts": [{"claims": list(one.claims), "alarm": one.alarm} for one in found.found],
        "conflict_sentences": list(report.conflict_sentences),
        "unchecked": list(found.unchecked),
        "all_conflicts_found": found.complete,
        "remarks": list(report.remarks),
    }


def claim_json(one: JudgedClaim) -> Json:
    """One claim with what the record says of it."""
    result = one.result
    unit = claim_unit(result.claim.quantity)
    gap = result.difference
    return {
        **stated_json(result.claim),
        "state": result.state.value,
        "probability": result.probability,
        "says": one.sentence,
        "figures": [_figure(figure) for figure in result.figures],
        "difference": None
        if gap is None
        else {"value": gap.value, "low": gap.low, "high": gap.high, "unit": unit},
        "detection_limit": None
        if result.detection_limit is None
        else {"value": result.detection_limit, "unit": unit},
        "next_measurements": [_next(measurement) for measurement in result.next_measurements],
        "to_measure": list(result.to_measure),
        "remarks": list(result.remarks),
    }


def stated_json(claim: Claim) -> Json:
    """A claim as it was stated."""
    return {
        "claim": claim.code,
        "sentence": claim.sentence,
        "quantity": claim.quantity,
        "vehicle": claim.vehicle,
        "relation": claim.relation.value,
        "other": claim.other,
        "function": claim.function,
        "part": claim.part,
        "threshold": {
            "value": claim.threshold.value,
            "half_width": claim.threshold.expanded(),
            "unit": claim.threshold.unit,
            "is": claim.threshold_is.value,
        },
        "duty": claim.duty,
        "person": claim.person,
        "evidence": claim.evidence,
        "note": claim.note,
    }


def _figure(figure: Figure) -> Json:
    low, high = figure.band or (None, None)
    return {
        "vehicle": figure.vehicle,
        "called": figure.called,
        "words": figure.words,
        "value": figure.value,
        "low": low,
        "high": high,
        "unit": figure.unit,
        "origin": figure.origin or None,
        "from": list(figure.grounds),
        "assumed": list(figure.assumed),
        "missing": figure.missing,
    }


def _next(one: NextMeasurement) -> Json:
    return {
        "name": one.name,
        "words": one.words,
        "how": one.how,
        "probability_low": one.low,
        "probability_high": one.high,
        "decides_frac": one.decides_frac,
        "band_left_frac": one.band_left_frac,
        "at_best": one.at_best,
    }
