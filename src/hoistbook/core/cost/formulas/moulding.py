"""Moulds for polymers and the machines that close them.

BDK: G. Boothroyd, P. Dewhurst, W. Knight, Product Design for Manufacture and Assembly, ch. 8, from memory and not yet
checked. Kazmer: D. O. Kazmer, Injection Mold Design Engineering, 2007, ch. 3. Groover: M. P. Groover, Fundamentals of
Modern Manufacturing.
"""

from __future__ import annotations

import math

import numpy as np

from hoistbook.core.arrays import Array

_CM = 100.0  # per metre
_CM2 = 1e4  # per square metre


def clamp_force_n(
    projected_area_m2: Array, cavities: Array, runner_frac: Array, pressure_pa: Array, reserve: Array
) -> Array:
    """Force that keeps a mould shut: area of all cavities with runners, times pressure and reserve. [N]

    Source
    ------
    from memory: BDK sec. 8.6.
    """
    return projected_area_m2 * cavities * (1.0 + runner_frac) * pressure_pa * reserve


def fill_s(shot_m3: Array, pressure_pa: Array, power_w: Array) -> Array:
    """Time to fill at half the greatest flow: 2 V p/P. [s]

    Source
    ------
    from memory: BDK eq. 8.2.
    """
    return 2.0 * shot_m3 * pressure_pa / power_w


def reset_s(dry_cycle_s: Array, depth_m: Array, stroke_m: Array) -> Array:
    """Time to open, eject and close: 1 + 1.75 t_d sqrt((2 D + 5)/L) with D and L in centimetres. [s]

    Source
    ------
    from memory: BDK eq. 8.8.
    """
    found: Array = 1.0 + 1.75 * dry_cycle_s * np.sqrt((2.0 * depth_m * _CM + 5.0) / (stroke_m * _CM))
    return found


def runner_frac(part_m3: Array) -> Array:
    """Volume of a cold runner over that of the part. [1]

    Notes
    -----
    0.37 (V/16 cm3)^-0.33, a fit to 37, 27, 22, 19, 14 and 11 % at 16, 32, 64, 128, 256 and 512 cm3; it stays within 2.5
    points of them.

    Source
    ------
    from memory: BDK table 8.2; the fit is computed.
    """
    return 0.37 * (part_m3 / 16e-6) ** -0.33


def mould_size_m(part_m: Array, shrink_frac: Array) -> Array:
    """Size of the cavity for a size of the part: D (1 + S + S^2). [m]

    Source
    ------
    published: Groover eq. 13.19.
    """
    return part_m * (1.0 + shrink_frac + shrink_frac**2)


def base_area_m2(cavity_m2: Array, cavities: Array, wall_m: Array) -> Array:
    """Area of the plates around n square cavities with a wall around each: (sqrt(n A) + (sqrt n + 1) w)^2. [m2]

    Source
    ------
    first principles: cavities in a square.
    """
    found: Array = (np.sqrt(cavities * cavity_m2) + (np.sqrt(cavities) + 1.0) * wall_m) ** 2
    return found


def base_money_by_mass(base_kg: Array, fixed_money: Array, money_per_kg: Array) -> Array:
    """Price of a mould base: fixed + per mass. [money]

    Source
    ------
    published: Kazmer p. 55-56: 830 + 5.25 per kg, USD of 2007.
    """
    return fixed_money + money_per_kg * base_kg


def base_money_by_area(plates_m2: Array, plates_m: Array, fixed_money: Array, per_area: Array) -> Array:
    """Price of a mould base: C_0 + k A h^0.4, A in cm2 and h in cm. [money]

    Source
    ------
    from memory: BDK sec. 8.8: 1000 + 0.45 A h^0.4, USD of about 1990.
    """
    return fixed_money + per_area * plates_m2 * _CM2 * (plates_m * _CM) ** 0.4


def customised_mould_money(cavities_money: Array, base_money: Array, custom_money: Array) -> Array:
    """Price of a mould: cavities + base + customisation. [money]

    Source
    ------
    published: Kazmer p. 53.
    """
    return cavities_money + base_money + custom_money


def customising_money(
    cavities_money: Array, base_money: Array, cavity_frac: Array, base_frac: Array
) -> Array:
    """Price of customisation: shares of the cavities and of the base. [money]

    Source
    ------
    published: Kazmer p. 68. The sum printed there does not close, so the tests hold the total of p. 53 instead.
    """
    return cavities_money * cavity_frac + base_money * base_frac


def size_h(projected_area_m2: Array) -> Array:
    """Hours of toolmaking for the size of one cavity: 5 + 0.085 A^1.2, A in cm2. [h]

    Source
    ------
    from memory: BDK sec. 8.8.
    """
    return 5.0 + 0.085 * (projected_area_m2 * _CM2) ** 1.2


def geometry_h(patches: Array) -> Array:
    """Hours for the shape of one cavity: 45 X^1.27, X a tenth of the surface patches inside and outside. [h]

    Source
    ------
    from memory: BDK sec. 8.8.
    """
    return 45.0 * (0.1 * patches) ** 1.27


def ejector_h(projected_area_m2: Array) -> Array:
    """Hours for ejectors: 2.5 sqrt(A), A in cm2. [h]

    Source
    ------
    from memory: BDK sec. 8.8.
    """
    found: Array = 2.5 * np.sqrt(projected_area_m2 * _CM2)
    return found


def cavities_money(one_money: Array, cavities: Array, exponent: Array) -> Array:
    """Price of n equal cavities: C_1 n^m. [money]

    Source
    ------
    from memory: BDK sec. 8.10, m = 0.7 to 0.766.
    """
    return one_money * cavities**exponent


def cure_s(reference_s: Array, reference_k: Array, temperature_k: Array) -> Array:
    """Time of cure of rubber at another temperature: t 2^((T_ref - T)/10). [s]

    Source
    ------
    common practice: ten kelvins halve the time.
    """
    found: Array = reference_s * np.exp(math.log(2.0) * (reference_k - temperature_k) / 10.0)
    return found
