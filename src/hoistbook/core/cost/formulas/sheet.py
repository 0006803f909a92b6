"""Forces and sizes of sheet work: cutting, bending, drawing."""

from __future__ import annotations

import numpy as np

from hoistbook.core.arrays import Array


def blanking_force_n(shear_strength_pa: Array, thickness_m: Array, cut_length_m: Array) -> Array:
    """Force that shears all edges of a blank at once: F = S t L. [N]

    Parameters
    ----------
    shear_strength_pa, thickness_m, cut_length_m : array
        Shear strength, gauge, and length of all edges cut together. [Pa], [m], [m]

    Notes
    -----
    With the tensile strength in place of S take 0.7 of it. Shear ground on the punch lowers the force.

    Source
    ------
    published: M. P. Groover, Fundamentals of Modern Manufacturing, eq. 19.4.
    """
    return shear_strength_pa * (thickness_m * cut_length_m)


def punch_diameter_m(blank_diameter_m: Array, clearance_frac: Array, thickness_m: Array) -> Array:
    """Diameter of the punch that blanks a disc: D - 2 Ac t. [m]

    Source
    ------
    published: M. P. Groover, as used in example 19.1.
    """
    return blank_diameter_m - 2.0 * clearance_frac * thickness_m


def bending_force_n(
    bend_constant: Array, tensile_strength_pa: Array, width_m: Array, thickness_m: Array, opening_m: Array
) -> Array:
    """Force of a bend: F = Kbf TS w t^2/D. [N]

    Parameters
    ----------
    bend_constant : array
        1.33 in a V-die, 0.33 where the edge is wiped down. [1]
    tensile_strength_pa, width_m, thickness_m, opening_m : array
        Strength, length of the bend line, gauge, opening of the die. [Pa], [m], [m], [m]

    Source
    ------
    published: M. P. Groover, eq. 19.8.
    """
    return (bend_constant * tensile_strength_pa) * (width_m * thickness_m**2) / opening_m


def bend_allowance_m(angle_rad: Array, radius_m: Array, thickness_m: Array) -> Array:
    """Length of sheet that a bend takes: angle x (R + Kba t), Kba 0.33 below R = 2 t, else 0.50. [m]

    Source
    ------
    published: M. P. Groover, eq. 19.6.
    """
    found: Array = angle_rad * (radius_m + np.where(radius_m < 2.0 * thickness_m, 0.33, 0.50) * thickness_m)
    return found


def cup_diameter_m(developed_area_m2: Array, depth_m: Array) -> Array:
    """Diameter of the cup of a given depth that has this surface: pi D^2/4 + pi D h = A. [m]

    Notes
    -----
    The sheet keeps its thickness, so its area is that of the blank. A part of any outline is taken for the round cup of
    equal surface and depth.

    Source
    ------
    first principles.
    """
    found: Array = np.sqrt(4.0 * depth_m**2 + 4.0 * developed_area_m2 / np.pi) - 2.0 * depth_m
    return found


def drawing_force_n(
    punch_diameter: Array, blank_diameter: Array, thickness_m: Array, tensile_strength_pa: Array
) -> Array:
    """Force of a deep draw: F = pi Dp t TS (Db/Dp - 0.7). [N]

    Parameters
    ----------
    punch_diameter, blank_diameter, thickness_m : array
        [m]
    tensile_strength_pa : array
        [Pa]

    Source
    ------
    published: M. P. Groover, eq. 19.12.
    """
    ratio = blank_diameter / punch_diameter
    found: Array = tensile_strength_pa * (np.pi * punch_diameter * thickness_m * (ratio - 0.7))
    return found


def holding_force_n(
    punch_diameter: Array,
    blank_diameter: Array,
    thickness_m: Array,
    yield_strength_pa: Array,
    radius_m: Array,
) -> Array:
    """Force that holds the blank while it is drawn: 0.015 Y pi (Db^2 - (Dp + 2.2 t + 2 Rd)^2). [N]

    Notes
    -----
    As printed: a ring has a quarter of this area, so the pressure on the ring is 6 % of the yield strength where the
    text speaks of 1.5 %. Models that mean 1.5 % divide by 4.

    Source
    ------
    published: M. P. Groover, eq. 19.13.
    """
    inner = punch_diameter + 2.2 * thickness_m + 2.0 * radius_m
    found: Array = 0.015 * yield_strength_pa * np.pi * (blank_diameter**2 - inner**2)
    return found


def hand_fed_s(length_m: Array, width_m: Array) -> Array:
    """Time of one hit in a press that is loaded by hand: 3.8 + 0.11 (L + W) s, L and W in cm. [s]

    Source
    ------
    from memory: G. Boothroyd, P. Dewhurst, W. Knight, Product Design for Manufacture and Assembly, ch. 9, after
    Ostwald.
    """
    return 3.8 + 0.11 * 100.0 * (length_m + width_m)


def forming_die_h(area_m2: Array, depth_m: Array) -> Array:
    """Hours that a die takes by its size: (18 + 0.023 L W)(0.9 + 0.02 D), in cm2 and cm. [h]

    Source
    ------
    from memory: Boothroyd, Dewhurst, Knight, sec. 9.2.3.
    """
    return (18.0 + 230.0 * area_m2) * (0.9 + 2.0 * depth_m)


def bending_die_h(bend_length_m: Array, bends: Array) -> Array:
    """Hours that bends add to a die of its size: 0.68 Lb + 5.8 Nb, Lb in cm. [h]

    Source
    ------
    from memory: Boothroyd, Dewhurst, Knight, sec. 9.2.3.
    """
    return 68.0 * bend_length_m + 5.8 * bends


def piercing_die_h(area_m2: Array) -> Array:
    """Hours that a piercing die takes without its cutting elements: 23 + 0.03 L W, in cm2. [h]

    Source
    ------
    from memory: Boothroyd, Dewhurst, Knight, sec. 9.2.
    """
    return 23.0 + 300.0 * area_m2


def tube_section_modulus_m3(diameter_m: Array, wall_m: Array) -> Array:
    """Plastic modulus of a round tube: (D^3 - d^3)/6. [m^3]

    Source
    ------
    first principles.
    """
    return (diameter_m**3 - (diameter_m - 2.0 * wall_m) ** 3) / 6.0


def tube_area_m2(diameter_m: Array, wall_m: Array) -> Array:
    """Section of a round tube: pi (D - t) t. [m^2]"""
    found: Array = np.pi * (diameter_m - wall_m) * wall_m
    return found
