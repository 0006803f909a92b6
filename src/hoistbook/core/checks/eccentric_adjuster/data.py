"""Readings and drawing of the check of an eccentric adjuster."""

import math

from hoistbook.core.checks.declared import Choice, Reading, Usual
from hoistbook.core.checks.sketch import Circle, Dimension, Label, Line, Sketch

_CARS = "common practice: suspensions of road vehicles"
_TAPE = "common practice: tape between ball joints, to 3 mm"

READINGS = (
    Reading("throw_m", "throw of the eccentric: half the travel of the pivot", "m", "calliper: half the difference of the largest and smallest distance over one turn", 0.0005, 0.02, _CARS, 0.0002, "common practice: calliper on a cam", show="mm"),
    Reading("height_m", "height between upper and lower ball joint; for a strut, between the bolts", "m", "tape along the steering axis", 0.03, 0.8, _CARS, 0.003, _TAPE, show="mm"),
    Reading("turn_rad", "turn that is asked for, from the middle", "rad", "marks on the washer", math.radians(-90.0), math.radians(90.0), "first principles: beyond a quarter turn the pivot comes back", 0.02, "common practice: marks to a degree", Usual(math.radians(15.0), 0.0, "common practice", "none: one mark of many washers"), show="deg"),
    Reading("arm_m", "steering arm", "m", "tape: tie-rod end to the steering axis", 0.05, 0.3, _CARS, 0.003, _TAPE, Usual(0.12, 0.02, "common practice", "none: 100 to 140 mm"), show="mm"),
    Reading("tie_rod_frac", "height of the tie rod over the lower ball joint, as share of that height", "1", "tape along the steering axis", 0.0, 1.0, "first principles: between the ball joints", 0.02, _TAPE, Usual(0.2, 0.1, "common practice", "none: low tie rods"), show="%"),
)  # fmt: skip
CHOICES = (
    Choice("place", "where the eccentric sits", {"lower": "inner pivot of the lower arm", "upper": "inner pivot of the upper arm", "strut": "bolt between strut and knuckle"}),
)  # fmt: skip

SKETCH = Sketch(
    "Wheel, knuckle and lower arm seen from behind; the eccentric is at the inner pivot of the lower arm.",
    46.0,
    (
        Line(((82, 4), (94, 4), (94, 42), (82, 42), (82, 4)), filled=True),
        Line(((74, 38), (78, 10)), heavy=True),
        Line(((78, 10), (30, 12)), heavy=True),
        Line(((74, 38), (38, 36)), heavy=True),
        Circle((74, 38), 1.8, filled=True), Circle((78, 10), 1.8, filled=True), Circle((38, 36), 1.8, filled=True),
        Circle((30, 12), 5.0), Circle((32, 12), 1.6, filled=True),
        Dimension("height_m", (68, 10), (68, 38)),
        Dimension("throw_m", (30, 4), (32, 4)),
        Dimension("turn_rad", (16, 12), (24, 12)),
        Label("eccentric", (14, 18)), Label("lower arm", (52, 14)), Label("upper arm", (54, 40)),
    ),
)  # fmt: skip
