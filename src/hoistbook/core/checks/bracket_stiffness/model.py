"""What a bracket that gives takes from its isolator."""

from __future__ import annotations

import math

import numpy as np

from hoistbook.core.checks.bracket_stiffness.data import READINGS, SKETCH
from hoistbook.core.checks.declared import Check, Found, Given, Limit, Outcome
from hoistbook.core.checks.found import CheckResult
from hoistbook.core.checks.words import kept

LEAST_RATIO = 5.0


def _evaluate(g: Given) -> Found:
    bracket = (2.0 * math.pi * g.tap_hz) ** 2 * g.modal_mass_kg
    ratio = bracket / g.isolator_stiffness_n_per_m
    return {
        "ratio": ratio,
        "bracket_stiffness_n_per_m": bracket,
        "isolation_db": 20.0 * np.log10(1.0 + ratio),
        "kept_stiffness_frac": ratio / (1.0 + ratio),
        "frequency_frac": np.sqrt(ratio / (1.0 + ratio)),
    }


def _verdict(result: CheckResult, given: Given) -> str:
    ratio, isolation = result.figure("ratio"), result.figure("isolation_db")
    return (
        f"The bracket is {ratio.value:.1f} times as stiff as its isolator; the rule of the trade (at least "
        f"{LEAST_RATIO:.0f} times) {kept(result.held[0])}. Against a stiffness-governed receiver, isolator and bracket "
        "are worth "
        f"{isolation.value:.0f} dB. The rule is one of stiffness in vibration, "
        "which rubber raises with frequency."
    )


CHECK = Check(
    name="bracket_stiffness",
    title="Bracket against isolator",
    question="Is the bracket stiff enough for its isolator to work?",
    family="mounts",
    readings=READINGS,
    outcomes=(
        Outcome("ratio", "stiffness of the bracket over that of the isolator", "1"),
        Outcome("bracket_stiffness_n_per_m", "stiffness of the bracket in vibration", "N/m", show="N/mm"),
        Outcome("isolation_db", "isolation against a stiffness-governed receiver (dB)", "1"),
        Outcome("kept_stiffness_frac", "stiffness of both in series over that of the isolator", "1"),
        Outcome("frequency_frac", "natural frequency on the bracket over that on rigid ground", "1"),
    ),
    evaluate=_evaluate,
    verdict=_verdict,
    sketch=SKETCH,
    limits=(
        Limit(
            "ratio",
            "at least",
            LEAST_RATIO,
            "a bracket 5 to 10 times as stiff as its isolator",
            "common practice",
            "none: rule of the trade",
        ),
    ),
    cannot_say=(
        "The stiffness of the body behind the bracket where the tap was made with the bracket off the vehicle",
        "Modes of the bracket above the first",
    ),
    references=(
        "first principles: k = (2πf)² m of a single mass; springs in series",
        "from memory: 20 log(1 + k_b/k_i): mobility form |(Y_i + Y_b)/Y_b|",
        "published: elastomer mounts stiffen up to five times by their own resonances: Appl. Sci. 2025, 15(18), 10241",
    ),
    method="""
| what | equation | source |
|---|---|---|
| bracket | k_b = (2πf)² m | first principles |
| both in series | k = k_i k_b/(k_i + k_b) | first principles |
| isolation, receiver governed by stiffness | 20 log₁₀(1 + k_b/k_i) dB | from memory: mobilities in series |
""",
)
