"""How well a cycle was driven: where the trace lies in the log, and the indices of drive quality."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.energy.cycles import Cycle
from hoistbook.core.energy.wheel import wheel_energy

SPEED_BAND_M_PER_S = 2.0 * 0.44704
TIME_BAND_S = 1.0
"""from memory: 40 CFR 1066.425, 2 mph above the highest and below the lowest point of the trace within 1 s."""


def start_of_cycle_s(time_s: Array, speed_m_per_s: Array, cycle: Cycle, step_s: float = 0.1) -> float:
    """Time of the log at which the cycle starts: where the driven speed is closest to the trace.

    Parameters
    ----------
    time_s, speed_m_per_s : array, shape (n,)
        The driven speed.
    cycle : Cycle
    step_s : float
        How finely the start is found. [s]

    Raises
    ------
    ValueError
        The log is shorter than the cycle by more than a step of a second.

    Notes
    -----
    Least Σ (v_driven − v_trace)² over all starts by whole seconds, then by `step_s` around the best; the log is taken
    to stand still before it begins and after it ends.

    Source
    ------
    first principles.
    """
    span = float(time_s[-1] - time_s[0])
    if span < cycle.duration_s - 1.0:
        msg = (
            f"the log lasts {span:.0f} s, the cycle {cycle.title} {cycle.duration_s:.0f} s; evaluate it without the "
            "cycle, or give the log of a whole one."
        )
        raise ValueError(msg)
    grid = np.arange(0.0, cycle.duration_s + 0.5)
    target = np.interp(grid, cycle.time_s - cycle.time_s[0], cycle.speed_m_per_s)

    def miss(start: float) -> float:
        driven = np.interp(start + grid, time_s, speed_m_per_s, left=0.0, right=0.0)
        return float(np.sum((driven - target) ** 2))

    first = math.floor(time_s[0]) - 2
    seconds = np.arange(first, math.ceil(time_s[-1]) + 3.0)
    driven = np.interp(seconds, time_s, speed_m_per_s, left=0.0, right=0.0)
    padded = np.concatenate((driven, np.zeros(len(grid))))
    squares = np.concatenate(([0.0], np.cumsum(padded**2)))
    latest = max(1, len(seconds) - len(grid) + 3)
    cross = np.correlate(padded[: latest + len(grid) - 1], target, mode="valid")
    misses = squares[len(grid) : len(grid) + latest] - squares[:latest] - 2.0 * cross
    best = float(seconds[int(np.argmin(misses))])
    fine = best + np.arange(-1.0, 1.0 + 0.5 * step_s, step_s)
    return float(min(fine, key=miss))


@dataclass(frozen=True, slots=True)
class DriveQuality:
    """Indices of drive quality, driven against target.

    Attributes
    ----------
    energy_rating_frac : float or None
        ER: excess of traction energy at the wheels.
    distance_rating_frac : float
        DR: excess of distance.
    energy_economy_rating_frac : float or None
        EER: 1 − (1 + DR)/(1 + ER).
    absolute_speed_change_rating_frac : float
        ASCR: excess of Σ |Δv|.
    inertial_work_rating_frac : float
        IWR: excess of Σ max(a, 0) v dt.
    rms_speed_error_m_per_s : float
        RMSSE.
    outside_s : float
        Time outside the speed band of `SPEED_BAND_M_PER_S` within `TIME_BAND_S`. [s]
    """

    energy_rating_frac: float | None
    distance_rating_frac: float
    energy_economy_rating_frac: float | None
    absolute_speed_change_rating_frac: float
    inertial_work_rating_frac: float
    rms_speed_error_m_per_s: float
    outside_s: float


def drive_quality(
    driven: Cycle, target: Cycle, road_load: tuple[float, float, float, float] | None = None
) -> DriveQuality:
    """Compare a driven trace with the cycle it follows.

    Parameters
    ----------
    driven, target : Cycle
        Sampled at the same times.
    road_load : tuple of float, optional
        Effective mass [kg], A [N], B [N·s/m], C [N·s²/m²]; without it the two energy ratings are None.

    Raises
    ------
    ValueError
        The two are not sampled alike.

    Notes
    -----
    Both traces are compared at the samples of the cycle (1 s for the packaged ones), so that the finer sampling of a
    log does not count as faster driving; the standard works at 10 samples a second.

    Source
    ------
    from memory: SAE J2951, definitions of ER, DR, EER, ASCR, IWR and RMSSE (text not seen).
    """
    if len(driven.time_s) != len(target.time_s):
        msg = f"{len(driven.time_s)} driven and {len(target.time_s)} target samples; they must be those of the cycle."
        raise ValueError(msg)
    v, t = driven.speed_m_per_s, target.speed_m_per_s
    distance = driven.distance_m / target.distance_m - 1.0
    energy = economy = None
    if road_load is not None:
        energy = (
            float(wheel_energy(driven, *road_load).traction_j / wheel_energy(target, *road_load).traction_j)
            - 1.0
        )
        economy = 1.0 - (1.0 + distance) / (1.0 + energy)

    def inertial(speed: Array) -> float:
        return float(np.sum(np.maximum(np.diff(speed**2), 0.0)))

    return DriveQuality(
        energy,
        distance,
        economy,
        float(np.sum(np.abs(np.diff(v))) / np.sum(np.abs(np.diff(t)))) - 1.0,
        inertial(v) / inertial(t) - 1.0,
        float(np.sqrt(np.mean((v - t) ** 2))),
        _outside_s(driven, target),
    )


def _outside_s(driven: Cycle, target: Cycle) -> float:
    times = target.time_s
    low, high = (np.array(target.speed_m_per_s) for _ in range(2))
    for shift in (-TIME_BAND_S, TIME_BAND_S):
        moved = np.interp(times + shift, times, target.speed_m_per_s)
        low, high = np.minimum(low, moved), np.maximum(high, moved)
    v = driven.speed_m_per_s
    wrong = (v < low - SPEED_BAND_M_PER_S) | (v > high + SPEED_BAND_M_PER_S)
    return float(np.sum(np.diff(times)[wrong[:-1]]))
