"""Readings and drawing of the check of winter range."""

from hoistbook.core.checks.declared import Reading, Usual
from hoistbook.core.checks.sketch import Dimension, Label, Line, Sketch

_CARS = "common practice: road vehicles"
_COP = (
    "COP of 1.9 at −1 °C (Adv. Mech. Eng. 2019, 10.1177/1687814019845806) to 3.26 at −10 °C (steady-state and startup "
    "performance of an air-source heat pump, abstract): it depends on the air it blows and on what is counted"
)

READINGS = (
    Reading("usable_j", "usable energy of the battery, mild", "J", "discharge test", 3.6e6, 2e9, _CARS, usual=None, fact="usable_energy", show="kWh"),
    Reading("consumption_j_per_m", "consumption from the battery, mild, without auxiliaries", "J/m", "steady or cycle test", 100.0, 5000.0, _CARS, 10.0, "common practice: a cycle test repeats to 3 Wh/km", show="Wh/km"),
    Reading("auxiliaries_w", "auxiliaries, mild", "W", "standby test", 0.0, 5000.0, _CARS, 20.0, "common practice: clamp", Usual(300.0, 100.0, "common practice", "none: 200 to 400 W"), fact="", show="W"),
    Reading("speed_m_per_s", "mean speed of the drive", "m/s", "of the cycle", 1.0, 60.0, _CARS, usual=Usual(45.0 / 3.6, 0.0, "common practice", "none: mixed driving"), show="km/h"),
    Reading("outside_k", "outside", "K", "chosen", 233.15, 288.15, "common practice: heating season", usual=Usual(266.15, 0.0, "published", "AAA 2019: −6.7 °C (20 °F), rounded to −7 °C"), show="°C"),
    Reading("cabin_k", "cabin", "K", "chosen", 283.15, 303.15, _CARS, usual=Usual(295.15, 1.0, "common practice", "none: 22 °C"), show="°C"),
    Reading("loss_w_per_k", "heat that the cabin loses per kelvin", "W/K", "heat the parked vehicle with a known heater until steady", 5.0, 500.0, _CARS, 5.0, "common practice: fan heater and two thermometers", Usual(65.0, 20.0, "common practice", "none: 45 to 85 W/K, larger for vans without a partition")),
    Reading("fresh_kg_per_s", "fresh air", "kg/s", "vane anemometer at the intake, flap as set; 20 g/s is mostly recirculated, 60 g/s all fresh", 0.0, 0.3, _CARS, 0.01, "common practice: anemometer", Usual(0.040, 0.020, "common practice", "none: 20 to 60 g/s"), show="g/s"),
    Reading("occupants_w", "heat of people and sun", "W", "count people, 100 W each when driving", 0.0, 3000.0, _CARS, usual=Usual(100.0, 50.0, "common practice", "none: one driver, no sun")),
    Reading("battery_frac", "usable energy in the cold over mild", "1", "discharge test in the cold", 0.5, 1.0, _CARS, usual=Usual(0.97, 0.03, "common practice", "none: cells at some degrees above zero"), show="%"),
    Reading("drive_frac", "consumption of driving in the cold over mild", "1", "cycle test in the cold", 0.9, 1.6, _CARS, usual=Usual(1.10, 0.05, "common practice", "none: denser air, stiffer tyres and grease"), show="%"),
    Reading("heater_frac", "efficiency of the resistance heater", "1", "not measured", 0.7, 1.0, _CARS, usual=Usual(0.95, 0.03, "common practice", "none: electric heaters with their controls"), show="%"),
    Reading("cop", "heat over power of the heat pump", "1", "heat by air flow and temperatures, power by clamp; never carried over from another temperature", 1.0, 6.0, "first principles: above 1, below Carnot", 0.2, "common practice: vane anemometer and clamp", Usual(2.4, 0.7, "published", _COP)),
    Reading("battery_kg_k", "thermal mass of the battery to be warmed, as mass × kelvin", "kg.K", "mass of the cells times the rise", 0.0, 50_000.0, _CARS, usual=Usual(7000.0, 3500.0, "common practice", "none: 350 kg warmed by 20 K")),
)  # fmt: skip

SKETCH = Sketch(
    "A vehicle in the cold: cabin, fresh air, heat lost through the skin, battery.",
    40.0,
    (
        Line(((6, 12), (6, 22), (22, 26), (34, 36), (78, 36), (88, 24), (94, 22), (94, 12), (6, 12)), filled=True),
        Line(((36, 15), (36, 33), (76, 33), (84, 24), (84, 15), (36, 15))),
        Line(((30, 6), (76, 6), (76, 11), (30, 11), (30, 6)), heavy=True),
        Label("battery", (53, 7.5)), Label("cabin", (50, 29)), Label("outside", (10, 36)),
        Dimension("cabin_k", (40, 22), (50, 22)),
        Dimension("fresh_kg_per_s", (22, 19), (35, 19)),
        Dimension("loss_w_per_k", (70, 30), (70, 39)),
        Dimension("outside_k", (4, 31), (16, 31)),
        Dimension("battery_kg_k", (30, 3), (76, 3)),
    ),
)  # fmt: skip
