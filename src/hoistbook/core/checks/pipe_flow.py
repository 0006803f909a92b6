"""Pressure drop of a line: friction of the wall, bends, joints; for the checks of refrigerant and coolant lines."""

from __future__ import annotations

import math

import numpy as np

from hoistbook.core.arrays import Array

LAMINAR_BELOW = 2300.0
TURBULENT_FROM = 4000.0
"""Reynolds numbers between which flow may be either (from memory: any text of fluid mechanics)."""
STEEL_ROUGHNESS_M = 45.7e-6
"""Of commercial steel pipe, 0.00015 ft (from memory: Moody 1944)."""


def laminar_friction(reynolds: Array) -> Array:
    """Darcy friction factor of laminar flow, 64/Re (first principles: Hagen and Poiseuille)."""
    factor: Array = 64.0 / reynolds
    return factor


def haaland_friction(reynolds: Array, relative_roughness: Array) -> Array:
    """Darcy friction factor, explicit within 2 % of Colebrook's (from memory: Haaland 1983)."""
    root = -1.8 * np.log10((relative_roughness / 3.7) ** 1.11 + 6.9 / reynolds)
    factor: Array = root**-2.0
    return factor


def colebrook_friction(reynolds: Array, relative_roughness: Array) -> Array:
    """Darcy friction factor of turbulent flow.

    Parameters
    ----------
    reynolds, relative_roughness : array, shape (n,)
        Roughness over bore. [1]

    Returns
    -------
    array, shape (n,)

    Notes
    -----
    1/√f = −2 log₁₀(ε/(3.7 D) + 2.51/(Re √f)), solved for 1/√f by four steps of Newton's method from Haaland's factor;
    it converges quadratically from within 2 %.

    Source
    ------
    from memory: Colebrook 1939.
    """
    rough, viscous = relative_roughness / 3.7, 2.51 / reynolds
    root = haaland_friction(reynolds, relative_roughness) ** -0.5
    for _ in range(4):
        inside = rough + viscous * root
        off = root + 2.0 * np.log10(inside)
        root = root - off / (1.0 + 2.0 / math.log(10.0) * viscous / inside)
    factor: Array = root**-2.0
    return factor


def friction_factor(reynolds: Array, relative_roughness: Array) -> Array:
    """Darcy friction factor: laminar below Re 2300, Colebrook's above; doubtful up to Re 4000."""
    factor: Array = np.where(
        reynolds < LAMINAR_BELOW, laminar_friction(reynolds), colebrook_friction(reynolds, relative_roughness)
    )
    return factor


def velocity_m_per_s(flow_m3_per_s: Array, bore_m: Array) -> Array:
    """Mean velocity in a round bore. [m/s]"""
    velocity: Array = flow_m3_per_s / (0.25 * math.pi * bore_m**2)
    return velocity


def reynolds_number(density: Array, velocity: Array, bore_m: Array, viscosity_pa_s: Array) -> Array:
    """ρ V D/µ. [1]"""
    reynolds: Array = density * velocity * bore_m / viscosity_pa_s
    return reynolds


def pressure_drop_pa(loss: Array, density: Array, velocity: Array) -> Array:
    """Drop of a sum of loss coefficients, ΔP = K ρV²/2; of a straight line K = f L/D (Darcy and Weisbach). [Pa]"""
    drop: Array = loss * 0.5 * density * velocity**2
    return drop


def rennels_bend_k(friction: Array, radius_over_bore: Array) -> Array:
    """Loss of a smooth bend of 90°, its own length included (from memory: Rennels and Hudson, Pipe Flow, ch. 15)."""
    sine = math.sin(math.pi / 4.0)
    loss: Array = (
        friction * 0.5 * math.pi * radius_over_bore
        + (0.10 + 2.4 * friction) * sine
        + 6.6 * friction * (math.sqrt(sine) + sine) / radius_over_bore**2
    )
    return loss


def standard_elbow_k(bore_m: Array) -> Array:
    """Loss of a standard elbow of 90° in commercial steel, 30 f_T, f_T the factor of fully rough flow.

    from memory: the flow-of-fluids manual of 1942 and later that valve tables still follow; f_T = [2 log₁₀(3.7 D/ε)]⁻².
    """
    loss: Array = 30.0 * (2.0 * np.log10(3.7 * bore_m / STEEL_ROUGHNESS_M)) ** -2.0
    return loss


def tube_kg_per_m(bore_m: Array, outer_m: Array, density_kg_per_m3: float | Array) -> Array:
    """Mass of a tube per length. [kg/m]"""
    mass: Array = 0.25 * math.pi * (outer_m**2 - bore_m**2) * density_kg_per_m3
    return mass
