"""Bending at the wheel bearing and forces at the joints of a knuckle, and what it weighs for them."""

from __future__ import annotations

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.checks.declared import Check, Found, Given, Outcome, Rule
from hoistbook.core.checks.found import CheckResult
from hoistbook.core.checks.knuckle_duty.data import CHOICES, READINGS, SKETCH
from hoistbook.core.checks.words import NO_PERMISSION
from hoistbook.core.trials.road_equations import GRAVITY_M_PER_S2

CASES = {
    "outer_n_m": "the outer wheel in a corner",
    "inner_n_m": "the inner wheel in a corner",
    "brake_n_m": "braking",
    "bump_n_m": "a bump",
}


def wheel_loads_n(g: Given) -> dict[str, Array]:
    """Upright load of one wheel by case: static share, with what corner or brakes move (first principles). [N]"""
    static = 0.5 * g.axle_kg * GRAVITY_M_PER_S2
    aside = 2.0 * static * g.corner_g * g.cg_height_m / g.track_m
    sign = 1.0 if g.choice("axle") == "front" else -1.0
    ahead = 0.5 * sign * g.vehicle_kg * GRAVITY_M_PER_S2 * g.brake_g * g.cg_height_m / g.wheelbase_m
    return {
        "outer_n_m": static + aside,
        "inner_n_m": np.maximum(static - aside, 0.0),
        "brake_n_m": np.maximum(static + ahead, 0.0),
        "bump_n_m": g.bump_g * static,
    }


def joint_forces_n(
    upright: Array, inward: Array, rearward: Array, lower: tuple[Array, Array], upper_z: Array
) -> tuple[Array, Array]:
    """Forces of the joints in the plane of the ground, lower and upper.

    Parameters
    ----------
    upright, inward, rearward : array
        Force of the ground on the tyre, in the middle of the tread. [N]
    lower : pair of array
        How far the tread is outboard of the lower joint, and the joint's height. [m]
    upper_z : array
        Height of the upper joint. [m]

    Returns
    -------
    pair of array
        [N]

    Notes
    -----
    Moments about the lower joint; the brake is held by the knuckle, so its force acts at the ground (first principles).
    The upright load goes to whichever joint carries the spring and is left out.
    """
    aside, low = lower
    span = upper_z - low
    upper_y = (aside * upright - low * inward) / span
    upper_x = -low * rearward / span
    return np.hypot(inward - upper_y, rearward - upper_x), np.hypot(upper_y, upper_x)


def _evaluate(g: Given) -> Found:
    loads = wheel_loads_n(g)
    outer, inner, brake, bump = (loads[name] for name in CASES)
    s, r = g.offset_m, g.wheel_m
    moments = {
        "outer_n_m": np.abs(s * outer - r * g.corner_g * outer),
        "inner_n_m": np.abs(s * inner + r * g.corner_g * inner),
        "brake_n_m": np.abs(s) * brake * np.hypot(1.0, g.brake_g),
        "bump_n_m": np.abs(s) * bump,
    }
    duty = np.max(list(moments.values()), axis=0)
    nothing = np.zeros_like(outer)
    lower = (g.lower_y_m, g.lower_z_m)
    joints = [
        joint_forces_n(outer, g.corner_g * outer, nothing, lower, g.upper_z_m),
        joint_forces_n(inner, -g.corner_g * inner, nothing, lower, g.upper_z_m),
        joint_forces_n(brake, nothing, g.brake_g * brake, lower, g.upper_z_m),
        joint_forces_n(bump, nothing, nothing, lower, g.upper_z_m),
    ]
    return {
        "duty_n_m": duty,
        **moments,
        "lower_joint_n": np.max([one for one, _ in joints], axis=0),
        "upper_joint_n": np.max([one for _, one in joints], axis=0),
        "moment_per_mass": duty / g.mass_kg,
        "axle_over_mass": g.axle_kg / g.mass_kg,
        "duty_index": g.mass_kg * g.yield_pa / (g.density_kg_per_m3 * duty),
    }


def _verdict(result: CheckResult, given: Given) -> str:
    duty, index = result.figure("duty_n_m").value, result.figure("duty_index")
    worst = max(CASES, key=lambda name: result.figure(name).value)
    lever = float(given.corner_g[0] * given.wheel_m[0])
    offset = float(given.offset_m[0])
    words = [
        (
            f"{CASES[worst].capitalize()} bends this {given.choice('axle')} knuckle most, by {duty / 1e3:.2f} kN·m at "
            "the bearing."
        )
    ]
    if worst == "outer_n_m" and 0.0 < offset < lever:
        words.append(
            f"The arm of that is {(lever - offset) * 1e3:.0f} mm, cornering in g times wheel radius less offset: a "
            "larger offset does not raise it, a larger wheel or heavier axle does."
        )
    words.append(
        f"It carries {result.figure('moment_per_mass').value:.0f} N·m per kilogram, and its volume is "
        f"{index.value:.0f} ({index.low:.0f} to {index.high:.0f}) times what moment over yield asks. Hold that number "
        f"against another knuckle's: parts of one shape at one stress have the same, whatever the vehicle weighs; a "
        f"heavier knuckle on a heavier axle may be the leaner one."
    )
    words.append(NO_PERMISSION)
    return " ".join(words)


CHECK = Check(
    name="knuckle_duty",
    title="Duty of a knuckle",
    question="Is this knuckle heavy, or does it carry more?",
    family="links",
    readings=READINGS,
    choices=CHOICES,
    outcomes=(
        Outcome("duty_index", "volume times yield over the greatest bending moment", "1"),
        Outcome("duty_n_m", "greatest bending moment at the bearing", "N.m"),
        Outcome("outer_n_m", "bending, outer wheel in a corner", "N.m"),
        Outcome("inner_n_m", "bending, inner wheel in a corner", "N.m"),
        Outcome("brake_n_m", "bending, braking", "N.m"),
        Outcome("bump_n_m", "bending, bump", "N.m"),
        Outcome("lower_joint_n", "greatest force at the lower joint, along the ground", "N", show="kN"),
        Outcome("upper_joint_n", "greatest force at the upper joint, along the ground", "N", show="kN"),
        Outcome("moment_per_mass", "bending moment per mass of the knuckle", "N.m/kg"),
        Outcome("axle_over_mass", "mass on the axle over that of the knuckle", "1"),
    ),
    evaluate=_evaluate,
    verdict=_verdict,
    sketch=SKETCH,
    rules=(
        Rule(
            "the upper joint is not above the lower one: measure again", lambda g: g.upper_z_m <= g.lower_z_m
        ),
        Rule("the axle carries more than the vehicle weighs", lambda g: g.axle_kg > g.vehicle_kg),
        Rule(
            "at that cornering the inner wheel is off the ground: the shares of the axle do not hold",
            lambda g: 2.0 * g.corner_g * g.cg_height_m > g.track_m,
        ),
    ),
    cannot_say=(
        "Stress anywhere in the knuckle: that needs its shape; fatigue, which sets most of it",
        "Kerb strikes and potholes to one side, steering and spring forces, drive torque",
        "How roll stiffness shares the load between the axles: it is shared here as the mass is",
        "What else the knuckle carries: caliper, sensors, a parking brake; weigh and list them",
        "Stiffness, which may set a knuckle's size before strength does",
    ),
    references=(
        "first principles: equilibrium of wheel, knuckle and joints; load moved by corner and brakes",
        "first principles: parts of one shape at one stress have a volume in proportion to their moment",
        "common practice: load cases of about 1 g cornering, 1 g braking, 3 static loads in a bump; no source",
    ),
    method="""
| what | equation | source |
|---|---|---|
| wheel load, outer and inner | W (1 ± 2 a h/t) | first principles: the axle's own share |
| braking | W ± m g a h/(2 L) | first principles |
| bending at the bearing, corner | F (s ∓ a r) | first principles |
| braking; bump | s F √(1 + a²); s n W | first principles |
| upper joint | (y F − z Fy)/(zu − z); along −z Fx/(zu − z) | first principles |
| index | m Sy/(ρ M) | first principles: similar parts at equal stress |

s tread outboard of the bearing, r wheel centre over the ground, y tread outboard of the lower joint, z its height.
""",
    cautions=("A knuckle pressed apart can spring: cages for springs, glasses at the press.",),
)
