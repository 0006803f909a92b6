"""Mean crush force of a thin-walled member by several formulas, at rest and at speed, and the energy it takes."""

from __future__ import annotations

import math

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.checks.crush_member.data import (
    ALEXANDER,
    CHOICES,
    FOLDED,
    RATES,
    READINGS,
    SHAPES,
    SKETCH,
    STROKE,
)
from hoistbook.core.checks.declared import Check, Found, Given, Outcome, Rule, Spread
from hoistbook.core.checks.found import CheckResult
from hoistbook.core.checks.words import NO_PERMISSION

THIN, SLIM = (8.0, 100.0), 10.0
"""common practice: side over wall between which walls fold thin and compact (the tests of Abramowicz and Jones, 1984,
had 30 to 32: published, abstract); length over side beyond which a member bends over instead."""


def flow_stresses_pa(g: Given) -> dict[str, Array]:
    """Two ways to a flow stress: mean of yield and strength, and √(yield · strength/(1 + n)). [Pa]"""
    return {
        "mean of yield and strength": 0.5 * (g.yield_pa + g.strength_pa),
        "by hardening": np.sqrt(g.yield_pa * g.strength_pa / (1.0 + g.hardening)),
    }


def perimeter_m(shape: str, side: Array, flange: Array) -> Array:
    """Length of wall around the section, flanges of both sheets counted. [m]"""
    if shape == "round":
        around: Array = math.pi * side
    else:
        around = 4.0 * side + (4.0 * flange if "hat" in shape else 0.0)
    return around


def folded_n(factor: float, flow: Array, wall: Array, length: Array) -> Array:
    """Factor · σ t^(5/3) L^(1/3), L the side of a square tube or the whole perimeter of a hat (from memory). [N]"""
    force: Array = factor * flow * wall ** (5.0 / 3.0) * np.cbrt(length)
    return force


def round_n(flow: Array, wall: Array, diameter: Array) -> Array:
    """6 σ t^1.5 √D (from memory: Alexander 1960). [N]"""
    force: Array = 6.0 * flow * wall**1.5 * np.sqrt(diameter)
    return force


def rate_factor(speed: Array, side: Array, constants: tuple[float, float]) -> Array:
    """1 + (0.33 v/(b D))^(1/q) (from memory: Cowper and Symonds; strain rate by Abramowicz and Jones). [1]"""
    bound, power = constants
    found: Array = 1.0 + (0.33 * speed / (side * bound)) ** (1.0 / power)
    return found


def _static(g: Given) -> dict[str, Array]:
    shape = g.choice("shape")
    flows = flow_stresses_pa(g)
    if shape == "round":
        return {f"{ALEXANDER}; {name}": round_n(flow, g.wall_m, g.side_m) for name, flow in flows.items()}
    length = perimeter_m(shape, g.side_m, g.flange_m) if "hat" in shape else g.side_m
    return {
        f"{formula}; {name}": folded_n(factor, flow, g.wall_m, length)
        for formula, factor in FOLDED[shape].items()
        for name, flow in flows.items()
    }


def _rates(g: Given) -> dict[str, Array]:
    """Rate factors by their constants; none where they do not hold for the material."""
    if g.choice("material") != "mild steel":
        return {}
    return {name: rate_factor(g.speed_m_per_s, g.side_m, constants) for name, constants in RATES.items()}


def _evaluate(g: Given) -> Found:
    static, rates = _static(g), _rates(g)
    at_speed = {
        f"{formula}; rate {name}": force * rate
        for formula, force in static.items()
        for name, rate in rates.items()
    }
    dynamic = at_speed or static
    told: Found = {"rate_factor": Spread(rates)} if rates else {}
    stroke = STROKE * g.length_m
    mass = perimeter_m(g.choice("shape"), g.side_m, g.flange_m) * g.wall_m * g.length_m * g.density_kg_per_m3
    crash = 0.5 * g.mass_kg * (g.speed_m_per_s**2 - g.left_m_per_s**2)
    return {
        "dynamic_n": Spread(dynamic),
        "static_n": Spread(static),
        **told,
        "stroke_m": stroke,
        "energy_j": Spread({name: force * stroke for name, force in static.items()}),
        "energy_at_speed_j": Spread({name: force * stroke for name, force in dynamic.items()}),
        "section_mass_kg": mass,
        "energy_per_mass": Spread({name: force * stroke / mass for name, force in static.items()}),
        "crash_j": crash,
        "share_frac": Spread({name: force * stroke / crash for name, force in dynamic.items()}),
    }


def _verdict(result: CheckResult, given: Given) -> str:
    static, share = result.figure("static_n"), result.figure("share_frac")
    dynamic = result.figure("dynamic_n").formulas
    values = [one.value for one in dynamic]
    forces = [one.value / 1e3 for one in static.formulas]
    words = [
        (
            f"Folding at rest as a {SHAPES[given.choice('shape')]} takes {min(forces):.0f} to {max(forces):.0f} kN "
            "by the formulas, over a stroke of "
            f"{result.figure('stroke_m').value * 1e3:.0f} mm."
        ),
        (
            f"At speed they differ by a factor of {max(values) / min(values):.1f}, {min(values) / 1e3:.0f} to "
            f"{max(values) / 1e3:.0f} kN: there is no one number, so rank like with like."
        ),
        (
            f"That is {min(one.value for one in share.formulas):.0%} to "
            f"{max(one.value for one in share.formulas):.0%} of "
            f"the {result.figure('crash_j').value / 1e3:.0f} kJ the crash has to lose; compartment, wheel, barrier and "
            f"what is still moving carry the rest. A rail alone never closes that ledger, and at a quarter overlap it "
            f"is often missed."
        ),
    ]
    if given.choice("material") != "mild steel":
        words.append("The rate factor is left out: its constants hold for mild steel.")
    if "hat" in given.choice("shape"):
        words.append("It needs its spot welds: wider apart than half a fold they let the seam open.")
    words.append(NO_PERMISSION)
    return " ".join(words)


CHECK = Check(
    name="crush_member",
    title="Crush of a rail",
    question="What force and energy does this rail or crush box take while folding, and what share of a crash is that?",
    family="front",
    readings=READINGS,
    choices=CHOICES,
    outcomes=(
        Outcome("dynamic_n", "mean crush force at speed", "N", show="kN"),
        Outcome("static_n", "mean crush force at rest", "N", show="kN"),
        Outcome("rate_factor", "rise of the force at speed", "1"),
        Outcome("stroke_m", "effective stroke", "m", show="mm"),
        Outcome("energy_j", "energy at rest", "J", show="kJ"),
        Outcome("energy_at_speed_j", "energy at speed", "J", show="kJ"),
        Outcome("section_mass_kg", "mass of the length that folds", "kg"),
        Outcome("energy_per_mass", "energy per mass, at rest", "J/kg"),
        Outcome("crash_j", "energy that the crash has to lose", "J", show="kJ"),
        Outcome("share_frac", "share of it", "1", show="%"),
    ),
    evaluate=_evaluate,
    verdict=_verdict,
    sketch=SKETCH,
    rules=(
        Rule(
            f"the side is not {THIN[0]:g} to {THIN[1]:g} times the wall, where thin walls fold compactly",
            lambda g: (g.side_m < THIN[0] * g.wall_m) | (g.side_m > THIN[1] * g.wall_m),
        ),
        Rule(
            f"the member is longer than {SLIM:g} sides: it bends over before it folds, and the formulas do not hold",
            lambda g: g.length_m > SLIM * g.side_m,
        ),
        Rule(
            "a hat has flanges: state flange_m", lambda g: (g.flange_m <= 0.0) & ("hat" in g.choice("shape"))
        ),
        Rule("the tensile strength is below the yield", lambda g: g.strength_pa < g.yield_pa),
        Rule("more speed is left than there was", lambda g: g.left_m_per_s >= g.speed_m_per_s),
    ),
    cannot_say=(
        "Members that bend, are curved, have triggers, foam or changing walls: straight, even ones that fold only",
        "Whether the barrier meets it: at 25 % overlap rails are usually missed",
        "Seams, castings and press-hardened steel, which tear before they fold",
        "The peak at the first fold, which is higher than the mean",
        "A rating of a vehicle: keep a ledger of load paths and show the gap in it",
    ),
    references=(
        "from memory: Wierzbicki and Abramowicz 1983; Abramowicz and Jones 1984, 1986: square tubes",
        (
            "published: Abramowicz and Jones, Int. J. Impact Engng 2(2) (1984) 179–208, abstract: 84 tests, c/h 30.25, "
            "32.18"
        ),
        "from memory: White, Jones and Abramowicz 1999: hats; Alexander 1960: round tubes",
        "from memory: Cowper and Symonds; constants of mild steel at first yield and at large strain",
    ),
    method="""
| what | equation | source |
|---|---|---|
| flow stress | (Sy + Su)/2; √(Sy Su/(1 + n)) | from memory |
| square tube | 13.06 or 9.56 · σ t^(5/3) b^(1/3) | from memory: Abramowicz and Jones; Wierzbicki and Abramowicz |
| hat; double hat | 8.22; 13.05 · σ t^(5/3) L^(1/3), L the whole perimeter | from memory: White, Jones and Abramowicz |
| round tube | 6 σ t^1.5 √D | from memory: Alexander |
| rate | 1 + (0.33 v/(b D))^(1/q); (6844/s, 3.91) or (40.4/s, 5) | from memory: Cowper and Symonds |
| stroke; energy | 0.73 length; force times stroke | from memory: Abramowicz and Jones |
| crash | ½ m (v² − v_left²) | first principles |
""",
    cautions=(
        "Rails beside armed airbags, belt tensioners or a battery: make these safe first, by the maker's sheet.",
    ),
)
