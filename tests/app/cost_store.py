"""Two small vehicles with routes: a stamped bracket, a cast housing, a screw, and a cradle nobody knows how is made."""

from capture.books import saved, sound
from hoistbook.services.record import load_workbook

READINGS = {
    "B1": {
        "mass": (0.85, "kg"),
        "envelope length": (240.0, "mm"),
        "envelope width": (110.0, "mm"),
        "wall thickness": (2.5, "mm"),
        "cut length": (900.0, "mm"),
    },
    "H1": {
        "mass": (1.9, "kg"),
        "envelope length": (260.0, "mm"),
        "envelope width": (180.0, "mm"),
        "envelope height": (120.0, "mm"),
        "wall thickness": (3.0, "mm"),
    },
    "S1": {"mass": (0.012, "kg")},
    "C1": {"mass": (6.0, "kg")},
}


def vehicle(code="WHI", name="Whimbrel", scale=1.0):
    """Rows of one vehicle; `scale` is how much heavier its housing is."""
    rows = sound()
    rows["vehicle"] = [{"code": code, "name": name}]
    rows["parts"] = [
        {"tag": "VAN", "name": "van", "kind": "assembly"},
        {
            "tag": "B1",
            "parent": "VAN",
            "name": "bracket",
            "kind": "part",
            "count": 2,
            "system": "SU02",
            "function": "guide",
            "material": "steel sheet, mild",
        },
        {
            "tag": "H1",
            "parent": "VAN",
            "name": "housing",
            "kind": "part",
            "system": "DU01",
            "function": "guide",
        },
        {"tag": "S1", "parent": "VAN", "name": "hex flange screw M8x25", "kind": "fastener", "count": 4},
        {"tag": "C1", "parent": "VAN", "name": "cradle", "kind": "part", "system": "SU02"},
    ]
    rows["joints"] = [
        {
            "joint": "J1",
            "parts": "B1; H1",
            "process": "screwing",
            "fastener": "S1",
            "fastener count": 4,
            "drive": "hex 13",
            "removable": "yes",
        }
    ]
    rows["measurements"] = [
        {
            "reading": f"{tag}-{quantity}",
            "of": tag,
            "quantity": quantity,
            "value": value * (scale if (tag, quantity) == ("H1", "mass") else 1.0),
            "unit": unit,
            "plus or minus": 0.01 * value,
        }
        for tag, several in READINGS.items()
        for quantity, (value, unit) in several.items()
    ]
    rows["approaches"] = rows["approaches"][:1]
    rows["shares"] = []
    rows["effects"], rows["content"], rows["reasons"] = [], [], []
    rows["routes"] = [
        {"part": "B1", "step": 1, "process": "sheet stamping", "options": "line: progressive"},
        {"part": "B1", "step": 2, "process": "zinc plating", "options": "way: rack", "seen": "assumed"},
        {
            "part": "H1",
            "step": 1,
            "process": "high-pressure die casting",
            "options": "metal: aluminium",
            "material": "aluminium, die casting",
        },
    ]
    return rows


def load(record, folder, **more):
    """Load one of them."""
    return load_workbook(record, saved(folder, vehicle(**more)), "Ines")
