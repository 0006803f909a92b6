"""Wind-up of half shafts, told apart from steering pull: stiffness, side-gear speed, torque split, bending mode."""

from __future__ import annotations

import math

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.checks.declared import Check, Found, Given, Outcome, Rule
from hoistbook.core.checks.found import CheckResult
from hoistbook.core.checks.half_shaft_windup.data import CHOICES, READINGS, SKETCH
from hoistbook.core.checks.words import SURE


def bar_n_m_per_rad(g: Array, outer: Array, bore: Array, length: Array) -> Array:
    """K = GJ/L, J = π(D⁴ − d⁴)/32. [N.m/rad]"""
    found: Array = g * math.pi * (outer**4 - bore**4) / 32.0 / length
    return found


def shear_pa(torque: Array, outer: Array, bore: Array) -> Array:
    """τ = 16TD/(π(D⁴ − d⁴)) at the outer fibre. [Pa]"""
    found: Array = 16.0 * torque * outer / (math.pi * (outer**4 - bore**4))
    return found


def bending_hz(youngs: Array, density: Array, outer: Array, bore: Array, length: Array) -> Array:
    """First bending mode, pinned ends: (π/2)√(EI/(ρA L⁴)); I/A = (D² + d²)/16. [1/s]"""
    found: Array = math.pi / 2.0 * np.sqrt(youngs * (outer**2 + bore**2) / 16.0 / density) / length**2
    return found


def _shaft(g: Given, side: str) -> tuple[Array, Array]:
    """Stiffness of a bar alone and in series with its two joints. [N.m/rad]"""
    length, outer, bore = (getattr(g, f"{name}_{side}_m") for name in ("length", "diameter", "bore"))
    bar = bar_n_m_per_rad(g.shear_modulus_pa, outer, bore, length)
    return bar, 1.0 / (1.0 / bar + 2.0 / g.joint_n_m_per_rad)


def _evaluate(g: Given) -> Found:
    found: dict[str, Array] = {}
    stiffness = {}
    for side in ("left", "right"):
        length, outer, bore = (getattr(g, f"{name}_{side}_m") for name in ("length", "diameter", "bore"))
        bar, stiffness[side] = _shaft(g, side)
        found |= {
            f"bar_{side}_n_m_per_rad": bar,
            f"shaft_{side}_n_m_per_rad": stiffness[side],
            f"bending_{side}_hz": bending_hz(g.youngs_modulus_pa, g.density_kg_per_m3, outer, bore, length),
            f"mass_{side}_kg": g.density_kg_per_m3 * math.pi / 4.0 * (outer**2 - bore**2) * length,
        }
    left, right = stiffness["left"], stiffness["right"]
    both = 2.0 * g.torque_n_m
    if g.choice("differential") == "open":
        torque_left = torque_right = g.torque_n_m
        ring = 4.0 * left * right / (left + right)
    else:
        torque_left, torque_right = both * left / (left + right), both * right / (left + right)
        ring = left + right
    wind_left, wind_right = torque_left / left, torque_right / right
    return found | {
        "wind_up_left_rad": wind_left,
        "wind_up_right_rad": wind_right,
        "shear_left_pa": shear_pa(torque_left, g.diameter_left_m, g.bore_left_m),
        "shear_right_pa": shear_pa(torque_right, g.diameter_right_m, g.bore_right_m),
        "torque_difference_n_m": torque_left - torque_right,
        "torque_left_n_m": torque_left,
        "torque_right_n_m": torque_right,
        "ring_n_m_per_rad": ring,
        "side_gears_rad_per_s": np.abs(wind_left - wind_right) / g.ramp_s,
        "wind_up_apart_rad": np.abs(wind_left - wind_right),
    }


def _verdict(result: CheckResult, given: Given) -> str:
    left, right = (_shaft(given, side)[1][1:] for side in ("left", "right"))
    slowest = min(result.figure("bending_left_hz").value, result.figure("bending_right_hz").value)
    left_is_softer = float((left < right).mean())
    softer, stiffer = ("left", "right") if left_is_softer >= 0.5 else ("right", "left")
    alike = max(left_is_softer, float((right < left).mean())) < SURE
    is_open = given.choice("differential") == "open"
    if alike and is_open:
        split = (
            "Both shafts are equally stiff as far as these readings tell; and with an open differential both wheels "
            "have the same torque at every instant in any case."
        )
    elif alike:
        split = (
            "Both shafts are equally stiff as far as these readings tell, which with the differential locked leaves "
            "the side of a pull open."
        )
    elif is_open:
        apart = math.degrees(result.figure("wind_up_apart_rad").value)
        turning = result.figure("side_gears_rad_per_s").value * 60.0 / (2.0 * math.pi)
        split = (
            f"The {softer} shaft is the softer one and winds up {apart:.1f}° more, but with an open differential both "
            "wheels have the same torque at every instant: the extra wind-up shows as side gears that turn against "
            f"each other at {turning:.0f} rpm during the ramp, not as a pull. The check of half-shaft angles says "
            "what does pull."
        )
    else:
        difference = abs(result.figure("torque_difference_n_m").value)
        split = (
            f"With the differential locked both shafts wind up alike, and the stiffer one, {stiffer}, takes "
            f"{difference:.0f} N·m more until a tyre slips: here unequal stiffness does pull."
        )
    return f"{split} The lower first bending mode lies at {slowest:.0f} Hz: a damper or a fat tube there tells of it."


_SIDES = (("left", "left"), ("right", "right"))

CHECK = Check(
    name="half_shaft_windup",
    title="Wind-up of half shafts",
    question="The longer half shaft is softer: does it wind up, shake, or take torque from its wheel?",
    family="driveline",
    readings=READINGS,
    choices=CHOICES,
    outcomes=(
        Outcome("torque_difference_n_m", "torque of the left less the right wheel", "N.m"),
        Outcome("torque_left_n_m", "torque, left", "N.m"),
        Outcome("torque_right_n_m", "torque, right", "N.m"),
        Outcome("wind_up_apart_rad", "how much more one side winds up", "rad", show="deg"),
        Outcome("ring_n_m_per_rad", "torsional stiffness seen at the ring gear", "N.m/rad"),
        Outcome(
            "side_gears_rad_per_s",
            "speed of the side gears against each other during the ramp",
            "rad/s",
            show="rpm",
        ),
        *(
            one
            for side, words in _SIDES
            for one in (
                Outcome(f"bar_{side}_n_m_per_rad", f"stiffness of the bar, {words}", "N.m/rad"),
                Outcome(f"shaft_{side}_n_m_per_rad", f"stiffness with joints, {words}", "N.m/rad"),
                Outcome(f"wind_up_{side}_rad", f"wind-up with joints, {words}", "rad", show="deg"),
                Outcome(f"shear_{side}_pa", f"shear at the outer fibre, {words}", "Pa", show="MPa"),
                Outcome(f"bending_{side}_hz", f"first bending mode, pinned ends, {words}", "1/s", show="Hz"),
                Outcome(f"mass_{side}_kg", f"mass of the bar, {words}", "kg"),
            )
        ),
    ),
    evaluate=_evaluate,
    verdict=_verdict,
    sketch=SKETCH,
    rules=(
        Rule(
            "a bore must be narrower than its bar; measure both again",
            lambda g: (g.bore_left_m >= g.diameter_left_m) | (g.bore_right_m >= g.diameter_right_m),
        ),
    ),
    cannot_say=(
        "Inertia of side gears and friction of the differential, which do make the torques differ",
        "Stepped bars: split one into its lengths",
        "What the steering feels: see half-shaft angles",
    ),
    references=(
        (
            "first principles: equilibrium of the pinion gears: an open, frictionless differential holds both torques "
            "equal"
        ),
        "from memory: torsion of round bars: Beer and Johnston, Mechanics of Materials, ch. 3",
        "from memory: first bending mode of a pinned bar: Rao, Mechanical Vibrations",
    ),
    method="""
| what | equation | source |
|---|---|---|
| bar | k = GJ/L, J = π(D⁴ − d⁴)/32 | from memory: Beer and Johnston |
| with two joints | 1/k = 1/k_bar + 2/k_joint | first principles: springs in series |
| shear | 16TD/(π(D⁴ − d⁴)) | from memory: Beer and Johnston |
| open differential | T_L = T_R; at the ring 4k_L k_R/(k_L + k_R); side gears Ṫ(1/k_L − 1/k_R) | first principles |
| locked | T_L/T_R = k_L/k_R, wind-up alike; at the ring k_L + k_R | first principles |
| bending | (π/2)√(EI/(ρA L⁴)) | from memory: Rao |
""",
)
