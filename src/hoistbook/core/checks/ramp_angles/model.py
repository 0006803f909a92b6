"""Approach, departure and ramp angle by planes tangent to the loaded tyres."""

from __future__ import annotations

import math

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.checks.declared import Check, Found, Given, Limit, Outcome, Rule
from hoistbook.core.checks.found import CheckResult
from hoistbook.core.checks.ramp_angles.data import READINGS, SKETCH
from hoistbook.core.checks.words import kept


def tangent_rad(x: Array, z: Array, radius: Array) -> Array:
    """Angle of the plane tangent to a tyre through a point x beyond its centre and z high.

    Notes
    -----
    z = x tan α − r(sec α − 1); with t = tan(α/2): α = 2 atan([x − √(x² − z(2r − z))]/(2r − z)).

    Source
    ------
    first principles.
    """
    angle: Array = 2.0 * np.arctan((x - np.sqrt(x * x - z * (2.0 * radius - z))) / (2.0 * radius - z))
    return angle


def _inside_tyre(x: Array, z: Array, radius: Array) -> np.ndarray[tuple[int, ...], np.dtype[np.bool_]]:
    found: np.ndarray[tuple[int, ...], np.dtype[np.bool_]] = x * x <= z * (2.0 * radius - z)
    return found


def _evaluate(g: Given) -> Found:
    r = g.tyre_radius_m
    behind = g.wheelbase_m - g.belly_x_m
    return {
        "approach_rad": tangent_rad(g.front_x_m, g.front_z_m, r),
        "departure_rad": tangent_rad(g.rear_x_m, g.rear_z_m, r),
        "ramp_rad": tangent_rad(g.belly_x_m, g.belly_z_m, r) + tangent_rad(behind, g.belly_z_m, r),
        "clearance_m": g.belly_z_m,
        "crude_approach_rad": np.arctan(g.front_z_m / g.front_x_m),
        "crude_departure_rad": np.arctan(g.rear_z_m / g.rear_x_m),
    }


def _verdict(result: CheckResult, given: Given) -> str:
    told = ", ".join(
        f"{words} {math.degrees(result.figure(name).value):.1f}°"
        for name, words in (
            ("approach_rad", "approach"),
            ("departure_rad", "departure"),
            ("ramp_rad", "ramp"),
        )
    )
    limits = " ".join(f"{one.words.capitalize()} {kept(one)}." for one in result.held)
    return (
        f"{told[0].upper()}{told[1:]}; {result.figure('clearance_m').value * 1e3:.0f} mm of clearance between the "
        f"axles. {limits} "
        "A height without its load state compares with nothing: note it."
    )


_LEAST = (("approach_rad", 16.0), ("departure_rad", 10.0), ("ramp_rad", 10.0))

CHECK = Check(
    name="ramp_angles",
    title="Ramp angles and clearance",
    question="What slopes and crests does the underbody clear?",
    family="underbody",
    readings=READINGS,
    outcomes=(
        Outcome("approach_rad", "approach angle", "rad", show="deg"),
        Outcome("departure_rad", "departure angle", "rad", show="deg"),
        Outcome("ramp_rad", "ramp angle", "rad", show="deg"),
        Outcome("clearance_m", "clearance between the axles", "m", show="mm"),
        Outcome(
            "crude_approach_rad",
            "height over distance ahead, a shortcut that is always smaller",
            "rad",
            show="deg",
        ),
        Outcome(
            "crude_departure_rad",
            "height over distance behind, a shortcut that is always smaller",
            "rad",
            show="deg",
        ),
    ),
    evaluate=_evaluate,
    verdict=_verdict,
    sketch=SKETCH,
    limits=tuple(
        Limit(
            name,
            "at least",
            math.radians(least),
            f"{name.partition('_')[0]} angle of a passenger car, design minimum of {least:.0f}°",
            "from memory",
            "SAE J689, not seen: verify",
        )
        for name, least in _LEAST
    ),
    rules=(
        Rule(
            "a point lies inside the tyre: take its distance from the wheel centre, and its height, again",
            lambda g: (
                _inside_tyre(g.front_x_m, g.front_z_m, g.tyre_radius_m)
                | _inside_tyre(g.rear_x_m, g.rear_z_m, g.tyre_radius_m)
                | _inside_tyre(g.belly_x_m, g.belly_z_m, g.tyre_radius_m)
                | _inside_tyre(g.wheelbase_m - g.belly_x_m, g.belly_z_m, g.tyre_radius_m)
            ),
        ),
        Rule(
            "the point between the axles must lie between them; check it against the wheelbase",
            lambda g: g.belly_x_m >= g.wheelbase_m,
        ),
    ),
    cannot_say=(
        "Which other point is critical: run the check for each that comes close, the smallest angle counts",
        "Bump, pitch under braking, and a loaded vehicle",
    ),
    references=(
        "published: EU type-approval wording of approach angle and ground clearance (bilingual text concordances)",
        "from memory: ISO 612:1978; SAE J1100 H106, H107, H147",
        "from memory: SAE J689 design minimums of passenger cars, not seen",
    ),
    method="""
| what | equation | source |
|---|---|---|
| plane tangent to the tyre | z = x tan α − r(sec α − 1) | first principles |
| approach, departure | α of the lowest point ahead, behind | published: type-approval wording; from memory: ISO 612 |
| ramp | α(a, z) + α(L − a, z) | first principles |
| crude | atan(z/x), always smaller | first principles |
""",
    cautions=(
        "Measure on level ground with the wheels chocked; nobody reaches under a vehicle on a jack alone.",
    ),
)
