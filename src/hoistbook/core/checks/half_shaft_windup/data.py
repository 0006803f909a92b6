"""Readings and drawing of the check of wind-up."""

from hoistbook.core.checks.declared import Choice, Reading, Usual
from hoistbook.core.checks.sketch import Dimension, Label, Line, Sketch

_CARS = "common practice: half shafts of road vehicles"
_CALLIPER = "common practice: calliper on a forged bar"
_BORE = Usual(0.0, 0.0, "common practice", "none: a bar is taken as solid unless a bore is seen at its end")
_JOINT = Usual(20_000.0, 8_000.0, "common practice", "none: two joints of a passenger-car half shaft")

READINGS = (
    Reading("torque_n_m", "torque of each half shaft", "N.m", "wheel force at full pull × tyre radius, or motor torque × ratio / 2", 1.0, 10_000.0, _CARS),
    Reading("length_left_m", "length of the bar, left", "m", "tape between the splines", 0.05, 1.5, _CARS, 0.002, "common practice: tape along a bar", show="mm"),
    Reading("length_right_m", "length of the bar, right", "m", "tape between the splines", 0.05, 1.5, _CARS, 0.002, "common practice: tape along a bar", show="mm"),
    Reading("diameter_left_m", "diameter of the bar, left", "m", "calliper in the middle", 0.01, 0.09, _CARS, 0.0001, _CALLIPER, show="mm"),
    Reading("diameter_right_m", "diameter of the bar, right", "m", "calliper in the middle", 0.01, 0.09, _CARS, 0.0001, _CALLIPER, show="mm"),
    Reading("bore_left_m", "bore of the bar, left", "m", "bore gauge at a cut, or mass against length", 0.0, 0.08, _CARS, 0.0002, "common practice: bore gauge", _BORE, show="mm"),
    Reading("bore_right_m", "bore of the bar, right", "m", "bore gauge at a cut, or mass against length", 0.0, 0.08, _CARS, 0.0002, "common practice: bore gauge", _BORE, show="mm"),
    Reading("joint_n_m_per_rad", "torsional stiffness of one joint", "N.m/rad", "lever and dial gauge on the bench", 1e3, 1e6, _CARS, 2e3, "common practice: lever and dial gauge", _JOINT),
    Reading("shear_modulus_pa", "shear modulus of the bar", "Pa", "of the material", 70e9, 85e9, "from memory: steels: Shigley, table A-5", usual=Usual(79.3e9, 0.5e9, "from memory", "Shigley, table A-5, carbon steel"), show="GPa"),
    Reading("youngs_modulus_pa", "Young's modulus of the bar", "Pa", "of the material", 190e9, 220e9, "from memory: steels: Shigley, table A-5", usual=Usual(207e9, 2e9, "from memory", "Shigley, table A-5, carbon steel"), show="GPa"),
    Reading("density_kg_per_m3", "density of the bar", "kg/m3", "of the material", 7000.0, 8200.0, "common practice: steels", usual=Usual(7850.0, 30.0, "common practice", "none: steel")),
    Reading("ramp_s", "time in which the torque is built up", "s", "log of torque, or chosen", 0.005, 5.0, _CARS, usual=Usual(0.1, 0.05, "common practice", "none: sporty torque ramp")),
)  # fmt: skip
CHOICES = (
    Choice(
        "differential", "differential", {"open": "open, plain bevel gears", "locked": "locked, or a spool"}
    ),
)

SKETCH = Sketch(
    "Two half shafts of unequal length with their joints, seen from the front.",
    34.0,
    (
        Line(((46, 10), (58, 10), (58, 26), (46, 26), (46, 10)), filled=True),
        Line(((8, 16), (44, 16), (44, 20), (8, 20), (8, 16)), filled=True),
        Line(((60, 16), (90, 16), (90, 20), (60, 20), (60, 16)), filled=True),
        Dimension("length_right_m", (8, 16), (44, 16), -6),
        Dimension("length_left_m", (60, 16), (90, 16), -6),
        Dimension("diameter_right_m", (24, 16), (24, 20), 0),
        Dimension("diameter_left_m", (76, 16), (76, 20), 0),
        Dimension("torque_n_m", (46, 30), (58, 30)),
        Label("drive unit", (52, 17.5)),
    ),
)  # fmt: skip
