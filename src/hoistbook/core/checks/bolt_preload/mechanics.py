"""Equations of a tightened bolt."""

from __future__ import annotations

import math

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.cost.fasteners.thread import pitch_diameter_m, root_diameter_m

COS_FLANK = math.cos(math.radians(30.0))
DESIGN_SHARE = 0.9
"""from memory: VDI 2230: combined stress after tightening at most 90 % of yield."""


def torque_parts_m(
    diameter: Array, pitch: Array, contact: Array, hole: Array, friction_thread: Array, friction_head: Array
) -> tuple[Array, Array, Array]:
    """Torque per preload of pitch, thread and head: 0.16 P, 0.58 d2 μ, (dW + dh)/4 μ (from memory: VDI 2230). [m]"""
    return (
        0.16 * pitch,
        0.58 * pitch_diameter_m(diameter, pitch) * friction_thread,
        0.25 * (contact + hole) * friction_head,
    )


def nut_factor(
    diameter: Array, mean_diameter: Array, pitch: Array, friction_thread: Array, friction_head: Array
) -> Array:
    """Factor K of torque = K F d by thread and head.

    Notes
    -----
    (dm/2d)(tan λ + f sec α)/(1 − f tan λ sec α) + 0.625 fc, tan λ = P/(π dm), α = 30° (published: Shigley's Mechanical
    Engineering Design, 9th ed., eq. 8-26).
    """
    lead = pitch / (math.pi * mean_diameter)
    steep = friction_thread / COS_FLANK
    found: Array = (
        mean_diameter / (2.0 * diameter) * (lead + steep) / (1.0 - steep * lead) + 0.625 * friction_head
    )
    return found


def mean_diameter_m(diameter: Array, pitch: Array) -> Array:
    """Mean of nominal and root diameter. [m]"""
    return 0.5 * (diameter + root_diameter_m(diameter, pitch))


def combined_over_tension(diameter: Array, pitch: Array, friction_thread: Array) -> Array:
    """Combined over tensile stress while turning: √(1 + 3 [1.5 (d2/d0)(P/(π d2) + 1.155 μ)]²).

    Notes
    -----
    d0 is the diameter of the stress area; 1.155 is 1/cos 30° (from memory: VDI 2230).
    """
    d2 = pitch_diameter_m(diameter, pitch)
    d0 = 0.5 * (d2 + root_diameter_m(diameter, pitch))
    twist = 1.5 * d2 / d0 * (pitch / (math.pi * d2) + 1.155 * friction_thread)
    found: Array = np.sqrt(1.0 + 3.0 * twist**2)
    return found


def tightening_factor(scatter: float) -> float:
    """(1 + t)/(1 − t): greatest over least preload (published, second hand: VDI 2230:1986)."""
    return (1.0 + scatter) / (1.0 - scatter)


def bolt_stiffness_n_per_m(
    diameter: Array, area: Array, plain: Array, threaded: Array, youngs: Array
) -> Array:
    """Ad At E/(Ad lt + At ld): plain shank and thread in series (from memory: Shigley, 9th ed., 8-4). [N/m]"""
    shank = 0.25 * math.pi * diameter**2
    found: Array = shank * area * youngs / (shank * threaded + area * plain)
    return found


def member_stiffness_n_per_m(diameter: Array, grip: Array, youngs: Array) -> Array:
    """0.5774π E d/(2 ln[5(0.5774 l + 0.5 d)/(0.5774 l + 2.5 d)]) (from memory: Shigley, 9th ed., 8-5). [N/m]"""
    cone = 0.5774 * grip
    found: Array = (
        0.5774
        * math.pi
        * youngs
        * diameter
        / (2.0 * np.log(5.0 * (cone + 0.5 * diameter) / (cone + 2.5 * diameter)))
    )
    return found


def load_share(bolt: Array, member: Array) -> Array:
    """C = kb/(kb + km): share of an outside pull that the bolt feels (published: Shigley, 9th ed., example 8-3)."""
    found: Array = bolt / (bolt + member)
    return found


def bolt_force_n(preload: Array, share: Array, pull: Array) -> Array:
    """Fi + C P (published: Shigley, 9th ed., example 8-3). [N]"""
    return preload + share * pull


def clamp_left_n(preload: Array, share: Array, pull: Array) -> Array:
    """Fi − (1 − C) P: what still presses the members together (from memory: Shigley, 9th ed., 8-7). [N]"""
    found: Array = preload - (1.0 - share) * pull
    return found
