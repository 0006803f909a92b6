"""One typical part for each process of forming, casting and treating metal: material, readings, steps before."""

from hoistbook.core.cost.engine import cost_parts
from hoistbook.core.cost.inputs import INPUTS
from hoistbook.core.cost.processes import PROCESSES
from hoistbook.core.cost.route import PartToCost, Step
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.reference.cost import packaged_scenario

# Made-up parts of the size of what the process usually makes for a road vehicle.
BRACKET = {
    "mass_kg": 0.35,
    "length_m": 0.18,
    "width_m": 0.10,
    "wall_thickness_m": 0.0025,
    "cut_length_m": 0.9,
}
PILLAR = {
    "mass_kg": 2.4, "width_m": 0.4, "projected_area_m2": 0.2, "wall_thickness_m": 0.0015, "cut_length_m": 3.2,
    "hole_count": 14.0, "cavity_count": 2.0,
}  # fmt: skip
FORGING = {
    "mass_kg": 2.2,
    "projected_area_m2": 0.018,
    "machined_volume_m3": 3e-5,
    "wall_thickness_max_m": 0.03,
}
SMALL = {**BRACKET, "mass_kg": 0.1, "length_m": 0.08, "width_m": 0.04, "surface_area_m2": 0.01}
LARGE = {**BRACKET, "surface_area_m2": 0.045}
PARTS = {
    "sheet_stamping": (
        "steel sheet, mild", BRACKET | {"hole_count": 6.0, "bend_count": 4.0, "bend_length_m": 0.3}, (),
    ),
    "press_hardening": ("steel sheet, press hardened", PILLAR, ()),
    "laser_trimming": ("steel sheet, press hardened", PILLAR, ("press_hardening",)),
    "roll_forming": (
        "steel sheet, high strength",
        {"mass_kg": 2.2, "length_m": 1.3, "wall_thickness_m": 0.0015, "bend_count": 4.0, "hole_count": 8.0}, (),
    ),
    "closed_die_forging": ("steel bar, forging", FORGING, ()),
    "extrusion": (
        "aluminium billet, 6082",
        {"mass_kg": 2.5, "tube_length_m": 1.0, "diameter_m": 0.12, "wall_thickness_m": 0.003}, (),
    ),
    "cut_and_bend": (
        "aluminium billet, 6082",
        {"mass_kg": 2.5, "tube_length_m": 1.0, "diameter_m": 0.12, "wall_thickness_m": 0.003, "hole_count": 4.0},
        ("extrusion",),
    ),
    "tube_bending": (
        "aluminium tube",
        {"mass_kg": 0.177, "diameter_m": 0.016, "tube_wall_m": 0.0015, "tube_length_m": 0.95, "bend_count": 6.0,
         "end_form_count": 2.0}, (),
    ),
    "hose_line_assembly": (
        "aluminium tube",
        {"mass_kg": 0.177, "diameter_m": 0.016, "tube_wall_m": 0.0015, "tube_length_m": 0.95, "bend_count": 6.0,
         "joint_count": 4.0, "connector_count": 2.0, "insert_count": 2.0}, ("tube_bending",),
    ),
    "high_pressure_die_casting": (
        "aluminium, die casting", {"mass_kg": 0.85, "projected_area_m2": 0.032, "wall_thickness_max_m": 0.006}, (),
    ),
    "permanent_mould_casting": (
        "aluminium, foundry",
        {"mass_kg": 3.5, "projected_area_m2": 0.07, "wall_thickness_max_m": 0.03, "slide_count": 2.0}, (),
    ),
    "sand_casting": (
        "ductile iron, charge",
        {"mass_kg": 4.5, "length_m": 0.3, "width_m": 0.2, "wall_thickness_max_m": 0.025}, (),
    ),
    "powder_metal": ("iron powder", {"mass_kg": 0.18, "projected_area_m2": 0.0016, "wall_thickness_m": 0.005}, ()),
    "heat_treatment": ("steel bar, forging", FORGING, ("closed_die_forging",)),
    "carburising": ("steel bar, case hardening", FORGING | {"case_depth_m": 0.0008}, ("closed_die_forging",)),
    "induction_hardening": ("steel bar, forging", FORGING | {"length_m": 0.25}, ("closed_die_forging",)),
    "electrocoat": ("steel sheet, mild", LARGE, ("sheet_stamping",)),
    "powder_coating": ("steel sheet, mild", LARGE, ("sheet_stamping",)),
    "zinc_plating": ("steel sheet, mild", SMALL, ("sheet_stamping",)),
    "zinc_flake": ("steel sheet, mild", SMALL, ("sheet_stamping",)),
    "anodising": (
        "aluminium sheet", {**LARGE, "mass_kg": 0.12}, ("sheet_stamping",),
    ),
}  # fmt: skip


def to_cost(name, choices=None, material="", **changed):
    """The typical part of a process as a part to cost, its last step being that process."""
    usual, readings, before = PARTS[name]
    stated = {
        one: Quantity(value, INPUTS[one].unit)
        for one, value in (readings | changed).items()
        if value is not None
    }
    steps = (*(Step(one) for one in before), Step(name, choices or {}))
    return PartToCost(name, name, material or usual, stated, steps)


def costed(name, choices=None, material="", scenario=None, **changed):
    """Cost of the typical part without bands; an error where it is refused."""
    found = cost_parts(
        [to_cost(name, choices, material, **changed)], scenario or packaged_scenario(), PROCESSES, 0
    )
    assert not found.refused, found.refused
    return found.parts[name]


def refused(name, choices=None, material="", **changed):
    """Why the part is refused; empty where it is costed."""
    found = cost_parts([to_cost(name, choices, material, **changed)], packaged_scenario(), PROCESSES, 0)
    return found.refused.get(name, "")
