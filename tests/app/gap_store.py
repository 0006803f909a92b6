"""A small study of two vehicles whose ranges differ, for the pages of its gap."""

from app.study_store import load, van
from capture.books import saved
from hoistbook.services.record import load_workbook
from hoistbook.services.study import freeze

CONTENT = [
    {
        "item": "tow bar",
        "vehicle": "B",
        "description": "detachable",
        "rule": "strip",
        "quantity": "mass",
        "value": 21.0,
        "unit": "kg",
        "plus or minus": 1.0,
    }
]
FIGURES = {
    # quantity: unit, ±, of A, of B, what else the row says
    "mass on the scale": ("kg", 2.0, 1500.0, 1600.0, {"quantity": "mass", "mass state": "curb"}),
    "mass": ("kg", 3.0, 1600.0, 1700.0, {"mass state": "test", "duty": "wltc3b"}),
    "usable energy": ("kWh", 0.5, 50.0, 52.0, {}),
    "range": ("km", 4.0, 350.0, 335.0, {"duty": "wltc3b"}),
    "tyre coefficient": ("N/kN", 0.3, 8.0, 9.0, {"evidence": "drum report 7"}),
    "gear ratio": ("1", 0.0, 9.0, 10.0, {"evidence": "teeth counted"}),
}


def vehicle(code, name, place, arm_kg, **values):
    """One of the two as rows; `values` change its figures."""
    rows = van(code, name, arm_kg, 2900.0)
    rows["content"] = []
    for quantity, (unit, half, *of, more) in FIGURES.items():
        row = {
            "configuration": "delivered",
            "quantity": quantity,
            "value": values.get(quantity.replace(" ", "_"), of[place]),
            "unit": unit,
            "plus or minus": half,
            "origin": "measured",
            **more,
        }
        rows["facts"].append(row)
    return rows


def load_vehicle(record, folder, code, name, place, arm_kg, person="Ines", **values):
    load_workbook(record, saved(folder, vehicle(code, name, place, arm_kg, **values)), person)


def fill(record, folder, names=("Alpha", "Beta")):
    """Load both and the study, and freeze it."""
    for place, (code, name, arm_kg) in enumerate(zip("AB", names, (2.5, 3.0), strict=True)):
        load_vehicle(record, folder, code, name, place, arm_kg)
    draws = [{"assumption": "draws", "value": 100, "source": "enough here"}]
    load(record, folder, content=CONTENT, assumptions=draws)
    freeze(record, "two", "Kim")
