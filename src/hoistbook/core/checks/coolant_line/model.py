"""A coolant hose: pressure drop, pump power, fluid and hose mass, warm-up, heat loss."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import CubicSpline

from hoistbook.core.arrays import Array
from hoistbook.core.checks.coolant_line.data import (
    GLYCOL_J_PER_KG_K,
    GLYCOL_K,
    GLYCOL_KG_PER_M3,
    GLYCOL_PA_S,
    READINGS,
    SKETCH,
)
from hoistbook.core.checks.declared import Check, Found, Given, Outcome, Rule
from hoistbook.core.checks.found import CheckResult
from hoistbook.core.checks.pipe_flow import (
    LAMINAR_BELOW,
    TURBULENT_FROM,
    friction_factor,
    pressure_drop_pa,
    reynolds_number,
    tube_kg_per_m,
    velocity_m_per_s,
)

THINNER_M = 0.001
SMALL_SHARE = 0.2
"""Share of the whole circuit's drop up to which a hose is said to matter little; project rule."""
SEEN_SHARE = 0.05
"""Share of the draws from which on the verdict speaks of transition; project rule."""

_DENSITY = CubicSpline(GLYCOL_K, GLYCOL_KG_PER_M3)
_LOG_VISCOSITY = CubicSpline(GLYCOL_K, np.log(GLYCOL_PA_S))
_HEAT = CubicSpline(GLYCOL_K, GLYCOL_J_PER_KG_K)


def coolant_kg_per_m3(temperature_k: Array) -> Array:
    """Density of 50 % ethylene glycol by mass. [kg/m3]"""
    density: Array = _DENSITY(temperature_k)
    return density


def coolant_pa_s(temperature_k: Array) -> Array:
    """Dynamic viscosity of 50 % ethylene glycol by mass. [Pa.s]"""
    viscosity: Array = np.exp(_LOG_VISCOSITY(temperature_k))
    return viscosity


def coolant_j_per_kg_k(temperature_k: Array) -> Array:
    """Specific heat of 50 % ethylene glycol by mass. [J/(kg.K)]"""
    heat: Array = _HEAT(temperature_k)
    return heat


def heat_loss_w_per_m_k(bore_m: Array, outer_m: Array, conductivity: Array, film: Array) -> Array:
    """Heat that a hose passes per length and kelvin: conduction through its wall and a film outside.

    UA′ = 1/[ln(D_o/D_i)/(2πk) + 1/(hπD_o)]; the film inside is left out, which is some hundred times as good.
    """
    resistance = np.log(outer_m / bore_m) / (2.0 * math.pi * conductivity) + 1.0 / (film * math.pi * outer_m)
    loss: Array = 1.0 / resistance
    return loss


def _drops(g: Given, bore_m: Array) -> tuple[Array, Array, Array, Array, Array]:
    """Drop of a metre, of one bend, of one connector; Reynolds number; velocity."""
    density, viscosity = coolant_kg_per_m3(g.coolant_k), coolant_pa_s(g.coolant_k) * g.viscosity_frac
    velocity = velocity_m_per_s(g.flow_m3_per_s, bore_m)
    reynolds = reynolds_number(density, velocity, bore_m, viscosity)
    friction = friction_factor(reynolds, g.roughness_m / bore_m)
    friction = np.where(_between(reynolds), friction * g.transition_frac, friction)
    metre = pressure_drop_pa(friction / bore_m, density, velocity)
    bend = pressure_drop_pa(g.bend_k, density, velocity)
    return metre, bend, pressure_drop_pa(g.joint_k, density, velocity), reynolds, velocity


def _between(reynolds: Array) -> NDArray[np.bool_]:
    """Whether flow may be laminar or turbulent."""
    between: NDArray[np.bool_] = (reynolds >= LAMINAR_BELOW) & (reynolds < TURBULENT_FROM)
    return between


def _evaluate(g: Given) -> Found:
    metre, bend, joint, reynolds, velocity = _drops(g, g.bore_m)
    thin_metre, thin_bend, thin_joint, _, _ = _drops(g, g.bore_m - THINNER_M)
    drop = metre * g.length_m + bend * g.bends + joint * g.joints
    thin = thin_metre * g.length_m + thin_bend * g.bends + thin_joint * g.joints
    pump = drop * g.flow_m3_per_s / g.pump_frac
    per_m = coolant_kg_per_m3(g.coolant_k) * 0.25 * math.pi * g.bore_m**2
    hose = tube_kg_per_m(g.bore_m, g.outer_m, g.hose_kg_per_m3)
    passed = heat_loss_w_per_m_k(g.bore_m, g.outer_m, g.hose_w_per_m_k, g.film_w_per_m2_k)
    thermal = per_m * coolant_j_per_kg_k(g.coolant_k)
    rise = g.coolant_k - g.start_k
    return {
        "pump_w": pump,
        "energy_j_per_m": pump / g.speed_m_per_s,
        "hydraulic_w": drop * g.flow_m3_per_s,
        "pressure_drop_pa": drop,
        "share_frac": drop / (drop + g.rest_pa),
        "straight_pa": metre * g.length_m,
        "bends_pa": bend * g.bends,
        "joints_pa": joint * g.joints,
        "metre_pa": metre,
        "bore_pa": thin - drop,
        "mass_kg": (per_m + hose) * g.length_m,
        "fluid_kg_per_m": per_m,
        "hose_kg_per_m": hose,
        "thermal_j_per_k_m": thermal,
        "warm_up_j": thermal * g.length_m * rise,
        "hose_warm_up_j": hose * g.length_m * g.hose_j_per_kg_k * rise,
        "heat_w": passed * g.length_m * (g.coolant_k - g.air_k),
        "heat_w_per_m_k": passed,
        "velocity_m_per_s": velocity,
        "reynolds": reynolds,
    }


def _verdict(result: CheckResult, given: Given) -> str:
    pump, drop, share, energy = (
        result.figure(name) for name in ("pump_w", "pressure_drop_pa", "share_frac", "energy_j_per_m")
    )
    bends, joints, bore, mass, warm, heat = (
        result.figure(name).value
        for name in ("bends_pa", "joints_pa", "bore_pa", "mass_kg", "warm_up_j", "heat_w")
    )
    straight = result.figure("straight_pa").value
    words = [
        (
            f"The hose takes {drop.value / 1e3:.3g} kPa, {pump.value:.3g} W of the pump ({pump.low:.3g} to "
            f"{pump.high:.3g}), {energy.value / 3.6:.3g} Wh/km: straight {straight / 1e3:.3g}, bends "
            f"{bends / 1e3:.3g}, "
            f"connectors {joints / 1e3:.3g} kPa; 1 mm less bore adds {bore / 1e3:.3g} kPa."
        )
    ]
    if share.high <= SMALL_SHARE:
        words.append(
            f"That is {share.value:.0%} of the drop of the circuit: friction of the hose is small beside cold plates "
            "and chiller."
        )
    elif share.low >= SMALL_SHARE:
        words.append(
            f"That is {share.value:.0%} of the drop of the circuit: this hose is worth a wider bore."
        )
    else:
        words.append(
            f"That is {share.low:.0%} to {share.high:.0%} of the drop of the circuit: measure what the rest takes."
        )
    if _between(_drops(given, given.bore_m)[3]).mean() > SEEN_SHARE:
        words.append(
            "Flow may be laminar or turbulent (Re 2300 to 4000), where friction is known to 30 % only."
        )
    words.append(
        f"It weighs {mass:.3g} kg filled. Warming its fluid takes {warm / 3.6e3:.3g} Wh, and at temperature "
        f"it {'loses' if heat >= 0.0 else 'takes up'} {abs(heat):.3g} W."
    )
    if abs(heat) > pump.high:
        words.append("Heat through its wall is more than what it takes of the pump: insulation before bore.")
    return " ".join(words)


CHECK = Check(
    name="coolant_line",
    title="Coolant hose",
    question="What does a coolant hose cost in pump power, fluid, warm-up and heat?",
    family="lines",
    readings=READINGS,
    outcomes=(
        Outcome("pump_w", "electric power of the pump for this hose", "W", effect="accessory_power"),
        Outcome("energy_j_per_m", "energy that it takes per way", "J/m", show="Wh/km"),
        Outcome("hydraulic_w", "hydraulic power", "W"),
        Outcome("pressure_drop_pa", "pressure drop", "Pa", show="kPa"),
        Outcome("share_frac", "share of the pressure drop of the circuit", "1", show="%"),
        Outcome("straight_pa", "of the drop: straight length", "Pa", show="kPa"),
        Outcome("bends_pa", "of the drop: bends", "Pa", show="kPa"),
        Outcome("joints_pa", "of the drop: connectors", "Pa", show="kPa"),
        Outcome("metre_pa", "pressure drop of a metre", "Pa"),
        Outcome("bore_pa", "more pressure drop by a bore 1 mm less", "Pa", show="kPa"),
        Outcome("mass_kg", "mass of hose and fluid", "kg"),
        Outcome("fluid_kg_per_m", "fluid per metre", "kg/m", show="g/m"),
        Outcome("hose_kg_per_m", "hose per metre", "kg/m", show="g/m"),
        Outcome("thermal_j_per_k_m", "heat that a metre of fluid takes per kelvin", "J/(K.m)"),
        Outcome("warm_up_j", "heat that warms the fluid once", "J", show="Wh"),
        Outcome("hose_warm_up_j", "heat that warms the hose itself once", "J", show="Wh"),
        Outcome("heat_w", "heat that it loses", "W"),
        Outcome("heat_w_per_m_k", "heat that it loses per metre and kelvin", "W/(m.K)"),
        Outcome("velocity_m_per_s", "velocity", "m/s"),
        Outcome("reynolds", "Reynolds number", "1"),
    ),
    evaluate=_evaluate,
    verdict=_verdict,
    sketch=SKETCH,
    rules=(
        Rule("the hose must be wider than its bore; measure both again", lambda g: g.outer_m <= g.bore_m),
        Rule(
            "the coolant must be warmer than where it starts; check both temperatures",
            lambda g: g.coolant_k <= g.start_k,
        ),
    ),
    cannot_say=(
        "Kinks, flattened bends, and what a quick connector takes: measure it",
        "How flow parts between parallel branches; air in the circuit",
        (
            "Another mixture than 50 % ethylene glycol by mass: take a refractometer; two fits of this one differ by 3 "
            "% in "
            "viscosity, so allow 5 % of the drop"
        ),
        "Bends in laminar flow, which lose more than in turbulent flow",
    ),
    references=(
        (
            "computed: properties of 50 % ethylene glycol by mass: CoolProp 8.0.0, INCOMP::MEG, which follows "
            "Melinder's "
            "tables"
        ),
        "from memory: friction by Colebrook 1939; first principles: 64/Re by Hagen and Poiseuille",
        "common practice: ±30 % between Re 2300 and 4000",
        "first principles: conduction through a cylinder with a film outside",
    ),
    method="""
| what | equation | source |
|---|---|---|
| pressure drop | Δp = (f L/D + n K_bend + m K_joint) ρV²/2 | first principles: Darcy and Weisbach |
| friction | 1/√f = −2 log₁₀(ε/(3.7 D) + 2.51/(Re √f)) | from memory: Colebrook 1939 |
| below Re 2300; up to 4000 | 64/Re; ±30 % | first principles; common practice |
| pump | P = Δp Q/η | first principles |
| fluid, hose per metre | ρ π D²/4; ρ_hose π (D_o² − D²)/4 | first principles |
| warm-up | m c_p (T − T_start) | first principles |
| heat loss | L (T − T_air)/[ln(D_o/D)/(2πk) + 1/(hπD_o)] | first principles |

Density, viscosity and specific heat of 50 % ethylene glycol by mass stand in a table every 10 K from −30 to 100 °C,
with a cubic spline between (of the logarithm of viscosity): the fits behind it are cubic, so nothing is lost between.
""",
    cautions=(
        "A warm circuit scalds: let it cool before a cap or a hose is opened.",
        "Coolant is poisonous and tastes sweet: catch all of it, keep it from people, animals and drains.",
        (
            "Coolant beside cells and inverters: a licensed person isolates the vehicle first, by the maker's sheet "
            "and "
            "local "
            "law; afterwards the circuit is filled and bled by that sheet."
        ),
    ),
)
