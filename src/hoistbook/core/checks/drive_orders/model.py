"""Where the tones of an electric drive lie, and at which road speed each meets a mode."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from hoistbook.core.arrays import Array
from hoistbook.core.checks.declared import Check, Found, Given, Outcome, Rule
from hoistbook.core.checks.drive_orders.data import NAMES, READINGS, SKETCH
from hoistbook.core.checks.found import CheckResult

CLOSE = 0.10
"""Two tones nearer than this beat and are taken for one another (common practice)."""
SAME = 1e-9
"""Orders that are equal but for round-off."""
FASTEST_KM_PER_H = 200.0
"""Road speed up to which the verdict names a crossing; all are among the figures (common practice)."""
_WHOLE = (
    "first_pinion_teeth",
    "first_wheel_teeth",
    "second_pinion_teeth",
    "second_wheel_teeth",
    "pole_pairs",
    "slots",
)


def _orders(g: Given) -> dict[str, Array]:
    """Orders per turn of the motor."""
    pairs = g.pole_pairs
    return {
        "electrical": pairs,
        "second_mesh": g.second_pinion_teeth * g.first_pinion_teeth / g.first_wheel_teeth,
        "radial": 2.0 * pairs,
        "ripple": 6.0 * pairs,
        "first_mesh": g.first_pinion_teeth,
        "slot": g.slots,
    }


WORDS = {
    "electrical": "electrical fundamental",
    "second_mesh": "second mesh",
    "radial": "radial force at twice the pole pairs",
    "ripple": "torque ripple at six times the pole pairs",
    "first_mesh": "first mesh",
    "slot": "slots of the stator",
}


def _ratio(g: Given) -> Array:
    found: Array = g.first_wheel_teeth / g.first_pinion_teeth * g.second_wheel_teeth / g.second_pinion_teeth
    return found


def _evaluate(g: Given) -> Found:
    ratio = _ratio(g)
    turns = g.speed_m_per_s / (2.0 * math.pi * g.tyre_radius_m) * ratio
    orders = _orders(g)
    found: dict[str, Array] = {f"{name}_hz": order * turns for name, order in orders.items()}
    found |= {
        "motor_rad_per_s": 2.0 * math.pi * turns,
        "ratio": ratio,
        "cogging_order": np.lcm(
            g.slots.round().astype(np.int64), (2.0 * g.pole_pairs).round().astype(np.int64)
        ).astype(np.float64),
        "sideband_low_hz": g.carrier_hz - 2.0 * found["electrical_hz"],
        "sideband_high_hz": g.carrier_hz + 2.0 * found["electrical_hz"],
    }
    for name, order in orders.items():
        found[f"{name}_meets_m_per_s"] = 2.0 * math.pi * g.tyre_radius_m * g.mode_hz / (order * ratio)
    return found


def _verdict(result: CheckResult, given: Given) -> str:
    speed = float(given.speed_m_per_s[0]) * 3.6
    tones = sorted(
        ((result.figure(f"{name}_hz").value, words) for name, words in WORDS.items()), key=lambda one: one[0]
    )
    words = [f"At {speed:.0f} km/h: {'; '.join(f'{words} {hz:.0f} Hz' for hz, words in tones)}."]
    pairs = [
        f"{low[1]} and {high[1]} ({high[0] / low[0] - 1.0:.0%} apart)"
        for low, high in pairwise(tones)
        if low[0] * (1.0 + SAME) < high[0] < low[0] * (1.0 + CLOSE)
    ]
    same = [f"{low[1]} and {high[1]}" for low, high in pairwise(tones) if high[0] <= low[0] * (1.0 + SAME)]
    if same:
        words.append(
            f"At one frequency, so that the tone alone does not tell which it is: {', '.join(same)}."
        )
    if pairs:
        words.append(f"Close enough to beat and to be mislabelled: {', '.join(pairs)}.")
    for mode, hz in zip(given.names("mode"), np.atleast_2d(given.mode_hz)[:, 0], strict=True):
        met = sorted(
            (result.figure(f"{name}_meets_m_per_s", mode).value * 3.6, words_)
            for name, words_ in WORDS.items()
        )
        told = ", ".join(f"{words_} at {v:.0f} km/h" for v, words_ in met if v <= FASTEST_KM_PER_H)
        words.append(
            f"Up to {FASTEST_KM_PER_H:.0f} km/h {mode} at {hz:.0f} Hz is met by {told or 'none of them'}."
        )
    for first, second, place in (
        (given.first_pinion_teeth, given.first_wheel_teeth, "first"),
        (given.second_pinion_teeth, given.second_wheel_teeth, "second"),
    ):
        common = math.gcd(round(float(first[0])), round(float(second[0])))
        if common > 1:
            words.append(
                f"The {place} mesh has {common} as a common factor, so the same teeth keep meeting: expect side lines."
            )
    return " ".join(words)


def _not_whole(g: Given) -> NDArray[np.bool_]:
    wrong: NDArray[np.bool_] = np.any(
        [np.abs(getattr(g, name) - np.round(getattr(g, name))) > 1e-9 for name in _WHOLE], axis=0
    )
    return wrong


CHECK = Check(
    name="drive_orders",
    title="Tones of the drive",
    question="Which whine is expected at which road speed, and does it land on a mode of a bracket, cover or subframe?",
    family="tones",
    readings=READINGS,
    names=NAMES,
    outcomes=(
        *(Outcome(f"{name}_hz", words, "1/s", show="Hz") for name, words in WORDS.items()),
        Outcome("sideband_low_hz", "lower side band of the inverter's current", "1/s", show="Hz"),
        Outcome("sideband_high_hz", "upper side band of the inverter's current", "1/s", show="Hz"),
        Outcome("motor_rad_per_s", "speed of the motor", "rad/s", show="rpm"),
        Outcome("ratio", "ratio of motor to wheel", "1"),
        Outcome(
            "cogging_order", "cogging: lowest common multiple of slots and poles, per turn of the motor", "1"
        ),
        *(
            Outcome(
                f"{name}_meets_m_per_s",
                f"road speed at which the {words} meets",
                "m/s",
                each="mode",
                show="km/h",
            )
            for name, words in WORDS.items()
        ),
    ),
    evaluate=_evaluate,
    verdict=_verdict,
    sketch=SKETCH,
    rules=(Rule("teeth, pole pairs and slots are whole numbers; count again", _not_whole),),
    cannot_say=(
        "How loud a tone is: orders say where, never how loud",
        "Which lines survive skew, fractional slots, six phases, random switching and the shape of the teeth",
        "Tones of bearings and of the tyre",
    ),
    references=(
        "first principles: mesh order = teeth, referred to the motor by the ratio; n = i v/(2πr)",
        "from memory: 2p, 6kp, slots: Gieras, Wang and Lai, Noise of Polyphase Electric Motors",
        "from memory: side bands f_s ± 2f_e of the current: Holmes and Lipo, PWM for Power Converters",
        "published: 48 slots at 5000 rpm give 4000 Hz: public tutorial on noise of electric motors",
    ),
    method="""
| what | order per turn of the motor | source |
|---|---|---|
| first mesh, second mesh | z₁, z₃ z₁/z₂ | first principles |
| electrical fundamental | p | first principles |
| radial force, torque ripple | 2p, 6p | from memory: Gieras, Wang and Lai |
| slots; cogging | Q; lcm(Q, 2p) | from memory: the same |
| side bands of the current | f_s ± 2f_e | from memory: Holmes and Lipo |
| meets a mode | v = 2πr f/(order · i) | first principles |
""",
)
