"""Readings and drawing of the check of a bolted lap joint loaded across its bolts."""

from hoistbook.core.checks.declared import Choice, Reading, Usual
from hoistbook.core.checks.sketch import Circle, Dimension, Label, Line, Sketch

# published: EN 1993-1-8, table 3.4 and 3.1, second hand in design guides: nominal strength [Pa], factor of shear
# through the thread; the class 12.9 is outside that standard
EUROCODE = {"8.8": (800e6, 0.6), "10.9": (1000e6, 0.5)}
SHANK_FACTOR = 0.6
PLANES = {"single": 1.0, "double": 2.0}

CHOICES = (
    Choice("property_class", "property class, stamped on the head", {"8.8": "class 8.8 of ISO 898-1", "10.9": "class 10.9", "12.9": "class 12.9: outside EN 1993-1-8"}),
    Choice("shear", "how many faces slide when it slips", {"single": "single shear: two plates", "double": "double shear: a plate between two others"}),
    Choice("plane", "what of the bolt lies in the sliding face", {"thread": "the thread", "shank": "the plain shank"}),
    Choice("plates", "material of the plates", {"steel": "steel", "other": "another metal: outside EN 1993-1-8"}),
)  # fmt: skip
_BOLTS = "common practice: bolted joints of road vehicles"
_CALLIPER = "common practice: calliper to 0.1 mm"

READINGS = (
    Reading("load_n", "load across the bolts", "N", "by the duty of the joint: the whole of it, on all bolts together", 1.0, 5e6, _BOLTS, show="kN"),
    Reading("bolts_count", "how many bolts share it", "1", "counted", 1.0, 40.0, _BOLTS),
    Reading("preload_n", "preload of the least tightened bolt, settled", "N", "the check of a bolt's preload gives it", 0.0, 600e3, _BOLTS, show="kN"),
    Reading("friction", "friction between the plates", "1", "by their surface: EN 1993-1-8 gives 0.50 (blasted) to 0.20 (untreated); painted or coated less", 0.03, 0.6, _BOLTS, usual=Usual(0.125, 0.025, "common practice", "none: painted and dip-coated joints of vehicles, 0.10 to 0.15")),
    Reading("diameter_m", "nominal diameter of the thread", "m", "calliper over the thread, rounded up to the size", 0.004, 0.030, _BOLTS, show="mm"),
    Reading("pitch_m", "pitch of the thread", "m", "thread gauge", 0.0005, 0.004, _BOLTS, show="mm"),
    Reading("hole_m", "diameter of the holes", "m", "calliper", 0.004, 0.035, _BOLTS, 0.0001, _CALLIPER, show="mm"),
    Reading("end_m", "distance of a hole's middle to the end that the load pulls it towards", "m", "calliper: edge to edge of the hole, plus its radius", 0.004, 0.3, _BOLTS, 0.0003, "common practice: calliper from an edge, to 0.3 mm", show="mm"),
    Reading("side_m", "distance of a hole's middle to the side", "m", "calliper, across the load", 0.004, 0.3, _BOLTS, 0.0003, "common practice: calliper from an edge, to 0.3 mm", show="mm"),
    Reading("plate_m", "thickness of the plate; in double shear the lesser of the middle one and the outer two together", "m", "calliper", 0.0005, 0.06, _BOLTS, 0.00005, "common practice: calliper to 0.05 mm", show="mm"),
    Reading("yield_pa", "yield of the plate", "Pa", "hardness test or material record", 50e6, 1500e6, "common practice: metals of vehicle bodies", show="MPa"),
    Reading("strength_pa", "tensile strength of the plate", "Pa", "hardness test or material record", 80e6, 2000e6, "common practice: metals of vehicle bodies", show="MPa"),
    Reading("factor_slip", "partial factor on slip", "1", "chosen", 1.0, 2.0, "published: EN 1993-1-8, second hand: 1.25 at the ultimate limit", usual=Usual(1.25, 0.0, "published", "EN 1993-1-8, second hand: γM3 = 1.25")),
    Reading("factor_strength", "partial factor on bolts and plates", "1", "chosen", 1.0, 2.0, "published: EN 1993-1-8, second hand: 1.25", usual=Usual(1.25, 0.0, "published", "EN 1993-1-8, second hand: γM2 = 1.25")),
)  # fmt: skip

SKETCH = Sketch(
    "A lap joint from above and in section; the load pulls along the plates.",
    62.0,
    (
        Line(((8, 32), (66, 32), (66, 56), (8, 56), (8, 32)), filled=True), Line(((66, 32), (92, 32), (92, 56), (66, 56)), dashed=True),
        Circle((30, 44), 4.0, heavy=True), Circle((50, 44), 4.0, heavy=True),
        Dimension("end_m", (50, 56), (66, 56), 4),
        Dimension("side_m", (50, 32), (50, 44), 27),
        Dimension("hole_m", (26, 44), (34, 44), 9),
        Line(((8, 14), (66, 14), (66, 19), (8, 19), (8, 14)), filled=True), Line(((30, 9), (92, 9), (92, 14), (30, 14), (30, 9)), filled=True),
        Line(((46, 6), (54, 6), (54, 9), (52, 9), (52, 19), (55, 19), (55, 23), (45, 23), (45, 19), (48, 19), (48, 9), (46, 9), (46, 6)), heavy=True),
        Dimension("plate_m", (4, 14), (4, 19)),
        Dimension("diameter_m", (48, 6), (52, 6), -4),
        Dimension("load_n", (78, 20), (92, 20)),
        Label("from above", (80, 60)), Label("in section", (80, 5)),
    ),
)  # fmt: skip
