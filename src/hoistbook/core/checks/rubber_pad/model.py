"""Stiffness of a bonded rubber pad in shear and compression from its hardness."""

from __future__ import annotations

import math

from hoistbook.core.arrays import Array
from hoistbook.core.checks.declared import Check, Found, Given, Outcome, Spread
from hoistbook.core.checks.found import CheckResult
from hoistbook.core.checks.rubber_pad.data import CHOICES, READINGS, SKETCH

GENT, RUESS = "Gent", "Ruess"


def gent_modulus_pa(shore_a: Array) -> Array:
    """E = 0.0981 (56 + 7.62336 S)/(0.137505 (254 − 2.54 S)) MPa (from memory: Gent 1958)."""
    return 1e6 * 0.0981 * (56.0 + 7.62336 * shore_a) / (0.137505 * (254.0 - 2.54 * shore_a))


def ruess_modulus_pa(shore_a: Array) -> Array:
    """log10(E/MPa) = 0.0235 S − 0.6403 (published: a page that quotes a silicone maker's paper)."""
    found: Array = 1e6 * 10.0 ** (0.0235 * shore_a - 0.6403)
    return found


def _evaluate(g: Given) -> Found:
    if g.choice("shape") == "round":
        area = math.pi / 4.0 * g.width_m**2
        free = math.pi * g.width_m * g.thickness_m
    else:
        area = g.length_m * g.width_m
        free = 2.0 * (g.length_m + g.width_m) * g.thickness_m
    shape = area / free
    moduli = {GENT: gent_modulus_pa(g.hardness_shore_a), RUESS: ruess_modulus_pa(g.hardness_shore_a)}
    raised = 1.0 + 2.0 * g.phi * shape**2
    return {
        "compression_n_per_m": Spread(
            {name: e * raised * area / g.thickness_m for name, e in moduli.items()}
        ),
        "shear_n_per_m": Spread({name: e / 3.0 * area / g.thickness_m for name, e in moduli.items()}),
        "compression_vibrating_n_per_m": Spread(
            {name: g.stiffening * e * raised * area / g.thickness_m for name, e in moduli.items()}
        ),
        "modulus_pa": Spread(moduli),
        "shape_factor": shape,
    }


def _verdict(result: CheckResult, given: Given) -> str:
    pressed, sheared = result.figure("compression_n_per_m"), result.figure("shear_n_per_m")
    gent, ruess = (one.value for one in result.figure("modulus_pa").formulas)
    apart = max(gent, ruess) / min(gent, ruess)
    return (
        f"At rest about {pressed.value / 1e3:.0f} N/mm in compression and {sheared.value / 1e3:.0f} N/mm in shear. "
        f"The two relations between hardness and modulus differ by a factor of {apart:.2f} here: hardness gives "
        "a modulus to a factor of about 1.5 at best, so push the mount with a known load where the figure matters."
    )


CHECK = Check(
    name="rubber_pad",
    title="Rubber pad from hardness and size",
    question="How stiff is this rubber pad or mount?",
    family="mounts",
    readings=READINGS,
    choices=CHOICES,
    outcomes=(
        Outcome("compression_n_per_m", "stiffness in compression, at rest", "N/m", show="N/mm"),
        Outcome("shear_n_per_m", "stiffness in shear, at rest", "N/m", show="N/mm"),
        Outcome(
            "compression_vibrating_n_per_m", "stiffness in compression, in vibration", "N/m", show="N/mm"
        ),
        Outcome("modulus_pa", "Young's modulus", "Pa", show="MPa"),
        Outcome("shape_factor", "loaded over free area", "1"),
    ),
    evaluate=_evaluate,
    verdict=_verdict,
    sketch=SKETCH,
    cannot_say=(
        "Rubber with voids, hydraulic mounts, pads that are not bonded to their plates",
        "Temperature and ageing: rubber hardens with both cold and years",
    ),
    references=(
        "from memory: Gent, On the relation between indentation hardness and Young's modulus, 1958",
        "published: Ruess relation as a public engineering page quotes it; two pages evaluate it with e instead of 10",
        "from memory: E_c = E(1 + 2φS²): Lindley, Engineering Design with Natural Rubber",
        "from memory: k = GA/t: Freakley and Payne, Theory and Practice of Engineering with Rubber",
    ),
    method="""
| what | equation | source |
|---|---|---|
| modulus, Gent | E = 0.0981(56 + 7.62336 S)/(0.137505(254 − 2.54 S)) MPa | from memory: Gent 1958 |
| modulus, Ruess | log₁₀ E = 0.0235 S − 0.6403, E in MPa | published: public page quoting a silicone maker's paper |
| shear | k = GA/t, G = E/3 | from memory: Freakley and Payne |
| compression | k = E(1 + 2φS_f²)A/t, S_f = loaded over free area | from memory: Lindley |
""",
)
