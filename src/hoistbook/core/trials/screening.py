"""Which runs do not belong: a driver who did something, or a mean that is not of this family."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from scipy.special import stdtrit

from hoistbook.core.arrays import Array
from hoistbook.core.trials.coastdown_set_up import CoastDownTest, SetUp
from hoistbook.core.trials.coasting import KMH, Run
from hoistbook.core.trials.road_equations import RoadFit

FEWEST_FOR_OUTLIER = 4
"""Clusters below which nobody can say which one is wrong."""

_NORMAL = 1.4826  # standard deviation over median absolute deviation of a normal distribution, 1/0.6745


@dataclass(frozen=True, slots=True)
class Verdict:
    """Runs to leave out, and why."""

    runs: tuple[Run, ...]
    reason: str


def effective_mass_kg(test: CoastDownTest) -> float:
    """Mass with its rotating parts. [kg]"""
    return test.mass.value * (1.0 + test.rotating_share.value)


def disturbed(set_up: SetUp, fit: RoadFit, test: CoastDownTest) -> Verdict | None:
    """Find the run with the largest disturbance, if one is beyond both limits.

    Notes
    -----
    What the fit leaves is summed over windows that overlap by half. Its spread over all windows of all runs, from the
    median so that the disturbance does not hide itself, says what is usual on that day.

    Source
    ------
    common practice (project rule); limits are settings of the test.
    """
    windows = [_windows(fit, i, test.disturbance_s) for i in range(len(set_up.runs))]
    every = np.concatenate([change for change, _, _ in windows])
    if len(every) == 0:
        return None
    usual = _NORMAL * float(np.median(np.abs(every)))
    worst: tuple[float, Run, float, float] | None = None
    for run, (change, length, speed) in zip(set_up.runs, windows, strict=True):
        rate = change / length
        beyond = (np.abs(change) > test.disturbance_sigma * usual) & (
            np.abs(rate) > test.disturbance_m_per_s2
        )
        if beyond.any():
            i = int(np.argmax(np.where(beyond, np.abs(rate), 0.0)))
            if worst is None or abs(rate[i]) > worst[0]:
                worst = (abs(float(rate[i])), run, float(rate[i]), float(speed[i]))
    if worst is None:
        return None
    _, run, rate_there, speed_there = worst
    what = "more slowing, as of braking or steering" if rate_there > 0.0 else "less slowing, as of drive"
    return Verdict(
        (run,),
        f"{abs(rate_there):.2f} m/s² {what}, near {speed_there / KMH:.0f} km/h, that no channel explains",
    )


def _windows(fit: RoadFit, place: int, length_s: float) -> tuple[Array, Array, Array]:
    """Sum of what is left, time and mean speed of each window of one run."""
    inside = fit.step_run == place
    left, duration, speed = fit.left_m_per_s[inside], fit.duration_s[inside], fit.step_speed_m_per_s[inside]
    end = np.concatenate(([0.0], np.cumsum(duration)))
    starts = np.searchsorted(end, np.arange(0.0, max(end[-1] - length_s, 0.0) + 1e-9, 0.5 * length_s))
    stops = np.minimum(np.searchsorted(end, end[starts] + length_s - 1e-9), len(duration))
    whole = stops > starts
    starts, stops = starts[whole], stops[whole]
    total = np.concatenate(([0.0], np.cumsum(left)))
    way = np.concatenate(([0.0], np.cumsum(speed * duration)))
    time = end[stops] - end[starts]
    return total[stops] - total[starts], time, (way[stops] - way[starts]) / time


def run_means_n(fit: RoadFit, set_up: SetUp, test: CoastDownTest) -> Array:
    """Mean force of each run less that of the fit. [N]"""
    count = len(set_up.runs)
    left = np.bincount(fit.step_run, fit.left_m_per_s, count)
    time = np.bincount(fit.step_run, fit.duration_s, count)
    return effective_mass_kg(test) * left / time


def studentised(means_n: Array, set_up: SetUp) -> Array | None:
    """Mean of each cluster against the others, over what the others scatter; None with too few of them.

    Notes
    -----
    t_i = (x_i − x̄_(i))/(s_(i) √(1 + 1/(m − 1))), the others without i, m − 2 degrees of freedom.

    Source
    ------
    from memory: externally studentised residual, Grubbs' test in its Student form.
    """
    of_cluster = np.asarray(set_up.cluster_of)
    count = int(of_cluster[-1]) + 1
    if count < FEWEST_FOR_OUTLIER:
        return None
    means = np.bincount(of_cluster, means_n) / np.bincount(of_cluster)
    found = np.empty(count)
    for i in range(count):
        others = np.delete(means, i)
        spread = float(np.std(others, ddof=1)) * math.sqrt(1.0 + 1.0 / (count - 1))
        found[i] = (means[i] - float(np.mean(others))) / spread if spread > 0.0 else 0.0
    return found


def outlying(set_up: SetUp, fit: RoadFit, test: CoastDownTest) -> Verdict | None:
    """Find the run or pair whose mean force does not belong to the others, at the level of the test.

    Notes
    -----
    The level holds for all clusters together (Bonferroni), so sound runs are seldom rejected.
    """
    means = run_means_n(fit, set_up, test)
    found = studentised(means, set_up)
    if found is None:
        return None
    count = len(found)
    limit = -float(stdtrit(count - 2, 0.5 * test.outlier_significance / count))
    worst = int(np.argmax(np.abs(found)))
    if abs(found[worst]) <= limit:
        return None
    runs = tuple(run for run, c in zip(set_up.runs, set_up.cluster_of, strict=True) if c == worst)
    mean = float(np.mean([means[i] for i, c in enumerate(set_up.cluster_of) if c == worst]))
    return Verdict(
        runs,
        f"outlier: {mean:+.0f} N against the others on the mean, {abs(found[worst]):.1f} times their scatter (limit "
        f"{limit:.1f} at {100 * test.outlier_significance:g} % for all together)",
    )
