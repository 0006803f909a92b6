"""The causes a gap in range or consumption can have: a partition of the vehicle's coordinates.

The list is fixed with a study before its results are seen; grouping matters to the shares.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Cause:
    """One cause: the energy parameters it owns, and the measurement that sets it apart from its neighbours."""

    name: str
    words: str
    fields: tuple[str, ...]
    separate_by: str


MASS = Cause(
    "mass",
    "mass",
    ("test_mass_kg", "rotating_frac"),
    "weigh both vehicles on corner scales in the same mass state",
)
TYRES = Cause(
    "tyres",
    "tyre coefficient",
    ("tyre_coefficient",),
    "tyre drum test, or the label class of the tyres fitted; wheel spin-down gives the rest of the drag",
)
DRAG_AREA = Cause(
    "drag_area",
    "drag area",
    ("drag_area_m2",),
    "coast-down from motorway speed both ways, or a wind-tunnel figure for this body",
)
DRAG_FORCE = Cause(
    "drag_force",
    "drag force and torque",
    ("drag_force_n", "drag_force_b_n_s_per_m", "drag_force_c_n_s2_per_m2"),
    "wheel spin-down on the hoist: drag torque of brakes, bearings and gears per corner",
)
DRIVE_UNIT = Cause(
    "drive_unit",
    "drive-unit losses",
    (
        "wheel_radius_m",
        "gear_ratio",
        "gear_efficiency_frac",
        "gear_efficiency_back_frac",
        "loss_c0_w",
        "loss_k1",
        "loss_k2",
        "loss_k3",
    ),
    "four or more points of drive-unit loss: high torque at low speed and low torque at high speed",
)
RECUPERATION = Cause(
    "recuperation",
    "recuperation",
    (
        "return_frac",
        "cut_in_low_m_per_s",
        "cut_in_full_m_per_s",
        "regen_power_cap_w",
        "regen_torque_cap_n_m",
        "adhesion_frac",
        "driven_load_frac",
        "load_transfer",
    ),
    "pack current and wheel speed logged over one braking cycle",
)
AUXILIARIES = Cause(
    "auxiliaries",
    "auxiliaries",
    ("accessory_power_w",),
    "pack power standing still, ready to drive, cabin off",
)
BATTERY = Cause(
    "usable_energy",
    "usable battery energy",
    ("usable_energy_j", "pack_voltage_v", "pack_resistance_ohm"),
    "full discharge at the pack's terminals with a current pulse for its resistance",
)
CHARGING = Cause(
    "charging",
    "charging",
    ("charging_efficiency_frac",),
    "wall meter and pack meter over one full charge",
)
LABEL = Cause("label", "label factor", ("label_factor_frac",), "the factor printed in the certificate")

CAUSES: tuple[Cause, ...] = (
    MASS,
    TYRES,
    DRAG_AREA,
    DRAG_FORCE,
    DRIVE_UNIT,
    RECUPERATION,
    AUXILIARIES,
    BATTERY,
    CHARGING,
    LABEL,
)
"""In the order of the bits of a coalition; the residual of the model follows as the last player."""

RESIDUAL = "not_explained"
RESIDUAL_WORDS = "not explained yet"

CAUSE_OF_FIELD: dict[str, str] = {field: cause.name for cause in CAUSES for field in cause.fields}

NATURAL_STEP: dict[str, float] = {
    "test_mass_kg": 1.0,
    "rotating_frac": 1e-4,
    "tyre_coefficient": 1e-5,
    "drag_area_m2": 1e-3,
    "drag_force_n": 0.1,
    "drag_force_b_n_s_per_m": 1e-2,
    "drag_force_c_n_s2_per_m2": 1e-3,
    "wheel_radius_m": 1e-4,
    "gear_ratio": 1e-3,
    "gear_efficiency_frac": 1e-4,
    "gear_efficiency_back_frac": 1e-4,
    "loss_c0_w": 1.0,
    "loss_k1": 1e-4,
    "loss_k2": 1e-3,
    "loss_k3": 1e-9,
    "return_frac": 1e-4,
    "cut_in_low_m_per_s": 1e-2,
    "cut_in_full_m_per_s": 1e-2,
    "regen_power_cap_w": 100.0,
    "regen_torque_cap_n_m": 1.0,
    "adhesion_frac": 1e-4,
    "driven_load_frac": 1e-4,
    "load_transfer": 1e-4,
    "accessory_power_w": 1.0,
    "usable_energy_j": 1e4,
    "pack_voltage_v": 0.1,
    "pack_resistance_ohm": 1e-4,
    "charging_efficiency_frac": 1e-4,
    "label_factor_frac": 1e-4,
}
"""Half width of the central difference that gives the slope along each coordinate: small against any real difference
between vehicles, large against rounding. A numerical setting, not a physical constant."""
