"""Rates of a vehicle as one JSON object."""

from __future__ import annotations

from hoistbook.core.compare.rates import Rate
from hoistbook.report.figures import shown
from hoistbook.services.as_json.parts import Json, assumed, interval
from hoistbook.services.rates import RatesReport


def rates_json(report: RatesReport) -> Json:
    """Rates per unit of each effect: range in m, consumption at the wall in Wh/km; the step is in SI."""
    return {
        "vehicle": report.code,
        "configuration": report.configuration,
        "duty": report.duty,
        "as_built": [_rate(rate) for rate in report.as_built],
        "with_secondary": [_rate(rate) for rate in report.with_secondary],
        "secondary_mass_kg_per_kg": report.secondary_mass_kg_per_kg,
        "assumptions": list(report.assumptions),
        "assumed": assumed(report.assumed),
        "draws": report.n_draws,
        "seed": report.seed,
    }


def _rate(rate: Rate) -> Json:
    return {
        "name": rate.effect.name,
        "words": rate.effect.words,
        "parameter": rate.effect.field,
        "step_si": rate.effect.step,
        "range_m": interval(rate.range),
        "energy_wh_per_km": interval(shown(rate.energy, "Wh/km")),
    }
