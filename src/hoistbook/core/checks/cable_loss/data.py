"""Readings, resistances and drawing of the check of a conductor."""

import numpy as np

from hoistbook.core.checks.declared import Choice, Reading, Usual
from hoistbook.core.checks.sketch import Circle, Dimension, Label, Line, Sketch

SECTIONS_MM2 = np.array([16.0, 25.0, 35.0, 50.0, 70.0, 95.0])
# published: IEC 60228, greatest direct-current resistance at 20 °C, as three cable pages reproduce it. [ohm/km]
RESISTANCES_OHM_PER_KM = {
    "copper, fine": np.array([1.21, 0.780, 0.554, 0.386, 0.272, 0.206]),
    "copper, fine, tinned": np.array([1.24, 0.795, 0.565, 0.393, 0.277, 0.210]),
    "copper, coarse": np.array([1.15, 0.727, 0.524, 0.387, 0.268, 0.193]),
    "aluminium": np.array([1.91, 1.20, 0.868, 0.641, 0.443, 0.320]),
}
TEMPERATURE_COEFFICIENT_PER_K = {"copper": 0.00393, "aluminium": 0.00403}
"""from memory: IEC 60287, at 20 °C."""
DENSITY_KG_PER_M3 = {"copper": 8890.0, "aluminium": 2700.0}
"""from memory: IEC 60287 and handbooks."""

CHOICES = (
    Choice(
        "conductor", "conductor",
        {
            "copper, fine": "plain copper, fine strands (class 5)", "copper, fine, tinned": "tinned copper, fine strands (class 5)",
            "copper, coarse": "plain copper, coarse strands (class 2)", "aluminium": "aluminium, solid or stranded (class 1 and 2)",
        },
    ),
)  # fmt: skip
_CARS = "common practice: road vehicles"

READINGS = (
    Reading("section_m2", "section of the conductor", "m2", "print on the jacket", 16e-6, 95e-6, "published: the sections of IEC 60228 that are on file here", 0.0, "exact", show="mm2"),
    Reading("length_m", "length of the loop, there and back", "m", "tape or string along the cable", 0.1, 20.0, _CARS, 0.02, "common practice: string along a cable to 20 mm"),
    Reading("current_a", "root-mean-square current over the drive", "A", "clamp with a recorder, or the energy model's cycle", 1.0, 1000.0, _CARS, 2.0, "common practice: clamp to 2 A"),
    Reading("temperature_k", "temperature of the conductor", "K", "thermocouple under the jacket, or 60 °C", 233.15, 473.15, "common practice: classes of automotive cable", 5.0, "common practice: thermocouple on the jacket", Usual(333.15, 15.0, "common practice", "none: 45 to 75 °C in a drive"), show="°C"),
    Reading("voltage_v", "voltage of the battery", "V", "plate, or measured by a licensed person", 48.0, 1500.0, _CARS, usual=Usual(400.0, 50.0, "common practice", "none: 350 to 450 V")),
    Reading("speed_m_per_s", "mean speed of the drive", "m/s", "of the cycle", 1.0, 60.0, _CARS, usual=Usual(46.5 / 3.6, 0.0, "from memory", "mean of WLTC class 3b with stops, 46.5 km/h"), show="km/h"),
    Reading("mass_worth_j_per_m_kg", "energy that a kilogram costs", "J/(m.kg)", "hoistbook rates of this vehicle", 0.02, 1.0, _CARS, usual=Usual(0.216, 0.036, "published", "Weiss, Cloos and Helmers, Environ. Sci. Eur. 2020, 32:46: 0.6 ± 0.1 kWh/100 km per 100 kg, a correlation of a fleet, so rather high")),
    Reading("conductor_diameter_m", "diameter of the conductor", "m", "calliper at a cut end", 0.003, 0.03, _CARS, 0.0002, "common practice: calliper on strands", Usual(0.010, 0.001, "common practice", "none: 50 mm² of fine strands"), show="mm"),
    Reading("outer_diameter_m", "diameter over the jacket", "m", "calliper", 0.004, 0.05, _CARS, 0.0002, "common practice: calliper on a jacket", Usual(0.0165, 0.0015, "common practice", "none: 50 mm² with its jacket"), show="mm"),
    Reading("jacket_w_per_m_k", "thermal conductivity of the insulation", "W/(m.K)", "not measured", 0.1, 0.5, "common practice: silicone, polyolefin", usual=Usual(0.25, 0.05, "common practice", "none: silicone, cross-linked polyolefin")),
    Reading("film_w_per_m2_k", "heat that the surface gives off", "W/(m2.K)", "not measured", 3.0, 50.0, "common practice: still air with radiation to a draught", usual=Usual(12.0, 4.0, "common practice", "none: still air and radiation")),
    Reading("ambient_k", "air around the cable", "K", "thermometer beside it, worst case", 233.15, 423.15, _CARS, 2.0, "common practice: thermometer", Usual(358.15, 10.0, "common practice", "none: 85 °C by a drive unit"), show="°C"),
    Reading("class_k", "temperature class of the cable", "K", "print on the jacket", 358.15, 523.15, "from memory: classes B to F of ISO 6722 and ISO 19642, 100 to 200 °C", usual=Usual(398.15, 0.0, "from memory", "class C, 125 °C: ISO 6722 and ISO 19642"), show="°C"),
)  # fmt: skip

SKETCH = Sketch(
    "High-voltage cable from battery to inverter and back, and its section.",
    40.0,
    (
        Line(((4, 12), (26, 12), (26, 30), (4, 30), (4, 12)), filled=True),
        Line(((58, 12), (72, 12), (72, 30), (58, 30), (58, 12)), filled=True),
        Line(((26, 25), (58, 25)), heavy=True),
        Line(((26, 17), (58, 17)), heavy=True),
        Label("battery", (15, 20)), Label("inverter", (65, 20)),
        Dimension("length_m", (26, 34), (58, 34)),
        Dimension("current_a", (36, 21), (48, 21)),
        Circle((86, 21), 9.0), Circle((86, 21), 5.0, filled=True),
        Dimension("conductor_diameter_m", (81, 7), (91, 7)),
        Dimension("outer_diameter_m", (77, 35), (95, 35)),
        Dimension("section_m2", (81, 21), (91, 21)),
    ),
)  # fmt: skip
