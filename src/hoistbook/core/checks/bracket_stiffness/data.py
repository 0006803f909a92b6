"""Readings and drawing of the check of a bracket's stiffness."""

from hoistbook.core.checks.declared import Reading
from hoistbook.core.checks.sketch import Circle, Dimension, Label, Line, Sketch

READINGS = (
    Reading(
        "isolator_stiffness_n_per_m", "stiffness of the isolator in vibration", "N/m",
        "push with a known load against a dial gauge, times how much the rubber stiffens in vibration", 1e3, 1e7,
        "common practice: isolators of road vehicles", 20e3,
        "common practice: spring balance and dial gauge, to a tenth of 200 N/mm", show="N/mm",
    ),
    Reading(
        "tap_hz", "frequency of the bracket when tapped at the isolator", "1/s",
        "tap beside the isolator IN THE VEHICLE, unit off, accelerometer or phone on the bracket", 10.0, 3000.0,
        "common practice: reach of a tap with a light hammer", 5.0, "common practice: resolution of a short record", show="Hz",
    ),
    Reading(
        "modal_mass_kg", "mass that moves with it", "kg",
        "bracket beyond its root and what is left bolted to it; shift the frequency with a known added mass to find it",
        0.02, 50.0, "common practice: brackets of road vehicles", 0.1, "common practice: estimated to 0.1 kg from the added mass",
    ),
)  # fmt: skip

SKETCH = Sketch(
    "A bracket on the body with the isolator at its end, tapped beside the isolator; seen from the side.",
    40.0,
    (
        Line(((6, 2), (6, 38)), heavy=True),
        Line(((6, 14), (62, 18), (62, 22), (6, 30), (6, 14)), filled=True),
        Line(((56, 22), (56, 30), (66, 30), (66, 22)), filled=True),
        Circle((61, 26), 3.0),
        Line(((56, 34), (66, 34)), heavy=True),
        Line(((82, 36), (68, 24)), dashed=True),
        Circle((83, 37), 2.0, filled=True),
        Label("body", (11, 4)), Label("bracket", (34, 22)), Label("tap", (89, 36)), Label("unit, taken off", (61, 37)),
        Dimension("isolator_stiffness_n_per_m", (70, 22), (70, 30), 5),
        Dimension("tap_hz", (62, 12), (62, 17)),
        Dimension("modal_mass_kg", (30, 10), (62, 10)),
    ),
)  # fmt: skip
