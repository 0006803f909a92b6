"""Centre of gravity from corner weights and a raised axle, with what each reading adds to its band."""

from __future__ import annotations

import numpy as np

from hoistbook.core.checks.centre_of_gravity.data import READINGS, SKETCH
from hoistbook.core.checks.declared import Check, Found, Given, Outcome, Rule
from hoistbook.core.checks.found import CheckResult

LOW_LIFT_RAD = np.deg2rad(10.0)
"""Below it a kilogram on the pads moves the height by more than 7 mm (computed for a car of 2.15 t)."""


def _evaluate(g: Given) -> Found:
    front = g.front_left_kg + g.front_right_kg
    rear = g.rear_left_kg + g.rear_right_kg
    mass = front + rear
    moved = g.raised_front_kg - front
    height = g.radius_m + g.wheelbase_m * moved / (mass * np.tan(g.angle_rad))
    across = (
        (g.front_left_kg - g.front_right_kg) * g.front_track_m
        + (g.rear_left_kg - g.rear_right_kg) * g.rear_track_m
    ) / (2.0 * mass)
    return {
        "height_m": height,
        "behind_m": g.wheelbase_m * rear / mass,
        "left_m": across,
        "mass_kg": mass,
        "front_frac": front / mass,
        "diagonal_frac": (g.front_right_kg + g.rear_left_kg) / mass,
        "height_per_kg_m": g.wheelbase_m / (mass * np.tan(g.angle_rad)),
    }


def _verdict(result: CheckResult, given: Given) -> str:
    height, behind, left = (result.figure(name) for name in ("height_m", "behind_m", "left_m"))
    per_kg = result.figure("height_per_kg_m").value * 1e3
    words = [
        (
            f"The centre of gravity lies {behind.value * 1e3:.0f} mm behind the front axle, "
            f"{abs(left.value) * 1e3:.0f} mm {'left' if left.value >= 0.0 else 'right'} of the middle and "
            f"{height.value * 1e3:.0f} mm high ({height.low * 1e3:.0f} to {height.high * 1e3:.0f}); one kilogram of "
            "moved load is "
            f"{per_kg:.1f} mm of height."
        )
    ]
    if float(given.angle_rad[0]) < LOW_LIFT_RAD:
        words.append(
            "So low a lift is hardly a measurement of height: raise the axle further, in three steps or more."
        )
    return " ".join(words)


CHECK = Check(
    name="centre_of_gravity",
    title="Centre of gravity",
    question="Where is the centre of gravity, and how well do these scales and this lift tell?",
    family="weighing",
    readings=READINGS,
    outcomes=(
        Outcome("height_m", "centre of gravity above the ground", "m", show="mm"),
        Outcome("behind_m", "centre of gravity behind the front axle", "m", show="mm"),
        Outcome("left_m", "centre of gravity left of the middle", "m", show="mm"),
        Outcome("mass_kg", "mass", "kg"),
        Outcome("front_frac", "share on the front axle", "1", show="%"),
        Outcome("diagonal_frac", "share on front right and rear left", "1", show="%"),
        Outcome("height_per_kg_m", "height per kilogram of moved load", "m/kg"),
    ),
    evaluate=_evaluate,
    verdict=_verdict,
    sketch=SKETCH,
    rules=(
        Rule(
            "with the rear raised the front axle must carry more than on the level; check which axle was raised",
            lambda g: g.raised_front_kg <= g.front_left_kg + g.front_right_kg,
        ),
    ),
    cannot_say=(
        "What moves when the vehicle tilts: liquids, load, unblocked suspension",
        "A factor common to all pads: it leaves place and height alone, not the mass",
        "Hysteresis: the standard goes up and down in three steps or more and plots load over tan θ",
    ),
    references=(
        "published: ISO 10392:2011, scope and clause 6.2 (excerpt): axle lift in three steps or more, up and down",
        "first principles: statics; a body builder's form of the same is algebraically identical",
        "published: a shortcut that puts 1 for cos θ overestimates by 1/cos θ, 3.5 % at 15° (note on tilting, 1997)",
    ),
    method="""
| what | equation | source |
|---|---|---|
| behind the front axle | L m_r/m | first principles |
| left | ((FL − FR) t_f + (RL − RR) t_r)/2m | first principles |
| height | r + L Δm_f/(m tan θ) | first principles; published: ISO 10392 |
""",
    cautions=(
        (
            "A raised axle stands on stands or a lift made for it, wheels on the pads free to roll but chocked against "
            "running off; "
            "nobody under or in the vehicle while it tilts; local law and the lift maker decide."
        ),
    ),
)
