"""Coast-down: road load A, B, C of the intact vehicle from its slowing, with a covariance that runs agree on."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.quantities.evaluation import correlated
from hoistbook.core.quantities.quantity import Origin, Quantity, combine, covariance
from hoistbook.core.trials.coastdown_set_up import CoastDownTest, SetUp, rejection, settle
from hoistbook.core.trials.coasting import KMH, Rejected, Run, find_runs
from hoistbook.core.trials.road_equations import Conditions, Factors, RoadFit, fit_road, sensitivities
from hoistbook.core.trials.screening import disturbed, effective_mass_kg, outlying, run_means_n, studentised
from hoistbook.core.trials.series import Series

FORCE_SPEEDS_M_PER_S = (50.0 * KMH, 80.0 * KMH, 110.0 * KMH)
"""Where forces are compared: the coefficients trade force among each other, forces do not."""

MOST_POINTS = 60
"""Points of one run in a picture; each is the mean over all readings of its stretch."""

_UNITS = ("N", "N.s/m", "N.s2/m2")


@dataclass(frozen=True, slots=True, eq=False)
class RunResult:
    """One run that was used: what it had, and how it lies with the others.

    `mean_n` is its mean force less that of the fit, `studentised` that of its cluster over what the others scatter
    (None with fewer than four). `speed_m_per_s` and `force_n` are means over short stretches, in reference conditions,
    for a picture; together they hold every reading.
    """

    run: Run
    wind_m_per_s: float | None
    mean_n: float
    studentised: float | None
    speed_m_per_s: Array
    force_n: Array


@dataclass(frozen=True, slots=True)
class Force:
    """Road load at one speed; `inside` says whether runs reached it."""

    speed_m_per_s: float
    value: Quantity
    inside: bool


@dataclass(frozen=True, slots=True, eq=False)
class CoastDown:
    """Road load of the test. Bands of a, b, c and the forces hold everything; `dof` is that of the scatter of runs.

    `covariance` (3, 3) is that of (a, b, c), scatter and shared errors together. `noise_m_per_s` is the standard
    deviation of one reading of speed, `gusts_n` that of the mean force over 10 s as far as it is none of a run.
    """

    a: Quantity
    b: Quantity
    c: Quantity
    dof: float
    forces: tuple[Force, ...]
    runs: tuple[RunResult, ...]
    rejected: tuple[Rejected, ...]
    conditions: Conditions
    cluster_count: int
    noise_m_per_s: float
    gusts_n: float
    assumptions: tuple[str, ...]

    @property
    def covariance(self) -> Array:
        """Covariance of (a, b, c) in SI, shape (3, 3)."""
        all_three = (self.a, self.b, self.c)
        return np.array([[covariance(x, y) for y in all_three] for x in all_three])


def coast_down(recordings: Sequence[Series], test: CoastDownTest) -> CoastDown:
    """Road load from recordings of coasting runs.

    Parameters
    ----------
    recordings : sequence of Series
    test : CoastDownTest

    Returns
    -------
    CoastDown

    Raises
    ------
    ValueError
        No usable run, or runs that do not tell the terms apart; the message lists why runs were rejected.

    Notes
    -----
    Each run, or each pair of runs to and fro, is one independent observation of the day's road load; the covariance is
    that of how they differ (`regression.Clustered`), so neither the noise of the sensor nor the way gusts hang together
    has to be modelled. With one run or pair only, the scatter inside it is all there is, and this is said. Errors that
    all runs share (mass, rotating share, speed calibration, slope, air) are carried by name, with slopes from solving
    again.

    Source
    ------
    first principles; see `road_equations.fit_road` and `regression`.
    """
    found = find_runs(recordings, test.rules, directions=test.directions)
    runs, rejected = list(found.runs), list(found.rejected)
    outliers_left = math.floor(test.most_outliers_frac * len(runs))
    while True:
        set_up = settle(runs, found.mate, test)
        if not set_up.runs:
            raise ValueError(_nothing_left([*rejected, *set_up.lonely]))
        fit = fit_road(set_up.runs, set_up.cluster_of, _factors(test), set_up.conditions)
        verdict = disturbed(set_up, fit, test)
        if verdict is None and outliers_left > 0:
            verdict = outlying(set_up, fit, test)
            outliers_left -= 0 if verdict is None else len(verdict.runs)
        if verdict is None:
            break
        rejected.extend(rejection(run, verdict.reason) for run in verdict.runs)
        gone = {run.number for run in verdict.runs}
        runs = [run for run in runs if run.number not in gone]
    rejected.extend(set_up.lonely)
    return _result(set_up, fit, test, rejected, found.remarks)


_MOST_NAMED = 6
"""project rule: rejected runs named in a refusal; the reasons of more repeat themselves."""
_MANY_RUNS = 100
"""project rule: more runs than anybody drives in a day."""


def _nothing_left(rejected: Sequence[Rejected]) -> str:
    why = " ".join(f"{one.words}." for one in rejected[:_MOST_NAMED])
    if len(rejected) > _MOST_NAMED:
        more = len(rejected) - _MOST_NAMED
        why += (
            f" {more} more were rejected. So many come of a column taken for the number of the run that is none: "
            "look at the mapping of the columns."
            if len(rejected) > _MANY_RUNS
            else f" {more} more were rejected."
        )
    return f"no coasting run to evaluate. {why or 'No speed falls far enough inside the window.'}"


def _factors(test: CoastDownTest) -> Factors:
    return Factors(
        test.mass.value,
        test.rotating_share.value,
        test.speed_scale.value,
        test.slope_offset.value,
        test.density_scale.value,
    )


def _result(
    set_up: SetUp, fit: RoadFit, test: CoastDownTest, rejected: Sequence[Rejected], remarks: Sequence[str]
) -> CoastDown:
    conditions, runs = set_up.conditions, set_up.runs
    alone = fit.clusters.cluster_count < 2
    scatter = fit.clusters.covariance_within if alone else fit.clusters.covariance_between
    speeds = np.array(FORCE_SPEEDS_M_PER_S)
    powers = np.stack([speeds**0, speeds, speeds**2], axis=1)
    used = [0, 1, 2] if conditions.with_b else [0, 2]
    asked = [*np.eye(len(used)), *powers[:, used]]
    dof = math.inf if alone else fit.clusters.shared_dof(asked)
    names = [f"test {test.name}/road load {'ABC'[i]}" for i in used]
    own = correlated(fit.clusters.estimate.tolist(), scatter, names, [_UNITS[i] for i in used], dof)
    inputs = {
        "mass_kg": test.mass,
        "rotating_frac": test.rotating_share,
        "speed_scale": test.speed_scale,
        "slope_offset": test.slope_offset,
        "density_scale": test.density_scale,
    }
    shared = {name: q for name, q in inputs.items() if q.terms}
    slopes = sensitivities(runs, set_up.cluster_of, _factors(test), conditions, fit, list(shared))
    found: list[Quantity] = [Quantity(0.0, unit, origin=Origin.ASSUMED) for unit in _UNITS]
    for place, i in enumerate(used):
        parts = [(own[place], 1.0), *((q, float(slopes[name][place])) for name, q in shared.items())]
        # The allowance for rotating parts belongs to the method; what was weighed decides how the result is known.
        found[i] = replace(combine(own[place].value, parts, _UNITS[i]), origin=test.mass.origin)
    a, b, c = found
    lowest = min(float(run.speed_m_per_s.min()) for run in runs)
    highest = max(float(run.speed_m_per_s.max()) for run in runs)
    forces = tuple(
        Force(
            v,
            replace(
                combine(a.value + b.value * v + c.value * v * v, ((a, 1.0), (b, v), (c, v * v)), "N"),
                origin=a.origin,
            ),
            lowest <= v <= highest,
        )
        for v in FORCE_SPEEDS_M_PER_S
    )
    return CoastDown(
        a,
        b,
        c,
        dof,
        forces,
        _run_results(set_up, fit, test, (a.value, b.value, c.value)),
        tuple(sorted(rejected, key=lambda one: one.number)),
        conditions,
        fit.clusters.cluster_count,
        math.sqrt(fit.clusters.scale),
        effective_mass_kg(test) * math.sqrt(fit.clusters.scale * fit.ratio_per_s / 10.0),
        (*set_up.notes, *_method_notes(test, fit, lowest, highest), *remarks),
    )


def _run_results(
    set_up: SetUp, fit: RoadFit, test: CoastDownTest, load: tuple[float, float, float]
) -> tuple[RunResult, ...]:
    means = run_means_n(fit, set_up, test)
    ratios = studentised(means, set_up)
    found = []
    for i, (run, cluster) in enumerate(zip(set_up.runs, set_up.cluster_of, strict=True)):
        inside = fit.step_run == i
        left, time = fit.left_m_per_s[inside], fit.duration_s[inside]
        speed = fit.step_speed_m_per_s[inside]
        count = min(MOST_POINTS, len(left))
        starts = np.linspace(0, len(left), count, endpoint=False).astype(np.intp)
        span = np.add.reduceat(time, starts)
        middle = np.add.reduceat(speed * time, starts) / span
        residual = effective_mass_kg(test) * np.add.reduceat(left, starts) / span
        wind = None
        if set_up.conditions.wind == "pairs":
            wind = float(fit.wind_m_per_s[cluster]) * float(run.direction or 1)
        elif set_up.conditions.wind == "measured" and run.wind is not None:
            wind = run.wind.head_m_per_s
        a, b, c = load
        found.append(
            RunResult(
                run,
                wind,
                float(means[i]),
                None if ratios is None else float(ratios[cluster]),
                middle,
                a + b * middle + c * middle**2 + residual,
            )
        )
    return tuple(found)


def _method_notes(test: CoastDownTest, fit: RoadFit, lowest: float, highest: float) -> tuple[str, ...]:
    """What the figures hold, in words."""
    count = fit.clusters.cluster_count
    notes = [
        f"rotating parts: {100 * test.rotating_share.value:.3g} % of {test.mass.value:g} kg ({test.rotating_words})",
        (
            f"speeds from {highest / KMH:.0f} to {lowest / KMH:.0f} km/h, inside a window of "
            f"{test.rules.from_m_per_s / KMH:g} to {test.rules.to_m_per_s / KMH:g} km/h"
        ),
    ]
    if not test.with_b:
        notes.append("B is fixed at 0")
    for q, words in (
        (test.mass, "the mass"),
        (test.rotating_share, "the share of rotating parts"),
        (test.speed_scale, "the calibration of the speed"),
    ):
        if not q.terms:
            notes.append(f"{words} is taken as exact; the bands hold no error of it")
    if count < 2:
        notes.append(
            "one run or pair only: bands hold the scatter inside it, and nothing of how runs differ from each other"
        )
    return tuple(notes)
