"""Readings and drawing of the check of isolation."""

from hoistbook.core.checks.declared import Reading, Usual
from hoistbook.core.checks.sketch import Circle, Dimension, Label, Line, Sketch

_UNITS = "common practice: compressors, pumps, drive units of road vehicles"
_PUSH = "common practice: pushed with a spring balance against a dial gauge, to a tenth; rubber differs as much from piece to piece"

READINGS = (
    Reading("unit_mass_kg", "mass of the unit", "kg", "on the scale, with its fluids", 0.2, 300.0, _UNITS, 0.05, "common practice: workshop scale"),
    Reading(
        "unit_stiffness_n_per_m", "stiffness of the unit's own isolators, all together, vertical, in vibration", "N/m",
        "push with a known load against a dial gauge before removal, times how much the rubber stiffens in vibration",
        1e3, 1e7, _UNITS, 12e3, _PUSH, show="N/mm",
    ),
    Reading("carrier_mass_kg", "mass of the carrier", "kg", "on the scale, without the unit", 0.1, 200.0, _UNITS, 0.05, "common practice: workshop scale"),
    Reading(
        "carrier_stiffness_n_per_m", "stiffness of the carrier's isolators, all together, vertical, in vibration", "N/m",
        "push with a known load against a dial gauge before removal, times how much the rubber stiffens in vibration",
        1e3, 1e8, _UNITS, 30e3, _PUSH, show="N/mm",
    ),
    Reading(
        "loss_factor", "loss factor of the rubber", "1", "not measured at the hoist", 0.0, 1.0,
        "common practice: filled rubbers", usual=Usual(0.10, 0.05, "common practice", "none: mounts of natural rubber"),
    ),
    Reading(
        "frequency_hz", "frequency that is asked for", "1/s", "order × speed: see the check of tones", 1.0, 500.0,
        "published: continuum resonances of elastomer mounts in a double-isolated drive unit reach down to some hundred "
        "hertz (Appl. Sci. 2025, 15(18), 10241, abstract), above which massless springs say nothing", show="Hz",
    ),
)  # fmt: skip

SKETCH = Sketch(
    "A unit on its isolators, on a carrier on isolators of its own, on the body; seen from the side.",
    46.0,
    (
        Line(((8, 3), (92, 3)), heavy=True),
        Line(((22, 16), (78, 16), (78, 21), (22, 21), (22, 16)), filled=True),
        Line(((32, 32), (68, 32), (68, 44), (32, 44), (32, 32)), filled=True),
        Line(((38, 21), (38, 23), (36, 24), (40, 26), (36, 28), (40, 30), (38, 31), (38, 32))),
        Line(((62, 21), (62, 23), (60, 24), (64, 26), (60, 28), (64, 30), (62, 31), (62, 32))),
        Line(((28, 3), (28, 5), (26, 6), (30, 8), (26, 10), (30, 12), (28, 14), (28, 16))),
        Line(((72, 3), (72, 5), (70, 6), (74, 8), (70, 10), (74, 12), (72, 14), (72, 16))),
        Circle((50, 38), 3.0),
        Label("unit", (50, 33.5)), Label("carrier", (50, 17.5)), Label("body", (50, 0.2)),
        Dimension("unit_stiffness_n_per_m", (46, 21), (46, 32)),
        Dimension("carrier_stiffness_n_per_m", (46, 3), (46, 16)),
        Dimension("unit_mass_kg", (32, 44), (68, 44)),
        Dimension("carrier_mass_kg", (78, 16), (78, 21), 6),
    ),
)  # fmt: skip
