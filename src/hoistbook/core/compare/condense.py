"""A drive cycle condensed to few steps that give the same energy sums, for thousands of parameter draws.

Shaft power in a step of speed u and acceleration a is, as long as no limit acts and the sign of the wheel force is
known, a polynomial in (u, a) whose terms u^i a^j have i + 2j ≤ 4. Its k-th power has i + 2j ≤ 4k. A positive
quadrature on a subset of the cycle's own steps that is exact for those terms therefore gives the same Σ P^k dt as the
whole cycle, whatever the coefficients, that is for every draw and every combination of causes at once.
Steps where a limit or the sign of the force depends on the draw are kept one by one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import nnls

from hoistbook.core.arrays import Array
from hoistbook.core.energy.cycles import Cycle

LINEAR_DEGREE = 4
"""Weighted degree i + 2j of shaft power in (u, a): F² u⁰ reaches u⁴, u²a and a²."""

EXACT_POWERS = 3
"""Powers of P integrated exactly when the pack has a resistance; Σ P⁴ only closes a series (docs/engines/gap.md)."""

_TOLERANCE = 1e-11
_SPEED_GRID = 49


@dataclass(frozen=True, slots=True)
class StepSet:
    """Steps with weights: speed [m/s], acceleration [m/s²], weight [s]; arrays of one shape (n,)."""

    speed: Array
    acceleration: Array
    weight: Array


@dataclass(frozen=True, slots=True)
class CondensedCycle:
    """A cycle split by what is certain for every draw.

    Attributes
    ----------
    traction, braking : StepSet
        Condensed steps of certain traction, and of certain braking with no limit acting.
    single : StepSet
        Moving steps kept one by one: the sign of the force or a recuperation limit differs between draws.
    duration_s, distance_m : float
        Whole cycle, standing included.
    closing_error_frac : float
        Largest error of the condensed sums over all terms kept exact, against the sum of the weights.
    """

    traction: StepSet
    braking: StepSet
    single: StepSet
    duration_s: float
    distance_m: float
    closing_error_frac: float


@dataclass(frozen=True, slots=True)
class Reach:
    """What the draws can reach: arrays over every combination and draw, any one shape.

    Attributes
    ----------
    mass_kg, a_n, b_n_s_per_m, c_n_s2_per_m2 : array
        Effective mass and road load.
    full_speed_m_per_s : float
        Above this speed recuperation is faded in for every draw.
    force_cap_n, power_cap_w : float
        Smallest limits on the braking force at the wheels, and on braking power at the wheels, over every draw.
    """

    mass_kg: Array
    a_n: Array
    b_n_s_per_m: Array
    c_n_s2_per_m2: Array
    full_speed_m_per_s: float
    force_cap_n: float
    power_cap_w: float


def condense(cycle: Cycle, reach: Reach, *, exact_powers: int) -> CondensedCycle:
    """Condense a cycle for a set of draws.

    Parameters
    ----------
    cycle : Cycle
    reach : Reach
        Range of the parameters; the result holds for these draws only.
    exact_powers : int
        Powers of shaft power whose sums stay exact: 1 without pack resistance, 3 with it.

    Returns
    -------
    CondensedCycle

    Raises
    ------
    ValueError
        exact_powers is below 1.

    Notes
    -----
    Certain traction means a + (A + B u + C u²)/m > 0 for every draw. The bound over draws is taken on a grid of speeds;
    between grid speeds the deceleration (A + B u + C u²)/m of one draw is a parabola, so its upper bound is the larger
    of the two grid values (C ≥ 0) and its lower bound the smaller one less C/m Δu²/4. The classes are therefore safe.

    Source
    ------
    first principles; existence of the positive quadrature: Tchakaloff's theorem (from memory). The non-negative least
    squares of scipy.optimize.nnls finds it; the remaining error is measured and returned.
    """
    if exact_powers < 1:
        msg = f"exact_powers = {exact_powers}: give 1 or more."
        raise ValueError(msg)
    speed, acceleration, duration = cycle.step_speed, cycle.step_acceleration, cycle.step_duration
    moving = speed > 0.0
    lower, upper = _deceleration_bounds(reach, speed)
    traction = moving & (acceleration + lower > 0.0)
    # The largest braking force any draw can see in a step, against the smallest limit any draw has.
    strongest = -(acceleration + lower) * float(reach.mass_kg.max())
    uncapped = (strongest <= reach.force_cap_n) & (strongest * speed <= reach.power_cap_w)
    braking = moving & (acceleration + upper < 0.0) & (speed >= reach.full_speed_m_per_s) & uncapped
    single = moving & ~traction & ~braking

    def chosen(mask: NDArray[np.bool_]) -> StepSet:
        return StepSet(speed[mask], acceleration[mask], duration[mask])

    degree = LINEAR_DEGREE * exact_powers
    condensed_traction, traction_error = _quadrature(chosen(traction), degree)
    condensed_braking, braking_error = _quadrature(chosen(braking), degree)
    return CondensedCycle(
        traction=condensed_traction,
        braking=condensed_braking,
        single=chosen(single),
        duration_s=float(duration.sum()),
        distance_m=cycle.distance_m,
        closing_error_frac=max(traction_error, braking_error),
    )


def _deceleration_bounds(reach: Reach, speed: Array) -> tuple[Array, Array]:
    """Bounds over the draws of (A + B u + C u²)/m at each speed. [m/s²]"""
    grid = np.linspace(0.0, float(speed.max()), _SPEED_GRID)
    alpha = (reach.a_n / reach.mass_kg).ravel()
    beta = (reach.b_n_s_per_m / reach.mass_kg).ravel()
    gamma = (reach.c_n_s2_per_m2 / reach.mass_kg).ravel()
    low = np.empty(grid.size)
    high = np.empty(grid.size)
    for i, u in enumerate(grid):
        at_speed = alpha + u * (beta + u * gamma)
        low[i], high[i] = at_speed.min(), at_speed.max()
    step = grid[1] - grid[0]
    sag = max(float(gamma.max()), 0.0) * step**2 / 4.0
    bulge = max(-float(gamma.min()), 0.0) * step**2 / 4.0
    cell = np.clip(np.searchsorted(grid, speed, side="right") - 1, 0, grid.size - 2)
    lower = np.minimum(low[cell], low[cell + 1]) - sag
    upper = np.maximum(high[cell], high[cell + 1]) + bulge
    return lower, upper


def _quadrature(steps: StepSet, degree: int) -> tuple[StepSet, float]:
    """Fewest-step positive quadrature exact for u^i a^j with i + 2j ≤ degree; and its relative error."""
    terms = _terms(degree)
    if steps.weight.size <= len(terms):
        return steps, 0.0
    # Chebyshev polynomials on the box of the steps: the plain powers up to u¹² are too alike to be told apart.
    speed_terms = _chebyshev(steps.speed, degree)
    acceleration_terms = _chebyshev(steps.acceleration, degree // 2)
    functions = np.stack([speed_terms[i] * acceleration_terms[j] for i, j in terms])
    exact = functions @ steps.weight
    factor, _ = nnls(functions * steps.weight, exact, maxiter=30 * steps.weight.size)
    weight = factor * steps.weight
    kept = weight > 0.0
    weight = weight[kept]
    error = float(np.max(np.abs(functions[:, kept] @ weight - exact)) / steps.weight.sum())
    if error > _TOLERANCE:
        # Not met on an odd cycle: keep the steps as they are, slower but exact.
        return steps, 0.0
    return StepSet(steps.speed[kept], steps.acceleration[kept], weight), error


def _chebyshev(values: Array, degree: int) -> Array:
    """Chebyshev polynomials 0 … degree of the values scaled to [−1, 1]: shape (degree + 1, n)."""
    low, high = float(values.min()), float(values.max())
    half = (high - low) / 2.0
    scaled = (values - (low + high) / 2.0) / (half if half > 0.0 else 1.0)
    rows = [np.ones_like(scaled), scaled]
    for _ in range(degree - 1):
        rows.append(2.0 * scaled * rows[-1] - rows[-2])
    return np.stack(rows[: degree + 1])


def _terms(degree: int) -> Sequence[tuple[int, int]]:
    return [(i, j) for j in range(degree // 2 + 1) for i in range(degree - 2 * j + 1)]
