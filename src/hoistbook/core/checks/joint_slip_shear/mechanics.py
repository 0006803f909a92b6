"""Equations of a lap joint, each for one bolt."""

from __future__ import annotations

import math

import numpy as np

from hoistbook.core.arrays import Array

DISTORTION = 0.577
"""published: Shigley's Mechanical Engineering Design, 9th ed., example 8-6: shear yield over yield."""


def slip_n(preload: Array, planes: float, friction: Array, factor: Array) -> Array:
    """Planes · μ F/γ (published, second hand: EN 1993-1-8, eq. 3.6 with normal holes). [N]"""
    found: Array = planes * friction * preload / factor
    return found


def shear_n(area: Array, planes: float, strength: float, by: float, factor: Array) -> Array:
    """Planes · α f A/γ (published, second hand: EN 1993-1-8, table 3.4). [N]"""
    found: Array = planes * by * strength * area / factor
    return found


def shear_at_proof_n(area: Array, planes: float, proof: Array, factor: Array) -> Array:
    """Planes · 0.577 Sp A/n (published: Shigley, 9th ed., example 8-6). [N]"""
    found: Array = planes * DISTORTION * proof * area / factor
    return found


def bearing_n(
    end: Array,
    side: Array,
    hole: Array,
    diameter: Array,
    plate: Array,
    strength: Array,
    bolt_strength: float,
    factor: Array,
) -> Array:
    """Bearing of a steel plate.

    Notes
    -----
    k1 α f d t/γ, α = min(e1/(3 d0), fub/f, 1), k1 = min(2.8 e2/d0 − 1.7, 2.5) (published, second hand: EN 1993-1-8,
    table 3.4; the side distance from memory).
    """
    alpha = np.minimum(np.minimum(end / (3.0 * hole), bolt_strength / strength), 1.0)
    across = np.minimum(2.8 * side / hole - 1.7, 2.5)
    found: Array = across * alpha * strength * diameter * plate / factor
    return found


def bearing_at_yield_n(diameter: Array, plate: Array, yields: Array, factor: Array) -> Array:
    """D t Sy/n: the hole begins to widen (published: Shigley, 9th ed., example 8-6). [N]"""
    found: Array = diameter * plate * yields / factor
    return found


def tear_out_n(end: Array, hole: Array, plate: Array, yields: Array, factor: Array) -> Array:
    """2 (e1 − d0/2) t 0.577 Sy/n: two strips behind the bolt shear (from memory: Shigley, 9th ed., 8-12). [N]"""
    found: Array = 2.0 * (end - 0.5 * hole) * plate * DISTORTION * yields / factor
    return found


def shank_area_m2(diameter: Array) -> Array:
    """Section of the plain shank. [m²]"""
    found: Array = 0.25 * math.pi * diameter**2
    return found
