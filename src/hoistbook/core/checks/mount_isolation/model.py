"""Force that reaches the body from a vibrating unit: own isolators, isolated carrier, both in series."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from hoistbook.core.arrays import Array
from hoistbook.core.checks.declared import Check, Found, Given, Outcome
from hoistbook.core.checks.found import CheckResult
from hoistbook.core.checks.mount_isolation.data import READINGS, SKETCH

MOST_DB = 40.0
"""Isolation beyond which the model is not believed: waves in the rubber, hoses, cables (common practice)."""
Complex = NDArray[np.complex128]


def _db(transmissibility: Complex) -> Array:
    level: Array = 20.0 * np.log10(np.abs(transmissibility))
    return level


def _one_stage(stiffness: Array, mass: Array, loss: Array, omega: Array) -> Complex:
    """Force transmissibility of a mass on a lossy spring: k(1 + jη)/(k(1 + jη) − mω²)."""
    spring: Complex = stiffness * (1.0 + 1j * loss)
    passed: Complex = spring / (spring - mass * omega**2)
    return passed


def _two_stage(g: Given, omega: Array) -> Complex:
    """Force of the unit that reaches the body through carrier and both springs."""
    k1 = g.unit_stiffness_n_per_m * (1.0 + 1j * g.loss_factor)
    k2 = g.carrier_stiffness_n_per_m * (1.0 + 1j * g.loss_factor)
    passed: Complex = (
        k1 * k2 / ((k1 - g.unit_mass_kg * omega**2) * (k1 + k2 - g.carrier_mass_kg * omega**2) - k1**2)
    )
    return passed


def _modes(g: Given) -> tuple[Array, Array]:
    """Undamped natural frequencies of the two-stage arrangement. [1/s]"""
    k1, k2 = g.unit_stiffness_n_per_m, g.carrier_stiffness_n_per_m
    a, b, c = k1 / g.unit_mass_kg, (k1 + k2) / g.carrier_mass_kg, k1**2 / (g.unit_mass_kg * g.carrier_mass_kg)
    half, root = 0.5 * (a + b), np.sqrt(0.25 * (a - b) ** 2 + c)
    return np.sqrt(half - root) / (2.0 * math.pi), np.sqrt(half + root) / (2.0 * math.pi)


def _natural(stiffness: Array, mass: Array) -> Array:
    found: Array = np.sqrt(stiffness / mass) / (2.0 * math.pi)
    return found


def _evaluate(g: Given) -> Found:
    omega = 2.0 * math.pi * g.frequency_hz
    lower, upper = _modes(g)
    return {
        "both_db": _db(_two_stage(g, omega)),
        "own_db": _db(_one_stage(g.unit_stiffness_n_per_m, g.unit_mass_kg, g.loss_factor, omega)),
        "carrier_db": _db(
            _one_stage(g.carrier_stiffness_n_per_m, g.unit_mass_kg + g.carrier_mass_kg, g.loss_factor, omega)
        ),
        "own_hz": _natural(g.unit_stiffness_n_per_m, g.unit_mass_kg),
        "carrier_hz": _natural(g.carrier_stiffness_n_per_m, g.unit_mass_kg + g.carrier_mass_kg),
        "lower_hz": lower,
        "upper_hz": upper,
    }


_WAYS = {
    "both_db": "own isolators on an isolated carrier",
    "own_db": "own isolators straight to the body",
    "carrier_db": "bolted to the isolated carrier",
}


def _verdict(result: CheckResult, given: Given) -> str:
    levels = {name: result.figure(name) for name in _WAYS}
    best = min(levels.values(), key=lambda one: one.value)
    frequency = float(given.frequency_hz[0])
    told = ", ".join(f"{_WAYS[name]} {one.value:+.0f} dB" for name, one in levels.items())
    words = [f"Force that reaches the body at {frequency:.0f} Hz: {told}."]
    others = [one for one in levels.values() if one is not best]
    if all(best.high < one.low for one in others):
        words.append(f"At this frequency the quietest is: {_WAYS[best.name]}.")
    else:
        words.append(
            "At this frequency the bands of the best two meet: these readings do not tell them apart."
        )
    upper = result.figure("upper_hz")
    if best.name != "both_db":
        words.append(
            f"Two stages lose near their upper mode at {upper.value:.0f} Hz; they win only well above it, "
            "so more isolators are not always more isolation."
        )
    if min(one.value for one in levels.values()) < -MOST_DB:
        words.append(
            f"Figures beyond −{MOST_DB:.0f} dB are not met in a vehicle: the rubber's own resonances, hoses and cables "
            "carry more."
        )
    return " ".join(words)


CHECK = Check(
    name="mount_isolation",
    title="Own isolators, isolated carrier, or both",
    question="On its own isolators, on an isolated carrier, or on both: what keeps the unit's vibration from the body?",
    family="mounts",
    readings=READINGS,
    outcomes=(
        Outcome(
            "both_db",
            "force to the body, own isolators on an isolated carrier (dB re force of the unit)",
            "1",
        ),
        Outcome(
            "own_db", "force to the body, own isolators straight to the body (dB re force of the unit)", "1"
        ),
        Outcome(
            "carrier_db", "force to the body, bolted to the isolated carrier (dB re force of the unit)", "1"
        ),
        Outcome("own_hz", "natural frequency on its own isolators", "1/s", show="Hz"),
        Outcome("carrier_hz", "natural frequency with the carrier", "1/s", show="Hz"),
        Outcome("lower_hz", "lower mode of both", "1/s", show="Hz"),
        Outcome("upper_hz", "upper mode of both", "1/s", show="Hz"),
    ),
    evaluate=_evaluate,
    verdict=_verdict,
    sketch=SKETCH,
    cannot_say=(
        "How rubber changes with temperature, amplitude, preload and age; hydraulic mounts",
        "What hoses, cables and the body's own give carry past the isolators",
        f"More than about {MOST_DB:.0f} dB of isolation: the rubber's own resonances end it far earlier",
    ),
    references=(
        "from memory: loss-factor transmissibility: Beranek and Vér, Noise and Vibration Control Engineering",
        "first principles: two masses on two springs, force at the foot",
        "published: elastomer mounts stiffen up to five times by their own resonances: Appl. Sci. 2025, 15(18), 10241",
    ),
    method="""
| what | equation | source |
|---|---|---|
| one stage | T = abs(k(1 + jη)/(k(1 + jη) − mω²)) | from memory: Beranek and Vér |
| two stages | T = abs(k₁k₂/((k₁ − m₁ω²)(k₁ + k₂ − m₂ω²) − k₁²)), k → k(1 + jη) | first principles |
| natural frequency | f = √(k/m)/2π; two stages: roots of the 2 × 2 determinant | first principles |

Isolation begins above √2 times the natural frequency, whatever the damping.
""",
    cautions=(
        "A unit under high voltage or with refrigerant is not loosened for this: licensed people make it safe first.",
    ),
)
