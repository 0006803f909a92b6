"""Readings, materials and drawing of the check of a link's section."""

from dataclasses import dataclass

from hoistbook.core.checks.declared import Choice, Reading, Usual
from hoistbook.core.checks.sketch import Circle, Dimension, Label, Line, Sketch


@dataclass(frozen=True, slots=True)
class Metal:
    """Density and modulus of elasticity, typical."""

    words: str
    density_kg_per_m3: float
    youngs_pa: float


# from memory: typical values; shear modulus E/2.6 throughout
METALS = {
    "steel": Metal("steel", 7850.0, 210e9),
    "aluminium": Metal("aluminium", 2700.0, 70e9),
    "cast iron": Metal("cast iron with nodular graphite", 7150.0, 170e9),
    "magnesium": Metal("magnesium", 1810.0, 45e9),
}
SHAPES = {
    "channel": "folded channel, open to one side",
    "angle": "folded angle",
    "box": "closed box",
    "tube": "round tube, closed",
    "slit tube": "round tube rolled from sheet, seam open",
    "I": "I of a forging, web and flanges of one thickness",
}
CHOICES = (
    Choice("shape", "shape of the section", SHAPES),
    Choice("material", "material, by magnet and density", {name: one.words for name, one in METALS.items()}),
)
_LINKS = "common practice: links, arms and brackets of road vehicles"
_CALLIPER = "common practice: calliper to 0.1 mm"

READINGS = (
    Reading("depth_m", "depth of the section: outside diameter of a tube, longer leg of an angle", "m", "calliper, over the outside", 0.005, 0.3, _LINKS, 0.0001, _CALLIPER, show="mm"),
    Reading("width_m", "width of the section, over the outside; of a tube its diameter", "m", "calliper, over the outside", 0.005, 0.3, _LINKS, 0.0001, _CALLIPER, show="mm"),
    Reading("wall_m", "thickness of the wall", "m", "calliper on an edge, ultrasonic gauge on a tube", 0.0003, 0.04, _LINKS, 0.00005, "common practice: calliper to 0.05 mm", show="mm"),
    Reading("corner_m", "outside radius of the bends", "m", "radius gauge", 0.0, 0.05, _LINKS, usual=Usual(0.0, 0.0, "common practice", "none: sharp corners, which makes a folded section 2 to 4 % too heavy"), show="mm"),
    Reading("length_m", "length from pin to pin", "m", "tape between the middles of the eyes", 0.03, 2.0, _LINKS, 0.001, "common practice: tape to 1 mm", show="mm"),
    Reading("bow_m", "greatest offset of the bowed link from the line between its pins, in the plane of its depth", "m", "straight edge from pin to pin, calliper", 0.0, 0.3, _LINKS, 0.0005, "common practice: calliper from a straight edge, to 0.5 mm", Usual(0.0, 0.0, "common practice", "none: straight"), show="mm"),
    Reading("mass_kg", "mass of the link", "kg", "on the scale", 0.005, 60.0, _LINKS, 0.005, "common practice: bench scale to 5 g"),
    Reading("ends_kg", "mass in it that is not section: eyes, bushes, ball joints", "kg", "pressed out and weighed, or from a like part", 0.0, 30.0, _LINKS, usual=Usual(0.0, 0.0, "common practice", "none: weighed without them")),
    Reading("yield_pa", "yield of the material", "Pa", "hardness test or material record", 50e6, 1500e6, _LINKS, show="MPa"),
)  # fmt: skip

SKETCH = Sketch(
    "Sections of links: folded channel, tube, forged I; below, a bowed link from the side.",
    70.0,
    (
        Line(((8, 34), (24, 34), (24, 37), (11, 37), (11, 61), (24, 61), (24, 64), (8, 64), (8, 34)), filled=True),
        Circle((50, 49), 13.0, heavy=True), Circle((50, 49), 10.5),
        Line(((74, 34), (92, 34), (92, 38), (85, 38), (85, 60), (92, 60), (92, 64), (74, 64), (74, 60), (81, 60), (81, 38), (74, 38), (74, 34)), filled=True),
        Dimension("depth_m", (28, 34), (28, 64)),
        Dimension("width_m", (8, 66), (24, 66)),
        Dimension("wall_m", (8, 31), (11, 31)),
        Line(((12, 12), (26, 17), (40, 20), (50, 21), (60, 20), (74, 17), (88, 12)), heavy=True),
        Circle((12, 12), 3.0), Circle((88, 12), 3.0), Line(((12, 12), (88, 12)), dashed=True),
        Dimension("length_m", (12, 12), (88, 12), -7),
        Dimension("bow_m", (50, 12), (50, 21)),
        Label("channel", (16, 27)), Label("tube", (50, 31)), Label("forged I", (83, 29)),
    ),
)  # fmt: skip
