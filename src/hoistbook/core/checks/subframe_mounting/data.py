"""Readings and drawing of the check of a subframe's mounting."""

from hoistbook.core.checks.declared import Choice, Reading, Usual
from hoistbook.core.checks.sketch import Circle, Dimension, Line, Sketch

_CARS = "common practice: subframes of road vehicles"
_TAPE = "common practice: tape between bolts, to 3 mm"
_RATE = "bush and local bracket together: push with a known load, dial gauge, before removal"

READINGS = (
    Reading("mass_kg", "mass that rides on the bushes", "kg", "on the scale, with what is bolted to the subframe", 5.0, 400.0, _CARS, 0.5, "common practice: workshop scale"),
    Reading("across_n_per_m", "stiffness of one bush across the vehicle", "N/m", _RATE, 1e5, 1e9, _CARS, 0.6e6, "common practice: pushed by hand, to a tenth", Usual(6e6, 3e6, "common practice", "none: 3 to 10 kN/mm radial; hard-mounted about 100 kN/mm"), show="N/mm"),
    Reading("along_n_per_m", "stiffness of one bush along the vehicle", "N/m", _RATE, 1e5, 1e9, _CARS, 0.4e6, "common practice: pushed by hand, to a tenth", Usual(4e6, 2e6, "common practice", "none: 2 to 8 kN/mm; hard-mounted about 100 kN/mm"), show="N/mm"),
    Reading("upright_n_per_m", "stiffness of one bush upright, in vibration", "N/m", _RATE, 1e4, 1e9, _CARS, 0.1e6, "common practice: pushed by hand, to a tenth", Usual(0.6e6, 0.3e6, "common practice", "none: soft bushes"), show="N/mm"),
    Reading("half_length_m", "half the distance of front and rear bushes", "m", "tape between bolts, halved", 0.05, 1.5, _CARS, 0.002, _TAPE, show="mm"),
    Reading("half_width_m", "half the distance of left and right bushes", "m", "tape between bolts, halved", 0.1, 1.0, _CARS, 0.002, _TAPE, show="mm"),
    Reading("force_n", "side force at the axle", "N", "share of the axle load: half of it at 0.5 g", 100.0, 50_000.0, _CARS, usual=Usual(5000.0, 0.0, "common practice", "none: a brisk corner")),
    Reading("offset_m", "how far the force passes from the middle of the bushes", "m", "tape: wheel centre line to the middle of the bushes, along", 0.0, 1.0, _CARS, 0.005, _TAPE, Usual(0.05, 0.03, "common practice", "none: 20 to 80 mm"), show="mm"),
    Reading("arm_m", "steering arm", "m", "tape: tie-rod end to the steering axis", 0.05, 0.3, _CARS, 0.003, _TAPE, Usual(0.12, 0.02, "common practice", "none: 100 to 140 mm"), show="mm"),
)  # fmt: skip
CHOICES = (
    Choice("rack", "where the steering rack sits", {"subframe": "on the subframe: it moves with the arms", "body": "on the body: the arms move against it"}),
)  # fmt: skip

SKETCH = Sketch(
    "Subframe with four bushes seen from above; forward is up.",
    52.0,
    (
        Line(((22, 8), (78, 8), (78, 46), (22, 46), (22, 8)), filled=True),
        Circle((22, 8), 3.0, heavy=True), Circle((78, 8), 3.0, heavy=True), Circle((22, 46), 3.0, heavy=True), Circle((78, 46), 3.0, heavy=True),
        Line(((50, 2), (50, 51)), dashed=True), Line(((8, 27), (92, 27)), dashed=True),
        Dimension("half_width_m", (50, 46), (78, 46), 4),
        Dimension("half_length_m", (22, 27), (22, 46), 9),
        Dimension("across_n_per_m", (82, 8), (94, 8)),
        Dimension("along_n_per_m", (78, 12), (78, 22)),
        Dimension("offset_m", (62, 27), (62, 34)),
        Dimension("force_n", (2, 34), (20, 34)),
    ),
)  # fmt: skip
