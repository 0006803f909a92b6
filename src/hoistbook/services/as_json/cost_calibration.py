"""What quotes make of process models as one JSON object."""

from __future__ import annotations

import math
from typing import Any

from hoistbook.core.cost.calibration import Calibration
from hoistbook.services.as_json.cost import money, scenario_head
from hoistbook.services.cost_calibration import CalibrationReport, QuoteJudged

Json = dict[str, Any]


def calibration_json(report: CalibrationReport) -> Json:
    """Everything of a calibration; amounts in `currency` of `year`, `miss_ln` is ln(quoted/model)."""
    scenario = report.scenario
    return {
        "vehicle": report.before.vehicle,
        "configuration": report.before.configuration,
        "currency": scenario.currency,
        "year": scenario.year,
        "method": report.method,
        "processes": [_process(one, report) for one in report.found],
        "quotes": [_quote(one) for one in report.quotes],
        "processes_without_quotes": list(report.processes_left),
        "total_before": money(report.before.whole.total),
        "total_after": money(report.after.whole.total),
        "scenario_before": scenario_head(report.before.scenario),
        "scenario_after": scenario_head(scenario),
        "notes": list(report.notes),
        "draws": report.before.draws,
        "seed": report.before.seed,
    }


def _process(one: Calibration, report: CalibrationReport) -> Json:
    error = one.error
    return {
        "process": one.process,
        "quotes": sum(quote.process == one.process for quote in report.quotes),
        "true_over_model": math.exp(error.bias_ln),
        "before": _ends(one.before),
        "after": _ends(one.after),
        "bias": _ends(one.bias_band),
        "hold_out_rms_ln": one.hold_out_rms_ln,
        "before_rms_ln": one.before_rms_ln,
        "hold_out_covered_frac": one.hold_out_covered_frac,
        "error": {
            "bias_ln": error.bias_ln,
            "scale_ln": error.scale_ln,
            "dof": None if math.isinf(error.dof) else error.dof,
            "own_share_frac": error.own_share_frac,
        },
        "sentences": list(one.sentences),
    }


def _ends(band: tuple[float, float]) -> Json:
    return {"low": band[0], "high": band[1]}


def _quote(one: QuoteJudged) -> Json:
    row = one.row
    return {
        "row": row.row,
        "tag": row.tag,
        "name": one.name,
        "process": one.process,
        "basis": row.basis,
        "source": row.source,
        "price": row.price_money,
        "currency": row.currency,
        "year": row.year,
        "quoted": one.quote.quoted_money,
        "model": one.quote.model_money,
        "miss_ln": one.quote.miss_ln,
        "before": money(one.before),
        "after": money(one.after),
    }
