"""The full-chain example vehicle, and plain parameters to change one at a time."""

import math
from dataclasses import fields

from hoistbook.core.energy.parameters import EnergyParameters

LBF = 4.4482216152605  # N, exact by definition
MPH = 0.44704  # m/s, exact by definition
POUND = 0.45359237  # kg, exact by definition

# The full-chain example (an illustration, not a measured vehicle): road load of a public row, r 0.335 m, G 9.5, gears
# 0.975 each way, c0 200 W, k1 0.10, k2 2.0, k3 6.0e-7, 360 V, 0.08 ohm, 250 W, 312 N·m and 100 kW, 5 to 15 km/h, 0.90.
FULL_CHAIN = EnergyParameters(
    test_mass_kg=4750.0 * POUND,
    rotating_frac=0.03,
    tyre_coefficient=0.0,
    drag_area_m2=0.0,
    drag_force_n=31.11 * LBF,
    drag_force_b_n_s_per_m=0.2191 * LBF / MPH,
    drag_force_c_n_s2_per_m2=0.01625 * LBF / MPH**2,
    gravity_m_per_s2=9.80665,
    air_density_kg_per_m3=1.1671,
    wheel_radius_m=0.335,
    gear_ratio=9.5,
    gear_efficiency_frac=0.975,
    gear_efficiency_back_frac=0.975,
    loss_c0_w=200.0,
    loss_k1=0.10,
    loss_k2=2.0,
    loss_k3=6.0e-7,
    return_frac=1.0,
    cut_in_low_m_per_s=5.0 / 3.6,
    cut_in_full_m_per_s=15.0 / 3.6,
    regen_power_cap_w=100e3,
    regen_torque_cap_n_m=312.0,
    adhesion_frac=math.inf,
    driven_load_frac=1.0,
    load_transfer=0.0,
    accessory_power_w=250.0,
    pack_voltage_v=360.0,
    pack_resistance_ohm=0.08,
    usable_energy_j=75.0 * 3.6e6,
    charging_efficiency_frac=0.90,
    label_factor_frac=0.70,
)


def changed(base=FULL_CHAIN, **values):
    """The same vehicle with other values in some fields."""
    return EnergyParameters(**{f.name: values.get(f.name, getattr(base, f.name)) for f in fields(base)})


# A vehicle of inertia and one braking force only: 1000 kg, no road load, no losses, no limits.
BARE = changed(
    test_mass_kg=1000.0,
    rotating_frac=0.0,
    drag_force_n=0.0,
    drag_force_b_n_s_per_m=0.0,
    drag_force_c_n_s2_per_m2=0.0,
    wheel_radius_m=0.5,
    gear_ratio=10.0,
    gear_efficiency_frac=1.0,
    gear_efficiency_back_frac=1.0,
    loss_c0_w=0.0,
    loss_k1=0.0,
    loss_k2=0.0,
    loss_k3=0.0,
    cut_in_low_m_per_s=0.0,
    cut_in_full_m_per_s=0.0,
    regen_power_cap_w=math.inf,
    regen_torque_cap_n_m=math.inf,
    accessory_power_w=0.0,
    pack_resistance_ohm=0.0,
    charging_efficiency_frac=1.0,
    label_factor_frac=1.0,
)
