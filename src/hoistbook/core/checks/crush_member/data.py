"""Formulas' constants, readings and drawing of the check of a crushed member."""

from hoistbook.core.checks.declared import Choice, Reading, Usual
from hoistbook.core.checks.sketch import Dimension, Label, Line, Sketch

# from memory: the authors named: factor of σ t^(5/3) L^(1/3), L the side or the whole perimeter
FOLDED = {
    "square": {
        "Abramowicz and Jones, effective crush distance": 13.06,
        "Wierzbicki and Abramowicz, none": 9.56,
    },
    "hat": {"White, Jones and Abramowicz": 8.22},
    "double hat": {"White, Jones and Abramowicz": 13.05},
}
ALEXANDER = "Alexander"
# (D [1/s], q) of 1 + (rate/D)^(1/q), mild steel (from memory: Cowper and Symonds; Abramowicz and Jones)
RATES = {"at large strain": (6844.0, 3.91), "at first yield": (40.4, 5.0)}
STROKE = 0.73
"""from memory: Abramowicz and Jones: effective stroke over length of a square tube."""

SHAPES = {
    "square": "square tube",
    "hat": "hat with a closing plate, welded at its flanges",
    "double hat": "pair of hats, welded at their flanges",
    "round": "round tube",
}
CHOICES = (
    Choice("shape", "shape of the section", SHAPES),
    Choice("material", "material", {"mild steel": "mild steel", "other": "another ductile metal: no rate factor is known here"}),
)  # fmt: skip
_RAILS = "common practice: rails and crush boxes of road vehicles"

READINGS = (
    Reading("side_m", "side between the middles of the walls; of a round tube its mean diameter", "m", "calliper over the outside less one wall; mean of depth and width", 0.01, 0.3, _RAILS, 0.0003, "common practice: calliper on a rail, to 0.3 mm", show="mm"),
    Reading("flange_m", "width of one flange of a hat", "m", "calliper from the bend to the edge", 0.0, 0.08, _RAILS, usual=Usual(0.0, 0.0, "common practice", "none: a tube has none"), show="mm"),
    Reading("wall_m", "thickness of the wall", "m", "ultrasonic gauge, paint off", 0.0004, 0.01, _RAILS, 0.00005, "common practice: ultrasonic gauge to 0.05 mm", show="mm"),
    Reading("length_m", "length that can fold", "m", "tape between its ends or stiff nodes", 0.02, 2.0, _RAILS, 0.003, "common practice: tape to 3 mm", show="mm"),
    Reading("yield_pa", "yield", "Pa", "hardness test or material record", 50e6, 900e6, "common practice: ductile metals; press-hardened steel tears before it folds", 20e6, "common practice: hardness test, to 20 MPa", show="MPa"),
    Reading("strength_pa", "tensile strength", "Pa", "hardness test or material record", 80e6, 1000e6, "common practice: ductile metals; press-hardened steel tears before it folds", 20e6, "common practice: hardness test, to 20 MPa", show="MPa"),
    Reading("hardening", "hardening exponent", "1", "by the material", 0.0, 0.5, "common practice: sheet metals", usual=Usual(0.15, 0.05, "common practice", "none: body steels and aluminium, 0.10 to 0.20")),
    Reading("density_kg_per_m3", "density", "kg/m3", "by the material", 1500.0, 8200.0, "common practice: magnesium to steel", usual=Usual(7850.0, 0.0, "common practice", "none: steel")),
    Reading("speed_m_per_s", "speed of the crash", "m/s", "by the test", 1.0, 40.0, "common practice: crash tests", usual=Usual(17.8816, 0.0, "published", "IIHS small overlap: 40 mph, 64.4 km/h"), show="km/h"),
    Reading("mass_kg", "mass of the vehicle in the crash", "kg", "corner scales", 300.0, 10_000.0, "common practice: road vehicles", 5.0, "common practice: corner scales", fact="mass", state="test"),
    Reading("left_m_per_s", "speed that is left after glancing off", "m/s", "film of the test", 0.0, 40.0, "common practice: crash tests", usual=Usual(0.0, 0.0, "common practice", "none: stopped"), show="km/h"),
)  # fmt: skip

SKETCH = Sketch(
    "Front rail from the side with its section: square tube, and hat with closing plate.",
    58.0,
    (
        Line(((8, 12), (60, 12), (60, 22), (8, 22), (8, 12)), filled=True), Line(((60, 6), (60, 28)), heavy=True), Line(((4, 4), (4, 30)), heavy=True),
        Dimension("length_m", (8, 12), (60, 12), -6),
        Line(((12, 34), (30, 34), (30, 52), (12, 52), (12, 34)), heavy=True), Line(((14, 36), (28, 36), (28, 50), (14, 50), (14, 36))),
        Dimension("side_m", (13, 43), (29, 43)),
        Dimension("wall_m", (28, 57), (30, 57)),
        Line(((50, 36), (58, 36), (58, 54), (76, 54), (76, 36), (84, 36)), heavy=True), Line(((50, 34), (84, 34)), heavy=True),
        Dimension("flange_m", (76, 31), (84, 31)),
        Label("square tube", (38, 56)), Label("hat", (67, 44)), Label("node", (67, 20)), Label("barrier", (14, 28)),
    ),
)  # fmt: skip
