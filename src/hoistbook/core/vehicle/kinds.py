"""The quantities a fact, measurement, content item or effect may speak of: one key, one SI unit, one meaning."""

from __future__ import annotations

import difflib
import re

from hoistbook.core.vehicle.part_kinds import PART_KINDS
from hoistbook.core.vehicle.quantity_kind import QuantityKind

__all__ = ["ACTING", "QUANTITY_KINDS", "QuantityKind", "field_words", "quantity_kind", "unit_text"]


_KINDS = (
    QuantityKind(
        "mass",
        "mass",
        "kg",
        "test_mass_kg",
        ("mass_state",),
        example_units=("kg", "g", "lb"),
        usual=(300.0, 10_000.0),
    ),
    QuantityKind(
        "corner_mass_front_left", "corner mass, front left", "kg", "", ("mass_state",), example_units=("kg",)
    ),
    QuantityKind(
        "corner_mass_front_right",
        "corner mass, front right",
        "kg",
        "",
        ("mass_state",),
        example_units=("kg",),
    ),
    QuantityKind(
        "corner_mass_rear_left", "corner mass, rear left", "kg", "", ("mass_state",), example_units=("kg",)
    ),
    QuantityKind(
        "corner_mass_rear_right", "corner mass, rear right", "kg", "", ("mass_state",), example_units=("kg",)
    ),
    QuantityKind(
        "lifted_front_mass", "front axle mass with the rear axle raised", "kg", example_units=("kg",)
    ),
    QuantityKind(
        "on_board_mass",
        "what stood in or on the vehicle when it was weighed, beyond curb",
        "kg",
        signed=True,
        example_units=("kg",),
    ),
    QuantityKind("vehicle_load", "maximum vehicle load of WLTP", "kg", example_units=("kg",)),
    QuantityKind(
        "wltp_load_share",
        "share of the vehicle load in the WLTP test mass (passenger cars 15 %, goods vans 28 %)",
        "1",
        example_units=("%", "1"),
    ),
    QuantityKind("lift_angle", "angle of the raised vehicle", "rad", example_units=("deg",)),
    QuantityKind("front_share", "share of the mass on the front axle", "1", example_units=("%", "1")),
    QuantityKind(
        "cg_behind_front_axle", "centre of gravity behind the front axle", "m", example_units=("mm", "m")
    ),
    QuantityKind(
        "cg_left_of_centre",
        "centre of gravity left of the middle plane",
        "m",
        signed=True,
        example_units=("mm", "m"),
    ),
    QuantityKind("cg_height", "centre of gravity above the ground", "m", example_units=("mm", "m")),
    QuantityKind("wheelbase", "wheelbase", "m", example_units=("mm", "m"), usual=(1.5, 6.0)),
    QuantityKind("track", "track width", "m", example_units=("mm", "m")),
    QuantityKind(
        "rotating_share",
        "rotating inertia as share of mass",
        "1",
        "rotating_frac",
        example_units=("%", "1"),
        usual=(0.005, 0.15),
    ),
    QuantityKind(
        "tyre_coefficient",
        "rolling resistance coefficient of the tyres",
        "1",
        "tyre_coefficient",
        example_units=("N/kN", "kg/t"),
        usual=(0.003, 0.02),
    ),
    QuantityKind(
        "drag_area", "drag area (Cd·A)", "m2", "drag_area_m2", example_units=("m2",), usual=(0.2, 12.0)
    ),
    QuantityKind(
        "drag_force",
        "drag force of brakes, bearings and gears at standstill speed",
        "N",
        "drag_force_n",
        signed=True,
        example_units=("N",),
    ),
    QuantityKind(
        "drag_torque",
        "drag torque of all wheels together (brakes, bearings, gears)",
        "N.m",
        signed=True,
        example_units=("N·m",),
        usual=(0.0, 100.0),
    ),
    QuantityKind(
        "drag_force_b",
        "speed-proportional part of the road load",
        "N.s/m",
        "drag_force_b_n_s_per_m",
        signed=True,
        example_units=("N/(m/s)", "N/(km/h)", "lbf/mph"),
    ),
    QuantityKind("road_load_a", "road load A", "N", signed=True, example_units=("N", "lbf")),
    QuantityKind(
        "road_load_b", "road load B", "N.s/m", signed=True, example_units=("N/(m/s)", "N/(km/h)", "lbf/mph")
    ),
    QuantityKind(
        "road_load_c", "road load C", "N.s2/m2", example_units=("N/(m/s)2", "N/(km/h)2", "lbf/mph2")
    ),
    QuantityKind(
        "wheel_radius",
        "rolling radius of the driven wheels",
        "m",
        "wheel_radius_m",
        example_units=("mm", "m"),
        usual=(0.2, 0.6),
    ),
    QuantityKind(
        "gear_ratio",
        "reduction between motor and wheel",
        "1",
        "gear_ratio",
        example_units=("1",),
        usual=(1.0, 30.0),
    ),
    QuantityKind(
        "gear_efficiency",
        "efficiency of the reduction, driving",
        "1",
        "gear_efficiency_frac",
        example_units=("%", "1"),
        usual=(0.5, 1.0),
    ),
    QuantityKind(
        "gear_efficiency_back",
        "efficiency of the reduction, braking",
        "1",
        "gear_efficiency_back_frac",
        example_units=("%", "1"),
        usual=(0.5, 1.0),
    ),
    QuantityKind("loss_c0", "drive-unit loss, constant part", "W", "loss_c0_w", example_units=("W",)),
    QuantityKind(
        "loss_k1", "drive-unit loss per torque squared", "W/(N.m)2", "loss_k1", example_units=("W/(N·m)2",)
    ),
    QuantityKind(
        "loss_k2", "drive-unit loss per shaft speed", "W.s/rad", "loss_k2", example_units=("W·s/rad",)
    ),
    QuantityKind(
        "loss_k3",
        "drive-unit loss per shaft speed cubed",
        "W.s3/rad3",
        "loss_k3",
        example_units=("W·s3/rad3",),
    ),
    QuantityKind(
        "return_share",
        "share of the braking force that goes to the drive unit (before its losses)",
        "1",
        "return_frac",
        example_units=("%", "1"),
        usual=(0.05, 1.0),
    ),
    QuantityKind(
        "cut_in_low",
        "speed below which nothing is recuperated",
        "m/s",
        "cut_in_low_m_per_s",
        example_units=("km/h", "m/s"),
        usual=(0.0, 15.0),
    ),
    QuantityKind(
        "cut_in_full",
        "speed above which recuperation is full",
        "m/s",
        "cut_in_full_m_per_s",
        example_units=("km/h", "m/s"),
        usual=(0.0, 15.0),
    ),
    QuantityKind(
        "regen_power_cap",
        "largest recuperated shaft power",
        "W",
        "regen_power_cap_w",
        example_units=("kW", "W"),
    ),
    QuantityKind(
        "regen_torque_cap",
        "largest recuperated shaft torque",
        "N.m",
        "regen_torque_cap_n_m",
        example_units=("N·m",),
    ),
    QuantityKind("adhesion", "usable grip of the driven tyres", "1", "adhesion_frac", example_units=("1",)),
    QuantityKind(
        "driven_load_share",
        "share of the weight on the driven axles at rest",
        "1",
        "driven_load_frac",
        example_units=("%", "1"),
    ),
    QuantityKind(
        "load_transfer",
        "height of the centre of gravity over wheelbase (front driven +, rear driven −, both 0)",
        "1",
        "load_transfer",
        signed=True,
        example_units=("1",),
    ),
    QuantityKind(
        "accessory_power",
        "accessory power",
        "W",
        "accessory_power_w",
        ("duty",),
        example_units=("W", "kW"),
        usual=(10.0, 1e4),
    ),
    QuantityKind(
        "pack_voltage",
        "open-circuit voltage of the pack",
        "V",
        "pack_voltage_v",
        example_units=("V",),
        usual=(40.0, 1_000.0),
    ),
    QuantityKind(
        "pack_resistance",
        "internal resistance of the pack",
        "ohm",
        "pack_resistance_ohm",
        example_units=("mohm", "ohm"),
        usual=(1e-3, 1.0),
    ),
    QuantityKind(
        "usable_energy",
        "usable battery energy",
        "J",
        "usable_energy_j",
        example_units=("kWh", "MJ"),
        usual=(3.6e6, 1.08e9),
    ),
    QuantityKind(
        "wall_energy", "wall energy of a full charge", "J", example_units=("kWh", "MJ"), usual=(3.6e6, 1.08e9)
    ),
    QuantityKind(
        "charging_efficiency",
        "share of the wall energy that reaches the cells",
        "1",
        "charging_efficiency_frac",
        example_units=("%", "1"),
        usual=(0.5, 1.0),
    ),
    QuantityKind(
        "label_factor",
        "label factor on range",
        "1",
        "label_factor_frac",
        example_units=("1",),
        usual=(0.4, 1.2),
    ),
    QuantityKind("range", "range", "m", "", ("duty",), example_units=("km", "mi"), usual=(1e4, 1.5e6)),
    QuantityKind(
        "consumption",
        "energy consumption at the wall",
        "J/m",
        "",
        ("duty",),
        example_units=("Wh/km", "kWh/100 km", "kWh/100 mi"),
        usual=(180.0, 5_400.0),
    ),
    QuantityKind("length", "length", "m", example_units=("mm", "m", "in")),
    QuantityKind("thickness", "thickness", "m", example_units=("mm",)),
    QuantityKind("area", "area", "m2", example_units=("m2", "cm2")),
    QuantityKind("torque", "torque", "N.m", example_units=("N·m", "lbf·ft")),
    QuantityKind("angle", "angle", "rad", signed=True, example_units=("deg", "mm/m")),
    QuantityKind("height", "height above ground", "m", example_units=("mm",)),
    QuantityKind("resistance", "electrical resistance", "ohm", example_units=("mohm",)),
    *PART_KINDS,
)
_ACTING_THROUGH = ("drag_torque",)  # acts on the drag force, through the wheel radius
ACTING: tuple[str, ...] = tuple(kind.key for kind in _KINDS if kind.field or kind.key in _ACTING_THROUGH)
"""Quantities that content can act on."""

QUANTITY_KINDS: dict[str, QuantityKind] = {kind.key: kind for kind in _KINDS}

_FIELD_WORDS = {kind.field: kind.words for kind in _KINDS if kind.field} | {
    "test_mass_kg": "test mass",
    "drag_force_c_n_s2_per_m2": "road load with speed squared that is not air",
    "gravity_m_per_s2": "gravity",
    "air_density_kg_per_m3": "air density",
}


_FORMER_WORDS = {"share of the braking energy at the wheels that is sent back": "return_share"}
"""Words of earlier versions: workbooks that were filled in then still read."""


def field_words(field: str) -> str:
    """Words of the trade for an energy parameter, e.g. "drag area (Cd·A)" for `drag_area_m2`."""
    return _FIELD_WORDS.get(field, field)


def unit_text(unit: str) -> str:
    """A unit as it is set in print: "N·s²/m²" for "N.s2/m2", "Ω" for "ohm", nothing for a pure number."""
    if unit == "1":
        return ""
    set_out = unit.replace(".", "·").replace("ohm", "Ω")
    return re.sub(r"(?<=[a-z)])[23](?!\d)", lambda found: "²³"[int(found[0]) - 2], set_out)


def quantity_kind(name: str) -> QuantityKind:
    """Look a quantity up by its key or its words.

    Raises
    ------
    LookupError
        There is no such quantity; the message lists the closest ones.

    Notes
    -----
    Case, surrounding blanks and the difference between blank and underscore do not matter.
    """
    wanted = name.strip().lower()
    wanted = _FORMER_WORDS.get(wanted, wanted)
    for kind in _KINDS:
        if wanted in (kind.key, kind.words.lower()) or wanted.replace(" ", "_") == kind.key:
            return kind
    close = difflib.get_close_matches(wanted.replace(" ", "_"), QUANTITY_KINDS, n=3, cutoff=0.5)
    hint = f"did you mean {', '.join(close)}?" if close else f"known quantities: {', '.join(QUANTITY_KINDS)}."
    msg = f"no quantity named {name!r}; {hint}"
    raise LookupError(msg)
