"""Coasting runs inside recordings: where they start and end, what wind and air they had, and which are none."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from hoistbook.core.arrays import Array
from hoistbook.core.energy.road_load import dry_air_density_kg_per_m3
from hoistbook.core.trials.series import Series

KMH = 1.0 / 3.6
"""m/s per km/h, exact."""

PAUSE_S = 5.0
"""Longest step between readings inside one run; common practice (project rule)."""


@dataclass(frozen=True, slots=True)
class RunRules:
    """What counts as a coasting run. Every figure can be changed; where it comes from stands beside it.

    Parameters
    ----------
    from_m_per_s, to_m_per_s : float
        Window of speed that is evaluated. from memory: SAE J2263, 115 to 15 km/h. (published: 40 CFR 1066.310(b)(2),
        vehicles above 14,000 lb: at least from 70 mph to 15 mph.)
    least_drop_m_per_s : float
        Speed a run must lose inside the window. common practice (project rule): 20 km/h.
    most_deceleration_m_per_s2 : float
        Mean slowing above which a stretch is braking. common practice (project rule): twice what a boxy van does by
        itself at 130 km/h.
    margin_s : float
        Left out at an end that is not set by the window, where the driver still acts. common practice (project rule).
    bridge_steps : float
        Longest step between two readings that is used, in median steps. common practice (project rule).
    wind_mean_m_per_s, wind_peak_m_per_s, wind_across_m_per_s : float
        Limits of a measured wind over a run: mean speed, highest reading, mean across the track. from memory: UN GTR 15
        Annex 4, 4.1.1 (wind measured beside the track).
    """

    from_m_per_s: float = 115.0 * KMH
    to_m_per_s: float = 15.0 * KMH
    least_drop_m_per_s: float = 20.0 * KMH
    most_deceleration_m_per_s2: float = 1.0
    margin_s: float = 2.0
    bridge_steps: float = 2.5
    wind_mean_m_per_s: float = 5.0
    wind_peak_m_per_s: float = 8.0
    wind_across_m_per_s: float = 2.0

    def __post_init__(self) -> None:
        if not 0.0 < self.to_m_per_s < self.from_m_per_s:
            msg = (
                f"window from {self.from_m_per_s / KMH:g} to {self.to_m_per_s / KMH:g} km/h: a run goes from a higher "
                "speed to a lower one above 0."
            )
            raise ValueError(msg)
        for name in ("least_drop_m_per_s", "most_deceleration_m_per_s2", "bridge_steps"):
            if not getattr(self, name) > 0.0:
                msg = f"{name} = {getattr(self, name)!r}: give a figure above 0."
                raise ValueError(msg)


@dataclass(frozen=True, slots=True)
class Wind:
    """Measured wind over one run, beside the track: mean along it against the vehicle, its variance, and the rest.

    `head_m_per_s` is positive against the direction of travel; None where no direction of the wind is known.
    """

    mean_m_per_s: float
    peak_m_per_s: float
    head_m_per_s: float | None = None
    head_variance_m2_per_s2: float = 0.0
    across_m_per_s: float | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Run:
    """One coasting run: the readings as they came, nothing smoothed.

    `bridged` says for each step between two readings whether it is short enough to be used. `rise_m` is the height
    gained over each step, `grade` the sine of the slope at each reading; None where not recorded.
    """

    number: int
    source: str
    time_s: Array
    speed_m_per_s: Array
    bridged: NDArray[np.bool_]
    direction: int | None
    grade: Array | None
    altitude_m: Array | None
    wind: Wind | None
    density_kg_per_m3: float | None
    temperature_k: float | None

    @property
    def place(self) -> str:
        """How people find it: source and time."""
        return f"run {self.number} ({self.source}, {self.time_s[0]:.0f}–{self.time_s[-1]:.0f} s)"


@dataclass(frozen=True, slots=True)
class Rejected:
    """A run that was not used, and why."""

    number: int
    source: str
    start_s: float
    end_s: float
    reason: str

    @property
    def words(self) -> str:
        """One sentence."""
        return f"run {self.number} ({self.source}, {self.start_s:.0f}–{self.end_s:.0f} s): {self.reason}"


@dataclass(frozen=True, slots=True, eq=False)
class Found:
    """Runs found, runs rejected, and what else there is to say.

    `mate` names for a run number that in the other direction it goes with, in the order driven; rejected runs keep
    theirs, so that a rejection does not shift the pairs after it.
    """

    runs: tuple[Run, ...]
    rejected: tuple[Rejected, ...]
    mate: Mapping[int, int]
    remarks: tuple[str, ...]


def find_runs(
    recordings: Sequence[Series], rules: RunRules | None = None, *, directions: Sequence[int] = ()
) -> Found:
    """Find the coasting runs of one or several recordings.

    Parameters
    ----------
    recordings : sequence of Series
        With `speed_m_per_s`. `run` and `direction` are used where they are; otherwise every stretch of falling speed is
        a candidate.
    rules : RunRules, optional
    directions : sequence of int
        +1 or −1 for each candidate in the order driven, repeated as often as needed, where no channel says it; (1, −1)
        for runs to and fro.

    Returns
    -------
    Found

    Raises
    ------
    ValueError
        No recording holds a speed, or a direction is not +1 or −1.

    Notes
    -----
    A mean over 1 s decides where speed falls; the readings that are evaluated are those recorded.
    """
    rules = rules or RunRules()
    if any(abs(d) != 1 for d in directions):
        msg = f"directions {list(directions)}: each is +1 or −1."
        raise ValueError(msg)
    runs: list[Run] = []
    rejected: list[Rejected] = []
    driven: list[tuple[int, int | None]] = []
    small = 0
    for part, numbered, stretches in _candidates(recordings, rules):
        large = [one for one in stretches if one.drop >= rules.least_drop_m_per_s]
        small += 0 if numbered else len(stretches) - len(large)
        # A numbered run is one run, whatever it holds; otherwise each long fall of the speed is one.
        chosen: list[Stretch | None] = [*large[: 1 if numbered else None]]
        for stretch in chosen or ([None] if numbered else []):
            number = len(driven) + 1
            middle = part.time_s[len(part) // 2] if stretch is None else stretch.time[len(stretch.time) // 2]
            direction = _direction(part, float(middle)) or (
                directions[(number - 1) % len(directions)] if directions else None
            )
            driven.append((number, direction))
            if stretch is None:
                rejected.append(_too_short(number, part, stretches, rules))
                continue
            run = _run(number, part, stretch, direction, rules)
            reason = (_not_falling(large) if numbered else "") or _fault(run, stretch, rules)
            if reason:
                rejected.append(
                    Rejected(number, part.name, float(run.time_s[0]), float(run.time_s[-1]), reason)
                )
            else:
                runs.append(run)
    remarks = []
    if small:
        remarks.append(
            f"{small} {'stretch' if small == 1 else 'stretches'} of falling speed lost less than "
            f"{rules.least_drop_m_per_s / KMH:.0f} km/h inside the window and {'was' if small == 1 else 'were'} "
            "not taken as runs"
        )
    return Found(tuple(runs), tuple(rejected), MappingProxyType(_mates(driven)), tuple(remarks))


def _candidates(
    recordings: Sequence[Series], rules: RunRules
) -> Iterator[tuple[Series, bool, list[Stretch]]]:
    """Each recording, or each numbered run of it, with its stretches of falling speed."""
    for recording in recordings:
        if not recording.has("speed_m_per_s"):
            msg = f"{recording.name}: no speed is recorded; map a column to vehicle speed."
            raise ValueError(msg)
        for _, part in recording.runs():
            if part.has("speed_m_per_s"):
                yield part, recording.has("run"), list(_falling(part, rules))


def _too_short(number: int, part: Series, stretches: Sequence[Stretch], rules: RunRules) -> Rejected:
    lost = max((one.drop for one in stretches), default=0.0)
    least = rules.least_drop_m_per_s
    reason = f"too short: loses {lost / KMH:.0f} km/h inside the window, {least / KMH:.0f} are asked for"
    return Rejected(number, part.name, float(part.time_s[0]), float(part.time_s[-1]), reason)


def _mates(driven: Sequence[tuple[int, int | None]]) -> dict[int, int]:
    """Each run with the earliest one in the other direction that has none yet."""
    waiting: list[tuple[int, int]] = []
    mate: dict[int, int] = {}
    for number, direction in driven:
        if direction is None:
            continue
        other = next((one for one in waiting if one[1] == -direction), None)
        if other is None:
            waiting.append((number, direction))
        else:
            waiting.remove(other)
            mate[number], mate[other[0]] = other[0], number
    return mate


@dataclass(frozen=True, slots=True, eq=False)
class Stretch:
    """Readings of one stretch of falling speed inside the window, and what it loses there (of a short mean)."""

    time: Array
    speed: Array
    drop: float


def _falling(part: Series, rules: RunRules) -> Iterator[Stretch]:
    time, speed = part.samples("speed_m_per_s")
    yield from falling(time, speed, rules.to_m_per_s, rules.from_m_per_s, rules.margin_s)


def falling(
    time_s: Array, values: Array, low: float, high: float, margin_s: float, smooth_s: float = 1.0
) -> Iterator[Stretch]:
    """Stretches in which a reading falls, inside a window of its values.

    Parameters
    ----------
    time_s, values : array, shape (n,)
    low, high : float
        Window, in the unit of the values.
    margin_s : float
        Left out at an end that the window does not set. [s]
    smooth_s : float
        Length of the mean that decides whether values fall, by its change over three times as long; the readings of a
        stretch are those recorded. [s]

    Yields
    ------
    Stretch
    """
    if len(time_s) < 3:
        return
    smooth = _mean_over(time_s, values, smooth_s)
    reach = 1.5 * smooth_s
    trend = np.interp(time_s + reach, time_s, smooth) - np.interp(time_s - reach, time_s, smooth)
    falls = trend < 0.0
    breaks = np.flatnonzero((falls[1:] != falls[:-1]) | (np.diff(time_s) > PAUSE_S)) + 1
    edges = [0, *breaks.tolist(), len(time_s)]
    for first, following in pairwise(edges):
        if not falls[first]:
            continue
        inside = smooth[first:following]
        places = np.flatnonzero((inside <= high) & (inside >= low)) + first
        if len(places) < 3:
            continue
        start = max(time_s[places[0]], time_s[first] + margin_s)
        end = min(time_s[places[-1]], time_s[following - 1] - margin_s)
        a = int(np.searchsorted(time_s, start))
        b = int(np.searchsorted(time_s, end, side="right")) - 1
        if b - a >= 2:
            yield Stretch(time_s[a : b + 1], values[a : b + 1], float(smooth[a] - smooth[b]))


def _mean_over(time: Array, values: Array, window_s: float) -> Array:
    area = np.concatenate(([0.0], np.cumsum(0.5 * (values[1:] + values[:-1]) * np.diff(time))))
    left = np.maximum(time - 0.5 * window_s, time[0])
    right = np.minimum(time + 0.5 * window_s, time[-1])
    return np.asarray((np.interp(right, time, area) - np.interp(left, time, area)) / (right - left))


def _direction(part: Series, at_s: float) -> int | None:
    if not part.has("direction"):
        return None
    time, values = part.samples("direction")
    before = int(np.searchsorted(time, at_s, side="right")) - 1
    return 1 if values[max(before, 0)] > 0.0 else -1


def _run(number: int, part: Series, stretch: Stretch, direction: int | None, rules: RunRules) -> Run:
    step = np.diff(stretch.time)
    longest = rules.bridge_steps * float(np.median(step))

    def at(name: str) -> Array | None:
        if not part.has(name):
            return None
        values = part.values_at(name, stretch.time, max(longest, rules.bridge_steps * part.step_s(name)))
        return values if np.isfinite(values).all() else None

    temperature, pressure = (
        _mean(part, name, stretch) for name in ("ambient_temperature_k", "ambient_pressure_pa")
    )
    density = None
    if temperature is not None and pressure is not None:
        density = dry_air_density_kg_per_m3(pressure, temperature)
    grade = at("grade_1")
    return Run(
        number=number,
        source=part.name,
        time_s=stretch.time,
        speed_m_per_s=stretch.speed,
        bridged=step <= longest,
        direction=direction,
        grade=None if grade is None else grade / np.sqrt(1.0 + grade * grade),
        altitude_m=at("altitude_m"),
        wind=_wind(part, stretch, direction),
        density_kg_per_m3=density,
        temperature_k=temperature,
    )


def _inside(part: Series, name: str, stretch: Stretch) -> Array:
    """Readings of a slow channel during the run; the nearest one before it where there is none."""
    time, values = part.samples(name)
    within: NDArray[np.bool_] = (time >= stretch.time[0]) & (time <= stretch.time[-1])
    if within.any():
        return values[within]
    nearest = int(np.argmin(np.abs(time - stretch.time[0])))
    return values[nearest : nearest + 1]


def _mean(part: Series, name: str, stretch: Stretch) -> float | None:
    return float(np.mean(_inside(part, name, stretch))) if part.has(name) else None


def _wind(part: Series, stretch: Stretch, direction: int | None) -> Wind | None:
    if not part.has("wind_speed_m_per_s"):
        return None
    speed = _inside(part, "wind_speed_m_per_s", stretch)
    mean, peak = float(np.mean(speed)), float(np.max(speed))
    if not part.has("wind_direction_rad") or direction is None:
        return Wind(mean, peak)
    angle = _inside(part, "wind_direction_rad", stretch)
    if len(angle) != len(speed):
        # Recorded at other times: the mean direction stands for the run.
        angle = np.full(len(speed), np.angle(np.mean(np.exp(1j * angle))))
    head = direction * speed * np.cos(angle)
    return Wind(mean, peak, float(np.mean(head)), float(np.var(head)), float(np.mean(speed * np.sin(angle))))


def _not_falling(large: Sequence[Stretch]) -> str:
    if len(large) < 2:
        return ""
    return f"speed does not fall throughout: it rises again after {large[0].speed[-1] / KMH:.0f} km/h"


def _fault(run: Run, stretch: Stretch, rules: RunRules) -> str:
    """Why a run cannot be used, from what is known before any fit; empty when it can."""
    if not run.bridged.any():
        return "its readings are too far apart"
    missing = float(np.sum(np.diff(run.time_s)[~run.bridged]))
    whole = float(run.time_s[-1] - run.time_s[0])
    if missing > 0.5 * whole:
        return f"readings are missing for {missing:.0f} of {whole:.0f} s"
    slowing = stretch.drop / whole
    if slowing > rules.most_deceleration_m_per_s2:
        return f"braking: slows by {slowing:.2f} m/s² on the mean, {rules.most_deceleration_m_per_s2:g} are allowed"
    wind = run.wind
    if wind is None:
        return ""
    for words, value, limit in (
        ("mean wind", wind.mean_m_per_s, rules.wind_mean_m_per_s),
        ("highest wind", wind.peak_m_per_s, rules.wind_peak_m_per_s),
        ("wind across the track", abs(wind.across_m_per_s or 0.0), rules.wind_across_m_per_s),
    ):
        if value > limit:
            return f"{words} {value:.1f} m/s is above the limit of {limit:g} m/s"
    return ""
