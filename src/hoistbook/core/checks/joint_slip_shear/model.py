"""What a bolted lap joint holds by friction, and what its bolts and plates hold once it has slipped."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.checks.bolts import CLASSES, by_size
from hoistbook.core.checks.declared import Check, Found, Given, Limit, Outcome, Rule, Spread
from hoistbook.core.checks.found import CheckResult
from hoistbook.core.checks.joint_slip_shear.data import (
    CHOICES,
    EUROCODE,
    PLANES,
    READINGS,
    SHANK_FACTOR,
    SKETCH,
)
from hoistbook.core.checks.joint_slip_shear.mechanics import (
    bearing_at_yield_n,
    bearing_n,
    shank_area_m2,
    shear_at_proof_n,
    shear_n,
    slip_n,
    tear_out_n,
)
from hoistbook.core.checks.words import kept
from hoistbook.core.cost.fasteners.thread import stress_area_m2

STANDARD, BOOK = "EN 1993-1-8", "Shigley, at yield"
LEAST_END = 1.2
"""from memory: EN 1993-1-8, table 3.3: least distance of a hole to the end and to the side, in diameters of the
hole."""
WAYS = {
    "shear_n": "shear of the bolts",
    "bearing_n": "bearing in the holes",
    "tear_out_n": "tearing out to the end",
}


def _shear(g: Given) -> dict[str, Array]:
    of_class, planes = g.choice("property_class"), PLANES[g.choice("shear")]
    thread = g.choice("plane") == "thread"
    area = stress_area_m2(g.diameter_m, g.pitch_m) if thread else shank_area_m2(g.diameter_m)
    found = {}
    if of_class in EUROCODE:
        strength, by = EUROCODE[of_class]
        found[STANDARD] = shear_n(area, planes, strength, by if thread else SHANK_FACTOR, g.factor_strength)
    proof = by_size(CLASSES[of_class].proof_pa, g.diameter_m)
    found[BOOK] = shear_at_proof_n(area, planes, proof, g.factor_strength)
    return found


def _bearing(g: Given) -> dict[str, Array]:
    of_class = g.choice("property_class")
    found = {}
    if g.choice("plates") == "steel" and of_class in EUROCODE:
        sizes = (g.end_m, g.side_m, g.hole_m, g.diameter_m, g.plate_m, g.strength_pa)
        found[STANDARD] = bearing_n(*sizes, EUROCODE[of_class][0], g.factor_strength)
    found[BOOK] = bearing_at_yield_n(g.diameter_m, g.plate_m, g.yield_pa, g.factor_strength)
    return found


def _evaluate(g: Given) -> Found:
    n = g.bolts_count
    planes = PLANES[g.choice("shear")]
    slip = n * slip_n(g.preload_n, planes, g.friction, g.factor_slip)
    shear = {name: n * value for name, value in _shear(g).items()}
    bearing = {name: n * value for name, value in _bearing(g).items()}
    tear = n * tear_out_n(g.end_m, g.hole_m, g.plate_m, g.yield_pa, g.factor_strength)
    held = {
        name: np.minimum(np.minimum(shear.get(name, shear[BOOK]), bearing.get(name, bearing[BOOK])), tear)
        for name in dict.fromkeys((*shear, *bearing))
    }
    return {
        "slip_n": slip,
        "slip_over_n": slip - g.load_n,
        "held_n": Spread(held),
        "held_over_n": Spread({name: value - g.load_n for name, value in held.items()}),
        "shear_n": Spread(shear),
        "bearing_n": Spread(bearing),
        "tear_out_n": tear,
        "preload_needed_n": g.load_n * g.factor_slip / (n * planes * g.friction),
    }


def _verdict(result: CheckResult, given: Given) -> str:
    n, load = float(given.bolts_count[0]), float(given.load_n[0]) / 1e3
    slip, held = result.figure("slip_n").value / 1e3, result.figure("held_n").value / 1e3
    least = min(WAYS, key=lambda name: result.figure(name).value)
    by_name = {one.outcome: one for one in result.held}
    bolts = "1 bolt holds" if n == 1.0 else f"{n:g} bolts hold"
    slips = kept(replace(by_name["slip_over_n"], safety=False))
    words = [
        (
            f"In {given.choice('shear')} shear {bolts} {slip:.1f} kN by friction against a load of {load:.1f} kN; "
            f"that it does not slip {slips}."
        ),
        (
            f"Once it has slipped, with bolts of class {given.choice('property_class')} and the "
            f"{given.choice('plane')} in the face, {WAYS[least]} comes first, at {held:.1f} kN; that it holds "
            f"{kept(by_name['held_over_n'])}"
        ),
    ]
    bearing = result.figure("bearing_n").formulas
    if bearing:
        words.append(
            f"In bearing the standard's {bearing[0].value / 1e3:.1f} kN is where the plate breaks, the book's "
            f"{bearing[1].value / 1e3:.1f} kN where the hole begins to widen."
        )
    if given.choice("plane") == "thread" and given.choice("property_class") == "10.9":
        words.append(
            "Through the thread, class 10.9 bears hardly more shear by EN 1993-1-8 than 8.8 (its factor falls from 0.6 "
            "to 0.5): what it buys is preload."
        )
    if slip < load:
        needed = result.figure("preload_needed_n").value / 1e3
        words.append(f"To hold by friction each bolt would have to keep {needed:.1f} kN.")
    if given.choice("plates") != "steel":
        words.append("Bearing by EN 1993-1-8 is left out: it holds for steel.")
    if given.choice("property_class") not in EUROCODE:
        words.append("EN 1993-1-8 is left out: it ends at class 10.9.")
    return " ".join(words)


CHECK = Check(
    name="joint_slip_shear",
    title="Bolted joint across its bolts",
    question="Does friction carry the load across this joint, and what gives first once it has slipped?",
    family="joints",
    readings=READINGS,
    choices=CHOICES,
    outcomes=(
        Outcome("slip_over_n", "held by friction less the load", "N", show="kN"),
        Outcome("slip_n", "held by friction", "N", show="kN"),
        Outcome("held_over_n", "held once slipped, less the load", "N", show="kN"),
        Outcome("held_n", "held once slipped: the least of shear, bearing and tear-out", "N", show="kN"),
        Outcome("shear_n", "shear of the bolts", "N", show="kN"),
        Outcome("bearing_n", "bearing in the holes", "N", show="kN"),
        Outcome("tear_out_n", "tear-out to the end", "N", show="kN"),
        Outcome("preload_needed_n", "preload each bolt needs to hold by friction", "N", show="kN"),
    ),
    evaluate=_evaluate,
    verdict=_verdict,
    sketch=SKETCH,
    limits=(
        Limit(
            "slip_over_n",
            "at least",
            0.0,
            "the load against friction",
            "published",
            "EN 1993-1-8, eq. 3.6, second hand",
            safety=True,
        ),
        Limit(
            "held_over_n",
            "at least",
            0.0,
            "the load against bolts and plates",
            "published",
            "EN 1993-1-8, table 3.4, second hand; Shigley's Mechanical Engineering Design, 9th ed., example 8-6",
            safety=True,
        ),
    ),
    rules=(
        Rule(
            (
                f"a hole stands nearer than {LEAST_END:g} of its diameters to the end or side, where the formulas do "
                "not hold (from memory: EN 1993-1-8, table 3.3)"
            ),
            lambda g: (g.end_m < LEAST_END * g.hole_m) | (g.side_m < LEAST_END * g.hole_m),
        ),
        Rule("the hole is smaller than the bolt: measure again", lambda g: g.hole_m < g.diameter_m),
        Rule("the plate's strength is below its yield", lambda g: g.strength_pa < g.yield_pa),
        Rule("a count of bolts is a whole number", lambda g: g.bolts_count != np.round(g.bolts_count)),
    ),
    cannot_say=(
        (
            "How unequally bolts share a load: it is split evenly here; see the check of a bolt group for one off the "
            "middle"
        ),
        "Load along the bolts at the same time, which takes from friction and from shear alike",
        "Fatigue, fretting, and joints of plastic, glue or both",
        "Plates that buckle or tear across the holes",
    ),
    references=(
        "published: EN 1993-1-8, 3.4 to 3.9, second hand, in design guides for steel buildings",
        "from memory: EN 1993-1-8, tables 3.3 and 3.4: least distances, factor of the side distance",
        "published: Budynas and Nisbett, Shigley's Mechanical Engineering Design, 9th ed., example 8-6",
        "common practice: friction of painted joints 0.10 to 0.15",
    ),
    method="""
| what, for each bolt | equation | source |
|---|---|---|
| friction | planes · μ F/γM3 | published: EN 1993-1-8, eq. 3.6 |
| shear | planes · α fub A/γM2; α 0.6 (8.8), 0.5 (10.9) in the thread, 0.6 in the shank | published: EN 1993-1-8 |
| shear, at proof stress | planes · 0.577 Sp A/γ | published: Shigley, example 8-6 |
| bearing, steel | k1 α f d t/γM2, α = min(e1/3d0, fub/f, 1), k1 = min(2.8 e2/d0 − 1.7, 2.5) | published: EN 1993-1-8 |
| bearing, at yield | d t Sy/γ | published: Shigley, example 8-6 |
| tear-out | 2 (e1 − d0/2) t 0.577 Sy/γ | from memory: Shigley 8-12 |

The standard covers steel plates and classes up to 10.9; elsewhere its formulas are left out and the book's stand alone.
""",
)
