"""Dotterel, maker Tarrock: Turnstone's sister on the same platform. Only what differs is written here.

Its tree is Turnstone's with the branches of `DROPPED` left out and those of `CHANGED` put in their place. A part that
was carried over keeps its number (T-0511 is D-0511) and its true mass; parts of its own are numbered from D-2001.
"""

from __future__ import annotations

import copy

from van_data import sources as s
from van_data import turnstone
from van_data.tree import Part, parse
from van_data.van import DUTY, Corners, Effect, Item, Said, Van
from van_data.weighing import Repeats, find

DROPPED = (
    "Towing preparation",
    "Cabin/Double passenger seat",
)
CHANGED = {
    "Load space/Load floor": """
Load floor | fn F11 | sys IN06 | whole
  Plywood panel, front | 9.46 kg | ~birch plywood 12 mm, coated | thickness 12.0 mm
  Plywood panel, rear | 8.82 kg | ~birch plywood 12 mm, coated
  Floor member | 4 x 2.38 kg | ~steel 2.0 mm, top hat | length 1.304 m
  * 16 M8x25 T40 | torque 22 | from above
  Spacer strip | 4 x 0.214 kg | bond 1.26 m | ~EPDM
  Captive nut M8 | 22 x 9.3 g | fastener | clip 1 | ~spring steel
  * 22 M8x30 T40 | torque 22 | from above
  Edge profile, rear | 1.36 kg | ~steel 1.5 mm
  Edge profile, side door | 0.94 kg | ~steel 1.5 mm
  Tie-down ring | 6 x 0.511 kg | ~steel, forged
  * 6 M10x25 T50 | torque 55 | from above
  Joint strip, middle | 0.52 kg | ~aluminium checker 2 mm
  * 8 tap6 T25 | from above
  Sealing bead, floor edge | 0.34 kg | ~butyl | part
""",
    "Load space/Side lining": """
Side lining
  Lining panel, lower | LR | 2.77 kg | ~PP honeycomb 4 mm
  * 24 push | from inside
  Wheel-arch box | LR | 1.72 kg | ~PP 3.0 mm
  * 10 push
  Lashing rail | LR | 1.39 kg | ~steel 1.5 mm
  * 10 M6x20 T30 | torque 10
  Step edge, side door | 0.94 kg | ~aluminium checker 2 mm
  * 5 M6x20 T30
""",
    "Wheels and tyres/Wheel assembly": """
Wheel assembly | x 4 | open 1 | whole
  Rim, 6.0Jx15 steel | 7.68 kg | sys WT01 | ~steel 3.0 mm
  Tyre, 195/70 R15C | 9.42 kg | sys WT02 | ~rubber, steel cord, load-rated
  Valve with pressure sensor | 0.038 kg | sys WT01 | press
  Balance weight | 2 x 0.022 kg | clip 1 | ~zinc
  Wheel cover | 0.462 kg | clip 8 | ~ABS
""",
    "Low-voltage electrical/Controllers": """
Controllers | fn F34 | sys EE03
  Zone controller, front | 0.92 kg | ~aluminium, FR4
  * 4 M6x16 T30
  Zone controller, rear | 0.78 kg | ~aluminium, FR4
  * 4 M6x16 T30
  Drive controller | 0.72 kg | sys EE04 | ~aluminium, FR4
  * 4 M5x16 T25
  Charge controller | 0.46 kg | sys EE04 | ~aluminium, FR4
  * 4 M5x16 T25
  Fuse box, front | 0.94 kg
  * 3 M6x20 T30
  Telematics unit | 0.31 kg | sys EE04
  * 2 M5x16 T25
""",
    "Exterior/Underbody panels": """
Underbody panels | fn F15 | sys EX04
  Panel, under front end | 2.24 kg | ~PP-GF fleece
  * 10 tap6 T25 | from below
  Panel, side, behind front wheel | LR | 1.36 kg | ~PP-GF fleece
  * 16 push | from below
  Wheelhouse liner, front | LR | 1.28 kg | ~PP 2.0 mm
  * 18 push
  Wheelhouse liner, rear | LR | 1.08 kg | ~PP 2.0 mm
  * 14 push
  Wheel deflector, front | LR | 0.13 kg | ~TPO
  * 6 tap5 T20
""",
}
ADDED = {
    "Cabin": """
Passenger seat | fn F51 | sys SE01 | whole
  Seat frame, back | 6.12 kg | ~steel, high strength
  Seat frame, cushion | 5.46 kg | ~steel, high strength
  * 4 M8x20 T40 | torque 24
  Seat track pair | 4.62 kg | ~steel
  * 4 M10x25 T50 | torque 45 | from inside
  Foam set | 2.84 kg | ~PUR
  Cover set | 1.24 kg | clip 22 | ~PES fabric
  Headrest | 0.92 kg | press
  Seat trim | 0.58 kg | ~PP
  * 5 tap5 T20
  Seat loom | 0.18 kg | ~copper, PVC
  * 3 tie
Shelf beside passenger seat | sys IN02
  Shelf tray | 1.86 kg | ~PP-LGF20
  * 6 tap6 T25
  Shelf bracket | 2 x 0.52 kg | ~steel 1.5 mm
  * 4 M8x20 T40
""",
}
OWN_NUMBERS_FROM = 2001
WEIGHED_HERE = ("Roof loom",)
"""Parts that nobody weighed on Turnstone and that were weighed on Dotterel: of the three vans, it is complete."""

TRUTH = {
    **turnstone.TRUTH,
    "tyre_coefficient": (8.22, "N/kN"),
    "drag_area": (1.250, "m2"),
    "drag_torque": (8.6, "N·m"),
    "drag_force_b": (0.40, "N·s/m"),
    "wheel_radius": (320.0, "mm"),
    "return_share": (63.0, "%"),
    "cut_in_low": (7.0, "km/h"),
    "cut_in_full": (14.0, "km/h"),
    "accessory_power": (376.0, "W"),
    "pack_voltage": (366.0, "V"),
    "pack_resistance": (80.0, "mohm"),
    "usable_energy": (54.90, "kWh"),
    "charging_efficiency": (88.2, "%"),
}

FACTS = (
    Said("range", "measured", 3.2, +0.1, 1, s.ROLLER, 1.9, +0.1, duty=DUTY,
         evidence="log D-dyno-01", note="full to empty, 23 °C, cabin off"),
    Said("consumption", "measured", 2.8, -0.1, 1, s.ROLLER, 1.6, -0.1, duty=DUTY,
         evidence="log D-charge-01", note="wall energy of the recharge after the range test"),
    Said("rotating_share", "assumed", 0.5, 0.0, 1, s.INERTIA, 0.4,
         note="usual figure for road-load work; not measured"),
    Said("road_load_a", "published", 5.0, +0.1, 1, evidence="maker's certificate, p. 3",
         note="coast-down at the test mass, drive unit turning: tyres, brakes, bearings and its spin loss in one figure"),
    Said("road_load_b", "published", 0.20, -0.2, 2, evidence="maker's certificate, p. 3"),
    Said("road_load_c", "published", 0.016, +0.2, 4, evidence="maker's certificate, p. 3"),
    Said("wheel_radius", "measured", 1.5, +0.1, 1, evidence="ten turns rolled on the floor"),
    Said("gear_ratio", "measured", 0.0, 0.0, 2, evidence="type plate as on Turnstone; teeth not counted again"),
    Said("gear_efficiency", "assumed", 0.5, 0.0, 1, s.GEAR_MESH, 0.5),
    Said("gear_efficiency_back", "assumed", 0.5, 0.0, 1, s.GEAR_MESH, 0.5),
    Said("loss_c0", "inferred", 24.0, +0.2, 0, s.LOSS_LOGS, 14.0, +0.1, evidence="same unit as Turnstone; not logged"),
    Said("loss_k1", "inferred", 0.013, -0.1, 4, s.LOSS_LOGS, 0.006, +0.1, evidence="same unit as Turnstone; not logged"),
    Said("loss_k2", "inferred", 0.20, +0.1, 2, s.LOSS_LOGS, 0.12, +0.1, evidence="same unit as Turnstone; not logged"),
    Said("loss_k3", "inferred", 1.5e-7, +0.1, 8, s.LOSS_LOGS, 0.8e-7, +0.1, evidence="same unit as Turnstone; not logged"),
    Said("return_share", "inferred", 3.0, +0.1, 1, s.BRAKE_LOGS, 1.5, +0.1, evidence="log D-dyno-01, bus channels"),
    Said("cut_in_low", "inferred", 1.5, +0.1, 1, s.BRAKE_LOGS, 0.8, +0.1, evidence="log D-dyno-01, bus channels"),
    Said("cut_in_full", "inferred", 2.0, -0.1, 1, s.BRAKE_LOGS, 0.8, +0.1, evidence="log D-dyno-01, bus channels"),
    Said("regen_power_cap", "published", 2.0, 0.0, 0, evidence="maker's data sheet, rev. 1"),
    Said("regen_torque_cap", "assumed", 20.0, 0.0, 0, note="as on Turnstone"),
    Said("accessory_power", "measured", 7.0, +0.1, 0, s.ANALYSER, 2.4, +0.1, duty=DUTY,
         evidence="log D-stand-01", note="ready to drive, standing still, cabin off, pumps as in the cycle"),
    Said("pack_voltage", "measured", 1.0, +0.1, 1, evidence="log D-discharge-01, half full"),
    Said("pack_resistance", "measured", 4.5, -0.1, 1, evidence="log D-discharge-01, 10 s pulses, 25 °C"),
    Said("usable_energy", "measured", 0.32, -0.1, 2, s.ANALYSER, 0.17, +0.1, evidence="log D-discharge-01",
         note="full to empty at the terminals, own loss of the pack added"),
    Said("charging_efficiency", "measured", 0.9, +0.1, 1, s.ANALYSER, 0.3, +0.1, evidence="log D-charge-01, 11 kW"),
)  # fmt: skip

APPROACHES = {
    **{code: text for code, text in turnstone.APPROACHES.items() if code != "F24"},
    "F11": "coated plywood, 12 mm, screwed to four members; carried over but for one member",
    "F15": "panel under the front end, panels behind the front wheels, wheel deflectors, liners",
    "F22": "brakes carried over; new blending sends more to the rear axle",
    "F23": "steel wheels 6.0J×15, load-rated tyres 195/70 R15C",
    "F34": "two zone controllers, separate drive and charge controllers, one fuse box",
    "F51": "two single seats and a shelf",
}

EFFECTS = (
    Effect("F23", "tyre_coefficient", 7.95, "N/kN", 0.30, "published", "label class of the tyres fitted"),
    Effect("F21", "tyre_coefficient", 0.15, "N/kN", 0.09, "inferred", "rear toe 8′ out, alignment sheet D-A1"),
    Effect("F23", "drag_area", 0.062, "m2", 0.006, "inferred", "wheel covers closed", s.AIRFLOW, 0.010),
    Effect("F16", "drag_area", 0.052, "m2", 0.005, "inferred", "same mirrors as Turnstone", s.AIRFLOW, 0.006),
    Effect("F15", "drag_area", 0.062, "m2", 0.010, "inferred", "open underbody 3.1 m²", s.AIRFLOW, 0.012),
    Effect("F12", "drag_area", 0.009, "m2", 0.003, "assumed", "same rails as Turnstone"),
    Effect("F41", "drag_area", 0.016, "m2", 0.004, "inferred", "same grille as Turnstone", s.AIRFLOW, 0.004),
    Effect("F22", "drag_torque", 2.7, "N·m", 0.7, "assumed", "same brakes as Turnstone", s.SPIN_DOWN, 0.4),
    Effect("F21", "drag_torque", 4.2, "N·m", 0.9, "assumed", "same axle as Turnstone", s.SPIN_DOWN, 0.7),
    Effect("F21", "loss_c0", 203.0, "W", 22.0, "inferred", "same unit as Turnstone", s.LOSS_LOGS, 14.0),
    Effect("F21", "loss_k1", 0.106, "W/(N·m)2", 0.012, "inferred", "same unit as Turnstone", s.LOSS_LOGS, 0.006),
    Effect("F21", "gear_ratio", 10.12, "1", 0.0, "measured", "type plate as on Turnstone"),
    Effect("F23", "wheel_radius", 320.1, "mm", 1.5, "measured", "ten turns rolled on the floor"),
    Effect("F22", "return_share", 62.0, "%", 3.0, "inferred", "brake map read from log D-dyno-01", s.BRAKE_LOGS, 1.5),
    Effect("F22", "cut_in_low", 7.0, "km/h", 1.5, "inferred", "log D-dyno-01", s.BRAKE_LOGS, 0.8),
    Effect("F22", "cut_in_full", 14.1, "km/h", 2.0, "inferred", "log D-dyno-01", s.BRAKE_LOGS, 0.8),
    Effect("F41", "accessory_power", 104.0, "W", 5.0, "measured", "log D-stand-01, pump fuses pulled", s.ANALYSER, 1.0),
    Effect("F34", "accessory_power", 194.0, "W", 7.0, "measured", "log D-stand-01, clamp on the supply", s.ANALYSER, 1.5),
    Effect("F33", "pack_resistance", 5.6, "mohm", 0.4, "measured", "100 A drop over the runs and their connectors"),
    Effect("F31", "pack_resistance", 70.0, "mohm", 4.5, "measured", "log D-discharge-01, module taps"),
    Effect("F31", "usable_energy", 54.85, "kWh", 0.32, "inferred", "200 cells × 293 Wh × window of 93.6 %"),
)  # fmt: skip

CONTENT = (
    Item("tie-down rings", "six rings; Whimbrel has four", "strip", "mass", 1.1, "kg", 0.02, "F11", "two rings and their screws"),
    Item("passenger bench", "single seat and shelf; the others have a double bench", "add", "mass", 4.9, "kg", 0.1, "F51",
         "bench as weighed on Turnstone, less seat and shelf"),
    Item("upper side lining", "two upper lining panels are missing", "add", "mass", 3.9, "kg", 0.1, "",
         "as weighed on Turnstone"),
)  # fmt: skip


def _branches(text: str) -> list[Part]:
    return parse(text, "").children


def build(sister: Part) -> tuple[Part, dict[str, str]]:
    """Return Dotterel's numbered tree and, by tag, the note that says which parts were carried over."""
    root = copy.deepcopy(sister)
    root.name = "Dotterel"
    for part in root.walk():
        part.tag = part.tag.replace("T-", "D-")
        part.whole_off_g = 0.0
    for path in WEIGHED_HERE:
        find(root, path).known_by = "weighed"
    for path in DROPPED:
        part = find(root, path)
        part.above().children.remove(part)
    fresh: list[Part] = []
    for path, text in CHANGED.items():
        old = find(root, path)
        (new,) = _branches(text)
        _keep_numbers(old, new, fresh)
        new.parent = old.above()
        siblings = new.parent.children
        siblings[siblings.index(old)] = new
    for path, text in ADDED.items():
        above = find(root, path)
        for new in _branches(text):
            new.parent = above
            above.children.append(new)
            fresh += list(new.walk())
    for number, part in enumerate(fresh, start=OWN_NUMBERS_FROM):
        part.tag = f"D-{number}"
    own = {part.tag for part in fresh}
    carried = {
        part.tag: f"carried over: {part.tag.replace('D-', 'T-')}"
        for part in root.walk()
        if part.tag not in own and not part.children
    }
    return root, carried


def _keep_numbers(old: Part, new: Part, fresh: list[Part]) -> None:
    """Parts of a changed branch that are the old ones keep their numbers: same name and same mass of one piece."""
    spare: dict[tuple[str, float | None], list[Part]] = {}
    for part in old.walk():
        spare.setdefault((part.name, part.mass_kg), []).append(part)
    for part in new.walk():
        twins = spare.get((part.name, part.mass_kg), [])
        if twins:
            part.tag = twins.pop(0).tag
        else:
            fresh.append(part)


VAN = Van(
    letter="D",
    identity={
        "code": "D", "name": "Dotterel", "maker": "Tarrock", "family": "tarrock-platform-2", "model year": 2026,
        "VIN": "0TKD15R07TB000387", "delivered": "2026-04-02", "note": "invented; panel van, one sliding door, 27 km on arrival",
    },
    configuration={
        "configuration": "D-15", "wheels": "6.0J×15 steel, 195/70 R15C", "options": "single passenger seat with shelf",
        "note": "as delivered",
    },
    truth=TRUTH,
    residual=0.998,
    hidden_kg=1.32,
    corners=Corners("rear", 0.478, 0.503, 0.641, 2.790, 1.520, 12.0, 0.313),
    facts=FACTS,
    approaches=APPROACHES,
    absent={"F24": "no towing preparation"},
    shares=turnstone.VAN.shares,
    content=CONTENT,
    effects=EFFECTS,
    repeats=(Repeats("Axle beam/Hub with bearing, left", (0.0,)),),
    together=turnstone.VAN.together,
    correction=("Brake actuation/Brake unit, electro-hydraulic", 5900.0, "digits swapped when typed; photo shows 5090"),
    heights=(("Traction battery/Pack tray", 186.0, "drain plug, lowest point; at ride height"),),
    approach_readings=(
        ("F33", "length", 6.205, "m", "both runs, junction box to inverter, between lugs"),
        ("F15", "area", 2.48, "m2", "panels and liners, projected"),
    ),
    start="2026-06-15 07:30",
    mark="TK2",
)  # fmt: skip
