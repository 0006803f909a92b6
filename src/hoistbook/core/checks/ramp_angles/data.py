"""Readings and drawing of the check of ramp angles."""

from hoistbook.core.checks.declared import Reading
from hoistbook.core.checks.sketch import Circle, Dimension, Line, Sketch

_CARS = "common practice: road vehicles"
_TAPE = "common practice: tape along the body, to 5 mm"
_RULE = "common practice: rule from level ground, to 2 mm"

READINGS = (
    Reading("wheelbase_m", "wheelbase", "m", "tape between wheel centres", 1.0, 7.0, _CARS, 0.003, "common practice: tape", fact="wheelbase", show="mm"),
    Reading("tyre_radius_m", "static loaded radius of the tyres", "m", "rule: ground to wheel centre", 0.15, 0.7, _CARS, 0.002, _RULE, show="mm"),
    Reading("front_x_m", "lowest point ahead: ahead of the front axle", "m", "tape", 0.05, 3.0, _CARS, 0.005, _TAPE, show="mm"),
    Reading("front_z_m", "its height", "m", "rule from level ground, at the load noted", 0.02, 1.0, _CARS, 0.002, _RULE, show="mm"),
    Reading("rear_x_m", "lowest point behind: behind the rear axle", "m", "tape", 0.05, 3.0, _CARS, 0.005, _TAPE, show="mm"),
    Reading("rear_z_m", "its height", "m", "rule from level ground, at the load noted", 0.02, 1.0, _CARS, 0.002, _RULE, show="mm"),
    Reading("belly_x_m", "critical point between the axles: behind the front axle", "m", "tape; the point a straight edge between the tyres meets", 0.05, 7.0, _CARS, 0.005, _TAPE, show="mm"),
    Reading("belly_z_m", "its height", "m", "rule from level ground, at the load noted", 0.02, 1.0, _CARS, 0.002, _RULE, show="mm"),
)  # fmt: skip

SKETCH = Sketch(
    "Vehicle on level ground from the side, forward to the left: lowest points ahead, between and behind the axles.",
    44.0,
    (
        Line(((2, 3), (98, 3)), dashed=True),
        Circle((24, 11), 8.0, heavy=True), Circle((76, 11), 8.0, heavy=True),
        Line(((6, 12), (6, 26), (24, 30), (36, 42), (80, 42), (92, 28), (94, 14), (84, 12), (66, 8), (50, 7), (34, 8), (16, 10), (6, 12)), filled=True),
        Dimension("wheelbase_m", (24, 33), (76, 33)),
        Dimension("front_x_m", (8, 20), (24, 20)),
        Dimension("front_z_m", (8, 3), (8, 12)),
        Dimension("rear_x_m", (76, 20), (92, 20)),
        Dimension("rear_z_m", (92, 3), (92, 13)),
        Dimension("belly_x_m", (24, 14), (50, 14)),
        Dimension("belly_z_m", (50, 3), (50, 7)),
        Dimension("tyre_radius_m", (70, 3), (70, 11)),
    ),
)  # fmt: skip
