"""The energy parameters of a vehicle in a stated duty: one figure or many draws each."""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from hoistbook.core.arrays import Array

POSITIVE = frozenset(
    {
        "test_mass_kg",
        "gravity_m_per_s2",
        "air_density_kg_per_m3",
        "wheel_radius_m",
        "gear_ratio",
        "gear_efficiency_frac",
        "gear_efficiency_back_frac",
        "pack_voltage_v",
        "usable_energy_j",
        "charging_efficiency_frac",
        "label_factor_frac",
    }
)
"""Fields the chain divides by, or that are senseless at zero: positive in every draw."""

UP_TO_ONE = frozenset(
    {
        "gear_efficiency_frac",
        "gear_efficiency_back_frac",
        "return_frac",
        "driven_load_frac",
        "charging_efficiency_frac",
    }
)
"""Shares of energy or load: on average over the draws not above 1."""

SIGNED = frozenset({"drag_force_n", "drag_force_b_n_s_per_m", "drag_force_c_n_s2_per_m2", "load_transfer"})
"""Fields that may be negative."""

UNLIMITED = frozenset({"regen_power_cap_w", "regen_torque_cap_n_m", "adhesion_frac"})
"""Limits that may be infinite: no limit."""


@dataclass(frozen=True, slots=True, eq=False)
class EnergyParameters:
    """Everything the energy chain needs to know of a vehicle in its duty.

    Each field is a float, or an array with one entry per draw; all arrays broadcast against each other.

    Parameters
    ----------
    test_mass_kg : float or array
        Mass of the vehicle in the test. [kg]
    rotating_frac : float or array
        Inertia of the rotating parts as a share of the test mass. [1]
    tyre_coefficient : float or array
        Rolling resistance force of all tyres per weight. [N/N]
    drag_area_m2 : float or array
        Drag coefficient times frontal area. [m²]
    drag_force_n, drag_force_b_n_s_per_m, drag_force_c_n_s2_per_m2 : float or array
        What road load holds besides tyres and air: brakes, bearings, gears; constant, per speed, per speed squared.
        May be negative, since fitted road loads move force between their terms. [N, N·s/m, N·s²/m²]
    gravity_m_per_s2, air_density_kg_per_m3 : float or array
        Surroundings of the duty.
    wheel_radius_m, gear_ratio : float or array
        Rolling radius of the driven wheels [m]; motor turns per wheel turn [1].
    gear_efficiency_frac, gear_efficiency_back_frac : float or array
        Share of the power that passes the reduction in traction and in braking. [1]
    loss_c0_w, loss_k1, loss_k2, loss_k3 : float or array
        Drive-unit loss c0 + k1 T² + k2 ω + k3 ω³ at the motor shaft. [W, W/(N·m)², W·s/rad, W·s³/rad³]
    return_frac : float or array
        Share of the possible braking force that the driver's pedal and the brake blending send to the machine. [1]
    cut_in_low_m_per_s, cut_in_full_m_per_s : float or array
        Recuperation fades in between these speeds. [m/s]
    regen_power_cap_w, regen_torque_cap_n_m : float or array
        Largest recuperated power and torque at the motor shaft; infinite means no limit. [W, N·m]
    adhesion_frac : float or array
        Usable friction between driven wheels and ground; infinite means no limit. [1]
    driven_load_frac : float or array
        Share of the weight on the driven axles at rest. [1]
    load_transfer : float or array
        Height of the centre of gravity over the wheelbase: positive when the front axle is driven, negative when the
        rear is, 0 when both are. [1]
    accessory_power_w : float or array
        Drawn from the pack's terminals all the time. [W]
    pack_voltage_v, pack_resistance_ohm : float or array
        Open-circuit voltage and internal resistance; a resistance of 0 leaves the pack's own loss out. [V, ohm]
    usable_energy_j : float or array
        Energy from full to empty, at the terminals plus the pack's own I²R. [J]
    charging_efficiency_frac : float or array
        Cell energy per wall energy of a recharge. [1]
    label_factor_frac : float or array
        Stated range over test range; 1 without label adjustment. [1]

    Raises
    ------
    ValueError
        A field is not finite, a divisor is not positive, a share averages above 1, or another field averages below 0.

    Notes
    -----
    Divisors are checked in every draw, ranges on the mean of the draws: an error model may have tails that a single
    draw follows past a physical limit, and clipping them would shift the mean.

    Source
    ------
    first principles.
    """

    test_mass_kg: float | Array
    rotating_frac: float | Array
    tyre_coefficient: float | Array
    drag_area_m2: float | Array
    drag_force_n: float | Array
    drag_force_b_n_s_per_m: float | Array
    drag_force_c_n_s2_per_m2: float | Array
    gravity_m_per_s2: float | Array
    air_density_kg_per_m3: float | Array
    wheel_radius_m: float | Array
    gear_ratio: float | Array
    gear_efficiency_frac: float | Array
    gear_efficiency_back_frac: float | Array
    loss_c0_w: float | Array
    loss_k1: float | Array
    loss_k2: float | Array
    loss_k3: float | Array
    return_frac: float | Array
    cut_in_low_m_per_s: float | Array
    cut_in_full_m_per_s: float | Array
    regen_power_cap_w: float | Array
    regen_torque_cap_n_m: float | Array
    adhesion_frac: float | Array
    driven_load_frac: float | Array
    load_transfer: float | Array
    accessory_power_w: float | Array
    pack_voltage_v: float | Array
    pack_resistance_ohm: float | Array
    usable_energy_j: float | Array
    charging_efficiency_frac: float | Array
    label_factor_frac: float | Array

    def __post_init__(self) -> None:
        for name in FIELD_NAMES:
            _check_field(name, np.asarray(getattr(self, name), dtype=np.float64))
        low, full = np.asarray(self.cut_in_low_m_per_s), np.asarray(self.cut_in_full_m_per_s)
        if np.any(low > full):
            i = int(np.argmax(np.ravel(low > full)))
            msg = (
                f"draw {i}: cut_in_low_m_per_s = {_pick(low, low > full):g} m/s is above cut_in_full_m_per_s = "
                f"{_pick(full, low > full):g} m/s; recuperation fades in from the lower to the higher speed."
            )
            raise ValueError(msg)

    @property
    def shape(self) -> tuple[int, ...]:
        """Common shape of the fields: () for one vehicle, (n_draws,) for draws."""
        return np.broadcast_shapes(*(np.shape(getattr(self, name)) for name in FIELD_NAMES))

    @property
    def effective_mass_kg(self) -> Array:
        """Test mass with the inertia of the rotating parts. [kg]"""
        return np.asarray(np.asarray(self.test_mass_kg) * (1.0 + np.asarray(self.rotating_frac)))

    @property
    def road_load_a_n(self) -> Array:
        """Constant term of the road load: tyres and constant drag. [N]"""
        weight = np.asarray(self.test_mass_kg) * self.gravity_m_per_s2
        return np.asarray(weight * self.tyre_coefficient + self.drag_force_n)

    @property
    def road_load_b_n_s_per_m(self) -> Array:
        """Term of the road load that grows with speed. [N·s/m]"""
        return np.asarray(self.drag_force_b_n_s_per_m, dtype=np.float64)

    @property
    def road_load_c_n_s2_per_m2(self) -> Array:
        """Term of the road load that grows with the square of speed. [N·s²/m²]"""
        air = 0.5 * np.asarray(self.air_density_kg_per_m3) * self.drag_area_m2
        return np.asarray(air + self.drag_force_c_n_s2_per_m2)


FIELD_NAMES: tuple[str, ...] = tuple(f.name for f in fields(EnergyParameters))


def _pick(values: Array, mask: NDArray[np.bool_]) -> float:
    return float(np.broadcast_to(values, mask.shape)[mask].flat[0])


def _check_field(name: str, values: Array) -> None:
    allowed = ~np.isnan(values) if name in UNLIMITED else np.isfinite(values)
    if not np.all(allowed):
        msg = f"{name} = {_pick(values, ~allowed)!r}: every value must be a finite number."
        raise ValueError(msg)
    if name in POSITIVE and not np.all(values > 0.0):
        bad = values <= 0.0
        msg = (
            f"{name} = {_pick(values, bad)!r} in {np.count_nonzero(bad)} of {values.size} draws: it must be positive; "
            "check the value and its unit, or give it a bounded distribution (rectangular, triangular)."
        )
        raise ValueError(msg)
    # An infinite limit is above zero, so its mean needs no care.
    mean = float(np.mean(values))
    if name in UP_TO_ONE and mean > 1.0:
        msg = f"{name} averages {mean!r}: a share is at most 1; give 0.93 for 93 %."
        raise ValueError(msg)
    if name not in SIGNED and mean < 0.0:
        msg = f"{name} averages {mean!r}: it cannot be negative; check the sign."
        raise ValueError(msg)
