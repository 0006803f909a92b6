"""The equations of a coasting vehicle: from readings of runs to steps with regressors for A, B and C."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.trials.coasting import Run
from hoistbook.core.trials.regression import Blocks, Clustered, Steps, blocks, clustered, likeliest_ratio

GRAVITY_M_PER_S2 = 9.80665
"""Standard gravity, exact by definition (used by 40 CFR 1066 and GTR 15 work alike)."""

MOST_ROUNDS, SETTLED_N = 20, 1e-4
"""When the search for the wind of pairs ends: far below what any coast-down resolves."""

WindFrom = Literal["measured", "pairs", "none"]
SlopeFrom = Literal["grade", "altitude", "pairs", "flat"]


@dataclass(frozen=True, slots=True)
class Factors:
    """What every run shares besides A, B and C, and what each can be wrong by.

    `mass_kg` of the vehicle as driven, `rotating_frac` of it for rotating parts, `speed_scale` true over read speed,
    `slope_offset` true less read slope (sine, in the direction of travel), `density_scale` true over stated density.
    """

    mass_kg: float
    rotating_frac: float
    speed_scale: float = 1.0
    slope_offset: float = 0.0
    density_scale: float = 1.0


@dataclass(frozen=True, slots=True)
class Conditions:
    """How wind, slope, air and temperature enter.

    `reference_density_kg_per_m3` is that C is stated for, `air_kg_per_m3` that of each run. `rolling_per_k` is the
    share by which A and B fall per kelvin, 0 for no correction; `temperature_k` of each run and
    `reference_temperature_k` go with it.
    """

    wind: WindFrom
    slope: SlopeFrom
    reference_density_kg_per_m3: float
    air_kg_per_m3: tuple[float, ...]
    reference_temperature_k: float
    temperature_k: tuple[float, ...]
    rolling_per_k: float = 0.0
    with_b: bool = True
    gravity_m_per_s2: float = GRAVITY_M_PER_S2

    @property
    def paired(self) -> bool:
        """Whether runs to and fro are taken together."""
        return "pairs" in (self.wind, self.slope)


@dataclass(frozen=True, slots=True, eq=False)
class RoadFit:
    """A solution: coefficients (A, C or A, B, C), wind along the track of each cluster, and what is left of each step.

    `left_m_per_s` is the change of speed that the fit does not explain, positive for slowing, `step_run` the place of
    each step's run in the list, `step_speed_m_per_s` the mean speed of the step.
    """

    clusters: Clustered
    ratio_per_s: float
    wind_m_per_s: Array
    slope: Array
    left_m_per_s: Array
    duration_s: Array
    step_run: Array
    step_speed_m_per_s: Array


def fit_road(
    runs: Sequence[Run],
    cluster_of: Sequence[int],
    factors: Factors,
    conditions: Conditions,
    *,
    ratio_per_s: float | None = None,
) -> RoadFit:
    """Fit A, B and C to runs.

    Parameters
    ----------
    runs : sequence of Run
        Ordered by cluster.
    cluster_of : sequence of int
        Cluster of each run: itself, or its pair.
    factors : Factors
    conditions : Conditions
    ratio_per_s : float, optional
        Gusts over sensor noise; the likeliest when left out. [1/s]

    Returns
    -------
    RoadFit

    Raises
    ------
    ValueError
        The runs do not tell the coefficients apart, or C is not above 0 where the wind is to be told from it.

    Notes
    -----
    Over each step between two readings m_e Δv = −∫(A + B v + C (ρ/ρ₀)((v + w)² + σ_w²)) dt − m g ∫ sin θ dt, with v
    linear between readings. Dividing by Δt and regressing dv/dt on v would give each step the same weight, whatever
    its noise, and treat neighbouring steps as independent although the reading between them enters both with opposite
    sign. Here that is the covariance (`regression.blocks`). Noise of v inside the integrals averages out, and has no
    first-order correlation with the noise of Δv, since the integral holds the sum of the two readings and Δv their
    difference.

    Wind from pairs: with a wind w along the track, the same in both runs, C (v + d w)² = C v² + 2 C w d v + C w². The
    middle term changes sign with the direction d, so each pair gives its own C w, and w and C w² follow from it; C w²
    is taken off before A is solved for again. A slope changes sign with d, too, but not with v.

    Source
    ------
    first principles.
    """
    count = max(cluster_of) + 1
    wind, push = np.zeros(count), np.zeros(count)
    ratio = ratio_per_s
    for _ in range(MOST_ROUNDS):
        steps = equations(runs, cluster_of, factors, conditions, push)
        if ratio is None:
            ratio = likeliest_ratio(steps)
        found = blocks(steps, ratio)
        solved = clustered(found)
        own = found.own(solved.estimate)
        if conditions.wind != "pairs":
            break
        drag = float(solved.estimate[-1])
        if drag <= 0.0:
            msg = (
                f"road load C comes out as {drag:.3g} N/(m/s)²: no wind can be told from these runs; check the speeds, "
                "reject runs, or leave the wind out."
            )
            raise ValueError(msg)
        wind, before = own[:, 0] / drag, push
        push = drag * wind**2
        if np.max(np.abs(push - before)) < SETTLED_N:
            break
    return _road_fit(runs, steps, found, solved, wind, own, conditions, ratio)


def _road_fit(
    runs: Sequence[Run],
    steps: Steps,
    found: Blocks,
    solved: Clustered,
    wind: Array,
    own: Array,
    conditions: Conditions,
    ratio: float | None,
) -> RoadFit:
    left = steps.change - steps.common @ solved.estimate - np.sum(steps.own * own[steps.cluster], axis=1)
    which = [np.full(int(run.bridged.sum()), i) for i, run in enumerate(runs)]
    speed = [0.5 * (run.speed_m_per_s[1:] + run.speed_m_per_s[:-1])[run.bridged] for run in runs]
    slope = own[:, -1] if conditions.slope == "pairs" else np.zeros(len(own))
    return RoadFit(
        solved,
        ratio or 0.0,
        wind,
        slope,
        left,
        steps.duration_s,
        np.concatenate(which),
        np.concatenate(speed),
    )


def equations(
    runs: Sequence[Run],
    cluster_of: Sequence[int],
    factors: Factors,
    conditions: Conditions,
    push: Array,
) -> Steps:
    """Equations of all runs, step by step.

    Parameters
    ----------
    runs, cluster_of, factors, conditions
        As in `fit_road`.
    push : array, shape (n_clusters,)
        C w² of each pair, taken off beforehand; 0 where the wind is not solved for. [N]

    Returns
    -------
    Steps
        Responses in m/s; coefficients of `common` are A, B and C in SI, those of `own` C w and the sine of the slope.
    """
    rows = [
        _of_run(run, i, float(push[cluster]), factors, conditions)
        for i, (run, cluster) in enumerate(zip(runs, cluster_of, strict=True))
    ]
    change, common, own, duration = (np.concatenate([row[k] for row in rows]) for k in range(4))
    linked = np.concatenate([_linked(run) for run in runs])
    cluster = np.concatenate(
        [np.full(int(run.bridged.sum()), c) for run, c in zip(runs, cluster_of, strict=True)]
    )
    return Steps(change, common, own, duration, linked, cluster)


def _linked(run: Run) -> Array:
    before = np.concatenate(([False], run.bridged[:-1]))
    return before[run.bridged]


def _of_run(
    run: Run, place: int, push: float, factors: Factors, conditions: Conditions
) -> tuple[Array, Array, Array, Array]:
    """Change, shared regressors, own regressors and duration of each step of one run."""
    kept = run.bridged
    step = np.diff(run.time_s)[kept]
    before = factors.speed_scale * run.speed_m_per_s[:-1][kept]
    after = factors.speed_scale * run.speed_m_per_s[1:][kept]
    direction = float(run.direction or 1)
    head, gust = 0.0, 0.0
    if conditions.wind == "measured" and run.wind is not None:
        head, gust = float(run.wind.head_m_per_s or 0.0), run.wind.head_variance_m2_per_s2
    per_mass = 1.0 / (factors.mass_kg * (1.0 + factors.rotating_frac))
    air = factors.density_scale * conditions.air_kg_per_m3[place] / conditions.reference_density_kg_per_m3
    warm = 1.0 / (
        1.0
        + conditions.rolling_per_k * (conditions.temperature_k[place] - conditions.reference_temperature_k)
    )
    mean = 0.5 * (before + after)
    air_before, air_after = before + head, after + head
    square = (air_before**2 + air_before * air_after + air_after**2) / 3.0 + gust
    columns = [warm * step, warm * mean * step, air * square * step]
    if not conditions.with_b:
        del columns[1]
    common = per_mass * np.column_stack(columns)
    fall = conditions.gravity_m_per_s2 / (1.0 + factors.rotating_frac)
    own = []
    if conditions.wind == "pairs":
        own.append(per_mass * 2.0 * air * direction * mean * step)  # its coefficient is C w
    if conditions.slope == "pairs":
        own.append(fall * direction * step)
    slope = np.full(len(step), factors.slope_offset) * step
    if conditions.slope == "grade" and run.grade is not None:
        slope = slope + 0.5 * (run.grade[1:] + run.grade[:-1])[kept] * step
    elif conditions.slope == "altitude" and run.altitude_m is not None:
        slope = slope + np.diff(run.altitude_m)[kept] / mean
    change = before - after - fall * slope - per_mass * air * push * step
    return change, common, np.column_stack(own) if own else np.empty((len(step), 0)), step


def sensitivities(
    runs: Sequence[Run],
    cluster_of: Sequence[int],
    factors: Factors,
    conditions: Conditions,
    fit: RoadFit,
    names: Sequence[str],
) -> dict[str, Array]:
    """Change of the coefficients with each factor, by solving again on either side of it.

    Parameters
    ----------
    names : sequence of str
        Fields of `Factors`.

    Returns
    -------
    dict of str to array, shape (p,)
    """
    found = {}
    for name in names:
        centre = getattr(factors, name)
        # Small against any real error, large against rounding.
        half = 1e-3 * centre if name in ("mass_kg", "speed_scale", "density_scale") else 1e-4
        ends = [
            fit_road(
                runs,
                cluster_of,
                replace(factors, **{name: centre + sign * half}),
                conditions,
                ratio_per_s=fit.ratio_per_s,
            ).clusters.estimate
            for sign in (1.0, -1.0)
        ]
        found[name] = (ends[0] - ends[1]) / (2.0 * half)
    return found
