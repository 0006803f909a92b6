"""Coast-down as JSON: coefficients with their covariance, runs used and rejected."""

from __future__ import annotations

from typing import Any

from hoistbook.core.trials.coastdown import CoastDown
from hoistbook.services.as_json.parts import quantity

Json = dict[str, Any]


def coast_down_json(found: CoastDown) -> Json:
    """Everything scripts may rely on; SI, the covariance in the order of `coefficients`."""
    named = {"a_n": found.a, "b_n_s_per_m": found.b, "c_n_s2_per_m2": found.c}
    return {
        **{key: value.value for key, value in named.items()},
        "coefficients": list(named),
        "covariance": found.covariance.tolist(),
        "bands": {key: dict(zip(("low", "high"), value.band(), strict=True)) for key, value in named.items()},
        "dof": None if found.dof == float("inf") else found.dof,
        "forces": [
            {"speed_m_per_s": one.speed_m_per_s, **quantity(one.value), "inside": one.inside}
            for one in found.forces
        ],
        "reference_density_kg_per_m3": found.conditions.reference_density_kg_per_m3,
        "wind_from": found.conditions.wind,
        "slope_from": found.conditions.slope,
        "observations": found.cluster_count,
        "speed_noise_m_per_s": found.noise_m_per_s,
        "gusts_n": found.gusts_n,
        "runs": [
            {
                "number": one.run.number,
                "source": one.run.source,
                "start_s": float(one.run.time_s[0]),
                "end_s": float(one.run.time_s[-1]),
                "direction": one.run.direction,
                "wind_m_per_s": one.wind_m_per_s,
                "mean_n": one.mean_n,
                "studentised": one.studentised,
            }
            for one in found.runs
        ],
        "rejected": [
            {
                "number": one.number,
                "source": one.source,
                "start_s": one.start_s,
                "end_s": one.end_s,
                "reason": one.reason,
            }
            for one in found.rejected
        ],
    }
