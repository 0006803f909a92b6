"""Readings, materials and drawing of the check of a strike on a shield."""

import math
from dataclasses import dataclass

from hoistbook.core.checks.declared import Choice, Reading, Usual
from hoistbook.core.checks.sketch import Angle, Dimension, Label, Line, Sketch


@dataclass(frozen=True, slots=True)
class Plate:
    """Typical properties of a shield: density [kg/m3], modulus [Pa], Poisson [1], yield, strength [Pa], strain [1]."""

    words: str
    density_kg_per_m3: float
    youngs_pa: float
    poisson: float
    yield_pa: float
    strength_pa: float
    strain: float
    steel: bool = False
    laminate: bool = False


# from memory: typical data sheets; EN 485-2, EN 10130, ASTM B265
PLATES = {
    "aluminium": Plate("aluminium 5754-H22", 2670.0, 70e9, 0.33, 130e6, 220e6, 0.15),
    "steel": Plate("deep-drawing steel DC04", 7850.0, 210e9, 0.30, 210e6, 330e6, 0.30, steel=True),
    "polypropylene": Plate("polypropylene", 905.0, 1.5e9, 0.40, 30e6, 32e6, 0.50),
    "titanium": Plate("titanium grade 2", 4510.0, 105e9, 0.34, 275e6, 345e6, 0.20),
    "glass laminate": Plate("glass-fibre laminate", 1800.0, 15e9, 0.30, 150e6, 150e6, 0.02, laminate=True),
}
CHOICES = (
    Choice(
        "material",
        "material of the shield, by magnet, spark or data plate",
        {name: one.words for name, one in PLATES.items()},
    ),
)
_CARS = "common practice: shields of road vehicles"

READINGS = (
    Reading("thickness_m", "thickness of the shield", "m", "ultrasonic gauge or calliper at a hole, between ribs", 0.0004, 0.02, _CARS, 0.00005, "common practice: ultrasonic gauge to 0.05 mm", show="mm"),
    Reading("span_m", "unsupported span: radius of the largest free circle between supports", "m", "tape between bolts and ribs, halved", 0.03, 0.6, _CARS, 0.01, "common practice: where a support begins, to 10 mm", show="mm"),
    Reading("gap_m", "gap to what lies behind", "m", "feeler or dough pressed between", 0.0, 0.2, _CARS, 0.001, "common practice: dough, to 1 mm", show="mm"),
    Reading("lifted_kg", "mass that the strike must lift: a corner's or an axle's share", "kg", "corner scales", 20.0, 3000.0, _CARS, 20.0, "common practice: share of the axle, to 20 kg", Usual(600.0, 150.0, "common practice", "none: half the front axle of a van")),
    Reading("speed_m_per_s", "road speed", "m/s", "chosen", 1.0, 40.0, _CARS, usual=Usual(60.0 / 3.6, 0.0, "common practice", "none: 60 km/h"), show="km/h"),
    Reading("wedge_rad", "slope of the obstacle", "rad", "chosen", math.radians(0.5), math.radians(20.0), "first principles: beyond it the vehicle is stopped, not lifted", usual=Usual(math.radians(3.0), 0.0, "common practice", "none: 3 degrees"), show="deg"),
    Reading("striker_m", "diameter of what strikes", "m", "chosen", 0.01, 0.1, "published: the bottom impact of GB 38031-2025 has 30 mm", usual=Usual(0.030, 0.0, "published", "GB 38031-2025, 8.2.16, second hand: hemisphere of 30 mm, 10 kg, 150 J"), show="mm"),
    Reading("fibre_frac", "fibre content by volume, of a laminate", "1", "burn off a piece on the scale", 0.1, 0.7, "common practice: laminates", usual=Usual(0.35, 0.1, "common practice", "none: moulded glass laminates"), show="%"),
    Reading("laminate_factor", "factor of the laminate formula, J/mm^2.8", "1", "not measured", 0.2, 2.0, "from memory: Caprino and Lopresto 2001", usual=Usual(0.6, 0.15, "from memory", "Caprino and Lopresto 2001: 0.49 for carbon, larger for glass")),
)  # fmt: skip

SKETCH = Sketch(
    "Shield between its supports with a gap to the battery, struck from below.",
    44.0,
    (
        Line(((10, 30), (90, 30), (90, 42), (10, 42), (10, 30)), filled=True),
        Line(((10, 20), (90, 20)), heavy=True),
        Line(((10, 20), (10, 26), (16, 26), (16, 20)), filled=True), Line(((84, 20), (84, 26), (90, 26), (90, 20)), filled=True),
        Line(((30, 4), (58, 4), (58, 12), (30, 4)), filled=True),
        Line(((46, 19), (46, 15), (54, 15), (54, 19)), filled=True),
        Dimension("span_m", (50, 9), (84, 9)),
        Dimension("gap_m", (24, 20), (24, 30)),
        Dimension("thickness_m", (94, 19), (94, 21)),
        Dimension("striker_m", (46, 13.5), (54, 13.5)),
        Angle("wedge_rad", (30, 4), 0.0, 16.0, 18.0),
        Label("battery", (50, 35)), Label("shield", (70, 22)),
    ),
)  # fmt: skip
