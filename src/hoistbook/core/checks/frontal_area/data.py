"""Readings and drawing of the check of frontal area."""

from hoistbook.core.checks.declared import Reading, Usual
from hoistbook.core.checks.sketch import Dimension, Label, Line, Sketch

_CARS = "common practice: road vehicles"

READINGS = (
    Reading("height_m", "height over all", "m", "level bar and tape, at the load and ride height noted", 0.8, 4.0, _CARS, 0.005, "common practice: bar and tape"),
    Reading("width_m", "width without mirrors", "m", "plumb lines and tape", 1.0, 2.6, _CARS, 0.005, "common practice: plumb lines"),
    Reading("near_m2", "outline in the nearer photo, at the scale of the reference", "m2", "count pixels of the outline, times (reference mm/pixels)²", 0.3, 12.0, _CARS, 0.012, "common practice: 3 pixels of a reference 1200 pixels wide, 0.5 %"),
    Reading("near_distance_m", "camera to reference, nearer photo", "m", "tape or laser", 5.0, 100.0, "first principles: much farther than the vehicle is long", 0.05, "common practice: laser"),
    Reading("far_m2", "outline in the farther photo, at the scale of the reference", "m2", "the same", 0.3, 12.0, _CARS, 0.012, "common practice: 3 pixels of a reference 1200 pixels wide, 0.5 %"),
    Reading("far_distance_m", "camera to reference, farther photo", "m", "tape or laser", 5.0, 300.0, "first principles: much farther than the vehicle is long", 0.05, "common practice: laser"),
    Reading("factor", "area over height times width", "1", "of the type of body", 0.6, 1.0, _CARS, usual=Usual(0.81, 0.04, "published", "US EPA LDTP-11-1, 1977: 0.80 within ±1.0 ft², about 5 %, at 80 %; 0.85 circulates too")),
)  # fmt: skip

SKETCH = Sketch(
    "Vehicle from the front with a reference bar beside it.",
    48.0,
    (
        Line(((22, 4), (22, 26), (30, 42), (62, 42), (70, 26), (70, 4), (62, 4), (62, 8), (30, 8), (30, 4), (22, 4)), filled=True),
        Line(((2, 4), (98, 4)), dashed=True),
        Line(((80, 4), (80, 34)), heavy=True),
        Label("reference", (88, 36)),
        Dimension("width_m", (22, 42), (70, 42), 3.5),
        Dimension("height_m", (22, 4), (22, 42), 8),
        Dimension("near_m2", (30, 26), (62, 26)),
    ),
)  # fmt: skip
