"""What published figures say of two vehicles, as one JSON object."""

from __future__ import annotations

from hoistbook.core.compare.inference import Alternative, Learned
from hoistbook.core.compare.published_rows import Contradiction
from hoistbook.core.vehicle.kinds import QUANTITY_KINDS, field_words
from hoistbook.services.as_json.parts import Json, assumed, walk
from hoistbook.services.infer import InferReport, NextMeasurement

_UNITS = {kind.field: kind.unit for kind in QUANTITY_KINDS.values() if kind.field}
METRES_PER_KM = 1000.0


def infer_json(report: InferReport) -> Json:
    """Walk as in `gap --json`, with parameters, contradictions and measurements; parameters in SI, bands in km."""
    return {
        "quantity": report.walk.quantity,
        "from": report.walk.code_x,
        "to": report.walk.code_y,
        **walk(report.walk),
        "parameters": [_learned(one) for one in report.parameters],
        "must_be_true": [_alternative(one) for one in report.alternatives],
        "next_measurements": [_next(one) for one in report.next_measurements],
        "contradictions": [_contradiction(one, report) for one in report.contradictions],
        "assumptions": [*report.walk.assumptions, *report.assumptions],
        "assumed": assumed((*report.walk.assumed, *report.assumed)),
        "doubts": list(report.doubts),
        "draws": report.n_draws,
        "seed": report.seed,
    }


def _learned(one: Learned) -> Json:
    return {
        "vehicle": one.vehicle,
        "name": one.field,
        "words": field_words(one.field),
        "value": one.after.value,
        "low": one.after.low,
        "high": one.after.high,
        "unit": _UNITS[one.field],
        "origin": one.origin,
        "before": {"value": one.before.value, "low": one.before.low, "high": one.before.high},
        "narrower_frac": one.narrower_frac,
    }


def _alternative(one: Alternative) -> Json:
    return {
        "name": one.name,
        "vehicle": one.vehicle or None,
        "probability": one.probability,
        "at_most": one.bound if one.at_most else None,
        "at_least": None if one.at_most else one.bound,
    }


def _next(one: NextMeasurement) -> Json:
    narrowing = one.narrowing
    return {
        "vehicle": one.vehicle,
        "name": narrowing.name.partition("/")[0],
        "words": narrowing.words,
        "how": narrowing.how,
        "minutes": narrowing.minutes,
        "half_width_now_km": narrowing.half_width_now / METRES_PER_KM,
        "half_width_then_km": narrowing.half_width_then / METRES_PER_KM,
        "narrows_cause": one.cause or None,
        "cause_half_width_now_km": one.cause_now / METRES_PER_KM,
        "cause_half_width_then_km": one.cause_then / METRES_PER_KM,
    }


def _contradiction(one: Contradiction, report: InferReport) -> Json:
    pair = {report.walk.code_x, report.walk.code_y}
    return {
        "kind": one.kind,
        "strength": one.strength.value,
        "vehicles": list(one.vehicles),
        "beside": list(one.beside),
        "sentence": one.sentence,
        "means": one.means,
        "evidence": list(one.evidence),
        "about_this_pair": bool(pair & {*one.vehicles, *one.beside}),
    }
