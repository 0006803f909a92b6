"""Heat: melting, solidifying, quenching, diffusion."""

from __future__ import annotations

import numpy as np

from hoistbook.core.arrays import Array

KELVIN_AT_0_DEGC = 273.15
ROOM_DEGC = 25.0
"""Metal starts from here, as in M. P. Groover, example 10.1."""


def melting_heat_j_per_kg(
    solid_j_per_kg_k: Array,
    liquid_j_per_kg_k: Array,
    fusion_j_per_kg: Array,
    start_degc: float,
    melting_degc: Array,
    pouring_degc: Array,
) -> Array:
    """Heat that metal takes from cold to pouring, per mass: Cs (Tm - T0) + Hf + Cl (Tp - Tm). [J/kg]

    Source
    ------
    published: M. P. Groover, eq. 10.1, divided by the mass.
    """
    solid = solid_j_per_kg_k * (melting_degc - start_degc)
    return solid + fusion_j_per_kg + liquid_j_per_kg_k * (pouring_degc - melting_degc)


def sprue_speed_m_per_s(height_m: Array, gravity_m_per_s2: Array) -> Array:
    """Speed at the foot of a sprue: sqrt(2 g h). [m/s]

    Source
    ------
    published: M. P. Groover, eq. 10.4.
    """
    found: Array = np.sqrt(2.0 * gravity_m_per_s2 * height_m)
    return found


def mould_fill_s(volume_m3: Array, sprue_area_m2: Array, sprue_speed: Array) -> Array:
    """Time to fill a mould through its sprue: V/(A v). [s]

    Source
    ------
    published: M. P. Groover, eq. 10.5 and 10.6.
    """
    return volume_m3 / (sprue_area_m2 * sprue_speed)


def solidification_s(mould_constant_s_per_m2: Array, modulus_m: Array) -> Array:
    """Time until a casting is solid: Cm (V/A)^2 (Chvorinov). [s]

    Parameters
    ----------
    mould_constant_s_per_m2 : array
        Of mould, metal and pouring temperature. [s/m^2]
    modulus_m : array
        Volume over surface of the section that is solid last; half the wall for a plate. [m]

    Source
    ------
    published: M. P. Groover, eq. 10.7, with the exponent 2.
    """
    return mould_constant_s_per_m2 * modulus_m**2


def contact_quench_s(
    density_kg_per_m3: Array,
    specific_heat_j_per_kg_k: Array,
    thickness_m: Array,
    contact_w_per_m2_k: Array,
    start_degc: Array,
    end_degc: Array,
    die_degc: Array,
) -> Array:
    """Time that a sheet takes to cool between two dies: rho c s/(2 h) ln((T1 - Td)/(T2 - Td)). [s]

    Notes
    -----
    The sheet has one temperature across its thickness (Biot number h s/(2 k) well below 1), both sides touch.

    Source
    ------
    first principles: heat balance of a lump.
    """
    drop = np.log((start_degc - die_degc) / (end_degc - die_degc))
    found: Array = (
        density_kg_per_m3 * specific_heat_j_per_kg_k * thickness_m * drop / (2.0 * contact_w_per_m2_k)
    )
    return found


def carburising_s(case_depth_m: Array, temperature_k: Array) -> Array:
    """Time in carbon for a case: d = 660 exp(-8287/T) sqrt(t), d in mm, t in h. [s]

    Source
    ------
    from memory: F. E. Harris, as quoted in ASM Handbook vol. 4.
    """
    rate_mm = 660.0 * np.exp(-8287.0 / temperature_k)
    found: Array = 3600.0 * (1e3 * case_depth_m / rate_mm) ** 2
    return found


def furnace_heat_j(
    mass_kg: Array, specific_heat_j_per_kg_k: Array, rise_k: Array, furnace_frac: Array
) -> Array:
    """Energy a furnace takes to bring parts to their temperature: m c dT/eta. [J]

    Source
    ------
    first principles.
    """
    return mass_kg * specific_heat_j_per_kg_k * rise_k / furnace_frac
