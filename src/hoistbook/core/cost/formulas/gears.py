"""Cylindrical gears with involute teeth: sizes from what is counted and measured, time to hob and to grind."""

from __future__ import annotations

import math

from hoistbook.core.arrays import Array
from hoistbook.core.cost.formulas.cutting import slab_mill_approach_m, spindle_per_s

TOOTH_DEPTH = 2.25
"""Depth of a full tooth over the module: first principles of the standard basic rack (1 + 1.25)."""


def module_m(outer_m: Array, teeth: Array) -> Array:
    """Module from outer diameter and teeth: D/(z + 2). [m]

    Notes
    -----
    Of an unshifted spur gear; of a helical one it is the transverse module, for an addendum of one such module.

    Source
    ------
    first principles: addendum of one module.
    """
    return outer_m / (teeth + 2.0)


def slots_m3(module: Array, teeth: Array, face_width_m: Array) -> Array:
    """Volume between the teeth: half of the ring of tooth depth at the pitch circle. [m3]

    Source
    ------
    first principles: teeth and gaps are equally wide at the pitch circle.
    """
    return 0.5 * math.pi * module * teeth * TOOTH_DEPTH * module * face_width_m


def flanks_m2(module: Array, teeth: Array, face_width_m: Array) -> Array:
    """Area of all flanks, taken as planes of tooth depth: 2 z b h. [m2]

    Source
    ------
    first principles; the curve of the involute and the helix add a few per cent.
    """
    return 2.0 * teeth * face_width_m * TOOTH_DEPTH * module


def hobbing_s(
    teeth: Array,
    face_width_m: Array,
    depth_m: Array,
    hob_m: Array,
    overrun_m: Array,
    feed_m: Array,
    speed_m_per_s: Array,
    starts: Array,
) -> Array:
    """Time to hob a gear: z (b + A + overrun)/(N f K). [s]

    Parameters
    ----------
    teeth, face_width_m, depth_m : array
        z, b, and depth of the tooth.
    hob_m, overrun_m : array
        Diameter of the hob; way beyond the gear. [m]
    feed_m : array
        Along the axis per turn of the gear, f. [m]
    speed_m_per_s : array
        Of cutting; N = v/(pi D_hob).
    starts : array
        Of the hob, K. [1]

    Notes
    -----
    The approach A is that of a slab mill, so it holds for spur gears; a helix makes it longer.

    Source
    ------
    from memory: gear-cutting texts.
    """
    way = face_width_m + slab_mill_approach_m(depth_m, hob_m) + overrun_m
    return teeth * way / (spindle_per_s(speed_m_per_s, hob_m) * feed_m * starts)
