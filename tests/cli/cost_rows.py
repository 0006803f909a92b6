"""Two small vehicles with a stamped bracket, a cast housing and screws: quick to cost, one dearer than the other."""

import copy

ROWS = {
    "vehicle": [{"code": "VAN", "name": "Van", "model year": 2024}],
    "configurations": [{"configuration": "delivered", "wheels": "16 in"}],
    "parts": [
        {"tag": "VAN", "name": "van", "kind": "assembly"},
        {
            "tag": "P1", "parent": "VAN", "name": "bracket", "kind": "part", "count": 2, "system": "SU02",
            "material": "steel sheet, mild",
        },
        {
            "tag": "P2", "parent": "VAN", "name": "housing", "kind": "part", "system": "DU02",
            "material": "aluminium, die casting",
        },
        {"tag": "P3", "parent": "VAN", "name": "hose", "kind": "part", "system": "TH02"},
        {"tag": "B1", "parent": "VAN", "name": "Screw M8×30, flanged, T45", "kind": "fastener", "count": 4},
    ],
    "joints": [
        {
            "joint": "J1", "parts": "P1; P2", "process": "screwing", "fastener": "B1", "fastener count": 4,
            "drive": "T45", "access": "above", "removable": "yes",
        }
    ],
    "measurements": [
        {"reading": f"R{number}", "of": of, "quantity": quantity, "value": value, "unit": unit, "plus or minus": band}
        for number, (of, quantity, value, unit, band) in enumerate(
            (
                ("P1", "mass", 0.45, "kg", 0.002),
                ("P1", "length of the envelope", 200, "mm", 1),
                ("P1", "width of the envelope", 100, "mm", 1),
                ("P1", "height of the envelope", 30, "mm", 1),
                ("P1", "wall thickness", 2.5, "mm", 0.05),
                ("P1", "cut length", 800, "mm", 10),
                ("P2", "mass", 3.2, "kg", 0.01),
                ("P2", "length of the envelope", 300, "mm", 1),
                ("P2", "width of the envelope", 250, "mm", 1),
                ("P2", "height of the envelope", 120, "mm", 1),
                ("P2", "wall thickness", 3.0, "mm", 0.1),
                ("P2", "projected area", 0.055, "m2", 0.002),
            ),
            start=1,
        )
    ],
    "functions": [{"function": "F1", "name": "hold"}],
    "approaches": [{"approach": "A1", "configuration": "delivered", "function": "F1", "present": "yes"}],
    "shares": [
        {"part": "P1", "approach": "A1", "share [%]": 100},
        {"part": "P2", "approach": "A1", "share [%]": 100},
    ],
    "routes": [
        {"part": "P1", "step": 1, "process": "sheet stamping", "options": "line: progressive"},
        {"part": "P2", "step": 1, "process": "high-pressure die casting"},
    ],
}  # fmt: skip


def dearer():
    """The same vehicle by another maker: a heavier bracket of thicker sheet, and six screws instead of four."""
    rows = copy.deepcopy(ROWS)
    rows["vehicle"][0].update({"code": "BUS", "name": "Bus"})
    rows["parts"][4]["count"] = rows["joints"][0]["fastener count"] = 6
    rows["measurements"][0]["value"] = 0.6
    rows["measurements"][4]["value"] = 3.3
    return rows
