"""Insertion loss of a barrier on foam, what leaks leave of it, mass law, double-wall resonance, mass."""

from __future__ import annotations

import math

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.checks.acoustic_wrap.data import READINGS, SKETCH
from hoistbook.core.checks.declared import Check, Found, Given, Outcome, Rule, Spread
from hoistbook.core.checks.found import CheckResult

AIR_KG_PER_M3 = 1.21
"""At 20 °C and 101 325 Pa (common practice of the field)."""
SOUND_M_PER_S = 343.0
"""At 20 °C (common practice of the field)."""
PRESSURE_PA = 101_325.0
GAMMA = 1.4
ADIABATIC, ISOTHERMAL = "air springs adiabatically", "air springs isothermally, as in fine fibre"
SHORTCUTS = {"shortcut with 47": 47.0, "shortcut with 47.3": 47.3, "shortcut with 48": 48.0}
FIELD_DB = 5.5
UNHEARD_DB = 0.5
"""Change of level that nobody hears (common practice: about 1 dB is the least)."""
LEAST_MASS_TIMES_HZ = 10.0 ** (48.0 / 20.0)
"""Below it a shortcut of the mass law would go under 0 dB."""


def resonance_hz(stiffness: Array, mass: Array) -> Array:
    """F = √(s″/m″)/2π, stiffness per area in N/m³, mass per area in kg/m². [1/s]"""
    found: Array = np.sqrt(stiffness / mass) / (2.0 * math.pi)
    return found


def insertion_db(frequency: Array, resonance: Array, loss: Array) -> Array:
    """−20 log|(1 + jη)/(1 + jη − r²)|: a mass on a lossy spring over a wall that moves; below 0 near r = 1. [dB]"""
    spring = 1.0 + 1j * loss
    found: Array = -20.0 * np.log10(np.abs(spring / (spring - (frequency / resonance) ** 2)))
    return found


def with_leaks_db(level: Array, open_frac: Array) -> Array:
    """−10 log[(1 − a) 10^(−L/10) + a]: sound passes an opening in full. [dB]"""
    found: Array = -10.0 * np.log10((1.0 - open_frac) * 10.0 ** (-level / 10.0) + open_frac)
    return found


def mass_law_db(frequency: Array, mass: Array) -> dict[str, Array]:
    """Transmission loss of a limp wall: full formula less 5.5 dB for all angles, and shortcuts where they hold. [dB]"""
    full = (
        10.0 * np.log10(1.0 + (math.pi * frequency * mass / (AIR_KG_PER_M3 * SOUND_M_PER_S)) ** 2) - FIELD_DB
    )
    found: dict[str, Array] = {"full formula, all angles": full}
    if float((frequency * mass).min()) > LEAST_MASS_TIMES_HZ:
        found |= {name: 20.0 * np.log10(frequency * mass) - less for name, less in SHORTCUTS.items()}
    return found


def _evaluate(g: Given) -> Found:
    springs = {ADIABATIC: GAMMA * PRESSURE_PA / g.gap_m, ISOTHERMAL: PRESSURE_PA / g.gap_m}
    resonances = {name: resonance_hz(s, g.barrier_kg_per_m2) for name, s in springs.items()}
    closed = {name: insertion_db(g.frequency_hz, f, g.loss_factor) for name, f in resonances.items()}
    covered = np.minimum(g.covered_m2 / g.radiating_m2, 1.0)
    # No less than nothing is open: a band about 0 reaches below it, and the result says by how much.
    leaking = 1.0 - covered * (1.0 - np.maximum(g.open_frac, 0.0))
    walls = (g.barrier_kg_per_m2 + g.casing_kg_per_m2) / (g.barrier_kg_per_m2 * g.casing_kg_per_m2)
    double = np.sqrt(AIR_KG_PER_M3 * SOUND_M_PER_S**2 * walls / g.gap_m) / (2.0 * math.pi)
    return {
        "kept_in_db": Spread({name: with_leaks_db(level, leaking) for name, level in closed.items()}),
        "closed_db": Spread(closed),
        "ceiling_db": -10.0 * np.log10(np.maximum(leaking, 1e-9)),
        "leaking_frac": leaking,
        "resonance_hz": Spread(resonances),
        "double_wall_hz": Spread(
            {"normal to the wall": double, "all angles (1.8 under the root)": math.sqrt(1.8) * double}
        ),
        "mass_law_db": Spread(mass_law_db(g.frequency_hz, g.barrier_kg_per_m2)),
        "mass_kg": g.covered_m2 * (g.barrier_kg_per_m2 + g.foam_kg_per_m3 * g.gap_m),
    }


def _verdict(result: CheckResult, given: Given) -> str:
    kept, closed, ceiling = (result.figure(name) for name in ("kept_in_db", "closed_db", "ceiling_db"))
    mass = result.figure("mass_kg").value
    frequency = float(given.frequency_hz[0])
    words = [
        (
            f"At {frequency:.0f} Hz the wrap keeps in {kept.value:.0f} dB ({kept.low:.0f} to {kept.high:.0f}) for "
            f"{mass * 1e3:.0f} g; "
            f"without gaps and bare stretches it would be {closed.value:.0f} dB."
        )
    ]
    if kept.low > -UNHEARD_DB and kept.high < UNHEARD_DB:
        words.append("That is nothing: so far below its resonance the barrier moves with the casing.")
    elif kept.high < 0.0:
        words.append("So near its own resonance it makes the casing louder.")
    elif kept.low < 0.0:
        words.append("So near its own resonance it may make the casing louder.")
    if ceiling.value < closed.value + 3.0:
        words.append(
            f"What is open caps it at {ceiling.value:.0f} dB, whatever the barrier weighs: closing gaps is worth "
            "more than "
            "a heavier barrier."
        )
    return " ".join(words)


CHECK = Check(
    name="acoustic_wrap",
    title="Wrap of barrier and foam",
    question="What does this wrap keep in at the frequency of the whine, what do its gaps cost, what does it weigh?",
    family="wraps",
    readings=READINGS,
    outcomes=(
        Outcome("kept_in_db", "insertion loss with gaps and bare stretches (dB)", "1"),
        Outcome("closed_db", "insertion loss of the closed wrap (dB)", "1"),
        Outcome("ceiling_db", "most that what is open lets any wrap reach (dB)", "1"),
        Outcome("leaking_frac", "share of the radiating area that is open", "1", show="%"),
        Outcome("resonance_hz", "resonance of the barrier on its foam", "1/s", show="Hz"),
        Outcome(
            "double_wall_hz", "resonance of casing and barrier on the air between them", "1/s", show="Hz"
        ),
        Outcome("mass_law_db", "transmission loss of the barrier alone by the mass law (dB)", "1"),
        Outcome("mass_kg", "mass of the wrap", "kg", show="g"),
    ),
    evaluate=_evaluate,
    verdict=_verdict,
    sketch=SKETCH,
    rules=(
        Rule(
            "more area is covered than radiates; a wrap covers at most the casing: measure both again",
            lambda g: g.covered_m2 > 1.05 * g.radiating_m2,
        ),
    ),
    cannot_say=(
        "Stiffness of the foam's frame, which often outweighs its air: the true resonance lies higher, the loss lower",
        "What goes around the wrap through mounts, pipes and cables",
        "Small and curved bodies, below a size of about a sixth of a wavelength",
        "How much hotter a wrapped motor runs",
    ),
    references=(
        "from memory: barrier on a decoupler: Beranek and Vér, Noise and Vibration Control Engineering",
        "published: leaks: Crocker and Arenas, Engineering Acoustics, eq. 12.60 to 12.65, examples 12.13 and 12.16",
        (
            "from memory: mass law: Bies and Hansen, Engineering Noise Control, ch. 7, 8; constants 47, 47.3 and "
            "48 circulate"
        ),
        (
            "published: shortcuts of the mass law go below 0 dB for light barriers: Ebbitt and Hansen, SAE "
            "2007-01-2201, abstract"
        ),
        "from memory: double wall: Fahy; published: factor 1.8: Long, Architectural Acoustics, eq. 9.42",
    ),
    method="""
| what | equation | source |
|---|---|---|
| resonance on the foam | f₀ = √(s″/m″)/2π, s″ = γP₀/d (adiabatic) to P₀/d (isothermal) | from memory: Beranek and Vér |
| closed wrap | −20 log abs((1 + jη)/(1 + jη − (f/f₀)²)) | first principles: mass on a lossy spring |
| leaks, bare stretches | −10 log((1 − a) 10^(−L/10) + a) | published: Crocker and Arenas |
| mass law | 10 log(1 + (πfm/ρc)²) − 5.5; shortcuts 20 log(fm) − 47, − 47.3, − 48 | from memory: Bies and Hansen |
| double wall | √(ρc²(m₁ + m₂)/(d m₁m₂))/2π, all angles × √1.8 | from memory: Fahy; published: Long |
| mass | A (m″ + ρ d) | first principles |

Air: 1.21 kg/m³, 343 m/s, 101 325 Pa, γ 1.4.
""",
)
