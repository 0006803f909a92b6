"""Range, consumption and wheel energy as JSON objects."""

from __future__ import annotations

from collections.abc import Sequence

from hoistbook.core.compare.bars import Interval
from hoistbook.report.figures import shown
from hoistbook.services.as_json.parts import Json, assumed, interval, optional_interval, parameter
from hoistbook.services.energy import CycleReport, RangeReport


def range_json(report: RangeReport) -> Json:
    """A range report in SI, except range in km and consumption in Wh/km beside it."""
    return {
        "vehicle": report.code,
        "configuration": report.configuration,
        "duty": report.duty,
        "basis": report.basis,
        "range_km": interval(shown(report.range, "km")),
        "stated_range_km": _in(report.stated_range, "km"),
        "energy_wh_per_km": interval(shown(report.energy, "Wh/km")),
        "stated_energy_wh_per_km": _in(report.stated_energy, "Wh/km"),
        "residual": optional_interval(report.residual),
        "model_error_frac": report.model_error_frac,
        "parameters": [parameter(row) for row in report.parameters],
        "chain_j_per_m": dict(report.chain),
        "one_efficiency": report.one_efficiency,
        "label": None
        if report.label is None
        else {
            "factor": report.label.factor,
            "source": report.label.source,
            "range_km": interval(shown(report.label.range, "km")),
            "energy_wh_per_km": interval(shown(report.label.energy, "Wh/km")),
        },
        "assumptions": list(report.assumptions),
        "assumed": assumed(report.assumed),
        "doubts": list(report.doubts),
        "draws": report.n_draws,
        "seed": report.seed,
    }


def _in(found: Interval | None, unit: str) -> Json | None:
    return None if found is None else interval(shown(found, unit))


def cycle_json(name: str, reports: Sequence[CycleReport]) -> Json:
    """Wheel energy in J; one flat object for a single cycle, a list for a duty of several."""
    rows = [
        {
            "cycle": report.cycle,
            "traction_j": report.traction_j,
            "braking_j": report.braking_j,
            "distance_m": report.distance_m,
            "duration_s": report.duration_s,
        }
        for report in reports
    ]
    return rows[0] if len(rows) == 1 else {"cycle": name, "cycles": rows}
