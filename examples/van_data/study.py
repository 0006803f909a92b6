"""The study of the demo: what is asked of the vans, what was fixed before results, what was found, and what people say."""

from __future__ import annotations

from van_data import turnstone, whimbrel
from van_data.words import in_words
from van_data.workshop import Row

VEHICLES: list[Row] = [
    {"vehicle": "W", "configuration": "W-15", "role": "start of the comparison"},
    {"vehicle": "T", "configuration": "T-16", "role": "compared"},
    {"vehicle": "D", "configuration": "D-15", "role": "sister of Turnstone"},
]

# Property, unit, value of W, T and D; whether T and D equal W; and the word on it.
_EQUALITY = (
    ("kind of vehicle", "", ("panel van",) * 3, ("yes", "yes"), ""),
    ("load volume", "m³", (4.4, 4.4, 4.4), ("yes", "yes"), ""),
    ("payload", "kg", (690, 680, 705), ("yes", "yes"), "within 15 kg; the same ballast was on board in every test"),
    ("sliding doors", "1", (1, 1, 1), ("yes", "yes"), ""),
    ("seats", "1", (3, 3, 2), ("yes", "no"), "content: passenger bench"),
    ("top speed, limited", "km/h", (130, 130, 130), ("yes", "yes"), ""),
    ("towing preparation", "", ("no", "yes", "no"), ("no", "yes"), "content: towing preparation"),
    ("wheel size", "inch", (15, 16, 15), ("no", "yes"), "content: wheel size"),
    ("AC charging", "kW", (11, 11, 11), ("yes", "yes"), ""),
)

ASSUMPTIONS: list[Row] = [
    {"assumption": "quantity", "value": "range", "source": "the question"},
    {"assumption": "duty", "value": "wltc3b", "source": "the cycle of the range tests", "note": "23 °C, cabin off"},
    {"assumption": "draws", "value": "4000"},
    {"assumption": "seed", "value": "1"},
    {"assumption": "sure enough", "value": "95 %", "source": "agreed with the client"},
    {"assumption": "load in the tests", "value": "driver 75 kg, equipment 25 kg", "source": "test sheet"},
    {"assumption": "battery", "value": "as delivered, no ageing", "source": "agreed with the client"},
]

# Function or system, what was compared, evidence.
_SAME = (
    ("F51", "both seats weighed; frame, tracks, foam and cover side by side on the table", "photos W-1342, T-1342"),
    ("seats and restraints", "belts and airbags: same kinds, same counts", "photos W-1369, T-1369"),
)
_CARRIED = (
    ("F12", "part marks and masses of the sliding door, rails and posts", "photos T-0363, D-0363"),
    ("F13", "part marks and mass of the bulkhead", "photos T-0516, D-0516"),
    ("F14", "part marks and masses of both wing doors", "photos T-0398, D-0398"),
    ("F16", "part marks and masses of both mirrors", "photos T-1527, D-1527"),
    ("F21", "part marks, teeth counted on one, masses of axle, drive unit and inverter", "photos T-0701, D-0701"),
    ("F22", "part marks and masses of discs, calipers and unit; the brake map is another", "photos T-0901, D-0901"),
    ("F31", "cells, modules and part marks; cell masses by sampling", "photos T-0601, D-0601"),
    ("F32", "part marks and masses of tray and fastening", "photos T-0615, D-0615"),
    ("F33", "lengths, cross-sections and masses of the cable runs", "photos T-1208, D-1208"),
    ("F42", "part marks and masses of the refrigerant circuit and the air unit", "photos T-1137, D-1137"),
    ("suspension and subframes", "part marks and masses of the front axle", "photos T-0801, D-0801"),
)

_PHOTO, _ROUTING, _CLIPS = "photo in place", "routing", "clip positions"
# Tags and words, who, tools, to be recorded, recorded, status, note. The wheels are off before the axles come down.
_PLAN = (
    ("T-1606 loose items", "Ines", "tray", (_PHOTO,), (_PHOTO,), "removed", ""),
    ("T-1601 fluids", "Ruben", "recovery station, drain pans, bench scale", ("fluids weighed", "fill levels"),
     ("fluids weighed: sheet T-F1", "fill levels: photo T-0012"), "removed", "coolant, brake fluid and washer fluid kept apart"),
    ("T-1001 wheel assembly, all four", "Ines", "torque wrench", (_PHOTO, "breakaway torque"),
     (_PHOTO, "breakaway torque: sheet T-T1"), "removed", ""),
    ("T-1701 cross-beam and T-1706 ball neck of the towing preparation", "Ines", "hex 18", (_PHOTO, "clearances"),
     (_PHOTO, "clearances"), "removed", ""),
    ("T-0363 sliding door, right", "Ines", "door stand", (_PHOTO, "panel gaps", "door effort"),
     (_PHOTO, "panel gaps"), "removed", "effort gauge was out for calibration"),
    ("T-1501 front bumper", "Ruben", "T25, T30", (_PHOTO, _CLIPS), (_PHOTO, _CLIPS), "removed", ""),
    ("T-1518 underbody panels", "Ruben", "T25, from below", (_PHOTO, "covered area", "clearances"),
     (_PHOTO, "covered area: sheet T-A1", "clearances: sheet T-A1"), "removed", ""),
    ("T-1342 driver seat", "licensed person for pyrotechnics", "T50", (_PHOTO, "H-point"), (_PHOTO, "H-point"), "removed", ""),
    ("T-1358 double passenger seat", "licensed person for pyrotechnics", "T50", (_PHOTO,), (_PHOTO,), "removed", ""),
    ("T-0501 load floor", "Ruben", "T40, T50", (_PHOTO, "thickness"), (_PHOTO, "thickness"), "removed", ""),
    ("T-1208 cable runs, high voltage", "person qualified for high voltage", "insulated tools, string",
     (_PHOTO, _ROUTING, "length", _CLIPS, "clearances"), (_PHOTO, _ROUTING, "length", _CLIPS), "ready",
     "clearance to the rear axle at full travel still to be measured"),
    ("T-1101 cooling circuits", "Ruben", "hose-clamp pliers", (_PHOTO, _ROUTING, _CLIPS), (_PHOTO,), "planned", ""),
    ("T-1137 refrigerant circuit", "certified person for refrigerants", "recovery station",
     (_PHOTO, _ROUTING, "refrigerant weighed"), ("refrigerant weighed: sheet T-F2",), "planned", ""),
    ("T-0600 traction battery", "person qualified for high voltage", "lifting table, from below",
     (_PHOTO, "clearances", "breakaway torque", "lowest point"), ("lowest point: sheet T-H1",), "planned", "balance on the lift: plan T-L1"),
    ("T-0701 rear axle drive with leaf springs", "Ines", "lifting table, strap", (_PHOTO, "ride height", "alignment"),
     ("ride height: sheet T-H1", "alignment: sheet T-A2"), "planned", ""),
    ("T-0841 strut, front, left; T-0850 strut, front, right", "Ines", "spring compressor", (_PHOTO, "ride height"),
     ("ride height: sheet T-H1",), "planned", ""),
    ("T-1301 instrument panel", "licensed person for pyrotechnics", "T25, T30", (_PHOTO, _ROUTING, _CLIPS), (), "planned", ""),
)  # fmt: skip


def _claim(claim: str, sentence: str, quantity: str, vehicle: str, relation: str, threshold: float, unit: str,
           **columns: object) -> Row:  # fmt: skip
    return {
        "claim": claim, "sentence": sentence, "quantity": quantity, "vehicle": vehicle, "relation": relation,
        "threshold": threshold, "unit": unit, **{name.replace("_", " "): value for name, value in columns.items()},
    }  # fmt: skip


CLAIMS: list[Row] = [
    _claim("floor", "Whimbrel's load floor is at least 15 kg lighter.", "mass", "W", "less than", 15, "kg", other="T",
           function="F11", person="body engineer"),
    _claim("tray", "Turnstone's tray and its fastening are at least 5 kg heavier.", "mass", "T", "more than", 5, "kg", other="W",
           function="F32", person="battery engineer"),
    _claim("motor", "It is the motor: the drive axle alone costs Turnstone 10 km.", "effect on range", "T", "less than", -10,
           "km", other="W", function="F21", person="sales", note="what everybody says first"),
    _claim("brakes and bearings", "Turnstone's brakes and bearings drag more.", "drag torque", "T", "more than", 0, "N·m",
           other="W", person="test driver", note="a spin-down of all four corners of both vans would decide it"),
    _claim("cable", "The long cable costs Turnstone range.", "effect on range", "T", "less than", 0, "km", other="W",
           function="F33", person="electrical engineer"),
    _claim("door heavier", "Turnstone's sliding door is at least 8 kg heavier.", "mass", "T", "more than", 8, "kg", other="W",
           function="F12", person="body engineer"),
    _claim("door lighter", "Turnstone's sliding door is the lighter one.", "mass", "T", "less than", 0, "kg", other="W",
           function="F12", person="brochure", note="cannot hold together with: door heavier"),
    _claim("seats", "The seats weigh the same, within 200 g.", "mass", "T", "about", 0.2, "kg", other="W", function="F51",
           person="interior engineer"),
    _claim("tray screws", "Whimbrel holds its tray with fewer fasteners.", "fastener count", "W", "less than", 0, "1", other="T",
           function="F32", person="assembly planner"),
    _claim("sister axle", "Dotterel's drive axle is lighter than Turnstone's.", "mass", "D", "less than", 1, "kg", other="T",
           function="F21", person="press"),
]  # fmt: skip


def _equality() -> list[Row]:
    rows: list[Row] = []
    for name, unit, values, equal, note in _EQUALITY:
        for vehicle, value, judged in zip("WTD", values, ("", *equal), strict=True):
            unlike = judged == "no" or (judged == "yes" and value != values[0])
            rows.append(
                {"property": name, "vehicle": vehicle, "value": value, "unit": unit, "equal": judged, "note": note if unlike else ""}
            )
    return rows


def _content() -> list[Row]:
    """Rows of Whimbrel and Turnstone as in their own workbooks; Dotterel keeps its own sheet."""
    rows: list[Row] = [
        {**item.row(), "vehicle": van.letter} for van in (whimbrel.VAN, turnstone.VAN) for item in van.content
    ]
    return in_words(rows)


def _findings() -> list[Row]:
    same: list[Row] = [
        {"function": function, "finding": "same", "vehicles": "W; T", "what was compared": compared, "person": "Ines",
         "time": "2026-05-20", "evidence": evidence}
        for function, compared, evidence in _SAME
    ]  # fmt: skip
    carried: list[Row] = [
        {"function": function, "finding": "carried over", "vehicles": "D", "from": "T", "what was compared": compared,
         "person": "Ruben", "time": "2026-06-22", "evidence": evidence}
        for function, compared, evidence in _CARRIED
    ]  # fmt: skip
    return same + carried


def _plan() -> list[Row]:
    return [
        {"step": step, "vehicle": "T", "what": what, "who": who, "tools": tools, "record before removal": "; ".join(before),
         "recorded": "; ".join(recorded), "status": status, "note": note}
        for step, (what, who, tools, before, recorded, status, note) in enumerate(_PLAN, start=1)
    ]  # fmt: skip


def study_rows() -> dict[str, list[Row]]:
    """Return the rows of the study workbook by sheet."""
    return {
        "study": [
            {
                "study": "light-vans",
                "title": "Three light electric vans",
                "question": "Why does Turnstone not go as far as Whimbrel although its battery holds more?",
                "owner": "Ines",
                "note": "vans, makers, people and figures are invented",
            }
        ],
        "vehicles": VEHICLES,
        "equality": _equality(),
        "content": _content(),
        "assumptions": ASSUMPTIONS,
        "findings": _findings(),
        "strip plan": _plan(),
        "claims": CLAIMS,
    }
