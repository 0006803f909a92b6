"""Frontal area: from height and width, and from outlines at two distances."""

from __future__ import annotations

import numpy as np

from hoistbook.core.checks.declared import Check, Found, Given, Outcome, Rule
from hoistbook.core.checks.found import CheckResult
from hoistbook.core.checks.frontal_area.data import READINGS, SKETCH


def _evaluate(g: Given) -> Found:
    # 1/√(apparent area) is a line in 1/distance: its end at 0 is 1/√area, its slope tells how far behind it lies.
    near, far = 1.0 / np.sqrt(g.near_m2), 1.0 / np.sqrt(g.far_m2)
    slope = (near - far) / (1.0 / g.near_distance_m - 1.0 / g.far_distance_m)
    end = far - slope / g.far_distance_m
    return {
        "area_m2": 1.0 / end**2,
        "behind_m": slope / end,
        "by_size_m2": g.factor * g.height_m * g.width_m,
        "factor_found": 1.0 / end**2 / (g.height_m * g.width_m),
    }


def _verdict(result: CheckResult, given: Given) -> str:
    area, by_size = result.figure("area_m2"), result.figure("by_size_m2")
    words = (
        f"From two photos {area.value:.3f} m² ({area.low:.3f} to {area.high:.3f}); height times width says "
        f"{by_size.value:.2f} m² "
        f"({by_size.low:.2f} to {by_size.high:.2f})."
    )
    apart = area.low > by_size.high or area.high < by_size.low
    return words + (
        " They do not agree: look at mirrors, reference and outline again."
        if apart
        else " They agree. One photo alone is too small by some per cent: the outline lies behind the reference."
    )


CHECK = Check(
    name="frontal_area",
    title="Frontal area from photos",
    question="How large is the frontal area, and does it agree with height times width?",
    family="air_and_tyres",
    readings=READINGS,
    outcomes=(
        Outcome("area_m2", "frontal area from two photos", "m2"),
        Outcome("behind_m", "how far behind the reference the outline lies", "m"),
        Outcome("by_size_m2", "frontal area from height and width", "m2"),
        Outcome("factor_found", "area over height times width of this vehicle", "1"),
    ),
    evaluate=_evaluate,
    verdict=_verdict,
    sketch=SKETCH,
    rules=(
        Rule(
            "the farther photo must be taken from at least one and a half times the distance of the nearer",
            lambda g: g.far_distance_m < 1.5 * g.near_distance_m,
        ),
        Rule(
            "the outline looks smaller from afar: photos, distances or scales are swapped",
            lambda g: g.far_m2 < g.near_m2,
        ),
        Rule(
            "the outline grows by more than its distances allow; check both areas and both distances",
            lambda g: g.far_m2 * g.near_distance_m**2 >= g.near_m2 * g.far_distance_m**2,
        ),
    ),
    cannot_say=(
        "A drag coefficient: no photo gives one",
        "Distortion of the lens: use the middle of a long lens",
        "Mirrors, tyres and ride height: state what was in the outline",
    ),
    references=(
        "published: US EPA technical report LDTP-11-1, 1977, abstract: 0.80 × height × width within ±1.0 ft² at 80 %",
        "first principles: central projection of an outline behind the reference",
    ),
    method="""
| what | equation | source |
|---|---|---|
| one photo | A_app = A (d/(d + Δ))² | first principles |
| two photos | 1/√A_app is a line in 1/d: at 0 it is 1/√A, slope over that is Δ | first principles |
| size | 0.80 H W, ±0.093 m² at 80 % | published: LDTP-11-1 |
""",
)
