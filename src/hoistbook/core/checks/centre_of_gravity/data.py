"""Readings and drawing of the check of the centre of gravity."""

import math

from hoistbook.core.checks.declared import Reading
from hoistbook.core.checks.sketch import Angle, Circle, Dimension, Label, Line, Sketch

_CARS = "common practice: road vehicles"
_PAD = "common practice: corner scales to 1 kg"
_CORNERS = (("front_left", "front left", "corner_mass_front_left"), ("front_right", "front right", "corner_mass_front_right"),
            ("rear_left", "rear left", "corner_mass_rear_left"), ("rear_right", "rear right", "corner_mass_rear_right"))  # fmt: skip

READINGS = (
    *(
        Reading(f"{name}_kg", f"corner mass, {words}", "kg", "pads level, brake released, in neutral", 20.0, 2500.0, _CARS, 0.9, _PAD, fact=fact)
        for name, words, fact in _CORNERS
    ),
    Reading("wheelbase_m", "wheelbase", "m", "tape between wheel centres", 1.0, 7.0, _CARS, 0.0035, "common practice: tape", fact="wheelbase", show="mm"),
    Reading("front_track_m", "track, front", "m", "tape between tyre middles at the ground", 0.8, 2.5, _CARS, 0.005, "common practice: tape", fact="track", show="mm"),
    Reading("rear_track_m", "track, rear", "m", "tape between tyre middles at the ground", 0.8, 2.5, _CARS, 0.005, "common practice: tape", fact="track", show="mm"),
    Reading("raised_front_kg", "load on the front axle with the rear raised", "kg", "the same pads, suspension blocked after loading", 50.0, 5000.0, _CARS, 1.2, _PAD, fact="lifted_front_mass"),
    Reading("angle_rad", "angle of the raised vehicle", "rad", "digital level on the sill, zeroed on level ground", math.radians(2.0), math.radians(40.0), "published: ISO 10392:2011: several steps, the higher the better", math.radians(0.17), "common practice: digital level to 0.1 degree", fact="lift_angle", show="deg"),
    Reading("radius_m", "static loaded radius of the tyres", "m", "rule: ground to wheel centre", 0.15, 0.7, _CARS, 0.005, "common practice: rule", show="mm"),
)  # fmt: skip

SKETCH = Sketch(
    "Vehicle with its rear axle raised, front wheels on scales, seen from the left.",
    50.0,
    (
        Line(((4, 6), (96, 6)), dashed=True),
        Line(((10, 3), (34, 3), (34, 6), (10, 6), (10, 3)), filled=True),
        Circle((22, 14), 8.0, heavy=True), Circle((78, 28), 8.0, heavy=True),
        Line(((66, 6), (66, 20), (90, 20), (90, 6)), filled=True),
        Line(((22, 14), (78, 28)), heavy=True),
        Line(((22, 14), (90, 14)), dashed=True),
        Circle((50, 30), 1.8, heavy=True),
        Dimension("wheelbase_m", (22, 14), (78, 28), 22),
        Angle("angle_rad", (22, 14), 0.0, 14.0, 34.0),
        Dimension("raised_front_kg", (4, 3), (4, 14)),
        Dimension("radius_m", (14, 6), (14, 14)),
        Label("centre of gravity", (56, 33)),
    ),
)  # fmt: skip
