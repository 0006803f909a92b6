"""Readings and drawing of the check of a wrap."""

from hoistbook.core.checks.declared import Reading, Usual
from hoistbook.core.checks.sketch import Dimension, Label, Line, Sketch

_WRAPS = "common practice: wraps and shields of drive units and compressors"

READINGS = (
    Reading("barrier_kg_per_m2", "mass of the barrier per area", "kg/m2", "cut a square of known size, on the scale", 0.3, 20.0, _WRAPS, 0.05, "common practice: square of 100 mm, scale to 0.1 g, edges to 0.5 mm"),
    Reading("gap_m", "thickness of foam or air behind it", "m", "calliper or needle at five places, as fitted", 0.001, 0.1, _WRAPS, 0.001, "common practice: soft foam to 1 mm", show="mm"),
    Reading("foam_kg_per_m3", "density of the foam", "kg/m3", "cut a block, on the scale", 0.0, 200.0, _WRAPS, 2.0, "common practice: block of 50 mm", Usual(50.0, 20.0, "common practice", "none: polyurethane foams of wraps")),
    Reading("casing_kg_per_m2", "mass of the wall that it covers per area", "kg/m2", "thickness by ultrasonic gauge or at an edge, times density", 0.5, 100.0, _WRAPS, 0.3, "common practice: wall to 0.1 mm", Usual(20.0, 12.0, "common practice", "none: 3 to 11 mm of aluminium")),
    Reading("covered_m2", "area that is covered", "m2", "wrap laid flat on squared paper, or tape", 0.001, 10.0, _WRAPS, 0.002, "common practice: tape on soft parts", show="cm2"),
    Reading("radiating_m2", "area of the casing that radiates", "m2", "tape around the casing", 0.001, 10.0, _WRAPS, 0.003, "common practice: tape on ribs and bosses", show="cm2"),
    Reading("open_frac", "share of the covered area that is open: slits, cut-outs", "1", "lengths and widths of gaps by feeler and tape", 0.0, 0.5, _WRAPS, 0.002, "common practice: slits to a fifth", show="%"),
    Reading("frequency_hz", "frequency that is asked for", "1/s", "see the check of tones", 50.0, 10_000.0, "common practice: where walls and foams act as mass and spring", usual=Usual(1000.0, 0.0, "common practice", "none: middle of what a drive unit whines at"), show="Hz"),
    Reading("loss_factor", "loss factor of the foam", "1", "not measured at the hoist", 0.0, 1.0, "common practice: open foams", usual=Usual(0.2, 0.1, "common practice", "none: open foams")),
)  # fmt: skip

SKETCH = Sketch(
    "Section through a wrap: casing, foam, barrier, with a slit and an uncovered stretch.",
    40.0,
    (
        Line(((4, 6), (96, 6), (96, 12), (4, 12), (4, 6)), filled=True),
        Line(((8, 12), (50, 12), (50, 24), (8, 24), (8, 12))),
        Line(((54, 12), (74, 12), (74, 24), (54, 24), (54, 12))),
        Line(((8, 25), (50, 25)), heavy=True),
        Line(((54, 25), (74, 25)), heavy=True),
        Label("casing", (88, 8)), Label("foam", (29, 17)), Label("barrier", (29, 27)),
        Dimension("gap_m", (66, 12), (66, 24)),
        Dimension("covered_m2", (8, 33), (74, 33)),
        Dimension("radiating_m2", (4, 1), (96, 1)),
        Dimension("open_frac", (50, 29), (54, 29)),
        Dimension("casing_kg_per_m2", (80, 6), (80, 12)),
        Dimension("barrier_kg_per_m2", (14, 25), (14, 30)),
    ),
)  # fmt: skip
