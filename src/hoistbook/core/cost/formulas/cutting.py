"""Chips: times of turning, milling, drilling and tapping, power, forces, tool life and what a speed costs.

Groover: M. P. Groover, Fundamentals of Modern Manufacturing.
"""

from __future__ import annotations

import math

import numpy as np

from hoistbook.core.arrays import Array


def spindle_per_s(speed_m_per_s: Array, diameter_m: Array) -> Array:
    """Turns per second of a work piece or tool of this diameter: N = v/(pi D). [1/s]

    Source
    ------
    published: Groover eq. 21.1.
    """
    return speed_m_per_s / (math.pi * diameter_m)


def turning_s(diameter_m: Array, length_m: Array, feed_m: Array, speed_m_per_s: Array) -> Array:
    """Time of one turning pass: pi D L/(f v). [s]

    Source
    ------
    published: Groover eq. 21.5.
    """
    return math.pi * diameter_m * length_m / (feed_m * speed_m_per_s)


def turning_removal_m3_per_s(speed_m_per_s: Array, feed_m: Array, depth_m: Array) -> Array:
    """Volume turned away per time: v f d. [m3/s]

    Source
    ------
    published: Groover eq. 21.6.
    """
    return speed_m_per_s * feed_m * depth_m


def drill_point_m(diameter_m: Array, point_angle_rad: float) -> Array:
    """Way of a drill until it cuts with its whole diameter: D/2 tan(90 deg - angle/2). [m]

    Source
    ------
    published: Groover eq. 21.11.
    """
    return 0.5 * diameter_m * math.tan(0.5 * math.pi - 0.5 * point_angle_rad)


def drilling_s(
    depth_m: Array, diameter_m: Array, point_angle_rad: float, speed_m_per_s: Array, feed_m: Array
) -> Array:
    """Time of one through hole: (depth + point)/(N f). [s]

    Source
    ------
    published: Groover eq. 21.9-21.11.
    """
    advance = spindle_per_s(speed_m_per_s, diameter_m) * feed_m
    return (depth_m + drill_point_m(diameter_m, point_angle_rad)) / advance


def drilling_removal_m3_per_s(diameter_m: Array, speed_m_per_s: Array, feed_m: Array) -> Array:
    """Volume drilled away per time: pi D^2/4 N f. [m3/s]

    Source
    ------
    published: Groover eq. 21.12.
    """
    return 0.25 * math.pi * diameter_m**2 * spindle_per_s(speed_m_per_s, diameter_m) * feed_m


def slab_mill_approach_m(depth_m: Array, cutter_m: Array) -> Array:
    """Way of a peripheral cutter before it is at full depth: sqrt(d (D - d)). [m]

    Source
    ------
    published: Groover eq. 21.16. The approach of a hob is the same.
    """
    found: Array = np.sqrt(depth_m * (cutter_m - depth_m))
    return found


def face_mill_approach_m(width_m: Array, cutter_m: Array) -> Array:
    """Way of a face cutter, set in the middle, until it spans the width: (D - sqrt(D^2 - w^2))/2. [m]

    Notes
    -----
    A face wider than the cutter is milled in tracks; the approach is then D/2.

    Source
    ------
    published: Groover eq. 21.18.
    """
    found: Array = 0.5 * (cutter_m - np.sqrt(np.maximum(cutter_m**2 - width_m**2, 0.0)))
    return found


def milling_advance_m_per_s(
    speed_m_per_s: Array, cutter_m: Array, teeth: Array, feed_per_tooth_m: Array
) -> Array:
    """Feed of a milling cutter: N n_t f. [m/s]

    Source
    ------
    published: Groover eq. 21.14.
    """
    return spindle_per_s(speed_m_per_s, cutter_m) * teeth * feed_per_tooth_m


def tapping_s(depth_m: Array, pitch_m: Array, diameter_m: Array, speed_m_per_s: Array) -> Array:
    """Time to tap a thread and to back out at the same speed: 2 (L + 3 p)/(p N). [s]

    Source
    ------
    first principles: the tap goes one pitch per turn; three pitches of chamfer.
    """
    return 2.0 * (depth_m + 3.0 * pitch_m) / (pitch_m * spindle_per_s(speed_m_per_s, diameter_m))


def cutting_power_w(specific_energy_j_per_m3: Array, removal_m3_per_s: Array) -> Array:
    """Power at the cutting edge: U times the volume cut per time. [W]

    Source
    ------
    published: Groover eq. 20.18-20.21.
    """
    return specific_energy_j_per_m3 * removal_m3_per_s


def specific_energy_j_per_m3(force_n: Array, chip_thickness_m: Array, width_m: Array) -> Array:
    """Energy per volume of an orthogonal cut: F_c/(t w). [J/m3]

    Source
    ------
    published: Groover eq. 20.20.
    """
    return force_n / (chip_thickness_m * width_m)


def merchant_forces_n(
    rake_rad: float, friction: float, chip_thickness_m: float, width_m: float, shear_strength_pa: float
) -> tuple[float, float]:
    """Cutting and thrust force of an orthogonal cut at Merchant's shear angle. [N]

    Notes
    -----
    lambda = atan mu, phi = 45 deg + alpha/2 - lambda/2; F_c, F_t = t w tau cos, sin(lambda - alpha) / (sin phi
    cos(phi + lambda - alpha)). With `specific_energy_j_per_m3` it gives U of a metal that no table has.

    Source
    ------
    published: A. Ghosh, A. K. Mallik, Manufacturing Science, ch. 4.
    """
    angle = math.atan(friction)
    shear = 0.25 * math.pi + 0.5 * rake_rad - 0.5 * angle
    base = chip_thickness_m * width_m * shear_strength_pa
    base /= math.sin(shear) * math.cos(shear + angle - rake_rad)
    return base * math.cos(angle - rake_rad), base * math.sin(angle - rake_rad)


def taylor_life_s(speed_m_per_s: Array, constant_m_per_s: Array, exponent: Array) -> Array:
    """Life of an edge by Taylor: v T^n = C with T in minutes, so T = (C/v)^(1/n) minutes. [s]

    Source
    ------
    published: Groover eq. 22.1.
    """
    return 60.0 * (constant_m_per_s / speed_m_per_s) ** (1.0 / exponent)


def taylor_speed_m_per_s(life_s: Array, constant_m_per_s: Array, exponent: Array) -> Array:
    """Speed at which an edge lives this long: C/T^n with T in minutes. [m/s]

    Source
    ------
    published: Groover eq. 22.1. The ratio of two metals at one life is the machinability rating (sec. 23.1).
    """
    return constant_m_per_s / (life_s / 60.0) ** exponent


def taylor_fit(first: tuple[float, float], second: tuple[float, float]) -> tuple[float, float]:
    """Exponent n and constant C through two trials (speed in m/s, life in s). [1], [m/s]

    Raises
    ------
    ValueError
        Both trials lived equally long.

    Source
    ------
    first principles: two points of v T^n = C.
    """
    (v1, t1), (v2, t2) = first, second
    if t1 == t2:
        msg = f"both edges lived {t1!r} s; two trials must differ in life."
        raise ValueError(msg)
    exponent = math.log(v1 / v2) / math.log(t2 / t1)
    return exponent, v1 * (t1 / 60.0) ** exponent


def fastest_speed_m_per_s(constant_m_per_s: Array, exponent: Array, change_s: Array) -> Array:
    """Speed of the most pieces per hour: C/[(1/n - 1) T_t]^n. [m/s]

    Source
    ------
    published: Groover eq. 23.7.
    """
    return taylor_speed_m_per_s((1.0 / exponent - 1.0) * change_s, constant_m_per_s, exponent)


def cheapest_speed_m_per_s(
    constant_m_per_s: Array, exponent: Array, change_s: Array, money_per_s: Array, edge_money: Array
) -> Array:
    """Speed of the cheapest piece: C [n/(1 - n) C_o/(C_o T_t + C_t)]^n. [m/s]

    Parameters
    ----------
    money_per_s : array
        Machine and people. [money/s]
    edge_money : array
        One edge. [money]

    Source
    ------
    published: Groover eq. 23.13.
    """
    life_s = (1.0 - exponent) / exponent * (money_per_s * change_s + edge_money) / money_per_s
    return taylor_speed_m_per_s(life_s, constant_m_per_s, exponent)


def pieces_per_edge(life_s: Array, cutting_s: Array) -> Array:
    """Pieces of one edge: whole ones, or a fraction where a piece takes several edges. [1]

    Source
    ------
    published: Groover example 23.4 (rounded down); below one piece first principles.
    """
    ratio = life_s / cutting_s
    found: Array = np.where(ratio >= 1.0, np.floor(ratio), ratio)
    return found


def cut_piece_money(
    handling_s: Array, cutting_s: Array, change_s: Array, pieces: Array, money_per_s: Array, edge_money: Array
) -> Array:
    """Cost of a piece: C_o (T_h + T_m + T_t/n_p) + C_t/n_p. [money]

    Source
    ------
    published: Groover eq. 23.11.
    """
    return money_per_s * (handling_s + cutting_s + change_s / pieces) + edge_money / pieces


def grinding_s(volume_m3: Array, specific_rate_m2_per_s: Array, width_m: Array) -> Array:
    """Time to grind a stock away: V/(Q'w b). [s]

    Parameters
    ----------
    volume_m3 : array
    specific_rate_m2_per_s : array
        Volume per time and width of wheel, Q'w. [m3/(m s)]
    width_m : array
        Of contact. [m]

    Source
    ------
    first principles: definition of the specific removal rate.
    """
    return volume_m3 / (specific_rate_m2_per_s * width_m)
