"""A conductor: loss, drop, energy per way, mass, best section, and the current it bears."""

from __future__ import annotations

import math

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.checks.cable_loss.data import (
    CHOICES,
    DENSITY_KG_PER_M3,
    READINGS,
    RESISTANCES_OHM_PER_KM,
    SECTIONS_MM2,
    SKETCH,
    TEMPERATURE_COEFFICIENT_PER_K,
)
from hoistbook.core.checks.declared import Check, Found, Given, Limit, Outcome, Rule
from hoistbook.core.checks.found import CheckResult
from hoistbook.core.checks.words import kept

COLD_K = 293.15
LEAST_FILL = 0.4
"""Least share of the conductor's circle that its metal fills; round strands fill 0.5 to 0.8 (common practice)."""


def _fill(g: Given) -> Array:
    found: Array = g.section_m2 / (0.25 * math.pi * g.conductor_diameter_m**2)
    return found


def resistance_at_20_ohm_per_m(conductor: str, section_m2: Array) -> Array:
    """Greatest resistance at 20 °C by IEC 60228; between its sections resistance times section is taken as a line."""
    table = RESISTANCES_OHM_PER_KM[conductor]
    products = table * SECTIONS_MM2
    found: Array = np.interp(section_m2 * 1e6, SECTIONS_MM2, products) / (section_m2 * 1e6) / 1e3
    return found


def best_section_m2(current: Array, resistivity: Array, density: float, worth: Array, speed: Array) -> Array:
    """A = I √(ρ/(γ e v)): loss and mass then cost alike; ρ [ohm.m], γ [kg/m3], e [J/m/kg], v [m/s]."""
    found: Array = current * np.sqrt(resistivity / (density * worth * speed))
    return found


def _evaluate(g: Given) -> Found:
    conductor = g.choice("conductor")
    metal = conductor.split(",")[0]
    coefficient, density = TEMPERATURE_COEFFICIENT_PER_K[metal], DENSITY_KG_PER_M3[metal]
    cold = resistance_at_20_ohm_per_m(conductor, g.section_m2)
    per_m = cold * (1.0 + coefficient * (g.temperature_k - COLD_K))
    resistance = per_m * g.length_m
    loss = g.current_a**2 * resistance
    at_class = cold * (1.0 + coefficient * (g.class_k - COLD_K))
    to_air = np.log(g.outer_diameter_m / g.conductor_diameter_m) / (
        2.0 * math.pi * g.jacket_w_per_m_k
    ) + 1.0 / (g.film_w_per_m2_k * math.pi * g.outer_diameter_m)
    best = best_section_m2(
        g.current_a, per_m * g.section_m2, density, g.mass_worth_j_per_m_kg, g.speed_m_per_s
    )
    steady = np.sqrt((g.class_k - g.ambient_k) / (at_class * to_air))
    return {
        "loss_w": loss,
        "energy_j_per_m": loss / g.speed_m_per_s,
        "drop_v": g.current_a * resistance,
        "share_frac": loss / (g.current_a * g.voltage_v),
        "resistance_ohm": resistance,
        "mass_kg": density * g.section_m2 * g.length_m,
        "mass_energy_j_per_m": density * g.section_m2 * g.length_m * g.mass_worth_j_per_m_kg,
        "best_section_m2": best,
        "best_density_a_per_m2": g.current_a / best,
        "steady_current_a": steady,
        "current_margin_a": steady - g.current_a,
    }


def _verdict(result: CheckResult, given: Given) -> str:
    loss, energy, mass = (result.figure(name) for name in ("loss_w", "energy_j_per_m", "mass_kg"))
    best = result.figure("best_section_m2")
    section = float(given.section_m2[0])
    words = [
        (
            f"The loop turns {loss.value:.0f} W into heat at {float(given.current_a[0]):.0f} A, "
            f"{energy.value / 3.6:.3f} Wh/km, and its "
            f"metal weighs {mass.value:.2f} kg."
        )
    ]
    if best.low <= section <= best.high:
        words.append("Its section is where loss and mass cost alike, as well as these readings can tell.")
    else:
        side = "below" if section < best.value else "above"
        words.append(
            f"It is {side} the section at which loss and mass cost alike, {best.value * 1e6:.0f} mm²; the optimum "
            "is flat, so "
            "that cost and the peak of heat decide, not range."
        )
    words.append(f"That it stays within its temperature class at this current {kept(result.held[0])}")
    return " ".join(words)


CHECK = Check(
    name="cable_loss",
    title="High-voltage conductor",
    question="Is the conductor oversized or starved, copper or aluminium, and what would a shorter one save?",
    family="high_voltage",
    readings=READINGS,
    choices=CHOICES,
    outcomes=(
        Outcome("loss_w", "heat in the conductor, mean over the drive", "W", effect="loss_c0"),
        Outcome("energy_j_per_m", "energy that it takes per way", "J/m", show="Wh/km"),
        Outcome("drop_v", "voltage drop of the loop", "V"),
        Outcome("share_frac", "loss over power carried", "1", show="%"),
        Outcome("resistance_ohm", "resistance of the loop at its temperature", "ohm"),
        Outcome("mass_kg", "mass of the metal", "kg"),
        Outcome("mass_energy_j_per_m", "energy that this mass costs per way", "J/m", show="Wh/km"),
        Outcome("best_section_m2", "section at which loss and mass cost alike", "m2", show="mm2"),
        Outcome("best_density_a_per_m2", "current density there", "A/m2"),
        Outcome("steady_current_a", "current that the temperature class bears steadily, an indication", "A"),
        Outcome("current_margin_a", "that current less the one that flows", "A"),
    ),
    evaluate=_evaluate,
    verdict=_verdict,
    sketch=SKETCH,
    limits=(
        Limit(
            "current_margin_a",
            "at least",
            0.0,
            "heat balance of the cable at its temperature class",
            "first principles",
            "conduction through the jacket, convection and radiation as one film",
            safety=True,
        ),
    ),
    rules=(
        Rule(
            "the jacket must be wider than the conductor; measure both diameters again",
            lambda g: g.outer_diameter_m <= g.conductor_diameter_m,
        ),
        Rule(
            f"the section does not go with the diameter of the conductor: strands fill {LEAST_FILL:.0%} to all of its "
            "circle; state conductor_diameter_m and outer_diameter_m of this cable",
            lambda g: (_fill(g) < LEAST_FILL) | (_fill(g) > 1.0),
        ),
        Rule(
            "the air around the cable must be cooler than its temperature class; check both temperatures",
            lambda g: g.ambient_k >= g.class_k,
        ),
    ),
    cannot_say=(
        "Skin and proximity loss on phase cables; currents in the screen",
        "Resistance of lugs and contacts: measure it with four wires",
        "Bundles, conduits, and how long a peak may last",
        "Mass of insulation, screen and lugs: weigh the cable",
        "The true section: resistance by the standard is the greatest allowed, a cable may be better",
    ),
    references=(
        "published: IEC 60228 resistances, as three public cable pages reproduce them",
        "from memory: temperature coefficients 0.00393 and 0.00403 per K: IEC 60287",
        "published: 0.6 ± 0.1 kWh/100 km per 100 kg: Weiss, Cloos and Helmers, Environ. Sci. Eur. 2020, 32:46",
        "first principles: section at which loss and mass cost alike, after Kelvin",
    ),
    method="""
| what | equation | source |
|---|---|---|
| resistance | R = R₂₀ L (1 + α(T − 20 °C)) | published: IEC 60228; from memory: α of IEC 60287 |
| loss, drop, energy per way | I²R, IR, I²R/v | first principles |
| best section | A = I √(ρ/(γ e v)): loss and mass cost alike; I/A knows neither current nor length | first principles |
| steady current | √((T_c − T_a)/(R(T_c)·R_th)), R_th = ln(D/d)/2πk + 1/(hπD) | first principles |
""",
    cautions=(
        (
            "Cables of a traction battery carry lethal voltage: measure only after a licensed person has isolated the "
            "vehicle and "
            "proved it dead, by the maker's sheet and local law."
        ),
    ),
)
