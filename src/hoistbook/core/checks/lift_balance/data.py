"""Readings and drawing of the check of balance on the lift."""

from hoistbook.core.checks.declared import Names, Reading, Usual
from hoistbook.core.checks.sketch import Circle, Dimension, Label, Line, Sketch

_CARS = "common practice: road vehicles"
_TAPE = "common practice: tape from the front axle, to 10 mm"

READINGS = (
    Reading("mass_kg", "mass of the vehicle on the lift", "kg", "corner scales, as it goes up", 300.0, 5000.0, _CARS, 2.0, "common practice: corner scales", fact="mass", state="curb"),
    Reading("cg_x_m", "centre of gravity behind the front axle", "m", "corner weights: wheelbase × rear share", -1.0, 6.0, _CARS, 0.005, "common practice: corner scales and tape", fact="cg_behind_front_axle", show="mm"),
    Reading("cg_y_m", "centre of gravity left of the middle", "m", "corner weights", -0.5, 0.5, _CARS, 0.005, "common practice: corner scales and tape", fact="cg_left_of_centre", show="mm"),
    Reading("front_pads_x_m", "front pads behind the front axle", "m", "tape, pads as set", -1.0, 4.0, _CARS, 0.01, _TAPE, show="mm"),
    Reading("rear_pads_x_m", "rear pads behind the front axle", "m", "tape, pads as set", -1.0, 6.0, _CARS, 0.01, _TAPE, show="mm"),
    Reading("half_width_m", "half the distance of left and right pads", "m", "tape, halved", 0.2, 1.2, _CARS, 0.01, _TAPE, show="mm"),
    Reading("part_kg", "mass of what is removed", "kg", "from the mass book, or a forecast", 0.1, 2000.0, _CARS, 2.0, "common practice: forecast or workshop scale", each="removal"),
    Reading("part_x_m", "its centre of gravity behind the front axle", "m", "tape", -2.0, 8.0, _CARS, 0.05, "common practice: middle of a part by eye, to 50 mm", each="removal", show="mm"),
    Reading("part_y_m", "its centre of gravity left of the middle", "m", "tape", -1.2, 1.2, _CARS, 0.05, "common practice: middle of a part by eye, to 50 mm", each="removal", show="mm"),
    Reading("warn_share_frac", "share of the remaining mass on a pair of pads below which it warns", "1", "chosen; the shop's own rule", 0.05, 0.45, "first principles: pairs share one whole, so that the lighter bears less than half", usual=Usual(0.25, 0.0, "common practice", "none: warn well before a pad goes free"), show="%"),
)  # fmt: skip
NAMES = (Names("removals", "what is removed, in the planned order", "removal"),)

SKETCH = Sketch(
    "Vehicle on four lift pads, seen from the side; forward is to the left.",
    48.0,
    (
        Line(((6, 20), (6, 30), (22, 34), (34, 44), (80, 44), (92, 34), (94, 20), (6, 20)), filled=True),
        Circle((20, 20), 6.5), Circle((80, 20), 6.5),
        Line(((34, 4), (34, 20)), heavy=True), Line(((66, 4), (66, 20)), heavy=True),
        Circle((52, 28), 1.8, heavy=True),
        Circle((72, 36), 3.0, filled=True),
        Dimension("front_pads_x_m", (20, 10), (34, 10)),
        Dimension("rear_pads_x_m", (20, 4), (66, 4)),
        Dimension("cg_x_m", (20, 28), (52, 28)),
        Dimension("part_x_m", (20, 40), (72, 40)),
        Label("front axle", (20, 15)), Label("removed", (80, 39)),
    ),
)  # fmt: skip
