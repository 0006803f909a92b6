"""Heat that makes joints: arc, spot and beam. Groover: M. P. Groover, Fundamentals of Modern Manufacturing."""

from __future__ import annotations

import math

from hoistbook.core.arrays import Array

_MELTING = 3.33e-6 * 1e9  # Groover's constant is in J/(mm3 K2)


def melting_energy_j_per_m3(melting_k: Array) -> Array:
    """Energy to bring a volume of metal to melting and melt it: 3.33e-6 T_m^2 J/mm3. [J/m3]

    Source
    ------
    published: Groover eq. 28.2.
    """
    return _MELTING * melting_k**2


def arc_power_w(current_a: Array, voltage_v: Array) -> Array:
    """Power of an arc: E I. [W]

    Source
    ------
    published: Groover eq. 29.1.
    """
    return current_a * voltage_v


def melted_m3_per_s(
    power_w: Array, transfer_frac: Array, melting_frac: Array, energy_j_per_m3: Array
) -> Array:
    """Metal melted per time: f1 f2 P/U_m. [m3/s]

    Parameters
    ----------
    transfer_frac, melting_frac : array
        Share of the power that reaches the work, and share of that which melts metal. [1]

    Source
    ------
    published: Groover eq. 28.6.
    """
    return transfer_frac * melting_frac * power_w / energy_j_per_m3


def power_density_w_per_m2(power_w: Array, share_frac: Array, outer_m: Array, inner_m: Array) -> Array:
    """Power per area of a disc, or of the ring around it, that takes a share of the power. [W/m2]

    Source
    ------
    published: Groover eq. 28.1.
    """
    return power_w * share_frac / (0.25 * math.pi * (outer_m**2 - inner_m**2))


def fillet_area_m2(throat_m: Array) -> Array:
    """Section of an equal-sided fillet of 90 degrees: a^2. [m2]

    Source
    ------
    first principles: legs sqrt(2) a.
    """
    return throat_m**2


def wire_kg(area_m2: Array, length_m: Array, density_kg_per_m3: Array, yield_frac: Array) -> Array:
    """Wire for a bead: A L rho/eta. [kg]

    Source
    ------
    first principles; the yield covers spatter and reinforcement.
    """
    return area_m2 * length_m * density_kg_per_m3 / yield_frac


def joule_heat_j(current_a: Array, resistance_ohm: Array, time_s: Array) -> Array:
    """Heat of a current in a resistance: I^2 R t. [J]

    Source
    ------
    published: Groover eq. 29.2.
    """
    return current_a**2 * resistance_ohm * time_s


def nugget_m3(diameter_m: Array, thickness_m: Array) -> Array:
    """Volume of a weld nugget taken as a disc. [m3]

    Source
    ------
    published: Groover example 29.2.
    """
    return 0.25 * math.pi * diameter_m**2 * thickness_m
