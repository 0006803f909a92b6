"""Spin-down of a lifted wheel: drag torque from the slowing of a known inertia."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.quantities.evaluation import correlated
from hoistbook.core.quantities.quantity import Quantity, combine, total
from hoistbook.core.trials.coasting import Rejected, Stretch, falling
from hoistbook.core.trials.regression import Steps, blocks, clustered, likeliest_ratio
from hoistbook.core.trials.series import Series

CORNERS = ("front left", "front right", "rear left", "rear right")
"""The wheels, in the order in which they are listed."""


@dataclass(frozen=True, slots=True)
class SpinRules:
    """What counts as a spin-down. common practice (project rules), each to be changed where a wheel asks for it.

    `low_rad_per_s` leaves out the last turn, where single brake and seal spots count; `least_share` of its start speed
    a spin must lose inside the window; `margin_s` is left out where the hand or the motor may still act; a mean over
    `smooth_s` decides where speed falls; steps longer than `bridge_steps` median ones are not used.
    """

    low_rad_per_s: float = 1.0
    high_rad_per_s: float = math.inf
    least_share: float = 0.4
    margin_s: float = 0.5
    smooth_s: float = 0.2
    bridge_steps: float = 2.5

    def __post_init__(self) -> None:
        if not 0.0 <= self.low_rad_per_s < self.high_rad_per_s:
            msg = f"window from {self.high_rad_per_s:g} to {self.low_rad_per_s:g} rad/s: it goes from high to low."
            raise ValueError(msg)
        if not 0.0 < self.least_share <= 1.0:
            msg = (
                f"least_share = {self.least_share!r}: a share of the speed at the start, above 0 and up to 1."
            )
            raise ValueError(msg)


@dataclass(frozen=True, slots=True, eq=False)
class Spin:
    """One spin that was used: its readings, and how its mean slowing lies with that of all."""

    number: int
    source: str
    time_s: Array
    speed_rad_per_s: Array
    mean_left_rad_per_s2: float


@dataclass(frozen=True, slots=True, eq=False)
class Slowing:
    """Slowing of a wheel, −dω/dt = k₀ + k₁ ω, from one or several spins.

    `constant` [rad/s²] and `per_speed` [1/s] are jointly known; `at_rad_per_s` is the speed where the slowing is
    stated, `rate` [rad/s²] the slowing there. `dof` is that of the scatter of spins.
    """

    constant: Quantity
    per_speed: Quantity
    at_rad_per_s: float
    rate: Quantity
    dof: float
    lowest_rad_per_s: float
    highest_rad_per_s: float
    spins: tuple[Spin, ...]
    rejected: tuple[Rejected, ...]
    noise_rad_per_s: float
    assumptions: tuple[str, ...]


def slowing(
    recordings: Sequence[Series],
    name: str,
    *,
    rules: SpinRules | None = None,
    at_rad_per_s: float | None = None,
    with_speed: bool = True,
    rising: bool = False,
) -> Slowing:
    """How fast a wheel slows down by itself.

    Parameters
    ----------
    recordings : sequence of Series
        With `wheel_speed_rad_per_s`, or `wheel_angle_rad`; every fall of the speed is one spin, whichever way it turns.
    name : str
        Names the errors, e.g. "whimbrel spin-down front left".
    rules : SpinRules, optional
    at_rad_per_s : float, optional
        Speed where the slowing is stated; the mean of the readings when left out, where it is known best.
    with_speed : bool
        False takes the slowing as the same at every speed.
    rising : bool
        Take the stretches in which a known torque speeds the wheel up: the result is the rate of gain.

    Returns
    -------
    Slowing

    Raises
    ------
    ValueError
        Nothing recorded of a wheel, or no spin to evaluate.

    Notes
    -----
    Over each step between readings −Δω = k₀ Δt + k₁ ∫ω dt, with the covariance of `regression.blocks`; each spin is one
    independent observation. An angle counted up gives the mean speed between two counts, at the middle of that time.

    Source
    ------
    first principles.
    """
    rules = rules or SpinRules()
    stretches, rejected = _spins(recordings, rules, rising)
    if not stretches:
        why = " ".join(f"{one.words}." for one in rejected) or "No wheel speed falls far enough."
        msg = f"no spin-down to evaluate. {why}"
        raise ValueError(msg)
    steps = _steps([stretch for _, _, stretch in stretches], rules, with_speed)
    ratio = likeliest_ratio(steps)
    solved = clustered(blocks(steps, ratio))
    alone = solved.cluster_count < 2
    speeds = np.concatenate([stretch.speed for _, _, stretch in stretches])
    at = float(np.mean(speeds)) if at_rad_per_s is None else at_rad_per_s
    asked = [*np.eye(solved.estimate.size), np.array([1.0, at])[: solved.estimate.size]]
    dof = math.inf if alone else solved.shared_dof(asked)
    scatter = solved.covariance_within if alone else solved.covariance_between
    names = [f"test {name}/slowing", f"test {name}/slowing per speed"][: solved.estimate.size]
    found = list(correlated(solved.estimate.tolist(), scatter, names, ["1/s2", "1/s"][: len(names)], dof))
    if not with_speed:
        found.append(Quantity(0.0, "1/s"))
    constant, per_speed = found
    rate = combine(constant.value + per_speed.value * at, ((constant, 1.0), (per_speed, at)), "1/s2")
    left = steps.change - steps.common @ solved.estimate
    means = np.bincount(steps.cluster, left) / np.bincount(steps.cluster, steps.duration_s)
    return Slowing(
        constant,
        per_speed,
        at,
        rate,
        dof,
        float(speeds.min()),
        float(speeds.max()),
        tuple(
            Spin(number, source, stretch.time, stretch.speed, float(mean))
            for (number, source, stretch), mean in zip(stretches, means, strict=True)
        ),
        tuple(rejected),
        math.sqrt(solved.scale),
        _notes(alone, with_speed, at_rad_per_s is None, at, (float(speeds.min()), float(speeds.max()))),
    )


def _notes(
    alone: bool, with_speed: bool, middle: bool, at: float, reach: tuple[float, float]
) -> tuple[str, ...]:
    notes = []
    if alone:
        notes.append(
            "one spin only: bands hold the scatter inside it, and nothing of how spins differ from each other"
        )
    if not with_speed:
        notes.append("the torque is taken as the same at every speed")
    where = ", the mean of the readings, where it is known best" if middle else ""
    outside = (
        "" if reach[0] <= at <= reach[1] else f"; no spin reached it ({reach[0]:.3g} to {reach[1]:.3g} rad/s)"
    )
    notes.append(f"torque stated at {at:.3g} rad/s{where}{outside}")
    return tuple(notes)


def _spins(
    recordings: Sequence[Series], rules: SpinRules, rising: bool
) -> tuple[list[tuple[int, str, Stretch]], list[Rejected]]:
    found: list[tuple[int, str, Stretch]] = []
    rejected: list[Rejected] = []
    number = 0
    for recording in recordings:
        for _, part in recording.runs():
            for time, speed in _wheel_speed(part, rising):
                for stretch in falling(
                    time, speed, rules.low_rad_per_s, rules.high_rad_per_s, rules.margin_s, rules.smooth_s
                ):
                    number += 1
                    lost = stretch.drop / float(stretch.speed[0])
                    if lost >= rules.least_share:
                        found.append((number, part.name, stretch))
                        continue
                    rejected.append(
                        Rejected(
                            number,
                            part.name,
                            float(stretch.time[0]),
                            float(stretch.time[-1]),
                            f"loses {100 * lost:.0f} % of its speed, {100 * rules.least_share:.0f} % are asked for",
                        )
                    )
    return found, rejected


def _wheel_speed(part: Series, rising: bool) -> Iterator[tuple[Array, Array]]:
    if part.has("wheel_speed_rad_per_s"):
        time, speed = part.samples("wheel_speed_rad_per_s")
        yield _way_round(time, np.abs(speed), rising)
    elif part.has("wheel_angle_rad"):
        time, angle = part.samples("wheel_angle_rad")
        if len(time) > 3:
            middle = 0.5 * (time[1:] + time[:-1])
            yield _way_round(middle, np.abs(np.diff(angle) / np.diff(time)), rising)
    else:
        msg = f"{part.name}: neither the speed nor the angle of a wheel is recorded; map a column to one of them."
        raise ValueError(msg)


def _way_round(time: Array, speed: Array, rising: bool) -> tuple[Array, Array]:
    """Seen backwards in time a gain of speed is a loss at the same rate."""
    return (time[-1] - time[::-1], speed[::-1]) if rising else (time, speed)


def _steps(stretches: Sequence[Stretch], rules: SpinRules, with_speed: bool) -> Steps:
    parts = []
    for i, stretch in enumerate(stretches):
        step = np.diff(stretch.time)
        kept = step <= rules.bridge_steps * float(np.median(step))
        mean = 0.5 * (stretch.speed[1:] + stretch.speed[:-1])
        columns = [step, mean * step] if with_speed else [step]
        common = np.stack(columns, axis=1)[kept]
        linked = np.concatenate(([False], kept[:-1]))[kept]
        parts.append((-np.diff(stretch.speed)[kept], common, step[kept], linked, np.full(int(kept.sum()), i)))
    change, common, duration, linked, cluster = (
        np.concatenate(column) for column in zip(*parts, strict=True)
    )
    return Steps(change, common, np.empty((len(change), 0)), duration, linked, cluster)


@dataclass(frozen=True, slots=True, eq=False)
class WheelDrag:
    """Drag torque of one lifted wheel. `torque` holds at `slowing.at_rad_per_s`, `at_rest` is the line's value at 0.

    `attached` says what turned with the wheel: brake disc, gears, motor.
    """

    corner: str
    torque: Quantity
    at_rest: Quantity
    per_speed: Quantity
    inertia: Quantity
    slowing: Slowing
    attached: str
    assumptions: tuple[str, ...]


def wheel_drag(corner: str, found: Slowing, inertia: Quantity, attached: str = "") -> WheelDrag:
    """Drag torque of a wheel from its slowing and its inertia.

    Parameters
    ----------
    corner : str
        One of `CORNERS`.
    found : Slowing
    inertia : Quantity
        Of all that turned, at the wheel. [kg m²]
    attached : str
        What turned with the wheel.

    Returns
    -------
    WheelDrag

    Raises
    ------
    LookupError
        No such corner.
    ValueError
        An inertia that is not above 0.

    Notes
    -----
    T = J (k₀ + k₁ ω). The air a spinning wheel moves is in it; the load on bearing and tyre is not, and pads that knock
    back on the road may rub on the hoist.

    Source
    ------
    first principles; what a lifted wheel lacks: common practice.
    """
    if corner not in CORNERS:
        msg = f"no corner {corner!r}; known: {', '.join(CORNERS)}."
        raise LookupError(msg)
    if not inertia.value > 0.0:
        msg = f"inertia of {corner} = {inertia.value!r} kg·m²: give the inertia of all that turned, above 0."
        raise ValueError(msg)
    notes = [
        f"{corner}: turned with the wheel: {attached or 'not stated'}",
        *(f"{corner}: {note}" for note in found.assumptions),
    ]
    if not inertia.terms:
        notes.append(f"{corner}: the inertia is taken as exact; the bands hold no error of it")
    return WheelDrag(
        corner,
        (inertia * found.rate).in_unit("N.m"),
        (inertia * found.constant).in_unit("N.m"),
        (inertia * found.per_speed).in_unit("N.m.s"),
        inertia,
        found,
        attached,
        tuple(notes),
    )


def all_wheels(drags: Mapping[str, WheelDrag]) -> Quantity | None:
    """Drag torque of all wheels together; None while a wheel is missing. [N m]"""
    if any(corner not in drags for corner in CORNERS):
        return None
    return total([drags[corner].torque for corner in CORNERS])


def inertia_from_added(plain: Quantity, loaded: Quantity, added: Quantity) -> Quantity:
    """Inertia of a wheel from its slowing with and without a known inertia on it. [kg m²]

    Parameters
    ----------
    plain, loaded : Quantity
        Slowing without and with it, at one speed (`Slowing.rate`). [rad/s²]
    added : Quantity
        What was added, e.g. weights of mass m at a radius r: m r². [kg m²]

    Raises
    ------
    ValueError
        The wheel does not slow down less with it.

    Notes
    -----
    The drag torque is the same: J α = (J + ΔJ) α', so J = ΔJ α'/(α − α').

    Source
    ------
    first principles.
    """
    if not plain.value > loaded.value > 0.0:
        msg = (
            f"slowing {plain.value:.4g} rad/s² without and {loaded.value:.4g} rad/s² with the added inertia: it must "
            "be smaller with it; check which recording is which, or add more."
        )
        raise ValueError(msg)
    return (added * loaded / (plain - loaded)).in_unit("kg.m2")


def inertia_from_pull(torque: Quantity, gaining: Quantity, losing: Quantity) -> Quantity:
    """Inertia of a wheel from a known torque that speeds it up, and its slowing by itself. [kg m²]

    Parameters
    ----------
    torque : Quantity
        At the wheel; of a falling mass m on a rim of radius r, m (g − r dω/dt) r. [N m]
    gaining, losing : Quantity
        Rate of gain under the torque, and of loss without it, at one speed, both positive. [rad/s²]

    Raises
    ------
    ValueError
        Their sum is not above 0.

    Notes
    -----
    T − T_drag = J α, T_drag = J α', so J = T/(α + α').

    Source
    ------
    first principles.
    """
    both = gaining + losing
    if not (both.value > 0.0 and torque.value > 0.0):
        msg = f"torque {torque.value:.4g} N·m, rates of {both.value:.4g} rad/s² together: both are above 0."
        raise ValueError(msg)
    return (torque / both).in_unit("kg.m2")
