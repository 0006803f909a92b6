"""Loads and sizes of forging and extrusion."""

from __future__ import annotations

import numpy as np

from hoistbook.core.arrays import Array


def flow_stress_pa(strength_pa: Array, strain: Array, hardening: Array) -> Array:
    """Stress at which metal flows after some strain: Y = K eps^n. [Pa]

    Source
    ------
    published: M. P. Groover, Fundamentals of Modern Manufacturing, as used in example 18.2.
    """
    return strength_pa * strain**hardening


def mean_flow_stress_pa(strength_pa: Array, strain: Array, hardening: Array) -> Array:
    """Mean flow stress up to some strain: K eps^n/(1 + n). [Pa]

    Source
    ------
    published: M. P. Groover, as used in example 18.3.
    """
    return strength_pa * strain**hardening / (1.0 + hardening)


def upsetting_shape_factor(friction: Array, diameter_m: Array, height_m: Array) -> Array:
    """How much friction raises the load of open-die forging: 1 + 0.4 mu D/h. [1]

    Source
    ------
    published: M. P. Groover, eq. 18.17.
    """
    return 1.0 + 0.4 * friction * diameter_m / height_m


def forging_force_n(shape_factor: Array, flow_stress: Array, area_m2: Array) -> Array:
    """Greatest load of a forging: F = Kf Yf A, the area with its flash. [N]

    Source
    ------
    published: M. P. Groover, eq. 18.18; shape factors 6, 8, 10 of table 18.1 from memory.
    """
    return (shape_factor * flow_stress) * area_m2


def flash_thickness_m(volume_m3: Array) -> Array:
    """Thickness of the flash: 1.13 + 0.0789 sqrt(V) - 0.000134 V, in mm and cm3. [m]

    Notes
    -----
    The same line as 1.13 + 0.89 sqrt(M) - 0.017 M for steel of M kg; stated by volume it serves aluminium too.

    Source
    ------
    from memory: Neuberger and Moeckel, quoted by T. Altan; volume form as in Boothroyd, Dewhurst, Knight, ch. 13.
    """
    volume_cm3 = 1e6 * volume_m3
    found: Array = 1e-3 * (1.13 + 0.0789 * np.sqrt(volume_cm3) - 0.000134 * volume_cm3)
    return found


def flash_land_ratio(volume_m3: Array) -> Array:
    """Width of the flash land over its thickness: 3 + 1.2 exp(-0.00857 V), V in cm3. [1]

    Source
    ------
    from memory: as `flash_thickness_m`.
    """
    found: Array = 3.0 + 1.2 * np.exp(-0.00857 * 1e6 * volume_m3)
    return found


def extrusion_strain(ratio: Array, a: Array, b: Array) -> Array:
    """Strain of extrusion with the work that friction and turning add: a + b ln r. [1]

    Source
    ------
    published: M. P. Groover, eq. 18.22: a 0.8, b 1.2-1.5.
    """
    found: Array = a + b * np.log(ratio)
    return found


def direct_extrusion_pressure_pa(
    mean_flow_stress: Array, strain: Array, billet_length_m: Array, container_diameter_m: Array
) -> Array:
    """Pressure on the ram of direct extrusion: Y (eps + 2 L/D). [Pa]

    Source
    ------
    published: M. P. Groover, eq. 18.23.
    """
    return mean_flow_stress * (strain + 2.0 * billet_length_m / container_diameter_m)


def extrusion_shape_factor(outline_m: Array, area_m2: Array) -> Array:
    """Pressure of a section over that of the round of equal area: 0.98 + 0.02 (Cx/Cc)^2.25. [1]

    Parameters
    ----------
    outline_m : array
        Perimeter of the section, hollows included. [m]
    area_m2 : array
        Of the section. [m^2]

    Source
    ------
    from memory: M. P. Groover, eq. 18.26; after Altan, valid for Cx/Cc of 1 to about 6.
    """
    circle = np.sqrt(4.0 * np.pi * area_m2)
    found: Array = 0.98 + 0.02 * (outline_m / circle) ** 2.25
    return found
