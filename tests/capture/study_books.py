"""A small study as rows, for the tests of its reader."""

import copy

SOUND = {
    "study": [{"study": "s1", "title": "Two vans", "question": "Why does B not go as far?", "owner": "Kim"}],
    "vehicles": [{"vehicle": "A", "role": "baseline"}, {"vehicle": "B", "configuration": "16 inch"}],
    "equality": [
        {"property": "payload", "vehicle": "A", "value": 700, "unit": "kg"},
        {"property": "payload", "vehicle": "B", "value": 705, "unit": "kg", "equal": True, "note": "trim"},
    ],
    "content": [
        {"item": "tow bar", "vehicle": "B", "description": "removable", "rule": "strip", "quantity": "mass",
         "value": 18000, "unit": "g", "plus or minus": 196, "function": "towing"},
        {"item": "wheels", "vehicle": "B", "description": "to 15 inch", "rule": "scale",
         "quantity": "tyre coefficient", "value": 50, "unit": "%", "plus or minus": 0},
    ],
    "assumptions": [
        {"assumption": "duty", "value": "wltc3b", "source": "the client"},
        {"assumption": "draws", "value": 400},
    ],
    "findings": [
        {"function": "seats", "finding": "same", "vehicles": "A; B", "what was compared": "mass, frame, foam",
         "person": "Kim", "time": "2026-05-02", "evidence": "photos 1-9"},
        {"function": "doors", "finding": "carried over", "vehicles": "B", "from": "A", "what was compared": "numbers"},
    ],
    "strip plan": [
        {"step": 1, "vehicle": "B", "what": "B-1 battery", "who": "Ada", "tools": "table",
         "record before removal": "routing; fluids weighed", "recorded": "routing: photo 3", "status": "ready"},
    ],
    "claims": [
        {"claim": "lighter", "sentence": "its doors are lighter", "quantity": "mass", "vehicle": "B", "relation":
        "less than",
         "other": "A", "function": "doors", "threshold": 500, "unit": "g", "person": "Ada"},
        {"claim": "cable", "sentence": "the long cable costs range", "quantity": "effect on range", "vehicle": "B",
         "relation": "less than", "other": "A", "function": "cable", "threshold": 0, "unit": "km"},
        {"claim": "range", "sentence": "it goes 250 km", "quantity": "range", "vehicle": "A", "relation": "about",
         "threshold": 250, "unit": "km", "plus or minus": 5, "duty": "wltc3b"},
        {"claim": "tenth", "sentence": "a tenth heavier", "quantity": "mass", "vehicle": "B", "relation": "more than",
         "other": "A", "threshold": 50, "unit": "%", "threshold is": "share"},
    ],
}  # fmt: skip


def sound():
    return copy.deepcopy(SOUND)
