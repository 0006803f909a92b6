"""A refrigerant line: length, bore, bends, joints and warmth against compressor power, capacity, charge and mass."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from hoistbook.core.arrays import Array
from hoistbook.core.checks.declared import Check, Found, Given, Limit, Outcome, Rule, Spread
from hoistbook.core.checks.pipe_flow import (
    friction_factor,
    pressure_drop_pa,
    rennels_bend_k,
    reynolds_number,
    standard_elbow_k,
    tube_kg_per_m,
    velocity_m_per_s,
)
from hoistbook.core.checks.refrigerant_line.cycle import (
    Cycle,
    cycle,
    with_discharge_line,
    with_suction_line,
)
from hoistbook.core.checks.refrigerant_line.data import CHOICES, FLUIDS, READINGS, SKETCH, TUBES
from hoistbook.core.checks.refrigerant_line.words import CAUTIONS, METHOD, REFERENCES, verdict

THINNER_M = 0.001
SMALL_DROP_FRAC = 0.1
"""Drop over pressure up to which the density at the inlet serves for the whole line (from memory: common rule of texts
on the flow of gases in pipes)."""
FASTEST_M_PER_S = {"suction": 20.0, "discharge": 18.0, "liquid": 1.5}


@dataclass(frozen=True, slots=True)
class Flow:
    """The flow in the line, one value per draw."""

    density_kg_per_m3: Array
    velocity_m_per_s: Array
    reynolds: Array
    friction: Array
    metre_pa: Array
    joint_pa: Array


@lru_cache(maxsize=1)
def cycle_of(g: Given) -> Cycle:
    """The cycle without the line, worked out once for the rules and the figures of a run."""
    with np.errstate(all="ignore"):  # what has no value is refused by a rule
        return _cycle_of(g)


def _cycle_of(g: Given) -> Cycle:
    fluid = FLUIDS[g.choice("refrigerant")]
    if g.choice("refrigerant") == "R-744":
        high, before_valve = g.cooler_pa, g.cooler_out_k
    else:
        high, before_valve = fluid.saturation_pa(g.condensing_k), g.condensing_k - g.subcooling_k
    low = fluid.saturation_pa(g.evaporating_k)
    return cycle(fluid, low, g.superheat_k, high, before_valve, g.cooling_w, g.efficiency_frac)


def flow_of(g: Given, of: Cycle, bore_m: Array) -> Flow:
    """The flow at the inlet of the line."""
    if g.choice("line") == "suction":
        states, enthalpy = of.vapour, of.suction_j_per_kg
    elif g.choice("line") == "discharge":
        states, enthalpy = of.gas, of.discharge_j_per_kg
    else:
        states, enthalpy = of.fluid.liquid.at(of.high_pa), of.before_valve_j_per_kg
    density = states.density_kg_per_m3(enthalpy)
    velocity = velocity_m_per_s(of.flow_kg_per_s / density, bore_m)
    reynolds = reynolds_number(density, velocity, bore_m, states.viscosity_pa_s(enthalpy))
    friction = friction_factor(reynolds, g.roughness_m / bore_m)
    metre = pressure_drop_pa(friction / bore_m, density, velocity)
    return Flow(density, velocity, reynolds, friction, metre, pressure_drop_pa(g.joint_k, density, velocity))


def bends_pa(g: Given, flow: Flow, bore_m: Array) -> dict[str, Array]:
    """Drop of one bend by each formula; the one stated first."""
    losses = {"loss as stated": g.bend_k}
    if g.choice("bend_loss") == "literature":
        losses["smooth bend, Rennels"] = rennels_bend_k(flow.friction, g.bend_ratio)
        losses["standard elbow of steel"] = standard_elbow_k(bore_m)
    return {
        name: pressure_drop_pa(k, flow.density_kg_per_m3, flow.velocity_m_per_s) for name, k in losses.items()
    }


def drops_pa(g: Given, flow: Flow, bends: dict[str, Array]) -> dict[str, Array]:
    """Drop of the whole line by each formula."""
    rest = flow.metre_pa * g.length_m + flow.joint_pa * g.joints
    return {name: rest + one * g.bends for name, one in bends.items()}


def _spread(values: dict[str, Array]) -> Array | Spread:
    return Spread(values) if len(values) > 1 else next(iter(values.values()))


def _heat_w(g: Given, of: Cycle) -> Array:
    """What the line takes up: film × outside × (air − line)."""
    if g.choice("line") == "suction":
        inside = of.vapour.temperature_k(of.suction_j_per_kg)
    elif g.choice("line") == "discharge":
        inside = of.gas.temperature_k(of.discharge_j_per_kg)
    else:
        inside = of.fluid.liquid.at(of.high_pa).temperature_k(of.before_valve_j_per_kg)
    heat: Array = g.film_w_per_m2_k * math.pi * g.outer_m * g.length_m * (g.surroundings_k - inside)
    return heat


def _evaluate(g: Given) -> Found:
    of = cycle_of(g)
    flow = flow_of(g, of, g.bore_m)
    bends = bends_pa(g, flow, g.bore_m)
    drops = drops_pa(g, flow, bends)
    line, heat = g.choice("line"), _heat_w(g, of)
    if line == "suction":
        found, rise = _suction(g, of, flow, bends, drops, heat)
    elif line == "discharge":
        found, rise = _discharge(g, of, flow, bends, drops)
    else:
        rise = {"": heat / g.cooling_w}
        found = {"heat_rise_frac": rise[""]}
    power = of.flow_kg_per_s * of.work_j_per_kg
    extra = {name: one * power for name, one in rise.items()}
    if of.fluid.critical_pa > float(of.high_pa[0]) or line == "suction":
        found["saturation_loss_k"] = _spread(_saturation_losses(of, line, drops))
    if line == "liquid" and g.choice("refrigerant") != "R-744":
        warm = of.before_valve_j_per_kg + heat / of.flow_kg_per_s
        left = {
            name: of.fluid.saturation_temperature_k(of.high_pa - one)
            - of.fluid.liquid.at(of.high_pa).temperature_k(warm)
            for name, one in drops.items()
        }
        found["subcooling_left_k"] = _spread(left)
    per_m = flow.density_kg_per_m3 * 0.25 * math.pi * g.bore_m**2
    tube = tube_kg_per_m(g.bore_m, g.outer_m, TUBES[g.choice("tube")])
    return found | {
        "power_rise_frac": _spread(rise),
        "extra_power_w": _spread(extra),
        "energy_j_per_m": _spread({name: one / g.speed_m_per_s for name, one in extra.items()}),
        "cop": _spread({name: g.cooling_w / (power + one) for name, one in extra.items()}),
        "cop_without": g.cooling_w / power,
        "compressor_w": power,
        "pressure_drop_pa": _spread(drops),
        "velocity_m_per_s": flow.velocity_m_per_s,
        "heat_w": heat,
        "charge_kg_per_m": per_m,
        "charge_kg": per_m * g.length_m,
        "mass_kg_per_m": tube,
        "mass_kg": tube * g.length_m,
        "discharge_k": of.gas.temperature_k(of.discharge_j_per_kg),
        "flow_kg_per_s": of.flow_kg_per_s,
        "hose_m2": math.pi * g.bore_m * g.hose_length_m,
    }


def _saturation_losses(of: Cycle, line: str, drops: dict[str, Array]) -> dict[str, Array]:
    pressure = of.low_pa if line == "suction" else of.high_pa
    start = of.fluid.saturation_temperature_k(pressure)
    return {name: start - of.fluid.saturation_temperature_k(pressure - one) for name, one in drops.items()}


def _parts(
    g: Given, flow: Flow, bends: dict[str, Array], drops: dict[str, Array], rises: dict[str, Array]
) -> dict[str, Array | Spread]:
    """The rise by friction shared out by pressure drop."""
    per_pa = {name: rises[name] / drop for name, drop in drops.items()}
    first = next(iter(per_pa.values()))
    one_bend = {name: per_pa[name] * bend for name, bend in bends.items()}
    return {
        "straight_rise_frac": first * flow.metre_pa * g.length_m,
        "bends_rise_frac": _spread({name: one * g.bends for name, one in one_bend.items()}),
        "joints_rise_frac": first * flow.joint_pa * g.joints,
        "rise_per_m_frac": first * flow.metre_pa,
        "rise_per_bend_frac": _spread(one_bend),
        "rise_per_joint_frac": first * flow.joint_pa,
    }


def _thinner_pa(g: Given, of: Cycle) -> Array:
    """Drop, losses of bends as stated, of the same line with a bore 1 mm less."""
    bore = g.bore_m - THINNER_M
    flow = flow_of(g, of, bore)
    bend = pressure_drop_pa(g.bend_k, flow.density_kg_per_m3, flow.velocity_m_per_s)
    return drops_pa(g, flow, {"": bend})[""]


def _suction(
    g: Given, of: Cycle, flow: Flow, bends: dict[str, Array], drops: dict[str, Array], heat: Array
) -> tuple[dict[str, Array | Spread], dict[str, Array]]:
    gained, none = heat / of.flow_kg_per_s, np.zeros_like(heat)
    base = of.work_j_per_kg
    whole = {name: with_suction_line(of, one, gained) for name, one in drops.items()}
    rubbing = {name: with_suction_line(of, one, none)[0] / base - 1.0 for name, one in drops.items()}
    rise = {name: work / base - 1.0 for name, (work, _) in whole.items()}
    first = next(iter(drops))
    thinner = with_suction_line(of, _thinner_pa(g, of), none)[0] / base - 1.0
    full = of.vapour.density_kg_per_m3(of.suction_j_per_kg)
    return _parts(g, flow, bends, drops, rubbing) | {
        "bore_rise_frac": thinner - rubbing[first],
        "heat_rise_frac": rise[first] - rubbing[first],
        "capacity_frac": _spread({name: density / full for name, (_, density) in whole.items()}),
    }, rise


def _discharge(
    g: Given, of: Cycle, flow: Flow, bends: dict[str, Array], drops: dict[str, Array]
) -> tuple[dict[str, Array | Spread], dict[str, Array]]:
    base = of.work_j_per_kg
    rise = {name: with_discharge_line(of, one) / base - 1.0 for name, one in drops.items()}
    thinner = with_discharge_line(of, _thinner_pa(g, of)) / base - 1.0
    return _parts(g, flow, bends, drops, rise) | {
        "bore_rise_frac": thinner - next(iter(rise.values())),
    }, rise


def _large_drop(g: Given) -> NDArray[np.bool_]:
    of = cycle_of(g)
    with np.errstate(all="ignore"):
        flow = flow_of(g, of, g.bore_m)
        drops = drops_pa(g, flow, bends_pa(g, flow, g.bore_m))
    pressure = of.low_pa if g.choice("line") == "suction" else of.high_pa
    most: Array = np.max(list(drops.values()), axis=0)
    return ~(most <= SMALL_DROP_FRAC * pressure)


def _too_hot(g: Given) -> NDArray[np.bool_]:
    of = cycle_of(g)
    return ~(of.discharge_j_per_kg <= of.gas.least_j_per_kg + of.gas.width_j_per_kg)


def _wet(g: Given) -> NDArray[np.bool_]:
    of = cycle_of(g)
    wet: NDArray[np.bool_] = of.discharge_j_per_kg < of.gas.least_j_per_kg
    return wet


CHECK = Check(
    name="refrigerant_line",
    title="Refrigerant line",
    question="What does a longer, thinner, more bent or warmer refrigerant line cost in power, capacity, charge, mass?",
    family="lines",
    readings=READINGS,
    choices=CHOICES,
    outcomes=(
        Outcome("power_rise_frac", "rise of compressor power at equal cooling", "1", show="%"),
        Outcome("extra_power_w", "compressor power that the line takes", "W", effect="accessory_power"),
        Outcome("energy_j_per_m", "energy that it takes per way", "J/m", show="Wh/km"),
        Outcome("cop", "cooling over compressor power, with the line", "1"),
        Outcome("cop_without", "cooling over compressor power, without the line", "1"),
        Outcome(
            "capacity_frac", "cooling at equal compressor speed, over that without the line", "1", show="%"
        ),
        Outcome("straight_rise_frac", "of the rise: friction of the straight length", "1", show="%"),
        Outcome("bends_rise_frac", "of the rise: bends", "1", show="%"),
        Outcome("joints_rise_frac", "of the rise: joints", "1", show="%"),
        Outcome("heat_rise_frac", "of the rise: heat picked up", "1", show="%"),
        Outcome("rise_per_m_frac", "rise by friction of a metre", "1", show="%"),
        Outcome("rise_per_bend_frac", "rise by one bend", "1", show="%"),
        Outcome("rise_per_joint_frac", "rise by one joint", "1", show="%"),
        Outcome("bore_rise_frac", "rise by a bore 1 mm less", "1", show="%"),
        Outcome("pressure_drop_pa", "pressure drop", "Pa", show="kPa"),
        Outcome("saturation_loss_k", "that drop as kelvin of saturation temperature", "K"),
        Outcome("subcooling_left_k", "subcooling left at the valve; below 0 vapour forms in the line", "K"),
        Outcome("velocity_m_per_s", "velocity at the inlet of the line", "m/s"),
        Outcome("heat_w", "heat that the line takes up", "W"),
        Outcome("charge_kg", "refrigerant in the line", "kg", show="g"),
        Outcome("charge_kg_per_m", "refrigerant per metre", "kg/m", show="g/m"),
        Outcome("mass_kg", "mass of the tube", "kg"),
        Outcome("mass_kg_per_m", "mass of the tube per metre", "kg/m", show="g/m"),
        Outcome("compressor_w", "compressor power without the line", "W"),
        Outcome("discharge_k", "temperature behind the compressor without the line", "K", show="°C"),
        Outcome("flow_kg_per_s", "refrigerant flow", "kg/s", show="g/s"),
        Outcome("hose_m2", "inner surface of hose, which its permeation class multiplies", "m2"),
    ),
    evaluate=_evaluate,
    verdict=verdict,
    sketch=SKETCH,
    limits=(
        Limit(
            "velocity_m_per_s",
            "at most",
            lambda g: np.full_like(g.length_m, FASTEST_M_PER_S[g.choice("line")]),
            "greatest usual velocity: suction 20, discharge 18, liquid 1.5 m/s",
            "published",
            "ASHRAE Handbook Refrigeration 2010, ch. 1, table 1, for gas; the liquid line from memory of that book",
        ),
    ),
    rules=(
        Rule("the tube must be wider than its bore; measure both again", lambda g: g.outer_m <= g.bore_m),
        Rule("more hose than line; measure both lengths again", lambda g: g.hose_length_m > g.length_m),
        Rule(
            "the condensing temperature must be at least 10 K above the evaporating one; read both gauges again",
            lambda g: (g.condensing_k < g.evaporating_k + 10.0) & (g.choice("refrigerant") != "R-744"),
        ),
        Rule(
            "no cooling is left: what leaves the condenser or gas cooler is as warm as what leaves the evaporator; "
            "check pressures and temperatures",
            lambda g: ~(cycle_of(g).cooling_j_per_kg > 0.0),
        ),
        Rule(
            "the compressor would deliver above 137 °C (R-1234yf), 152 °C (R-134a) or 187 °C (R-744), where the "
            "property tables end; check pressures, superheat and efficiency",
            _too_hot,
        ),
        Rule(
            "liquid would leave the compressor; check superheat and efficiency",
            _wet,
        ),
        Rule(
            "the line would take more than a tenth of the pressure: the equation takes the density of the inlet for "
            "the whole line and holds up to a tenth; check bore, length, bends and cooling",
            _large_drop,
        ),
    ),
    cannot_say=(
        "Oil that stays in the line, and oil in what flows",
        "Corrugated hose, which rubs two to five times as much as a smooth bore (common practice)",
        "Accumulator, muffler and coaxial internal heat exchanger, which usually take more than the tube",
        (
            "Permeation: rubber hose loses refrigerant by its inner surface and by a class that only its print "
            "tells; the "
            "surface is given, the loss is weighed over a year"
        ),
        "How the control of the compressor answers; clearance, pulsation, two-phase flow",
        "A bend, a joint and a metre cost by their share in the pressure drop: the rise is taken as a line over it",
    ),
    references=REFERENCES,
    method=METHOD,
    cautions=CAUTIONS,
)
