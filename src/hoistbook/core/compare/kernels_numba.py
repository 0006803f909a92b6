"""The twin of the NumPy sums in `kernels` as plain loops, compiled by numba where it is installed (extra `fast`).

Draws run along the innermost loop, so the compiler can use vector registers without being allowed to reorder a sum.
"""

from __future__ import annotations

import numpy as np

from hoistbook.core.arrays import Array

_BLOCK = 64

LEAST_WIDTH_M_PER_S = 1e-9
"""A cut-in without width is a step: numerically a ramp this narrow."""


def sum_powers(
    road: Array,
    drives: Array,
    cuts: Array,
    traction: Array,
    braking: Array,
    single: Array,
    gravity: float,
    out: Array,
) -> None:
    """Fill out[k, combination, drive, cut, draw] with Σ w P^(k+1).

    Parameters
    ----------
    road : array, shape (5, n_combinations, n_draws)
        A, B, C, effective mass, mass.
    drives, cuts : array, shape (n_states, n_fields, n_draws)
        Fields in the order of `kernels.Drive` and `kernels.Recuperation`.
    traction, braking, single : array, shape (3, n_steps)
        Speed, acceleration, weight.
    gravity : float
        In m/s².
    out : array, shape (1 or 4, n_combinations, n_drives, n_cuts, n_draws)

    Source
    ------
    first principles; equations in `kernels.moments`, to which it is held in the tests.
    """
    n_powers, n_combinations, n_drives, n_cuts, n_draws = out.shape
    n_blocks = (n_draws + _BLOCK - 1) // _BLOCK
    for block in range(n_blocks):
        first = block * _BLOCK
        n = min(_BLOCK, n_draws - first)
        last = first + n
        # Per-draw constants of each state, so that the inner loops hold no division.
        inverse = 1.0 / drives[:, 0, first:last]
        back = drives[:, 1, first:last].copy()
        copper = drives[:, 2, first:last].copy()
        constant = drives[:, 3, first:last].copy()
        per_speed = drives[:, 4, first:last].copy()
        per_cube = drives[:, 5, first:last].copy()
        lever_over_back = drives[:, 6, first:last] / back
        inverse_back = 1.0 / back
        inverse_width = 1.0 / np.maximum(cuts[:, 2, first:last] - cuts[:, 1, first:last], LEAST_WIDTH_M_PER_S)
        force = np.empty(n)
        taken = np.empty(n)
        forward_power = np.empty((n_drives, n))
        for k in range(n_combinations):
            a = road[0, k, first:last]
            b = road[1, k, first:last]
            c = road[2, k, first:last]
            inertia = road[3, k, first:last]
            mass = road[4, k, first:last]
            driving = np.zeros((n_drives, 4, _BLOCK))
            sums = np.zeros((n_drives, n_cuts, 4, _BLOCK))
            for i in range(traction.shape[1]):
                u, acceleration, w = traction[0, i], traction[1, i], traction[2, i]
                for j in range(n):
                    force[j] = a[j] + u * (b[j] + c[j] * u) + inertia[j] * acceleration
                for d in range(n_drives):
                    for j in range(n):
                        at_shaft = force[j] * inverse[d, j]
                        p = at_shaft * (copper[d, j] * at_shaft + u)
                        p += constant[d, j] + u * (per_speed[d, j] + per_cube[d, j] * u * u)
                        square = p * p
                        driving[d, 0, j] += w * p
                        driving[d, 1, j] += w * square
                        driving[d, 2, j] += w * square * p
                        driving[d, 3, j] += w * square * square
            for i in range(braking.shape[1]):
                u, acceleration, w = braking[0, i], braking[1, i], braking[2, i]
                for j in range(n):
                    force[j] = -(a[j] + u * (b[j] + c[j] * u) + inertia[j] * acceleration)
                for d in range(n_drives):
                    for r in range(n_cuts):
                        for j in range(n):
                            at_shaft = force[j] * cuts[r, 0, first + j] * back[d, j]
                            p = at_shaft * (copper[d, j] * at_shaft - u)
                            p += constant[d, j] + u * (per_speed[d, j] + per_cube[d, j] * u * u)
                            square = p * p
                            sums[d, r, 0, j] += w * p
                            sums[d, r, 1, j] += w * square
                            sums[d, r, 2, j] += w * square * p
                            sums[d, r, 3, j] += w * square * square
            for i in range(single.shape[1]):
                u, acceleration, w = single[0, i], single[1, i], single[2, i]
                deceleration = -acceleration
                inverse_speed = 1.0 / u
                for j in range(n):
                    force[j] = a[j] + u * (b[j] + c[j] * u) + inertia[j] * acceleration
                for d in range(n_drives):
                    for j in range(n):
                        at_shaft = max(force[j], 0.0) * inverse[d, j]
                        forward_power[d, j] = (
                            at_shaft * (copper[d, j] * at_shaft + u)
                            + constant[d, j]
                            + u * (per_speed[d, j] + per_cube[d, j] * u * u)
                        )
                for r in range(n_cuts):
                    for j in range(n):
                        load = gravity * cuts[r, 6, first + j] + cuts[r, 7, first + j] * deceleration
                        grip = mass[j] * cuts[r, 5, first + j] * max(load, 0.0)
                        taken[j] = min(max(-force[j], 0.0), grip)
                    for d in range(n_drives):
                        for j in range(n):
                            torque_limit = cuts[r, 4, first + j] * lever_over_back[d, j]
                            power_limit = cuts[r, 3, first + j] * inverse_back[d, j] * inverse_speed
                            ramp = (u - cuts[r, 1, first + j]) * inverse_width[r, j]
                            fade = cuts[r, 0, first + j] * min(max(ramp, 0.0), 1.0)
                            at_shaft = min(taken[j], torque_limit, power_limit) * fade * back[d, j]
                            p = forward_power[d, j] + at_shaft * (copper[d, j] * at_shaft - u)
                            square = p * p
                            sums[d, r, 0, j] += w * p
                            sums[d, r, 1, j] += w * square
                            sums[d, r, 2, j] += w * square * p
                            sums[d, r, 3, j] += w * square * square
            for power in range(n_powers):
                for d in range(n_drives):
                    for r in range(n_cuts):
                        for j in range(n):
                            out[power, k, d, r, first + j] = sums[d, r, power, j] + driving[d, power, j]
