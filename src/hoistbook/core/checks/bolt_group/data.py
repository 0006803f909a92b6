"""Readings and drawing of the check of a group of bolts."""

from hoistbook.core.checks.declared import Choice, Names, Reading, Usual
from hoistbook.core.checks.sketch import Circle, Dimension, Label, Line, Sketch

MOST_BOLTS = 16
NAMES = (Names("bolt", "the bolts of the pattern", "bolt"),)
CHOICES = (
    Choice("seat", "what stands in place of a bolt that is left out", {
        "none": "nothing: the other bolts hold all by friction",
        "seat": "a locating seat, pin or hook: it takes force at its place, the other bolts hold the turning about it",
    }),
)  # fmt: skip
_JOINTS = "common practice: bolted units of road vehicles"
_TAPE = "common practice: tape or calliper between bolts, to 1 mm"

READINGS = (
    Reading("x_m", "place of the bolt, along", "m", "tape from a datum corner", -3.0, 3.0, _JOINTS, 0.001, _TAPE, each="bolt", show="mm"),
    Reading("y_m", "place of the bolt, across", "m", "tape from the same corner", -3.0, 3.0, _JOINTS, 0.001, _TAPE, each="bolt", show="mm"),
    Reading("load_x_m", "where the load acts, along", "m", "tape from the same corner: centre of mass of the unit by balancing it", -5.0, 5.0, _JOINTS, 0.005, "common practice: centre of mass by balancing, to 5 mm", show="mm"),
    Reading("load_y_m", "where the load acts, across", "m", "tape from the same corner", -5.0, 5.0, _JOINTS, 0.005, "common practice: centre of mass by balancing, to 5 mm", show="mm"),
    Reading("force_y_n", "load across, in the plane of the joint", "N", "mass times a shock, 20 g of a small unit, or the duty of the joint", -2e6, 2e6, _JOINTS),
    Reading("force_x_n", "load along, in the plane of the joint", "N", "as above", -2e6, 2e6, _JOINTS, usual=Usual(0.0, 0.0, "common practice", "none: load in one direction at a time")),
    Reading("force_z_n", "load that pulls off the joint", "N", "as above", -2e6, 2e6, _JOINTS, usual=Usual(0.0, 0.0, "common practice", "none: load in the plane")),
    Reading("preload_high_n", "preload of the most tightened bolt", "N", "the check of a bolt's preload gives it", 10.0, 600e3, _JOINTS, show="kN"),
    Reading("tightening_factor", "greatest over least preload", "1", "by the method of tightening; the check of a bolt's preload gives it", 1.0, 4.0, "published: VDI 2230:1986, second hand; 4 for impact drivers from memory", usual=Usual(1.69, 0.09, "published", "VDI 2230:1986, second hand: torque wrench, friction estimated, 1.60 to 1.78")),
    Reading("loss_n", "preload lost by settling", "N", "the check of a bolt's preload gives it", 0.0, 100e3, _JOINTS, show="kN"),
    Reading("friction", "friction between the faces", "1", "by their surface", 0.03, 0.6, _JOINTS, usual=Usual(0.125, 0.025, "common practice", "none: painted and dip-coated joints of vehicles, 0.10 to 0.15")),
    Reading("head_m", "radius at which friction under one head holds turning", "m", "mean of the radii of hole and contact", 0.001, 0.03, "first principles: within the contact", usual=Usual(0.006, 0.002, "common practice", "none: M8"), show="mm"),
)  # fmt: skip

SKETCH = Sketch(
    "A unit on three bolts, seen along them; the load acts at its centre of mass. Lengths from one corner.",
    60.0,
    (
        Line(((14, 10), (94, 10), (94, 56), (14, 56), (14, 10)), filled=True),
        Line(((14, 4), (14, 59)), dashed=True), Line(((8, 10), (98, 10)), dashed=True),
        Circle((24, 18), 2.6, heavy=True), Circle((64, 18), 2.6, heavy=True), Circle((44, 50), 2.6, heavy=True),
        Circle((78, 34), 1.4, filled=True),
        Line(((78, 34), (78, 53), (76, 49), (78, 53), (80, 49)), heavy=True),
        Dimension("x_m", (14, 50), (44, 50), -8),
        Dimension("y_m", (36, 10), (36, 50), 4),
        Dimension("load_x_m", (14, 4), (78, 4)),
        Dimension("load_y_m", (90, 10), (90, 34)),
        Dimension("force_y_n", (84, 40), (84, 53)),
        Label("bolt", (56, 50)),
    ),
)  # fmt: skip
