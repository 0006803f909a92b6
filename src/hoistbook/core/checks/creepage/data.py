"""Readings, table and drawing of the check of creepage."""

import numpy as np

from hoistbook.core.checks.declared import Choice, Reading
from hoistbook.core.checks.sketch import Circle, Dimension, Label, Line, Sketch

VOLTAGES_V = np.array([400.0, 500.0, 630.0, 800.0, 1000.0])
# published: IEC 60664-1, table F.4, as the 2015 catalogue of a maker of terminal blocks reproduces it. [mm]
CREEPAGE_MM = {
    ("2", "I"): np.array([2.0, 2.5, 3.2, 4.0, 5.0]),
    ("2", "II"): np.array([2.8, 3.6, 4.5, 5.6, 7.1]),
    ("2", "III"): np.array([4.0, 5.0, 6.3, 8.0, 10.0]),
    ("3", "I"): np.array([5.0, 6.3, 8.0, 10.0, 12.5]),
    ("3", "II"): np.array([5.6, 7.1, 9.0, 11.0, 14.0]),
    ("3", "III"): np.array([6.3, 8.0, 10.0, 12.5, 16.0]),
}
CHOICES = (
    Choice("pollution", "pollution degree", {"2": "dry dust only, now and then dew: inside a closed housing", "3": "conductive dust or dew: open to the underbody"}),
    Choice("group", "material group of the insulator", {"III": "tracking index 100 to 399: most plastics, and whatever is not known", "II": "400 to 599", "I": "600 and above"}),
    Choice("insulation", "insulation", {"basic": "one fault away from a shock", "reinforced": "in place of two layers; creepage is doubled"}),
)  # fmt: skip

READINGS = (
    Reading("voltage_v", "working voltage, root mean square", "V", "plate of the battery; for direct voltage the same figure", 400.0, 1000.0, "published: the rows of table F.4 of IEC 60664-1 that are on file here"),
    Reading("creepage_m", "shortest way along the surface between live parts", "m", "thin tape or string over the surface of the insulator, ribs followed where they are 1 mm or wider", 0.0002, 0.2, "common practice: connectors of road vehicles", 0.0005, "common practice: tape over ribs, to half a millimetre", show="mm"),
)  # fmt: skip

SKETCH = Sketch(
    "Insulator of a connector between two live pins, seen in section: the tape follows the surface over a rib.",
    34.0,
    (
        Line(((6, 4), (94, 4), (94, 14), (60, 14), (60, 24), (40, 24), (40, 14), (6, 14), (6, 4)), filled=True),
        Circle((20, 20), 5.5, heavy=True), Circle((80, 20), 5.5, heavy=True),
        Line(((24, 14.6), (39.4, 14.6), (39.4, 24.6), (60.6, 24.6), (60.6, 14.6), (76, 14.6)), heavy=True),
        Dimension("creepage_m", (40, 29), (60, 29)),
        Dimension("voltage_v", (20, 8), (80, 8)),
        Label("live", (20, 29)), Label("live", (80, 29)),
    ),
)  # fmt: skip
