"""A small study of two vehicles that weigh and measure so little that everything can be worked out by hand."""

from capture.books import saved, sound
from hoistbook.capture.study_schema import STUDY_SHEETS
from hoistbook.capture.write import write_workbook
from hoistbook.services.record import load_workbook
from hoistbook.services.study import load_study

SHEETS = ("vehicle", "configurations", "joints", "parts", "measurements", "instruments", "functions", "approaches",
          "content")  # fmt: skip


def van(code, name, arm_kg, wheelbase_mm):
    """Two arms of the function guide and four bolts, all on one bench scale; nothing else."""
    rows = {name: sound()[name] for name in SHEETS}
    rows["vehicle"] = [{"code": code, "name": name}]
    rows["facts"] = [
        {
            "configuration": "delivered",
            "quantity": "wheelbase",
            "value": wheelbase_mm,
            "unit": "mm",
            "plus or minus": 2.0,
            "origin": "measured",
            "evidence": "tape",
        }
    ]
    rows["parts"] = [row for row in rows["parts"] if row["tag"] != "C1"]
    rows["measurements"] = [{**rows["measurements"][0], "value": arm_kg}, rows["measurements"][1]]
    rows["approaches"] = rows["approaches"][:1]
    return rows


STUDY = {
    "study": [{"study": "two", "title": "Two vans", "question": "Why is B heavier?", "owner": "Kim"}],
    "vehicles": [
        {"vehicle": "A", "configuration": "delivered", "role": "start"},
        {"vehicle": "B", "configuration": "delivered"},
    ],
    "equality": [
        {"property": "payload", "vehicle": "A", "value": 700, "unit": "kg"},
        {
            "property": "payload",
            "vehicle": "B",
            "value": 705,
            "unit": "kg",
            "equal": "yes",
            "note": "same ballast",
        },
        {"property": "seats", "vehicle": "A", "value": 3},
        {"property": "seats", "vehicle": "B", "value": 2, "equal": "no", "note": "content: bench"},
    ],
    "content": [
        {
            "item": "tow bar",
            "vehicle": "B",
            "description": "detachable",
            "rule": "strip",
            "quantity": "mass",
            "value": 21.0,
            "unit": "kg",
            "plus or minus": 1.0,
            "function": "guide",
        }
    ],
    "assumptions": [
        {"assumption": "draws", "value": 400, "source": "enough here"},
        {"assumption": "weather", "value": "dry"},
    ],
    "findings": [
        {
            "function": "guide",
            "finding": "same",
            "vehicles": "A; B",
            "what was compared": "shape only",
            "person": "Kim",
            "time": "2026-05-02",
        }
    ],
    "strip plan": [
        {
            "step": 1,
            "vehicle": "B",
            "what": "B1 bolts of the traction battery",
            "who": "Ada",
            "tools": "T40",
            "record before removal": "photo; torque",
            "recorded": "photo: P-7",
            "status": "removed",
        },
        {"step": 2, "vehicle": "B", "what": "A1 arm", "who": "Ada", "record before removal": "photo"},
    ],
    "claims": [
        {
            "claim": "light",
            "sentence": "A's guide is at least half a kilogram lighter.",
            "quantity": "mass",
            "vehicle": "A",
            "relation": "less than",
            "other": "B",
            "function": "guide",
            "threshold": 0.5,
            "unit": "kg",
            "person": "Kim",
        },
        {
            "claim": "heavy",
            "sentence": "A's guide is the heavier one.",
            "quantity": "mass",
            "vehicle": "A",
            "relation": "more than",
            "other": "B",
            "function": "guide",
            "threshold": 0,
            "unit": "kg",
        },
        {
            "claim": "long",
            "sentence": "B is longer between the axles.",
            "quantity": "wheelbase",
            "vehicle": "B",
            "relation": "more than",
            "other": "A",
            "threshold": 0,
            "unit": "mm",
        },
        {
            "claim": "brake",
            "sentence": "B's brake is lighter.",
            "quantity": "mass",
            "vehicle": "B",
            "relation": "less than",
            "other": "A",
            "function": "brake",
            "threshold": 0,
            "unit": "kg",
        },
    ],
}


def fill(record, folder, *, names=("Alpha", "Beta"), **changes):
    """Load both vehicles and the study, with some of its sheets changed."""
    for code, name, arm_kg, wheelbase_mm in (("A", names[0], 2.5, 2900.0), ("B", names[1], 3.0, 2901.0)):
        load_workbook(record, saved(folder, van(code, name, arm_kg, wheelbase_mm)), "Ines")
    load(record, folder, **changes)


def load(record, folder, **changes):
    """Load the study again, with some of its sheets changed."""
    path = folder / "study.xlsx"
    sheets = {name.replace("_", " "): rows for name, rows in changes.items()}
    write_workbook(path, {**STUDY, **sheets}, STUDY_SHEETS)
    load_study(record, path, "Kim")
