"""Readings and drawing of the check of a refrigerant line."""

from hoistbook.core.checks.declared import Choice, Reading, Usual
from hoistbook.core.checks.refrigerant_line import table_r134a, table_r744, table_r1234yf
from hoistbook.core.checks.sketch import Circle, Dimension, Label, Line, Sketch

FLUIDS = {"R-1234yf": table_r1234yf.FLUID, "R-134a": table_r134a.FLUID, "R-744": table_r744.FLUID}
DEVIATIONS = {
    "R-1234yf": table_r1234yf.DEVIATION,
    "R-134a": table_r134a.DEVIATION,
    "R-744": table_r744.DEVIATION,
}
TUBES = {"aluminium": 2700.0, "steel": 7850.0, "copper": 8960.0, "rubber": 1150.0}
"""Density [kg/m3] (common practice: handbooks; of rubber hose without its braid)."""

CHOICES = (
    Choice("refrigerant", "refrigerant, from the plate", {"R-1234yf": "R-1234yf, slightly flammable", "R-134a": "R-134a", "R-744": "R-744, carbon dioxide, above its critical pressure behind the compressor"}),
    Choice("line", "line", {"suction": "evaporator to compressor", "liquid": "condenser or gas cooler to expansion valve", "discharge": "compressor to condenser or gas cooler"}),
    Choice("bend_loss", "loss of bends", {"literature": "as stated, with the spread of the literature", "stated": "as stated alone: it was measured"}),
    Choice("tube", "tube", {"aluminium": "aluminium, 2700 kg/m³", "steel": "steel, 7850 kg/m³", "copper": "copper, 8960 kg/m³", "rubber": "rubber hose, 1150 kg/m³"}),
)  # fmt: skip
_CARS = "common practice: road vehicles"
_TABLES = "computed: range of the property tables"

READINGS = (
    Reading("length_m", "length of the line", "m", "string along its middle from joint to joint, then tape", 0.05, 15.0, _CARS, 0.01, "common practice: string along a tube to 10 mm", show="mm"),
    Reading("bore_m", "bore", "m", "bore gauge at a cut end, or outer diameter less two walls", 0.003, 0.04, _CARS, 0.0001, "common practice: bore gauge", show="mm"),
    Reading("outer_m", "outer diameter", "m", "calliper, over what is bare to the air", 0.004, 0.08, _CARS, 0.0002, "common practice: calliper on a tube", Usual(0.018, 0.002, "common practice", "none: 16 mm tube to 20 mm hose; state it where the bore is not near 13 mm"), show="mm"),
    Reading("bends", "bends, as bends of 90°", "1", "count; two of 45° are one", 0.0, 40.0, _CARS, usual=Usual(3.0, 0.0, "common practice", "none: three bends; count them")),
    Reading("bend_ratio", "radius of the bends over bore", "1", "template against the inside of the bend, plus half the outer diameter", 1.0, 10.0, "from memory: formed bends, Rennels and Hudson, Pipe Flow, ch. 15", 0.3, "common practice: radius gauge", Usual(2.5, 0.5, "common practice", "none: formed tubes")),
    Reading("bend_k", "loss of one bend in velocity heads", "1", "flow bench; else from the literature, which disagrees by four times", 0.0, 3.0, "common practice: smooth bend to sharp elbow", 0.05, "common practice: flow bench", Usual(0.25, 0.07, "common practice", "none: a formed bend of 2 to 3 bores")),
    Reading("joints", "joints within the line", "1", "count: block fittings, couplings, hose crimps, charge port", 0.0, 20.0, _CARS, usual=Usual(2.0, 0.0, "common practice", "none: one at either end; count them")),
    Reading("joint_k", "loss of one joint in velocity heads", "1", "flow bench", 0.0, 5.0, "common practice: flush joint to sharp step", 0.05, "common practice: flow bench", Usual(0.15, 0.10, "common practice", "none: a step of bore or a small offset")),
    Reading("roughness_m", "roughness of the bore", "m", "not measured; corrugated hose is another matter", 0.0, 5e-5, "from memory: drawn tube 1.5 µm, commercial steel 45 µm (Moody 1944)", usual=Usual(1.5e-6, 0.5e-6, "from memory", "Moody 1944: drawn tube 0.0015 mm"), show="um"),
    Reading("hose_length_m", "how much of the length is rubber hose", "m", "string and tape", 0.0, 15.0, _CARS, 0.01, "common practice: string along a tube to 10 mm", Usual(0.0, 0.0, "common practice", "none: all tube; measure the hose"), show="mm"),
    Reading("cooling_w", "cooling", "W", "air side by vane anemometer and temperatures, or the plate", 200.0, 20_000.0, _CARS, 300.0, "common practice: air side to some hundred watts", Usual(4000.0, 1000.0, "common practice", "none: 3 to 5 kW, a warm day"), show="W"),
    Reading("evaporating_k", "evaporating temperature", "K", "low-side gauge and the saturation table on it", 248.15, 288.15, _TABLES, 0.5, "common practice: service gauge", Usual(278.15, 2.0, "common practice", "none: 5 °C at the evaporator"), show="°C"),
    Reading("superheat_k", "superheat out of the evaporator", "K", "thermocouple on the line less evaporating temperature", 0.0, 30.0, _TABLES, 1.0, "common practice: thermocouple on a tube", Usual(5.0, 2.0, "common practice", "none: 3 to 7 K")),
    Reading("condensing_k", "condensing temperature; R-744: not read", "K", "high-side gauge and the saturation table on it", 288.15, 343.15, _TABLES, 0.5, "common practice: service gauge", Usual(323.15, 3.0, "common practice", "none: 50 °C on a warm day"), show="°C"),
    Reading("subcooling_k", "subcooling before the expansion valve; R-744: not read", "K", "condensing temperature less thermocouple on the liquid line", 0.0, 30.0, _TABLES, 1.0, "common practice: thermocouple on a tube", Usual(5.0, 2.0, "common practice", "none: 3 to 7 K")),
    Reading("cooler_pa", "R-744 alone: pressure of the gas cooler", "Pa", "high-side gauge", 85e5, 145e5, _TABLES + ": well above the critical pressure of 73.8 bar", 1e5, "common practice: service gauge", Usual(100e5, 3e5, "common practice", "none: 100 bar on a warm day"), show="bar"),
    Reading("cooler_out_k", "R-744 alone: temperature out of the gas cooler", "K", "thermocouple on the line", 288.15, 328.15, _TABLES, 1.0, "common practice: thermocouple on a tube", Usual(313.15, 2.0, "common practice", "none: 40 °C on a warm day"), show="°C"),
    Reading("efficiency_frac", "isentropic efficiency of the compressor", "1", "power by clamp against this cycle", 0.4, 1.0, "first principles: at most 1", 0.03, "common practice: clamp and gauges", Usual(0.65, 0.08, "common practice", "none: electric scroll compressor with its inverter"), show="%"),
    Reading("surroundings_k", "air around the line", "K", "thermometer beside it when hot; for a cold line that does not lose by it, its own temperature", 233.15, 393.15, _CARS, 3.0, "common practice: thermometer", Usual(333.15, 15.0, "common practice", "none: 60 °C in a front compartment"), show="°C"),
    Reading("film_w_per_m2_k", "heat that passes its outside", "W/(m2.K)", "not measured; insulated 1 to 3", 0.0, 60.0, "common practice: insulated to blown at", 1.0, "common practice: none", Usual(12.0, 4.0, "common practice", "none: still air and radiation to a draught")),
    Reading("speed_m_per_s", "mean speed of the drive", "m/s", "of the cycle", 1.0, 60.0, _CARS, usual=Usual(45.0 / 3.6, 0.0, "common practice", "none: mixed driving"), show="km/h"),
)  # fmt: skip

SKETCH = Sketch(
    "A refrigerant line with its bends and joints between two components, and its section.",
    46.0,
    (
        Line(((2, 6), (16, 6), (16, 22), (2, 22), (2, 6)), filled=True),
        Label("evaporator", (9, 2)),
        Circle((62, 14), 8.0, filled=True), Label("compressor", (62, 2)),
        Line(((16, 17), (25, 17), (28, 18), (29, 21), (29, 30), (30, 33), (33, 34), (52, 34), (55, 33), (56, 30), (56, 20)), heavy=True),
        Line(((18, 14.5), (18, 19.5)), heavy=True), Line(((53.5, 24), (58.5, 24)), heavy=True),
        Dimension("length_m", (29, 40), (56, 40)),
        Dimension("joints", (18, 11), (27, 11)),
        Dimension("bend_ratio", (34, 29), (30, 33)),
        Dimension("bends", (48, 29), (55, 33)),
        Label("each bend", (41, 26)),
        Dimension("surroundings_k", (62, 38), (74, 38)), Label("air", (68, 32)),
        Circle((88, 20), 9.0), Circle((88, 20), 6.0, filled=True),
        Dimension("bore_m", (82, 7), (94, 7)),
        Dimension("outer_m", (79, 36), (97, 36)),
    ),
)  # fmt: skip
