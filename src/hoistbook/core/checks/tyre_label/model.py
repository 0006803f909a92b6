"""A letter on a tyre label as a band of rolling resistance, in newtons and watt-hours per kilometre."""

from __future__ import annotations

import numpy as np

from hoistbook.core.checks.declared import Check, Found, Given, Outcome, Rule
from hoistbook.core.checks.found import CheckResult
from hoistbook.core.checks.tyre_label.data import CHOICES, CLASSES, READINGS, SKETCH
from hoistbook.core.trials.road_equations import GRAVITY_M_PER_S2


def _edges(g: Given) -> tuple[float, float]:
    return CLASSES[g.choice("regulation")].get(g.choice("letter"), (np.nan, np.nan))


def _evaluate(g: Given) -> Found:
    low, high = _edges(g)
    # A letter says no more than its class: the draws fill it evenly, the first stands in its middle.
    n = g.mass_kg.shape[0]
    middle = 0.5 * (low + high)
    spread = np.concatenate([[middle], low + (high - low) * (np.arange(n - 1) + 0.5) / (n - 1)]) * 1e-3
    weight = g.mass_kg * GRAVITY_M_PER_S2
    dynamic = 0.5 * g.air_kg_per_m3 * g.speed_m_per_s**2
    force = spread * weight
    return {
        "coefficient": spread,
        "force_n": force,
        "energy_j_per_m": force,
        "class_n": np.full(n, (high - low) * 1e-3) * weight,
        "share_frac": force / (force + dynamic * g.drag_area_m2),
        "counts_m2": 1e-3 * weight / dynamic,
    }


def _verdict(result: CheckResult, given: Given) -> str:
    force, energy = result.figure("force_n"), result.figure("energy_j_per_m")
    width = result.figure("class_n").value
    return (
        f"Class {given.choice('letter')} of the regulation of {given.choice('regulation')} is {force.low:.0f} to "
        f"{force.high:.0f} N here, "
        f"{energy.low / 3.6:.0f} to {energy.high / 3.6:.0f} Wh/km at the wheel; one class is {width:.0f} N wide. "
        "Letters D and E "
        "moved between the regulations, so keep the regulation with the letter; a label is a drum value at standard "
        "load and "
        "pressure, good for comparing and no measurement of this vehicle."
    )


CHECK = Check(
    name="tyre_label",
    title="Tyre label",
    question="What does the letter on the tyre label mean in newtons, watt-hours and drag area?",
    family="air_and_tyres",
    readings=READINGS,
    choices=CHOICES,
    outcomes=(
        Outcome("coefficient", "rolling resistance coefficient", "1", effect="tyre_coefficient", show="N/kN"),
        Outcome("force_n", "rolling resistance", "N"),
        Outcome("energy_j_per_m", "energy at the wheel per way", "J/m", show="Wh/km"),
        Outcome("class_n", "width of the class", "N"),
        Outcome("share_frac", "share of tyres in tyres and air at that speed", "1", show="%"),
        Outcome("counts_m2", "drag area that is worth 1 kg/t at that speed", "m2"),
    ),
    evaluate=_evaluate,
    verdict=_verdict,
    sketch=SKETCH,
    rules=(
        Rule(
            "that regulation has no such class: (EC) 1222/2009 has A, B, C, E, F, G, (EU) 2020/740 has A to E",
            lambda g: np.isnan(_edges(g)[0]) & (g.mass_kg > 0.0),
        ),
    ),
    cannot_say=(
        "What the tyre does on the road: pressure, temperature, wear and surface move it",
        "Where in its class a tyre lies",
        "Classes of vans' C2 and trucks' C3 tyres, which have other edges",
    ),
    references=(
        "published: Regulation (EC) 1222/2009, annex I part A",
        (
            "from memory: Regulation (EU) 2020/740, annex I part A; five classes A to E from May 2021 (published: a "
            "tyre maker's page)"
        ),
    ),
    method="""
| what | equation | source |
|---|---|---|
| class | edges in kg/t, which is N/kN | published: (EC) 1222/2009; from memory: (EU) 2020/740 |
| open ends of the first and last class | 4.5 and 14 kg/t | common practice |
| force | C m g | first principles |
| worth in drag area | 0.001 m g/(½ρv²) per kg/t | first principles |
""",
)
