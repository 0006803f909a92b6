"""Readings and drawing of the check of a rubber pad."""

from hoistbook.core.checks.declared import Choice, Reading, Usual
from hoistbook.core.checks.sketch import Dimension, Label, Line, Sketch

_SIZE = "common practice: pads of road vehicles"
_CALLIPER = "common practice: calliper on rubber, to half a millimetre"

READINGS = (
    Reading("hardness_shore_a", "hardness, Shore A", "1", "durometer, median of five places away from edges, at room temperature",
            30.0, 80.0, "from memory: both relations are used between 30 and 80 Shore A", 3.0, "common practice: durometers repeat to 3 points"),
    Reading("length_m", "length of the pad", "m", "calliper", 0.005, 0.3, _SIZE, 0.0005, _CALLIPER, show="mm"),
    Reading("width_m", "width of the pad; of a round one its diameter", "m", "calliper", 0.005, 0.3, _SIZE, 0.0005, _CALLIPER, show="mm"),
    Reading("thickness_m", "thickness of the rubber", "m", "calliper, between the metal plates", 0.002, 0.1, _SIZE, 0.0005, _CALLIPER, show="mm"),
    Reading("phi", "factor of the compression modulus", "1", "not measured", 0.4, 1.0, "from memory: Lindley: 0.93 at 30 to 0.53 at 75 IRHD",
            usual=Usual(0.73, 0.1, "from memory", "Lindley, Engineering Design with Natural Rubber: 0.73 near 50 IRHD")),
    Reading("stiffening", "stiffness in vibration over that at rest", "1", "not measured at the hoist", 1.0, 3.0,
            "common practice: filled rubbers", usual=Usual(1.6, 0.4, "common practice", "none: 1.3 to 2.5, soft pads least")),
)  # fmt: skip

CHOICES = (
    Choice(
        "shape",
        "shape of the pad",
        {"rectangular": "length × width", "round": "a cylinder; the width is its diameter"},
    ),
)

SKETCH = Sketch(
    "A rubber pad between two metal plates: its length and width in plan on the left, its thickness on the right.",
    40.0,
    (
        Line(((6, 10), (46, 10), (46, 34), (6, 34), (6, 10)), filled=True),
        Dimension("length_m", (6, 10), (46, 10), -5),
        Dimension("width_m", (46, 10), (46, 34), -4),
        Line(((60, 14), (94, 14), (94, 16), (60, 16), (60, 14)), heavy=True),
        Line(((62, 16), (92, 16), (92, 26), (62, 26), (62, 16)), filled=True),
        Line(((60, 26), (94, 26), (94, 28), (60, 28), (60, 26)), heavy=True),
        Dimension("thickness_m", (77, 16), (77, 26)),
        Dimension("hardness_shore_a", (92, 21), (98, 21)),
        Label("plan", (26, 36)), Label("section", (77, 31)),
    ),
)  # fmt: skip
