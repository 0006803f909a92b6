"""Readings, properties of coolant, and drawing of the check of a coolant hose."""

import numpy as np

from hoistbook.core.checks.declared import Reading, Usual
from hoistbook.core.checks.sketch import Circle, Dimension, Label, Line, Sketch

# computed: CoolProp 8.0.0, INCOMP::MEG-50% (fit of Melinder's tables of the International Institute of Refrigeration):
# °C, density [kg/m3], viscosity [Pa.s], specific heat [J/(kg.K)]
_GLYCOL = np.array(
    [
        (-30.0, 1085.0822297, 0.041773612884, 3027.0459383),
        (-20.0, 1082.1955419, 0.022178402519, 3086.9747852),
        (-10.0, 1078.6955826, 0.012779900607, 3145.6580410),
        (0.0, 1074.6236106, 0.0079297736833, 3202.8764704),
        (10.0, 1070.0208845, 0.0052565078937, 3258.4108364),
        (20.0, 1064.9286628, 0.0036932114311, 3312.0419037),
        (30.0, 1059.3882042, 0.0027286538985, 3363.5504361),
        (40.0, 1053.4407674, 0.0021032808998, 3412.7171976),
        (50.0, 1047.1276108, 0.0016780996816, 3459.3229522),
        (60.0, 1040.4899932, 0.0013749186236, 3503.1484638),
        (70.0, 1033.5691731, 0.0011477362724, 3543.9744965),
        (80.0, 1026.4064091, 0.00096845668752, 3581.5818142),
        (90.0, 1019.0429600, 0.00081951780013, 3615.7511810),
        (100.0, 1011.5200842, 0.00068999156695, 3646.2633608),
    ]
)
GLYCOL_K = _GLYCOL[:, 0] + 273.15
GLYCOL_KG_PER_M3, GLYCOL_PA_S, GLYCOL_J_PER_KG_K = _GLYCOL[:, 1], _GLYCOL[:, 2], _GLYCOL[:, 3]

_CARS = "common practice: road vehicles"
_TABLE = "computed: range of the table of 50 % ethylene glycol"

READINGS = (
    Reading("length_m", "length of the hose", "m", "string along its middle, then tape", 0.05, 30.0, _CARS, 0.01, "common practice: string along a hose to 10 mm"),
    Reading("bore_m", "bore", "m", "bore gauge at a cut end, or print on the hose", 0.004, 0.06, _CARS, 0.0002, "common practice: bore gauge in rubber", show="mm"),
    Reading("outer_m", "outer diameter", "m", "calliper, without pressing", 0.006, 0.08, _CARS, 0.0003, "common practice: calliper on rubber", show="mm"),
    Reading("flow_m3_per_s", "flow", "m3/s", "clamp-on meter, or bucket and stopwatch on an open circuit", 1e-6, 2e-3, _CARS, 5e-6, "common practice: clamp-on meter", Usual(10.0 / 60e3, 3.0 / 60e3, "common practice", "none: 7 to 13 L/min"), show="L/min"),
    Reading("coolant_k", "temperature of the coolant", "K", "thermocouple under the insulation", 243.15, 373.15, _TABLE, 1.0, "common practice: thermocouple on a hose", Usual(313.15, 10.0, "common practice", "none: 40 °C, a drive circuit in use"), show="°C"),
    Reading("viscosity_frac", "viscosity over that of the table", "1", "not measured; additives, and what the mixture is", 0.7, 1.5, "common practice: 50 % by mass, give or take some", usual=Usual(1.0, 0.05, "computed", "CoolProp 8.0.0: two fits of this mixture, MEG and MEG2, differ by 3 % at 20 °C"), show="%"),
    Reading("transition_frac", "friction between Re 2300 and 4000 over that of turbulent flow", "1", "two gauges; not read outside", 0.4, 2.0, "common practice: flow may be laminar or turbulent there", usual=Usual(1.0, 0.3, "common practice", "none: ±30 %, as flow may be either"), show="%"),
    Reading("bends", "bends, as bends of 90°", "1", "count; two of 45° are one", 0.0, 60.0, _CARS, usual=Usual(4.0, 0.0, "common practice", "none: four; count them")),
    Reading("bend_k", "loss of one bend in velocity heads", "1", "flow bench", 0.0, 3.0, "common practice: smooth bend to sharp elbow", 0.1, "common practice: flow bench", Usual(0.3, 0.15, "common practice", "none: formed hose, smooth; an elbow fitting takes more")),
    Reading("joints", "connectors", "1", "count: quick connectors, spigots, reducers", 0.0, 40.0, _CARS, usual=Usual(2.0, 0.0, "common practice", "none: one at either end; count them")),
    Reading("joint_k", "loss of one connector in velocity heads", "1", "flow bench; a quick connector with a narrow spigot takes several", 0.0, 20.0, "common practice: flush spigot to quick connector", 0.2, "common practice: flow bench", Usual(0.5, 0.4, "common practice", "none: a spigot with a step of bore")),
    Reading("roughness_m", "roughness of the bore", "m", "not measured", 0.0, 1e-4, "common practice: smooth rubber or plastic", usual=Usual(2e-6, 1e-6, "common practice", "none: smooth rubber"), show="um"),
    Reading("rest_pa", "pressure drop of the rest of the circuit", "Pa", "two gauges, over cold plates, chiller, radiator", 0.0, 3e5, _CARS, 2e3, "common practice: two gauges", Usual(20e3, 10e3, "common practice", "none: cold plates and a chiller"), show="kPa"),
    Reading("pump_frac", "efficiency of the pump, electric to hydraulic", "1", "power by clamp, flow and two gauges", 0.05, 0.9, "common practice: small electric pumps", 0.03, "common practice: clamp and gauges", Usual(0.35, 0.10, "common practice", "none: small electric pumps"), show="%"),
    Reading("start_k", "temperature from which it is warmed", "K", "of the parked vehicle", 243.15, 373.15, _TABLE, 1.0, "common practice: thermometer", Usual(273.15, 10.0, "common practice", "none: a cold morning"), show="°C"),
    Reading("air_k", "air around the hose", "K", "thermometer beside it", 233.15, 373.15, _CARS, 3.0, "common practice: thermometer", Usual(273.15, 10.0, "common practice", "none: a cold morning"), show="°C"),
    Reading("film_w_per_m2_k", "heat that passes its outside", "W/(m2.K)", "not measured", 0.5, 60.0, "common practice: insulated to blown at", usual=Usual(10.0, 5.0, "common practice", "none: still air and radiation; 25 in the airstream")),
    Reading("hose_w_per_m_k", "thermal conductivity of the hose", "W/(m.K)", "not measured", 0.02, 0.6, "common practice: foam to rubber", usual=Usual(0.25, 0.05, "common practice", "none: EPDM rubber")),
    Reading("hose_kg_per_m3", "density of the hose", "kg/m3", "weigh a piece and measure it", 800.0, 1600.0, "common practice: plastic to filled rubber", 20.0, "common practice: scale and calliper", Usual(1150.0, 80.0, "common practice", "none: EPDM rubber with its braid")),
    Reading("hose_j_per_kg_k", "specific heat of the hose", "J/(kg.K)", "not measured", 1000.0, 2600.0, "common practice: rubber and plastic", usual=Usual(2000.0, 300.0, "common practice", "none: rubber")),
    Reading("speed_m_per_s", "mean speed of the drive", "m/s", "of the cycle", 1.0, 60.0, _CARS, usual=Usual(45.0 / 3.6, 0.0, "common practice", "none: mixed driving"), show="km/h"),
)  # fmt: skip

SKETCH = Sketch(
    "A coolant hose from pump to cold plate with its bends and connectors, and its section.",
    44.0,
    (
        Circle((9, 16), 7.0, filled=True), Label("pump", (9, 4)),
        Line(((50, 6), (66, 6), (66, 22), (50, 22), (50, 6)), filled=True), Label("cold plate", (58, 2)),
        Line(((16, 16), (24, 16), (27, 17), (28, 20), (28, 28), (29, 31), (32, 32), (54, 32), (57, 31), (58, 28), (58, 22)), heavy=True),
        Line(((18, 13), (18, 19)), heavy=True), Line(((55, 25), (61, 25)), heavy=True),
        Dimension("length_m", (28, 38), (58, 38)),
        Dimension("joints", (18, 9), (28, 9)),
        Dimension("bends", (38, 25), (30, 31)),
        Label("each bend", (42, 22)),
        Dimension("air_k", (62, 36), (74, 36)), Label("air", (68, 30)),
        Circle((88, 20), 9.0), Circle((88, 20), 6.0, filled=True),
        Dimension("bore_m", (82, 7), (94, 7)),
        Dimension("outer_m", (79, 35), (97, 35)),
    ),
)  # fmt: skip
