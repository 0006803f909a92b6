"""Readings and drawing of the check of a material for a duty."""

from hoistbook.core.checks.declared import Choice, Names, Reading
from hoistbook.core.checks.sketch import Circle, Dimension, Label, Line, Sketch

NAMES = (Names("material", "the materials, the first being what the others are held against", "material"),)

# Power of modulus or strength in each index (from memory: Ashby, Materials Selection in Mechanical Design)
DUTIES = {
    "stiff_tie": ("tie, stiff", 1.0, True),
    "stiff_beam": ("beam or strut, stiff", 1.0 / 2.0, True),
    "stiff_panel": ("panel, stiff", 1.0 / 3.0, True),
    "strong_tie": ("tie, strong", 1.0, False),
    "strong_beam": ("beam, strong", 2.0 / 3.0, False),
    "strong_panel": ("panel, strong", 1.0 / 2.0, False),
}
CHOICES = (
    Choice("duty", "what the part is for", {
        "stiff_beam": "a beam or strut that must be stiff or not buckle, its section free",
        "stiff_tie": "a tie that must be stiff, or a section whose outside is given",
        "stiff_panel": "a panel that must be stiff, its thickness free",
        "strong_tie": "a tie that must not yield",
        "strong_beam": "a beam that must not yield, its section free",
        "strong_panel": "a panel that must not yield, its thickness free",
    }),
)  # fmt: skip

READINGS = (
    Reading("youngs_pa", "modulus of elasticity", "Pa", "by the material, or its ring frequency: steel 210, aluminium 70, magnesium 45, titanium 114 GPa", 0.5e9, 500e9, "common practice: metals, laminates, filled plastics", 0.5e9, "common practice: data sheets to 0.5 GPa", each="material", show="GPa"),
    Reading("density_kg_per_m3", "density", "kg/m3", "weigh a piece in air and in water", 500.0, 12_000.0, "common practice: as above", 10.0, "common practice: weighed in water, to 10 kg/m³", each="material"),
    Reading("strength_pa", "strength: yield of a metal, breaking strength of a laminate or filled plastic", "Pa", "hardness test or material record", 5e6, 4e9, "common practice: as above", 5e6, "common practice: data sheets to 5 MPa", each="material", show="MPa"),
)  # fmt: skip

SKETCH = Sketch(
    "A piece of the part: ring it for its modulus, weigh it in air and in water, indent it for its strength.",
    40.0,
    (
        Line(((6, 20), (30, 20), (30, 26), (6, 26), (6, 20)), filled=True),
        Line(((12, 14), (12, 20)), dashed=True), Line(((24, 14), (24, 20)), dashed=True), Line(((18, 34), (18, 27)), heavy=True),
        Dimension("youngs_pa", (6, 11), (30, 11)),
        Line(((38, 6), (62, 6), (62, 30), (38, 30), (38, 6))), Line(((38, 24), (62, 24)), dashed=True), Line(((50, 38), (50, 18)), heavy=True),
        Line(((44, 10), (56, 10), (56, 18), (44, 18), (44, 10)), filled=True),
        Dimension("density_kg_per_m3", (44, 3), (56, 3)),
        Line(((70, 8), (94, 8), (94, 18), (70, 18), (70, 8)), filled=True),
        Circle((82, 21), 3.0, heavy=True), Line(((82, 36), (82, 24)), heavy=True),
        Dimension("strength_pa", (79, 14), (85, 14)),
        Label("modulus", (18, 5)), Label("water", (68, 27)), Label("hardness", (82, 4)),
    ),
)  # fmt: skip
