"""Readings and drawing of the check of heights."""

from hoistbook.core.checks.declared import Names, Reading
from hoistbook.core.checks.sketch import Circle, Dimension, Label, Line, Sketch

_CARS = "common practice: road vehicles"
_TAPE = "common practice: tape along the body, to 5 mm"
_RULE = "common practice: rule or laser from a level datum, to 1 mm"

READINGS = (
    Reading("datum_x_m", "datum behind the front axle", "m", "tape; body points that are found again: jacking pads, holes of the body", -2.0, 8.0, _CARS, 0.005, _TAPE, each="datum", show="mm"),
    Reading("datum_y_m", "datum left of the middle", "m", "tape", -1.5, 1.5, _CARS, 0.005, _TAPE, each="datum", show="mm"),
    Reading("datum_ride_m", "height of the datum at ride height on the ground", "m", "rule or laser from level ground, load noted", 0.02, 2.0, _CARS, 0.001, _RULE, each="datum", show="mm"),
    Reading("datum_hoist_m", "height of the datum on the hoist", "m", "laser or plumb line to the same level datum", 0.02, 4.0, _CARS, 0.001, _RULE, each="datum", show="mm"),
    Reading("part_x_m", "part behind the front axle", "m", "tape", -2.0, 8.0, _CARS, 0.005, _TAPE, each="part", show="mm"),
    Reading("part_y_m", "part left of the middle", "m", "tape", -1.5, 1.5, _CARS, 0.005, _TAPE, each="part", show="mm"),
    Reading("part_hoist_m", "height of the part on the hoist", "m", "laser or plumb line to the same level datum", 0.02, 4.0, _CARS, 0.001, _RULE, each="part", show="mm"),
)  # fmt: skip
NAMES = (Names("parts", "what was measured under the body", "part"), Names("datums", "datum points", "datum"))

SKETCH = Sketch(
    "Vehicle on the hoist: datum points of the body and a part under it, heights from one level datum.",
    48.0,
    (
        Line(((6, 26), (6, 36), (22, 40), (34, 47), (80, 47), (92, 40), (94, 26), (6, 26)), filled=True),
        Line(((2, 3), (98, 3)), dashed=True),
        Circle((26, 26), 1.6, filled=True), Circle((74, 26), 1.6, filled=True),
        Line(((44, 26), (44, 20), (52, 20), (52, 26)), heavy=True),
        Dimension("datum_hoist_m", (26, 3), (26, 26)),
        Dimension("part_hoist_m", (48, 3), (48, 20)),
        Dimension("datum_x_m", (14, 33), (26, 33)),
        Dimension("part_x_m", (14, 38), (48, 38)),
        Label("datum", (80, 22)), Label("part", (57, 20)), Label("level", (92, 5)),
    ),
)  # fmt: skip
