"""A small invented van, typed the way a person would: the filled example of the template."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

EXAMPLE_ROWS: Mapping[str, Sequence[Mapping[str, object]]] = {
    "vehicle": [
        {
            "code": "WHI",
            "name": "Whimbrel",
            "maker": "invented",
            "family": "invented A",
            "model year": 2024,
            "delivered": "2025-03-03",
            "note": "Invented. Every figure below is invented.",
        }
    ],
    "configurations": [
        {
            "configuration": "delivered",
            "wheels": "steel 16 in, 205/65 R16",
            "options": "heat pump; two rear doors",
        }
    ],
    "facts": [
        {
            "configuration": "delivered",
            "quantity": "mass",
            "value": 1874.0,
            "unit": "kg",
            "origin": "measured",
            "mass state": "curb",
            "instrument": "P1",
            "evidence": "log 3, line 12",
        },
        {
            "configuration": "delivered",
            "quantity": "drag area",
            "value": 1.21,
            "unit": "m2",
            "plus or minus": 0.04,
            "origin": "inferred",
            "shared source": "drag from coast-down, method A",
            "shared plus or minus": 0.02,
            "evidence": "log 7",
        },
        {
            "configuration": "delivered",
            "quantity": "gear ratio",
            "value": 10.4,
            "unit": "1",
            "plus or minus": 0,
            "origin": "measured",
            "note": "counted teeth",
        },
        {
            "configuration": "delivered",
            "quantity": "range",
            "value": 268,
            "unit": "km",
            "plus or minus": 1,
            "band is": "limits",
            "origin": "published",
            "basis": "label",
            "duty": "WLTC class 3b",
            "note": "printed to the kilometre",
        },
    ],
    "parts": [
        {"tag": "WHI", "name": "van, whole", "kind": "assembly"},
        {"tag": "W100", "parent": "WHI", "name": "axle, front, complete", "kind": "assembly", "system": "SU"},
        {
            "tag": "W110",
            "parent": "W100",
            "name": "arm, lower, left",
            "kind": "part",
            "system": "SU02",
            "function": "guide front wheel",
            "side": "left",
            "material": "steel, stamped",
        },
        {
            "tag": "W111",
            "parent": "W100",
            "name": "bolt M12×80",
            "kind": "fastener",
            "count": 4,
            "system": "SU02",
            "function": "guide front wheel",
        },
        {
            "tag": "W120",
            "parent": "W100",
            "name": "hub bearing",
            "kind": "part",
            "count": 2,
            "system": "SU03",
        },
        {"tag": "W900", "parent": "WHI", "name": "coolant", "kind": "fluid", "system": "FL01"},
    ],
    "joints": [
        {
            "joint": "J110",
            "parts": "W110; W100",
            "process": "screwing",
            "fastener": "W111",
            "fastener count": 4,
            "drive": "hex 18",
            "access": "from below, wheel off",
            "removable": "yes",
        }
    ],
    "measurements": [
        {
            "reading": "R001",
            "of": "W110",
            "quantity": "mass",
            "value": 4.132,
            "unit": "kg",
            "instrument": "S2",
        },
        {
            "reading": "R002",
            "of": "W111",
            "quantity": "mass",
            "value": 486,
            "unit": "g",
            "pieces": 4,
            "instrument": "S2",
            "note": "lot of four",
        },
        {
            "reading": "R003",
            "of": "W120",
            "quantity": "mass",
            "value": 2.31,
            "unit": "kg",
            "instrument": "S2",
            "person": "A. B.",
            "time": "2025-03-05 10:20",
        },
        {
            "reading": "R004",
            "of": "W120",
            "quantity": "mass",
            "value": 2.13,
            "unit": "kg",
            "instrument": "S2",
            "supersedes": "R003",
            "note": "digits swapped in R003",
        },
        {
            "reading": "R005",
            "of": "W900",
            "quantity": "mass",
            "value": 6.4,
            "unit": "kg",
            "method": "estimated",
            "plus or minus": 0.5,
        },
    ],
    "instruments": [
        {
            "instrument": "S2",
            "kind": "bench scale",
            "class": "III",
            "step": 2,
            "capacity": 15000,
            "unit": "g",
        },
        {"instrument": "P1", "kind": "corner pads", "step": 0.5, "unit": "kg", "note": "sum of four pads"},
    ],
    "functions": [
        {"function": "CHASSIS", "name": "carry and guide the vehicle"},
        {
            "function": "CHASSIS.FRONT",
            "name": "guide front wheel",
            "parent": "CHASSIS",
            "aliases": "front suspension; front corner",
        },
    ],
    "approaches": [
        {
            "approach": "WHI-FRONT",
            "configuration": "delivered",
            "function": "CHASSIS.FRONT",
            "present": "yes",
            "description": "stamped lower arm, strut",
        }
    ],
    "shares": [{"part": "W120", "approach": "WHI-FRONT", "share [%]": 100}],
    "content": [
        {
            "item": "partition",
            "description": "steel bulkhead with window behind the seats",
            "rule": "strip",
            "quantity": "mass",
            "value": 14.2,
            "unit": "kg",
            "plus or minus": 0.3,
        }
    ],
    "effects": [
        {
            "function": "front suspension",
            "quantity": "drag torque",
            "value": 1.4,
            "unit": "N·m",
            "plus or minus": 0.3,
            "origin": "measured",
            "evidence": "log 9",
        }
    ],
}
