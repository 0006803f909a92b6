"""Readings and drawing of the check of what is touched first."""

import math

from hoistbook.core.checks.declared import Names, Reading, Usual
from hoistbook.core.checks.sketch import Circle, Dimension, Label, Line, Sketch

_CARS = "common practice: road vehicles"

READINGS = (
    Reading("part_x_m", "part behind the front axle; ahead is negative", "m", "tape, foremost point of the low edge", -2.0, 8.0, _CARS, 0.005, "common practice: tape along the body, to 5 mm", each="part", show="mm"),
    Reading("part_z_m", "its lowest height at ride height", "m", "see heights from hoist to road", 0.02, 1.0, _CARS, 0.0015, "common practice: heights carried over from the hoist, to 1.5 mm", each="part", show="mm"),
    Reading("obstacle_m", "height of the obstacle", "m", "chosen", 0.01, 0.6, "common practice: kerbs, stones, sleepers", usual=Usual(0.15, 0.0, "common practice", "none: a high kerb"), show="mm"),
    Reading("pitch_rad", "how far the tail has dipped once what stands ahead has passed", "rad", "chosen", 0.0, 0.17, "first principles: small angles", usual=Usual(math.radians(1.0), 0.0, "common practice", "none: one degree"), show="deg"),
)  # fmt: skip
NAMES = (Names("parts", "parts under the body, in the band across that the obstacle meets", "part"),)

SKETCH = Sketch(
    "Parts under the body from the side, forward to the left, and an obstacle of some height.",
    40.0,
    (
        Line(((2, 4), (98, 4)), dashed=True),
        Line(((14, 36), (98, 36), (98, 30), (86, 30), (86, 18), (78, 18), (78, 30), (60, 30), (60, 14), (50, 14), (50, 30), (34, 30), (34, 20), (26, 20), (26, 30), (14, 30), (14, 36)), filled=True),
        Circle((18, 12), 8.0),
        Line(((2, 4), (2, 16), (8, 16), (8, 4)), heavy=True),
        Dimension("obstacle_m", (11, 4), (11, 16)),
        Dimension("part_z_m", (55, 4), (55, 14)),
        Dimension("part_x_m", (18, 25), (50, 25)),
        Label("front axle", (22, 1)), Label("obstacle", (6, 19)),
    ),
)  # fmt: skip
