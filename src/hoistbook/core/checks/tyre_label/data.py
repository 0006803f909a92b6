"""Readings, classes and drawing of the check of a tyre label."""

from hoistbook.core.checks.declared import Choice, Reading, Usual
from hoistbook.core.checks.sketch import Circle, Dimension, Label, Line, Sketch

# Edges in N/kN. published: Reg. (EC) 1222/2009, annex I part A (D empty); from memory: Reg. (EU) 2020/740, annex I part A.
# The lowest and highest class are open; their far ends are common practice, the reach of tyres on sale.
CLASSES = {
    "2009": {"A": (4.5, 6.5), "B": (6.6, 7.7), "C": (7.8, 9.0), "E": (9.1, 10.5), "F": (10.6, 12.0), "G": (12.1, 14.0)},
    "2020": {"A": (4.5, 6.5), "B": (6.6, 7.7), "C": (7.8, 9.0), "D": (9.1, 10.5), "E": (10.6, 14.0)},
}  # fmt: skip
_CARS = "common practice: road vehicles"
CHOICES = (
    Choice("regulation", "regulation of the label", {"2020": "(EU) 2020/740, labels from May 2021, A to E", "2009": "(EC) 1222/2009, older labels, A to G without D"}),
    Choice("letter", "letter on the label", dict.fromkeys("CABDEFG", "class of rolling resistance")),
)  # fmt: skip
READINGS = (
    Reading("mass_kg", "mass on the tyres", "kg", "corner scales", 300.0, 5000.0, _CARS, 2.0, "common practice: corner scales", fact="mass", state="test"),
    Reading("drag_area_m2", "drag area", "m2", "coast-down, or published", 0.2, 8.0, _CARS, 0.02, "common practice: coast-down", Usual(0.7, 0.2, "common practice", "none: passenger cars and small vans"), fact="drag_area"),
    Reading("speed_m_per_s", "road speed", "m/s", "chosen", 5.0, 60.0, _CARS, usual=Usual(110.0 / 3.6, 0.0, "common practice", "none: 110 km/h"), show="km/h"),
    Reading("air_kg_per_m3", "density of air", "kg/m3", "thermometer and barometer", 0.9, 1.5, "common practice: roads of the world", usual=Usual(1.2, 0.03, "common practice", "none: 20 °C at sea level")),
)  # fmt: skip
SKETCH = Sketch(
    "Tyre with its label, and the scale under it.",
    36.0,
    (
        Circle((30, 19), 14.0, heavy=True), Circle((30, 19), 8.0),
        Line(((10, 4), (50, 4)), heavy=True),
        Line(((64, 8), (86, 8), (86, 32), (64, 32), (64, 8)), filled=True),
        Label("label: letter and regulation", (75, 20)),
        Dimension("mass_kg", (20, 1.5), (40, 1.5)),
        Dimension("speed_m_per_s", (46, 19), (58, 19)),
    ),
)  # fmt: skip
