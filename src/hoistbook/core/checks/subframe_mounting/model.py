"""Shift, yaw and toe of a subframe on four bushes under a side force, and what the bushes isolate."""

from __future__ import annotations

import math

import numpy as np

from hoistbook.core.checks.declared import Check, Found, Given, Outcome
from hoistbook.core.checks.found import CheckResult
from hoistbook.core.checks.subframe_mounting.data import CHOICES, READINGS, SKETCH
from hoistbook.core.trials.road_equations import GRAVITY_M_PER_S2


def _evaluate(g: Given) -> Found:
    shift = g.force_n / (4.0 * g.across_n_per_m)
    yaw = (
        g.force_n
        * g.offset_m
        / (4.0 * (g.across_n_per_m * g.half_length_m**2 + g.along_n_per_m * g.half_width_m**2))
    )
    toe = yaw if g.choice("rack") == "subframe" else shift / g.arm_m + yaw
    natural = np.sqrt(4.0 * g.upright_n_per_m / g.mass_kg) / (2.0 * math.pi)
    return {
        "toe_rad": toe,
        "shift_m": shift,
        "yaw_rad": yaw,
        "natural_hz": natural,
        "isolates_above_hz": math.sqrt(2.0) * natural,
        "sag_m": g.mass_kg * GRAVITY_M_PER_S2 / (4.0 * g.upright_n_per_m),
    }


def _verdict(result: CheckResult, given: Given) -> str:
    toe, shift = math.degrees(result.figure("toe_rad").value), result.figure("shift_m").value * 1e3
    yaw = math.degrees(result.figure("yaw_rad").value)
    above = result.figure("isolates_above_hz").value
    words = [
        (
            f"Under {float(given.force_n[0]) / 1e3:.1f} kN of side force the subframe shifts by {shift:.2f} mm and "
            f"turns by {yaw:.4f}°; toe moves "
            f"by {toe:.4f}°."
        )
    ]
    on_body = shift * 1e-3 / float(given.arm_m[0])
    if given.choice("rack") == "subframe":
        words.append(
            "The rack rides on the subframe, so that its shift costs no toe, only its turn: with the rack on the body "
            f"the same bushes would cost {math.degrees(on_body) + yaw:.4f}°."
        )
    else:
        words.append(
            f"The shift against a rack that stays with the body makes {math.degrees(on_body):.4f}° of it; on the "
            f"subframe the turn alone would be left, {yaw:.4f}°."
        )
    words.append(
        f"Upright it isolates above {above:.0f} Hz, root two times its natural frequency, whatever the damping."
    )
    return " ".join(words)


CHECK = Check(
    name="subframe_mounting",
    title="Hard or isolated subframe",
    question="Does the isolated subframe make the steering vague, and from which frequency does it isolate?",
    family="geometry",
    readings=READINGS,
    choices=CHOICES,
    outcomes=(
        Outcome("toe_rad", "toe under the side force", "rad", show="deg"),
        Outcome("shift_m", "shift across", "m", show="mm"),
        Outcome("yaw_rad", "turn about the upright axis", "rad", show="deg"),
        Outcome("natural_hz", "natural frequency, upright", "1/s", show="Hz"),
        Outcome("isolates_above_hz", "isolates above", "1/s", show="Hz"),
        Outcome("sag_m", "sag under its own mass", "m", show="mm"),
    ),
    evaluate=_evaluate,
    verdict=_verdict,
    sketch=SKETCH,
    cannot_say=(
        "Rubber that stiffens with load: quote the load at which a rate was measured",
        "Compliance of the arms' own bushes, ball joints and the tyre",
        "The subframe as a crash link: judge that hard-stopped, on its bolts and snubbers",
    ),
    references=(
        "first principles: four springs, one rigid plate",
        (
            "common practice: bush rates of 3 to 10 kN/mm; a hard joint taken as 100 kN/mm; rubber 1.3 to 2.5 times "
            "stiffer in vibration"
        ),
    ),
    method="""
| what | equation | source |
|---|---|---|
| shift, turn | F/(4k_y); F c/(4(k_y a² + k_x b²)) | first principles |
| toe, rack on the subframe; on the body | turn; shift/r + turn | first principles |
| natural frequency, sag | √(4k_z/m)/2π; mg/(4k_z) | first principles |
""",
    cautions=(
        "A subframe under load or held by few bolts can drop: support it, and leave bolts in place while pushing.",
    ),
)
