"""Range in the cold: without heating, with a resistance heater, with a heat pump."""

from __future__ import annotations

from hoistbook.core.arrays import Array
from hoistbook.core.checks.declared import Check, Found, Given, Outcome, Rule
from hoistbook.core.checks.found import CheckResult
from hoistbook.core.checks.winter_range.data import READINGS, SKETCH

AIR_J_PER_KG_K = 1006.0
"""Specific heat of air at constant pressure (common practice of the field)."""
CELLS_J_PER_KG_K = 1000.0
"""Specific heat of cells with their housings (common practice, no source)."""


def cabin_heat_w(g: Given) -> Array:
    """UA ΔT + ṁ c_p ΔT less people and sun. [W]"""
    rise = g.cabin_k - g.outside_k
    heat: Array = (g.loss_w_per_k + g.fresh_kg_per_s * AIR_J_PER_KG_K) * rise - g.occupants_w
    return heat


def _range(energy: Array, drive: Array, power: Array, speed: Array) -> Array:
    found: Array = energy / (drive + power / speed)
    return found


def _evaluate(g: Given) -> Found:
    heat = cabin_heat_w(g)
    cold, drive = g.usable_j * g.battery_frac, g.consumption_j_per_m * g.drive_frac
    mild = _range(g.usable_j, g.consumption_j_per_m, g.auxiliaries_w, g.speed_m_per_s)
    bare = _range(cold, drive, g.auxiliaries_w, g.speed_m_per_s)
    heater = _range(cold, drive, g.auxiliaries_w + heat / g.heater_frac, g.speed_m_per_s)
    pump = _range(cold, drive, g.auxiliaries_w + heat / g.cop, g.speed_m_per_s)
    return {
        "heater_m": heater,
        "pump_m": pump,
        "pump_gains_m": pump - heater,
        "mild_m": mild,
        "cold_without_m": bare,
        "heater_share_frac": 1.0 - heater / bare,
        "heat_w": heat,
        "heater_w": heat / g.heater_frac,
        "pump_w": heat / g.cop,
        "warm_up_j": g.battery_kg_k * CELLS_J_PER_KG_K,
        "carnot": g.cabin_k / (g.cabin_k - g.outside_k),
    }


def _verdict(result: CheckResult, given: Given) -> str:
    mild, bare, heater, pump = (
        result.figure(name).value / 1e3 for name in ("mild_m", "cold_without_m", "heater_m", "pump_m")
    )
    gain = result.figure("pump_gains_m")
    told = f"{gain.value / 1e3:.0f} km ({gain.low / 1e3:.0f} to {gain.high / 1e3:.0f})"
    rise = float(given.cabin_k[0] - given.outside_k[0])
    fresh = float(given.fresh_kg_per_s[0]) * AIR_J_PER_KG_K * rise
    skin, people = float(given.loss_w_per_k[0]) * rise, float(given.occupants_w[0])
    heat = result.figure("heat_w").value
    look = (
        "Fresh air takes more than the skin: look at the flap and the humidity sensor, not only at the heat pump. "
        if fresh > skin
        else ""
    )
    return (
        f"At {float(given.outside_k[0]) - 273.15:.0f} °C and {float(given.speed_m_per_s[0]) * 3.6:.0f} km/h: "
        f"{mild:.0f} km mild, {bare:.0f} km cold "
        f"without heating, {heater:.0f} km with a resistance heater, {pump:.0f} km with the heat pump, which gains "
        f"{told}. The cabin needs {heat:.0f} W: {skin:.0f} W through its skin and {fresh:.0f} W for fresh air, less "
        f"{people:.0f} W of people and sun. {look}"
        "Heating costs by time: at half the speed the same heater takes twice as much per kilometre."
    )


CHECK = Check(
    name="winter_range",
    title="Heating and winter range",
    question="Two vehicles, same battery: how much of the winter range goes into heating?",
    family="heat",
    readings=READINGS,
    outcomes=(
        Outcome("heater_m", "range in the cold with a resistance heater", "m", show="km"),
        Outcome("pump_m", "range in the cold with a heat pump", "m", show="km"),
        Outcome("pump_gains_m", "what the heat pump gains", "m", show="km"),
        Outcome("mild_m", "range, mild", "m", show="km"),
        Outcome("cold_without_m", "range in the cold without heating", "m", show="km"),
        Outcome(
            "heater_share_frac", "share of the cold range that the resistance heater takes", "1", show="%"
        ),
        Outcome("heat_w", "heat that the cabin needs", "W"),
        Outcome("heater_w", "power of the resistance heater", "W"),
        Outcome("pump_w", "power of the heat pump", "W"),
        Outcome("warm_up_j", "heat that warms the battery once", "J", show="kWh"),
        Outcome("carnot", "most heat over power that nature allows between outside and cabin", "1"),
    ),
    evaluate=_evaluate,
    verdict=_verdict,
    sketch=SKETCH,
    rules=(
        Rule("the cabin must be warmer than outside", lambda g: g.cabin_k <= g.outside_k),
        Rule(
            "people and sun bring more heat than the cabin loses: nothing is heated",
            lambda g: cabin_heat_w(g) <= 0.0,
        ),
        Rule(
            "no heat pump gives more heat over power than the cabin's temperature over the rise (Carnot); check the "
            "COP",
            lambda g: g.cop * (g.cabin_k - g.outside_k) > g.cabin_k,
        ),
    ),
    cannot_say=(
        "How the vehicle controls heating, preconditions, defrosts, or uses waste heat",
        "Whether a heat pump that is fitted runs at this temperature",
        "Recuperation that a cold battery refuses",
    ),
    references=(
        (
            "published: AAA 2019, five vehicles: at −6.7 °C −41 % with heating, −12 % without, as two trade pages "
            "report it"
        ),
        "published: COP 1.9 at −1 °C: Adv. Mech. Eng. 2019, 10.1177/1687814019845806; 3.26 at −10 °C: abstract",
        "first principles: heat balance of the cabin; Carnot",
    ),
    method="""
| what | equation | source |
|---|---|---|
| heat | Q = UA ΔT + ṁ c_p ΔT − people and sun; c_p 1006 J/(kg K) | first principles |
| power | Q/η, Q/COP | first principles |
| range | E/(e + P/v) | first principles |
| warming the battery | m c ΔT, c 1000 J/(kg K) | common practice |
| bound of the heat pump | COP ≤ T_cabin/(T_cabin − T_outside) | first principles: Carnot |
""",
)
