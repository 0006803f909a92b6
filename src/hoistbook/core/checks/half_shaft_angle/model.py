"""Steering moment of unequal half shafts: joint angles, secondary couples, rack force, hand-wheel torque."""

from __future__ import annotations

import math

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.checks.declared import Check, Found, Given, Outcome, Rule, Spread
from hoistbook.core.checks.found import CheckResult
from hoistbook.core.checks.half_shaft_angle.data import READINGS, SKETCH

BISECTING = "moment along the normal of the joint's bisecting plane"
ALONG_BAR = "whole torque along the bar"
STEEPEST_RAD = math.radians(40.0)


def _bar(side: float, span: Array, drop: Array, behind: Array) -> tuple[Array, Array, Array]:
    """Unit vector of a bar, pointing to the vehicle's left; `side` is +1 left, −1 right (x forward, y left, z up)."""
    x, y, z = side * behind, span, -side * drop
    length = np.sqrt(x * x + y * y + z * z)
    return x / length, y / length, z / length


def _kingpin(side: float, inclination: Array, caster: Array) -> tuple[Array, Array, Array]:
    """Unit vector of a kingpin axis, pointing up."""
    x, y = -np.tan(caster), -side * np.tan(inclination)
    length = np.sqrt(x * x + y * y + 1.0)
    return x / length, y / length, 1.0 / length


def _about_kingpin(side: float, g: Given, span: Array, drop: Array, behind: Array) -> Array:
    """Secondary moment of one side about its kingpin, + steering left: M·k − T w·k with M = T (w + s)/(1 + w·s)."""
    sx, sy, sz = _bar(side, span, drop, behind)
    kx, ky, kz = _kingpin(side, g.inclination_rad, g.caster_rad)
    share = g.torque_n_m / (1.0 + sy)
    return share * (sx * kx + (1.0 + sy) * ky + sz * kz) - g.torque_n_m * ky


def _along_bar(side: float, g: Given, span: Array, drop: Array) -> Array:
    """The same with the whole torque along the bar: −side T sin(λ + ζ), ζ slope of the bar, without caster."""
    return -side * g.torque_n_m * np.sin(g.inclination_rad + np.arctan2(drop, span))


def _angle(span: Array, drop: Array, behind: Array) -> Array:
    angle: Array = np.arctan2(np.hypot(drop, behind), span)
    return angle


def _evaluate(g: Given) -> Found:
    left = (g.span_left_m, g.drop_left_m, g.behind_left_m)
    right = (g.span_right_m, g.drop_right_m, g.behind_right_m)
    angle_left, angle_right = _angle(*left), _angle(*right)
    bisecting = _about_kingpin(1.0, g, *left) + _about_kingpin(-1.0, g, *right)
    along = _along_bar(1.0, g, *left[:2]) + _along_bar(-1.0, g, *right[:2])
    cosines = np.cos(g.inclination_rad) * np.cos(g.caster_rad)
    friction_n_m = 2.0 * g.torque_n_m * g.locking_frac / g.tyre_radius_m * g.wheel_centre_offset_m * cosines
    rack_n = np.abs(bisecting) / g.steering_arm_m
    hand_n_m = g.rack_efficiency_frac * rack_n * g.rack_travel_m / (2.0 * math.pi)
    return {
        "steer_moment_n_m": Spread({BISECTING: bisecting, ALONG_BAR: along}),
        "angle_left_rad": angle_left,
        "angle_right_rad": angle_right,
        "couple_left_n_m": g.torque_n_m * np.tan(angle_left / 2.0),
        "couple_right_n_m": g.torque_n_m * np.tan(angle_right / 2.0),
        "rack_force_n": rack_n,
        "hand_torque_n_m": hand_n_m,
        "friction_moment_n_m": np.abs(friction_n_m),
    }


def _verdict(result: CheckResult, given: Given) -> str:
    net, hand = result.figure("steer_moment_n_m"), result.figure("hand_torque_n_m")
    bisecting = net.formulas[0]
    if float(given.torque_n_m[0]) == 0.0:
        start = "Without torque the joints make no moment, whatever their angles."
    elif bisecting.low <= 0.0 <= bisecting.high:
        start = "The joints of both sides bend so nearly alike that these readings cannot tell the side of a pull."
    else:
        side = "left" if net.value > 0.0 else "right"
        start = (
            f"Under this torque the joint angles steer to the {side} with {abs(net.value):.0f} N·m about the kingpins, "
            f"{hand.value:.1f} N·m at the hand wheel without assist."
        )
    friction = result.figure("friction_moment_n_m")
    return (
        f"{start} Friction of the differential can add up to {friction.value:.0f} N·m either way. A longer shaft that "
        "winds up more does not take torque from its wheel: an open differential holds both sides equal, so the pull "
        "comes from unequal joint angles and differential friction, not from wind-up."
    )


CHECK = Check(
    name="half_shaft_angle",
    title="Half-shaft angles and steering pull",
    question="The drive unit sits off the middle and one half shaft is longer: does that pull at the steering wheel?",
    family="driveline",
    readings=READINGS,
    outcomes=(
        Outcome("steer_moment_n_m", "net moment about the kingpins, + steers left", "N.m"),
        Outcome("angle_left_rad", "joint angle, left", "rad", show="deg"),
        Outcome("angle_right_rad", "joint angle, right", "rad", show="deg"),
        Outcome("couple_left_n_m", "secondary couple, left", "N.m"),
        Outcome("couple_right_n_m", "secondary couple, right", "N.m"),
        Outcome("rack_force_n", "force in the rack", "N"),
        Outcome("hand_torque_n_m", "torque at the hand wheel without assist", "N.m"),
        Outcome(
            "friction_moment_n_m", "most that friction of the differential adds about the kingpins", "N.m"
        ),
    ),
    evaluate=_evaluate,
    verdict=_verdict,
    sketch=SKETCH,
    rules=(
        Rule(
            "a joint bent by more than 40° is beyond what ball joints of half shafts do; check the spans and heights, "
            "and that they were taken at ride height",
            lambda g: (
                (_angle(g.span_left_m, g.drop_left_m, g.behind_left_m) > STEEPEST_RAD)
                | (_angle(g.span_right_m, g.drop_right_m, g.behind_right_m) > STEEPEST_RAD)
            ),
        ),
    ),
    cannot_say=(
        "What the driver feels: assist, friction and compliance filter it",
        "Pull of the tyres themselves (conicity, ply steer) and uneven compliance of the suspension",
        "How far the mounts let the drive unit move under torque, which changes the heights",
        "The third-order forces of tripod inner joints",
    ),
    references=(
        "from memory: secondary couple T·tan(θ/2): SAE AE-7, Universal Joint and Driveshaft Design Manual",
        "first principles: M = T(w + s)/(1 + w·s) from contact forces that lie in the bisecting plane",
        "from memory: F_x d cos ν cos λ + T_d sin(λ + ζ): Gillespie, Fundamentals of Vehicle Dynamics, ch. 8",
    ),
    method=r"""
| what | equation | source |
|---|---|---|
| joint angle | θ = atan(√(Δx² + Δz²)/span), axes parallel | first principles |
| secondary couple | T tan(θ/2) | from memory: SAE AE-7 |
| moment on the wheel side | M = T (w + s)/(1 + w·s); w spin axis, s bar, both to the left | first principles |
| kingpin axis, up | k ∝ (−tan ν, ∓tan λ, 1) | first principles |
| steering moment of a side | M·k − T w·k | first principles |
| other form in the literature | T sin(λ + ζ), ζ slope of the bar | from memory: Gillespie ch. 8 |
| rack, hand wheel | F = ΔM/arm; T_h = η F c/(2π) | first principles |
| friction of the differential | 2 T S/R · q cos λ cos ν, q offset at wheel-centre height | first principles |

The form that puts the whole torque along the bar gives about twice the moment. Both are shown; the value is that of the
bisecting plane, in which the forces of a ball joint lie.
""",
    cautions=(
        "Heights are taken with the wheels loaded, on a ramp or pit: chock them; nobody reaches behind a wheel.",
    ),
)
