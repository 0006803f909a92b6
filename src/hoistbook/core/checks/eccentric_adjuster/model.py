"""Range, resolution and side effects of an eccentric bolt."""

from __future__ import annotations

import math

import numpy as np

from hoistbook.core.checks.declared import Check, Found, Given, Outcome, Rule
from hoistbook.core.checks.eccentric_adjuster.data import CHOICES, READINGS, SKETCH
from hoistbook.core.checks.found import CheckResult

SEEN_TOE_DEG = 0.02
"""Toe from which on the verdict tells of it, about what an alignment bench resolves (common practice)."""
MARK_RAD = math.radians(15.0)
"""Turn between two marks of a washer (common practice)."""


def _evaluate(g: Given) -> Found:
    place = g.choice("place")
    moved = g.throw_m * np.sin(g.turn_rad)
    if place == "strut":
        # A bolt that moves across a spacing h turns the knuckle by asin(e sin ψ/h).
        angle = np.arcsin(moved / g.height_m)
        reach = np.arcsin(g.throw_m / g.height_m)
        mark = np.arcsin(g.throw_m * math.sin(MARK_RAD) / g.height_m)
        toe = np.zeros_like(moved)
        track = np.zeros_like(moved)
    else:
        # Outboard at the lower joint leans the top inboard; at the upper one it leans it outboard.
        sign = -1.0 if place == "lower" else 1.0
        angle = sign * np.arctan(moved / g.height_m)
        reach = np.arctan(g.throw_m / g.height_m)
        mark = np.arctan(g.throw_m * math.sin(MARK_RAD) / g.height_m)
        # How far the steering axis moves at the height of the tie rod, over the arm.
        share = 1.0 - g.tie_rod_frac if place == "lower" else g.tie_rod_frac
        toe = np.abs(moved) * share / g.arm_m
        track = np.abs(moved) if place == "lower" else np.zeros_like(moved)
    return {
        "camber_rad": angle,
        "reach_rad": reach,
        "mark_rad": mark,
        "sensitivity": np.abs(g.throw_m / g.height_m * np.cos(g.turn_rad)),
        "toe_rad": toe,
        "track_m": track,
    }


def _verdict(result: CheckResult, given: Given) -> str:
    degrees = {
        name: math.degrees(result.figure(name).value)
        for name in ("camber_rad", "reach_rad", "mark_rad", "toe_rad")
    }
    words = [
        (
            f"It adjusts ±{degrees['reach_rad']:.2f}° of camber, {degrees['mark_rad']:.2f}° for the first 15° of turn; "
            "the turn asked for "
            f"gives {round(degrees['camber_rad'], 2) + 0.0:+.2f}°. The last 30° of turn hold 13 % of the range."
        )
    ]
    if degrees["toe_rad"] > SEEN_TOE_DEG:
        words.append(
            f"Toe moves by {degrees['toe_rad']:.2f}° with it and must be set again after every camber move"
            + (", more than the camber itself." if degrees["toe_rad"] > abs(degrees["camber_rad"]) else ".")
        )
    words.append(
        "Service windows seen on workshop pages are ±0.4 to ±0.75° of camber and ±0.1 to ±0.2° of total toe: no "
        "eccentric "
        "means the maker trusts body and subframe to hold about that."
    )
    return " ".join(words)


CHECK = Check(
    name="eccentric_adjuster",
    title="Eccentric adjuster",
    question="What can this eccentric bolt adjust, how finely, and what does it move besides?",
    family="geometry",
    readings=READINGS,
    choices=CHOICES,
    outcomes=(
        Outcome("camber_rad", "change of camber at the turn asked for, + top outboard", "rad", show="deg"),
        Outcome("reach_rad", "most that it adjusts, either way", "rad", show="deg"),
        Outcome("mark_rad", "change over the first 15° of turn", "rad", show="deg"),
        Outcome("sensitivity", "change of camber per turn, at that turn", "1"),
        Outcome("toe_rad", "toe that moves with it", "rad", show="deg"),
        Outcome("track_m", "half track that moves with it", "m", show="mm"),
    ),
    evaluate=_evaluate,
    verdict=_verdict,
    sketch=SKETCH,
    rules=(
        Rule(
            "the throw must be smaller than the height it acts over; check both",
            lambda g: g.throw_m >= 0.5 * g.height_m,
        ),
    ),
    cannot_say=(
        "The second-order part: an exact linkage gives a range that is 5 to 7 % larger on one side than on the other",
        "Caster and roll centre, which move where the arm is askew or the pivot also rises",
        "Whether the bolt holds: the friction of its washers is a check of the joint",
    ),
    references=(
        "first principles: geometry of the pivot and the steering axis",
        "published: camber and toe windows on three makers' workshop alignment pages",
    ),
    method="""
| what | equation | source |
|---|---|---|
| pivot | y = e sin ψ | first principles |
| camber, inner pivots | ∓atan(e sin ψ/h) | first principles |
| camber, strut bolts h apart | asin(e sin ψ/h) | first principles |
| sensitivity | (e/h) cos ψ | first principles |
| toe, lower pivot | y (1 − ζ)/r; upper: y ζ/r; ζ height of the tie rod | first principles |
""",
    cautions=(
        "The vehicle stands on its wheels for this; a loose eccentric lets a wheel lean: chock, and keep hands clear.",
    ),
)
