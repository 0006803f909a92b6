"""The compiled twin of the NumPy sums in `kernels`; imported only when numba is installed (extra `fast`).

Draws run along the innermost loop, so the compiler can use vector registers without being allowed to reorder a sum.
"""

from __future__ import annotations

import numba
import numpy as np

from hoistbook.core.arrays import Array

_BLOCK = 64


@numba.njit(parallel=True, cache=True)
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
    for block in numba.prange(n_blocks):
        first = block * _BLOCK
        n = min(_BLOCK, n_draws - first)
        last = first + n
        shared = np.empty((4, _BLOCK))
        sums = np.empty((4, _BLOCK))
        for k in range(n_combinations):
            a = road[0, k, first:last]
            b = road[1, k, first:last]
            c = road[2, k, first:last]
            inertia = road[3, k, first:last]
            mass = road[4, k, first:last]
            for d in range(n_drives):
                eta = drives[d, 0, first:last]
                back = drives[d, 1, first:last]
                copper = drives[d, 2, first:last]
                constant = drives[d, 3, first:last]
                per_speed = drives[d, 4, first:last]
                per_cube = drives[d, 5, first:last]
                lever = drives[d, 6, first:last]
                shared[:, :] = 0.0
                for i in range(traction.shape[1]):
                    u, acceleration, w = traction[0, i], traction[1, i], traction[2, i]
                    for j in range(n):
                        at_shaft = (a[j] + b[j] * u + c[j] * u * u + inertia[j] * acceleration) / eta[j]
                        p = (
                            at_shaft * (copper[j] * at_shaft + u)
                            + constant[j]
                            + per_speed[j] * u
                            + per_cube[j] * u * u * u
                        )
                        square = p * p
                        shared[0, j] += w * p
                        shared[1, j] += w * square
                        shared[2, j] += w * square * p
                        shared[3, j] += w * square * square
                for r in range(n_cuts):
                    share = cuts[r, 0, first:last]
                    low = cuts[r, 1, first:last]
                    full = cuts[r, 2, first:last]
                    power_cap = cuts[r, 3, first:last]
                    torque_cap = cuts[r, 4, first:last]
                    adhesion = cuts[r, 5, first:last]
                    load = cuts[r, 6, first:last]
                    transfer = cuts[r, 7, first:last]
                    sums[:, :] = shared
                    for i in range(braking.shape[1]):
                        u, acceleration, w = braking[0, i], braking[1, i], braking[2, i]
                        for j in range(n):
                            force = -(a[j] + b[j] * u + c[j] * u * u + inertia[j] * acceleration)
                            at_shaft = force * share[j] * back[j]
                            p = (
                                at_shaft * (copper[j] * at_shaft - u)
                                + constant[j]
                                + per_speed[j] * u
                                + per_cube[j] * u * u * u
                            )
                            square = p * p
                            sums[0, j] += w * p
                            sums[1, j] += w * square
                            sums[2, j] += w * square * p
                            sums[3, j] += w * square * square
                    for i in range(single.shape[1]):
                        u, acceleration, w = single[0, i], single[1, i], single[2, i]
                        braking_rate = abs(acceleration)
                        for j in range(n):
                            force = a[j] + b[j] * u + c[j] * u * u + inertia[j] * acceleration
                            forward = max(force, 0.0) / eta[j]
                            taken = max(-force, 0.0)
                            grip = adhesion[j] * max(gravity * load[j] + transfer[j] * braking_rate, 0.0)
                            taken = min(taken, mass[j] * grip)
                            taken = min(taken, torque_cap[j] * lever[j] / back[j])
                            taken = min(taken, power_cap[j] / (back[j] * u))
                            width = full[j] - low[j]
                            step = 1.0 if u >= low[j] else 0.0
                            ramp = (u - low[j]) / width if width > 0.0 else step
                            fade = min(max(ramp, 0.0), 1.0)
                            returned = taken * (share[j] * fade) * back[j]
                            p = (
                                forward * (copper[j] * forward + u)
                                + returned * (copper[j] * returned - u)
                                + constant[j]
                                + per_speed[j] * u
                                + per_cube[j] * u * u * u
                            )
                            square = p * p
                            sums[0, j] += w * p
                            sums[1, j] += w * square
                            sums[2, j] += w * square * p
                            sums[3, j] += w * square * square
                    for power in range(n_powers):
                        for j in range(n):
                            out[power, k, d, r, first + j] = sums[power, j]
