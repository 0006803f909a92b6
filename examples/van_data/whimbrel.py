"""Whimbrel, maker Sandling: the first van of the demo study."""

from __future__ import annotations

from van_data import sources as s
from van_data.van import DUTY, Corners, Effect, Item, Said, Van
from van_data.weighing import Repeats

TRUTH = {
    "rotating_share": (3.0, "%"),
    "tyre_coefficient": (7.60, "N/kN"),
    "drag_area": (1.213, "m2"),
    "drag_torque": (7.4, "N·m"),
    "wheel_radius": (310.0, "mm"),
    "gear_ratio": (9.61, "1"),
    "gear_efficiency": (97.5, "%"),
    "gear_efficiency_back": (97.5, "%"),
    "loss_c0": (185.0, "W"),
    "loss_k1": (0.100, "W/(N·m)2"),
    "loss_k2": (1.90, "W·s/rad"),
    "loss_k3": (6.0e-7, "W·s3/rad3"),
    "return_share": (71.0, "%"),
    "cut_in_low": (5.0, "km/h"),
    "cut_in_full": (12.0, "km/h"),
    "regen_power_cap": (60.0, "kW"),
    "regen_torque_cap": (180.0, "N·m"),
    "accessory_power": (318.0, "W"),
    "pack_voltage": (352.0, "V"),
    "pack_resistance": (70.0, "mohm"),
    "usable_energy": (52.00, "kWh"),
    "charging_efficiency": (88.8, "%"),
}

FACTS = (
    Said("range", "measured", 3.2, -0.1, 1, s.ROLLER, 1.9, +0.1, duty=DUTY,
         evidence="log W-dyno-03", note="full to empty, 23 °C, cabin off"),
    Said("consumption", "measured", 2.6, -0.2, 1, s.ROLLER, 1.5, -0.1, duty=DUTY,
         evidence="log W-charge-03", note="wall energy of the recharge after the range test"),
    Said("rotating_share", "assumed", 0.5, 0.0, 1, s.INERTIA, 0.4,
         note="usual figure for road-load work; not measured"),
    Said("tyre_coefficient", "measured", 0.20, +0.2, 2, s.DRUM, 0.15, +0.1, evidence="drum report R1-118",
         note="195/65 R15, 2.6 bar, load of the test mass"),
    Said("drag_area", "published", 0.024, +0.1, 3, s.TUNNEL, 0.020, +0.1, evidence="maker's press file, p. 14"),
    Said("drag_torque", "assumed", 2.4, -0.2, 1, s.SPIN_DOWN, 1.5,
         note="brakes, bearings and gears of comparable vans; spin-down not done"),
    Said("wheel_radius", "measured", 1.5, +0.3, 1, evidence="ten turns rolled on the floor"),
    Said("gear_ratio", "measured", 0.0, 0.0, 2, evidence="teeth counted: photo W-0712"),
    Said("gear_efficiency", "assumed", 0.5, 0.0, 1, s.GEAR_MESH, 0.5),
    Said("gear_efficiency_back", "assumed", 0.5, 0.0, 1, s.GEAR_MESH, 0.5),
    Said("loss_c0", "inferred", 18.0, -0.3, 0, s.LOSS_LOGS, 14.0, +0.1, evidence="log W-dyno-02, steady speeds"),
    Said("loss_k1", "inferred", 0.010, +0.2, 4, s.LOSS_LOGS, 0.006, +0.1, evidence="log W-dyno-02, hill climb"),
    Said("loss_k2", "inferred", 0.16, +0.1, 2, s.LOSS_LOGS, 0.12, +0.1, evidence="log W-dyno-02, steady speeds"),
    Said("loss_k3", "inferred", 1.5e-7, -0.2, 8, s.LOSS_LOGS, 0.8e-7, +0.1, evidence="log W-dyno-02, steady speeds"),
    Said("return_share", "inferred", 2.6, +0.2, 1, s.BRAKE_LOGS, 1.5, +0.1, evidence="log W-dyno-03, bus channels"),
    Said("cut_in_low", "inferred", 1.5, -0.2, 1, s.BRAKE_LOGS, 0.8, +0.1, evidence="log W-dyno-03, bus channels"),
    Said("cut_in_full", "inferred", 2.0, +0.1, 1, s.BRAKE_LOGS, 0.8, +0.1, evidence="log W-dyno-03, bus channels"),
    Said("regen_power_cap", "published", 2.0, 0.0, 0, evidence="maker's press file, p. 9"),
    Said("regen_torque_cap", "inferred", 15.0, +0.3, 0, evidence="log W-dyno-03, bus channels"),
    Said("accessory_power", "measured", 6.0, +0.2, 0, s.ANALYSER, 2.0, +0.1, duty=DUTY,
         evidence="log W-stand-01", note="ready to drive, standing still, cabin off, pumps as in the cycle"),
    Said("pack_voltage", "measured", 1.0, +0.2, 1, evidence="log W-discharge-01, half full"),
    Said("pack_resistance", "measured", 4.0, -0.2, 1, evidence="log W-discharge-01, 10 s pulses, 25 °C"),
    Said("usable_energy", "measured", 0.30, -0.2, 2, s.ANALYSER, 0.16, +0.1, evidence="log W-discharge-01",
         note="full to empty at the terminals, own loss of the pack added"),
    Said("charging_efficiency", "measured", 0.9, +0.1, 1, s.ANALYSER, 0.3, +0.1, evidence="log W-charge-03, 11 kW"),
)  # fmt: skip

APPROACHES = {
    "F11": "bonded sandwich panel on three hat sections, 12 screws at the edges",
    "F12": "one carrying rail at the waist and a guide arm below; one-piece inner ring",
    "F13": "pressed panel with a window, acoustic mat",
    "F14": "two glazed wing doors, 180 degrees",
    "F15": "closed front end, panels behind the front wheels and behind the pack, fleece liners",
    "F16": "single-glass mirrors on a short foot",
    "F21": "front drive unit with the inverter on it; twist beam and coil springs at the rear",
    "F22": "discs in front, drums behind; electro-hydraulic unit blends down to 5 km/h",
    "F23": "steel wheels 6.0J×15, tyres 195/65 R15",
    "F31": "twelve modules of sixteen prismatic cells, sensing flex",
    "F32": "extruded tray, 22 bolts through cast lugs",
    "F33": "2.9 m of aluminium cable, 50 mm²: pack to the drive unit in front of it",
    "F34": "two zone controllers and one vehicle computer",
    "F41": "one circuit, one pump and one multi-way valve block",
    "F42": "single loop with chiller, resistance heater in the air unit",
    "F51": "driver's seat and double passenger bench",
}

EFFECTS = (
    Effect("F23", "tyre_coefficient", 7.50, "N/kN", 0.20, "measured", "drum report R1-118", s.DRUM, 0.15),
    Effect("F21", "tyre_coefficient", 0.04, "N/kN", 0.05, "inferred", "rear toe 2′, alignment sheet W-A2"),
    Effect("F23", "drag_area", 0.062, "m2", 0.006, "inferred", "wheel covers closed", s.AIRFLOW, 0.010),
    Effect("F16", "drag_area", 0.041, "m2", 0.004, "inferred", "frontal area 0.092 m², outline photo W-1538", s.AIRFLOW, 0.006),
    Effect("F15", "drag_area", 0.052, "m2", 0.009, "inferred", "open underbody 2.1 m²", s.AIRFLOW, 0.012),
    Effect("F12", "drag_area", 0.004, "m2", 0.002, "assumed", "one rail under a cover"),
    Effect("F41", "drag_area", 0.018, "m2", 0.004, "inferred", "grille opening 0.071 m²", s.AIRFLOW, 0.004),
    Effect("F22", "drag_torque", 2.2, "N·m", 0.6, "assumed", "pads 4 × 0.3, drums 4 × 0.25 N·m", s.SPIN_DOWN, 0.4),
    Effect("F21", "drag_torque", 3.4, "N·m", 0.8, "assumed", "gears, seals and bearings of the unit, at the wheels", s.SPIN_DOWN, 0.7),
    Effect("F21", "loss_c0", 178.0, "W", 16.0, "inferred", "log W-dyno-02", s.LOSS_LOGS, 14.0),
    Effect("F21", "loss_k1", 0.097, "W/(N·m)2", 0.009, "inferred", "log W-dyno-02", s.LOSS_LOGS, 0.006),
    Effect("F21", "gear_ratio", 9.61, "1", 0.0, "measured", "teeth counted: photo W-0712"),
    Effect("F23", "wheel_radius", 310.2, "mm", 1.5, "measured", "ten turns rolled on the floor"),
    Effect("F22", "return_share", 68.0, "%", 2.6, "inferred", "brake map read from log W-dyno-03", s.BRAKE_LOGS, 1.5),
    Effect("F22", "cut_in_low", 4.9, "km/h", 1.5, "inferred", "log W-dyno-03", s.BRAKE_LOGS, 0.8),
    Effect("F22", "cut_in_full", 12.1, "km/h", 2.0, "inferred", "log W-dyno-03", s.BRAKE_LOGS, 0.8),
    Effect("F41", "accessory_power", 58.0, "W", 4.0, "measured", "log W-stand-01, pump fuse pulled", s.ANALYSER, 1.0),
    Effect("F34", "accessory_power", 196.0, "W", 6.0, "measured", "log W-stand-01, clamp on the supply", s.ANALYSER, 1.5),
    Effect("F33", "pack_resistance", 2.1, "mohm", 0.2, "measured", "100 A drop over the runs and their connectors"),
    Effect("F31", "pack_resistance", 64.5, "mohm", 4.0, "measured", "log W-discharge-01, module taps"),
    Effect("F31", "usable_energy", 51.90, "kWh", 0.30, "inferred", "192 cells × 286 Wh × window of 94.5 %"),
)  # fmt: skip

CONTENT = (
    Item("bulkhead window", "window in the bulkhead; the others have a closed panel", "strip", "mass", 2.4, "kg", 0.1,
         "F13", "window, seal and the heavier frame"),
)  # fmt: skip

VAN = Van(
    letter="W",
    identity={
        "code": "W", "name": "Whimbrel", "maker": "Sandling", "family": "sandling-small-van", "model year": 2026,
        "VIN": "0SNW15F04TA000611", "delivered": "2026-03-16", "note": "invented; panel van, one sliding door, 31 km on arrival",
    },
    configuration={
        "configuration": "W-15", "wheels": "6.0J×15 steel, 195/65 R15", "options": "double passenger bench; bulkhead window",
        "note": "as delivered",
    },
    truth=TRUTH,
    residual=1.010,
    hidden_kg=3.38,
    corners=Corners("front", 0.552, 0.506, 0.628, 2.716, 1.508, 12.0, 0.304),
    facts=FACTS,
    approaches=APPROACHES,
    absent={"F24": "no towing preparation"},
    shares=(
        ("Cooling circuits/Multi-way valve block", "F41", 70),
        ("Cooling circuits/Multi-way valve block", "F42", 30),
        ("Cooling circuits/Fan with shroud", "F41", 60),
        ("Cooling circuits/Fan with shroud", "F42", 40),
    ),
    content=CONTENT,
    effects=EFFECTS,
    repeats=(
        Repeats("Load space/Load floor/Sandwich panel, front half", (0.0, 0.0)),
        Repeats("Subframe, front/Subframe", (190.0,), "second day; was the mud washed off? not settled"),
        Repeats("Steering gear/Rack with motor", (0.0,)),
    ),
    together=(
        (("Half shafts/Half shaft, left", "Half shafts/Half shaft, right"), "both shafts, boots on"),
        (("Anti-roll bar, front/Anti-roll bar", "Anti-roll bar, front/Clamp bracket"), "bar with its brackets"),
    ),
    correction=("Brake actuation/Pedal box", 2840.0, "digits swapped when typed; photo shows 2480"),
    heights=(("Traction battery/Pack tray", 214.0, "drain plug, lowest point; at ride height"),),
    approach_readings=(
        ("F33", "length", 2.904, "m", "both runs, pack to drive unit, between lugs"),
        ("F15", "area", 3.42, "m2", "panels and liners, projected"),
    ),
    start="2026-04-13 07:30",
    mark="SD1",
)  # fmt: skip
