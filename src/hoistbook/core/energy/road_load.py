"""Road load coefficients, the air they hold for, and the inertia of rotating parts."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hoistbook.core.arrays import Array

NEWTON_PER_LBF = 4.4482216152605  # exact by definition
METRE_PER_S_PER_MPH = 0.44704  # exact by definition

DRY_AIR_GAS_CONSTANT_J_PER_KG_K = 287.05
"""from memory: specific gas constant of dry air, as used with 40 CFR 1066.305."""

US_REFERENCE_AIR_PA_K = (98210.0, 293.15)
"""published: 40 CFR 1066.305, 98.21 kPa and 20 °C, no wind, transmission in neutral (second hand)."""

WLTP_REFERENCE_AIR_PA_K = (100000.0, 293.0)
"""published: UN GTR 15, 3.2.9, which rounds the density to 1.189 kg/m³ (second hand)."""


def dry_air_density_kg_per_m3(pressure_pa: float, temperature_k: float) -> float:
    """Density of dry air.

    Raises
    ------
    ValueError
        A figure is not above 0; a temperature in °C would be 273 too low.

    Notes
    -----
    ρ = p/(287.05 T). Humidity is left out: saturated air at 20 °C is 0.9 % lighter.

    Source
    ------
    first principles (ideal gas).

    Examples
    --------
    >>> round(dry_air_density_kg_per_m3(*US_REFERENCE_AIR_PA_K), 5)
    1.1671
    """
    if not (pressure_pa > 0.0 and temperature_k > 0.0):
        msg = f"pressure_pa = {pressure_pa!r}, temperature_k = {temperature_k!r}: both are above 0 (pascal and kelvin)."
        raise ValueError(msg)
    return pressure_pa / (DRY_AIR_GAS_CONSTANT_J_PER_KG_K * temperature_k)


@dataclass(frozen=True, slots=True)
class RoadLoad:
    """Road load F = A + B v + C v² in SI.

    Use *target* coefficients: they describe the road. *Set* coefficients are what a dynamometer adds to the vehicle's
    own losses on the rollers. The letters of two vehicles are no comparison: a fit moves force between them (B is even
    negative in public rows); compare `force_n` at fixed speeds, such as 50, 80 and 110 km/h.
    """

    a_n: float
    b_n_s_per_m: float
    c_n_s2_per_m2: float

    @classmethod
    def from_us(cls, a_lbf: float, b_lbf_per_mph: float, c_lbf_per_mph2: float) -> RoadLoad:
        """Convert US coefficients; the factors are exact.

        Examples
        --------
        >>> load = RoadLoad.from_us(33.2, -0.0857, 0.02006)
        >>> round(load.a_n, 6), round(load.b_n_s_per_m, 6), round(load.c_n_s2_per_m2, 6)
        (147.680958, -0.852748, 0.446503)
        """
        per_speed = NEWTON_PER_LBF / METRE_PER_S_PER_MPH
        return cls(
            NEWTON_PER_LBF * a_lbf,
            per_speed * b_lbf_per_mph,
            per_speed / METRE_PER_S_PER_MPH * c_lbf_per_mph2,
        )

    def to_us(self) -> tuple[float, float, float]:
        """Return A [lbf], B [lbf/mph] and C [lbf/mph²]."""
        per_speed = NEWTON_PER_LBF / METRE_PER_S_PER_MPH
        return (
            self.a_n / NEWTON_PER_LBF,
            self.b_n_s_per_m / per_speed,
            self.c_n_s2_per_m2 * METRE_PER_S_PER_MPH / per_speed,
        )

    def force_n(self, speed_m_per_s: float | Array) -> Array:
        """Force at a speed. [N]"""
        v = np.asarray(speed_m_per_s, dtype=np.float64)
        return np.asarray(self.a_n + (self.b_n_s_per_m + self.c_n_s2_per_m2 * v) * v)

    def in_other_air(self, from_kg_per_m3: float, to_kg_per_m3: float) -> RoadLoad:
        """Road load of the same vehicle in air of another density, taking all of C as air.

        Raises
        ------
        ValueError
            A density is not above 0.

        Notes
        -----
        The same car has a C 1.88 % higher in WLTP than in US reference air.

        Source
        ------
        first principles.
        """
        if not (from_kg_per_m3 > 0.0 and to_kg_per_m3 > 0.0):
            msg = f"densities {from_kg_per_m3!r} and {to_kg_per_m3!r} kg/m³: both are above 0."
            raise ValueError(msg)
        return RoadLoad(self.a_n, self.b_n_s_per_m, self.c_n_s2_per_m2 * to_kg_per_m3 / from_kg_per_m3)


def rotating_frac_us(axle_count: int) -> float:
    """Rotating inertia as a share of mass in a US coast-down: 1.5 % per axle that turns with the wheels. [1]

    Raises
    ------
    ValueError
        No axle.

    Source
    ------
    from memory: 40 CFR 1066.310, SAE J2263; effective mass 1.015 m or 1.03 m.
    """
    if axle_count < 1:
        msg = f"axle_count = {axle_count}: count the axles that turn, 2 on the road, 1 on a single roller."
        raise ValueError(msg)
    return 0.015 * axle_count


def rotating_mass_wltp_kg(running_order_kg: float) -> float:
    """Inertia of rotating parts in WLTP road load work, as mass: 3 % of mass in running order + 25 kg.

    Raises
    ------
    ValueError
        A mass not above 0.

    Source
    ------
    published: UN GTR 15 Annex 4, 4.3.1.4.5 (second hand).
    """
    if not running_order_kg > 0.0:
        msg = f"running_order_kg = {running_order_kg!r}: give the mass in running order (with driver) in kg."
        raise ValueError(msg)
    return 0.03 * (running_order_kg + 25.0)


def motor_inertia_at_wheel_kg(inertia_kg_m2: float, gear_ratio: float, wheel_radius_m: float) -> float:
    """Rotor inertia as mass at the wheel, J G²/r².

    Raises
    ------
    ValueError
        A figure is not above 0.

    Source
    ------
    first principles: ½ J (G v/r)² = ½ m v².

    Examples
    --------
    >>> round(motor_inertia_at_wheel_kg(0.04, 9.5, 0.335), 2)
    32.17
    """
    sizes = {"inertia_kg_m2": inertia_kg_m2, "gear_ratio": gear_ratio, "wheel_radius_m": wheel_radius_m}
    for name, value in sizes.items():
        if not value > 0.0:
            msg = f"{name} = {value!r}: give a figure above 0."
            raise ValueError(msg)
    return inertia_kg_m2 * (gear_ratio / wheel_radius_m) ** 2
