"""Words of the check of a refrigerant line: verdict, equations, cautions."""

from __future__ import annotations

from collections.abc import Mapping

from hoistbook.core.checks.declared import Given
from hoistbook.core.checks.found import CheckResult, Figured
from hoistbook.core.checks.refrigerant_line.data import DEVIATIONS
from hoistbook.core.checks.words import kept

SLOWEST_M_PER_S = {"suction": 4.5, "discharge": 10.0, "liquid": 0.0}
"""Least usual velocity of gas, which must carry oil (published: ASHRAE Handbook Refrigeration 2010, ch. 1, table 1)."""
HALF_THE_FRICTION = 1.0 - 2.0**-0.2
"""Share of the bore that doubles friction when it is missing: pressure drop goes by its fifth power."""
SMALL_RISE = 0.01
"""Rise of compressor power up to which a length is said to matter little; project rule: half of what a clamp
resolves."""


def _deviation(off: Mapping[str, float]) -> str:
    return (
        f"{off['temperature']:.2g} K, {off['entropy']:.2g} J/(kg K), {off['pressure_volume'] * 100.0:.2g} %, "
        f"{off['log_viscosity'] * 100.0:.2g} %"
    )


METHOD = (
    """
| what | equation | source |
|---|---|---|
| pressure drop | Δp = (f L/D + n K_bend + m K_joint) ρV²/2 | first principles: Darcy and Weisbach |
| friction | 1/√f = −2 log₁₀(ε/(3.7 D) + 2.51/(Re √f)); 64/Re below Re 2300 | from memory: Colebrook 1939 |
| smooth bend of 90° | K = f r π/2 + (0.10 + 2.4 f) s + 6.6 f (√s + s)/r² | from memory: [1] |
| standard elbow of steel | K = 30 f_T, f_T = [2 log₁₀(3.7 D/0.0457 mm)]⁻² | from memory: manuals of fittings |
| heat | q = h π D_o L (T_air − T_line) | first principles |
| cycle | ṁ = Q/(h₁ − h₄), W = ṁ (h₂s − h₁′)/η | first principles |
| suction line | h₁′ = h₁ + q/ṁ at p_e − Δp; cooling at equal speed goes by the density there | first principles |
| discharge line | h₂s at p_c + Δp | first principles |
| liquid line | heat alone costs power, q/Q; friction costs subcooling | first principles |
| charge, mass per metre | ρ π D²/4; ρ_tube π (D_o² − D²)/4 | first principles |

[1] Rennels and Hudson, Pipe Flow, ch. 15; s = sin 45°, r radius over bore.

Bends: published correlations differ by four times, so all are shown and the band spans them; choose `stated` where the
loss was measured.

Properties come from tables: double Chebyshev series in ln p and enthalpy, interpolated from CoolProp 8.0.0 and held
to it on a grid six times as fine as their points. Greatest deviation of temperature, entropy, density and viscosity:
"""
    + "; ".join(f"{name} {_deviation(off)}" for name, off in DEVIATIONS.items())
    + ".\n"
)

REFERENCES = (
    (
        "computed: property tables from CoolProp 8.0.0 (equations of state of Richter, McLinden and Lemmon 2011; "
        "Tillner-Roth and Baehr 1994; Span and Wagner 1996), held to it between their points"
    ),
    (
        "from memory: friction by Colebrook 1939; smooth bends by Rennels and Hudson, Pipe Flow, ch. 15; standard "
        "elbow of "
        "steel as 30 f_T of fully rough flow"
    ),
    (
        "published: velocities 4.5 to 20 m/s (suction), 10 to 18 m/s (discharge): ASHRAE Handbook Refrigeration 2010, "
        "ch. 1, "
        "table 1"
    ),
    "first principles: energy balance of the cycle",
)

CAUTIONS = (
    (
        "Refrigerant is recovered before a line is opened, by certified people with the machine for that refrigerant, "
        "by local "
        "law and the maker's sheet; it is never let off."
    ),
    "R-1234yf burns, and its smoke is toxic: no flame, no spark, no hot surface, ventilation down at the floor.",
    "R-744 stands at up to 150 bar, and a closed line bursts when warmed; in a closed room it suffocates.",
    (
        "Liquid refrigerant freezes skin and eyes: goggles and gloves. Compressor circuits of 400 or 800 V: licensed "
        "people."
    ),
)


def _percent(value: float) -> str:
    return f"{value * 100.0:.3g} %"


def _shown(one: Figured) -> str:
    """A rise in %, with what other formulas give."""
    if not one.formulas:
        return _percent(one.value)
    values = [by.value for by in one.formulas]
    return f"{_percent(one.value)} ({_percent(min(values))} to {_percent(max(values))} by formula)"


def verdict(result: CheckResult, given: Given) -> str:
    """Say what the line costs, and what of it by which cause."""
    line = given.choice("line")
    rise, extra, energy = (
        result.figure(name) for name in ("power_rise_frac", "extra_power_w", "energy_j_per_m")
    )
    charge, mass = result.figure("charge_kg_per_m"), result.figure("mass_kg_per_m")
    words = [
        (
            f"This {line} line of {float(given.length_m[0]):.2f} m takes {extra.value:.3g} W of compressor power at "
            "equal "
            f"cooling, {_shown(rise)} or {energy.value / 3.6:.3g} Wh/km at "
            f"{float(given.speed_m_per_s[0]) * 3.6:.0f} km/h."
        )
    ]
    words += _liquid(result, given) if line == "liquid" else _causes(result, given)
    words.append(
        f"A metre holds {charge.value * 1e3:.1f} g of refrigerant and weighs {mass.value * 1e3:.0f} g."
    )
    velocity = result.figure("velocity_m_per_s").value
    if velocity < SLOWEST_M_PER_S[line]:
        words.append(
            f"At {velocity:.1f} m/s oil may stay in the line: {SLOWEST_M_PER_S[line]:.1f} m/s is the least usual."
        )
    words.append(f"The greatest usual velocity {kept(result.held[0])}.")
    return " ".join(words)


def _causes(result: CheckResult, given: Given) -> list[str]:
    per_m, bend, joint, bore = (
        result.figure(name)
        for name in ("rise_per_m_frac", "rise_per_bend_frac", "rise_per_joint_frac", "bore_rise_frac")
    )
    straight = result.figure("straight_rise_frac").value
    causes = {
        "bends": result.figure("bends_rise_frac").value,
        "joints": result.figure("joints_rise_frac").value,
    }
    words = [
        (
            f"One metre more costs {_shown(per_m)}, one bend {_shown(bend)}, one joint {_shown(joint)}, a bore 1 mm "
            "less "
            f"{_shown(bore)}"
        )
    ]
    if given.choice("line") == "suction":
        heat = result.figure("heat_rise_frac")
        causes["heat that it picks up"] = heat.value
        words[0] += f", the heat that it picks up {_shown(heat)}"
    words[0] += "."
    greater = [name for name, value in causes.items() if value > straight]
    thinner = f"{HALF_THE_FRICTION * float(given.bore_m[0]) * 1e3:.1f} mm less bore"
    if straight < SMALL_RISE and greater:
        words.append(
            f"Length matters little here: all of it costs {_percent(straight)}, less than the "
            f"{' or the '.join(greater)}, and {thinner} would double it. Look at bore, bends, joints, warmth and "
            "charge before length."
        )
    elif straight < SMALL_RISE:
        words.append(
            f"All of the length costs {_percent(straight)}: little, though more than bends, joints or warmth here; "
            f"{thinner} would double it."
        )
    else:
        words.append(
            f"Length is not to be waved away here: the straight tube alone costs {_percent(straight)}, and "
            f"{thinner} would double that."
        )
    return words


def _liquid(result: CheckResult, given: Given) -> list[str]:
    words = [
        "Friction in a liquid line costs no power while no vapour forms in it; its heat does, and its charge counts."
    ]
    if given.choice("refrigerant") != "R-744":
        left = result.figure("subcooling_left_k")
        words.append(
            f"At the valve {left.value:.1f} K of subcooling are left ({left.low:.1f} to {left.high:.1f})."
        )
        if left.low <= 0.0:
            words.append("Vapour may form before the valve: it then starves.")
    return words
