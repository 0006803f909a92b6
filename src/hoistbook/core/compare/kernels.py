"""Sums Σ P^k dt of shaft power over a condensed cycle: NumPy in cache-sized chunks, or numba when it is installed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, fields

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.compare.condense import CondensedCycle, StepSet
from hoistbook.core.compare.kernels_numba import LEAST_WIDTH_M_PER_S, sum_powers
from hoistbook.core.compiling import compiled


@dataclass(frozen=True, slots=True)
class Road:
    """Mass, effective mass and road load of every combination; arrays of shape (n_combinations, n_draws)."""

    mass_kg: Array
    inertia_kg: Array
    a_n: Array
    b_n_s_per_m: Array
    c_n_s2_per_m2: Array


@dataclass(frozen=True, slots=True)
class Drive:
    """A drive unit seen from the wheel; arrays of shape (n_draws,).

    `lever` is gear ratio over wheel radius [1/m]; `copper` is k1/lever² [W/N²]; `per_speed` [W s/m] and
    `per_cubed_speed` [W s³/m³] are k2 and k3 per wheel speed.
    """

    efficiency: Array
    efficiency_back: Array
    copper: Array
    constant_w: Array
    per_speed: Array
    per_cubed_speed: Array
    lever: Array


@dataclass(frozen=True, slots=True)
class Recuperation:
    """What is sent back when braking; arrays of shape (n_draws,). Fields as in `EnergyParameters`."""

    return_frac: Array
    low_m_per_s: Array
    full_m_per_s: Array
    power_cap_w: Array
    torque_cap_n_m: Array
    adhesion_frac: Array
    driven_load_frac: Array
    load_transfer: Array


def moments(
    road: Road,
    drives: Sequence[Drive],
    cuts: Sequence[Recuperation],
    cycle: CondensedCycle,
    gravity_m_per_s2: float,
    n_powers: int,
    *,
    fast: bool = True,
) -> Array:
    """Σ P^k dt over the moving steps, k = 1 … n_powers, of shaft power P with the drive unit's own loss.

    Parameters
    ----------
    road : Road
    drives, cuts : sequence
        The states of the drive unit and of recuperation.
    cycle : CondensedCycle
        Condensed for these draws.
    gravity_m_per_s2 : float
    n_powers : int
        1 or 4.
    fast : bool
        Use numba when it is installed. Both ways give the same figures to rounding.

    Returns
    -------
    array, shape (n_powers, n_combinations, n_drives, n_cuts, n_draws)
        In W^k s.

    Source
    ------
    first principles: the step rule of `core.energy.model`, with P = F u/η + κF²/η² + c0 + k2 ω + k3 ω³ in traction and
    P = −η_b F_r u + κ η_b² F_r² + … in braking, κ = k1 (r/G)².
    """
    loops = compiled(sum_powers) if fast else None
    if loops is not None:
        return _moments_loops(loops, road, drives, cuts, cycle, gravity_m_per_s2, n_powers)
    if n_powers == 1:
        return _first_moments(road, drives, cuts, cycle, gravity_m_per_s2)
    return _moments_numpy(road, drives, cuts, cycle, gravity_m_per_s2, n_powers)


def _moments_numpy(
    road: Road,
    drives: Sequence[Drive],
    cuts: Sequence[Recuperation],
    cycle: CondensedCycle,
    gravity: float,
    n_powers: int,
) -> Array:
    n_combinations, n_draws = road.inertia_kg.shape
    out = np.zeros((n_powers, n_combinations, len(drives), len(cuts), n_draws))
    force_terms = [_force_terms(steps) for steps in (cycle.traction, cycle.braking, cycle.single)]
    loss = [
        [_speed_loss(drive, steps) for drive in drives]
        for steps in (cycle.traction, cycle.braking, cycle.single)
    ]
    limits = [[_limit(drive, cut, cycle.single) for cut in cuts] for drive in drives]
    fades = [_fade(cut, cycle.single) for cut in cuts]
    grips = [_grip_per_mass(cut, cycle.single, gravity) for cut in cuts]
    for k in range(n_combinations):
        theta = np.stack(
            [road.a_n[k], road.b_n_s_per_m[k], road.c_n_s2_per_m2[k], road.inertia_kg[k]], axis=1
        )
        pull = theta @ force_terms[0]
        brake = -(theta @ force_terms[1])
        force = theta @ force_terms[2]
        forward = np.maximum(force, 0.0)
        backward = forward - force
        grip = [road.mass_kg[k][:, None] * grip_per_mass for grip_per_mass in grips]
        for d, drive in enumerate(drives):
            driving = _driving_power(drive, pull, cycle.traction.speed)
            driving += loss[0][d]
            shared = _power_sums(driving, cycle.traction.weight, n_powers)
            single_driving = _driving_power(drive, forward, cycle.single.speed)
            single_driving += loss[2][d]
            for c, cut in enumerate(cuts):
                returned = brake * cut.return_frac[:, None]
                braking = _returning_power(drive, returned, cycle.braking.speed)
                braking += loss[1][d]
                taken = np.minimum(backward, grip[c])
                np.minimum(taken, limits[d][c], out=taken)
                taken *= fades[c]
                single = _returning_power(drive, taken, cycle.single.speed)
                single += single_driving
                out[:, k, d, c] = (
                    shared
                    + _power_sums(braking, cycle.braking.weight, n_powers)
                    + _power_sums(single, cycle.single.weight, n_powers)
                )
    return out


def _first_moments(
    road: Road, drives: Sequence[Drive], cuts: Sequence[Recuperation], cycle: CondensedCycle, gravity: float
) -> Array:
    """Σ P dt alone, where the pack loses nothing: a quadratic form in the road load but for the single steps."""
    n_combinations, n_draws = road.inertia_kg.shape
    out = np.zeros((1, n_combinations, len(drives), len(cuts), n_draws))
    sets = (cycle.traction, cycle.braking, cycle.single)
    terms = [_force_terms(steps) for steps in sets]
    work = [term @ (steps.weight * steps.speed) for term, steps in zip(terms, sets, strict=True)]
    squares = [(term * steps.weight) @ term.T for term, steps in zip(terms, sets, strict=True)]
    loss = [sum(_speed_loss(drive, steps) @ steps.weight for steps in sets) for drive in drives]
    has_copper = any(np.any(drive.copper) for drive in drives)
    single, weight = cycle.single, cycle.single.weight
    limits = [[_limit(drive, cut, single) for cut in cuts] for drive in drives]
    fades = [_fade(cut, single) for cut in cuts]
    grips = [_grip_per_mass(cut, single, gravity) for cut in cuts]
    faded_work = [fade * (weight * single.speed) for fade in fades]
    faded_square = [fade * fade * weight for fade in fades]
    for k in range(n_combinations):
        theta = np.stack(
            [road.a_n[k], road.b_n_s_per_m[k], road.c_n_s2_per_m2[k], road.inertia_kg[k]], axis=1
        )
        force = theta @ terms[2]
        forward = np.maximum(force, 0.0)
        backward = forward - force
        driven = theta @ work[0] + forward @ (weight * single.speed)
        braked = theta @ work[1]
        driven_square = braked_square = np.zeros(n_draws)
        if has_copper:
            driven_square = np.einsum("di,ij,dj->d", theta, squares[0], theta) + (forward * forward) @ weight
            braked_square = np.einsum("di,ij,dj->d", theta, squares[1], theta)
        for c, cut in enumerate(cuts):
            held = np.minimum(backward, road.mass_kg[k][:, None] * grips[c])
            for d, drive in enumerate(drives):
                taken = np.minimum(held, limits[d][c])
                # `braked` is the work of the wheels, negative; what is taken of the single steps counts positive.
                back = drive.efficiency_back
                total = driven / drive.efficiency + loss[d]
                total += back * (cut.return_frac * braked - np.einsum("dn,dn->d", taken, faded_work[c]))
                if has_copper:
                    square = cut.return_frac**2 * braked_square
                    square = square + np.einsum("dn,dn,dn->d", taken, taken, faded_square[c])
                    total += drive.copper * (driven_square / drive.efficiency**2 + back**2 * square)
                out[0, k, d, c] = total
    return out


def _force_terms(steps: StepSet) -> Array:
    u = steps.speed
    return np.stack([np.ones_like(u), u, u * u, steps.acceleration])


def _speed_loss(drive: Drive, steps: StepSet) -> Array:
    """Loss that depends on speed alone, shape (n_draws, n_steps). [W]"""
    u = steps.speed
    coefficients = np.stack([drive.constant_w, drive.per_speed, drive.per_cubed_speed], axis=1)
    return coefficients @ np.stack([np.ones_like(u), u, u**3])


def _driving_power(drive: Drive, force: Array, speed: Array) -> Array:
    """F u/η + κ (F/η)²: shape (n_draws, n_steps). [W]"""
    inverse = (1.0 / drive.efficiency)[:, None]
    power = force * (drive.copper[:, None] * inverse**2)
    power += speed * inverse
    power *= force
    return power


def _returning_power(drive: Drive, force: Array, speed: Array) -> Array:
    """−η_b F u + κ (η_b F)²: shape (n_draws, n_steps). [W]"""
    back = drive.efficiency_back[:, None]
    power = force * (drive.copper[:, None] * back**2)
    power -= speed * back
    power *= force
    return power


def _limit(drive: Drive, cut: Recuperation, steps: StepSet) -> Array:
    """Largest braking force at the wheels by torque and power, shape (n_draws, n_steps). [N]"""
    torque = cut.torque_cap_n_m * drive.lever / drive.efficiency_back
    power = (cut.power_cap_w / drive.efficiency_back)[:, None] / steps.speed
    return np.minimum(torque[:, None], power)


def _fade(cut: Recuperation, steps: StepSet) -> Array:
    """Returned share of the force with its fade at low speed, shape (n_draws, n_steps). [1]"""
    low = cut.low_m_per_s[:, None]
    width = np.maximum(cut.full_m_per_s[:, None] - low, LEAST_WIDTH_M_PER_S)
    ramp = (steps.speed - low) / width
    return cut.return_frac[:, None] * np.clip(ramp, 0.0, 1.0)


def _grip_per_mass(cut: Recuperation, steps: StepSet, gravity: float) -> Array:
    """Braking force the driven tyres can carry per vehicle mass, shape (n_draws, n_steps). [m/s²]"""
    load = gravity * cut.driven_load_frac[:, None] + cut.load_transfer[:, None] * -steps.acceleration
    return cut.adhesion_frac[:, None] * np.maximum(load, 0.0)


def _power_sums(power: Array, weight: Array, n_powers: int) -> Array:
    """Σ w P^k, k = 1 … n_powers, shape (n_powers, n_draws)."""
    if n_powers == 1:
        return (power @ weight)[None]
    square = power * power
    sums = np.empty((4, power.shape[0]))
    sums[0] = power @ weight
    sums[1] = square @ weight
    power *= square
    sums[2] = power @ weight
    square *= square
    sums[3] = square @ weight
    return sums


def _moments_loops(
    loops: Callable[..., None],
    road: Road,
    drives: Sequence[Drive],
    cuts: Sequence[Recuperation],
    cycle: CondensedCycle,
    gravity: float,
    n_powers: int,
) -> Array:
    def table(records: Sequence[Drive] | Sequence[Recuperation]) -> Array:
        names = [field.name for field in fields(records[0])]
        return np.stack([np.stack([getattr(record, name) for name in names]) for record in records])

    n_combinations, n_draws = road.inertia_kg.shape
    out = np.zeros((n_powers, n_combinations, len(drives), len(cuts), n_draws))
    step_sets = [
        np.stack([steps.speed, steps.acceleration, steps.weight])
        for steps in (cycle.traction, cycle.braking, cycle.single)
    ]
    road_table = np.stack([road.a_n, road.b_n_s_per_m, road.c_n_s2_per_m2, road.inertia_kg, road.mass_kg])
    loops(road_table, table(drives), table(cuts), step_sets[0], step_sets[1], step_sets[2], gravity, out)
    return out
