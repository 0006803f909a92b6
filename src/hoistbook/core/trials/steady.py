"""Driving at steady speed: consumption at pack and wheel at every speed, both ways, against the road load."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.quantities.quantity import Quantity, combine, total
from hoistbook.core.trials.meters import Meters
from hoistbook.core.trials.outcome import Curve, Figure, Outcome
from hoistbook.core.trials.power import accessory_power, pack_power, scatter, unmetered
from hoistbook.core.trials.series import Series
from hoistbook.core.trials.signals import Signal, mean, measured, product

STANDING_M_PER_S = 0.3


@dataclass(frozen=True, slots=True)
class SteadyRule:
    """What counts as steady.

    Attributes
    ----------
    tolerance_m_per_s : float
        The speed stays within ± this of the middle of its reach.
    least_s : float
        Shortest stretch. [s]
    same_m_per_s : float
        Stretches whose mean speeds lie this close are one steady speed.

    Source
    ------
    common practice: ±1 km/h over half a minute; no standard is followed.
    """

    tolerance_m_per_s: float = 1.0 / 3.6
    least_s: float = 30.0
    same_m_per_s: float = 2.0 / 3.6

    def __post_init__(self) -> None:
        for name in ("tolerance_m_per_s", "least_s", "same_m_per_s"):
            if not 0.0 < getattr(self, name) < math.inf:
                msg = f"{name} = {getattr(self, name)!r}: give a finite figure above 0."
                raise ValueError(msg)


@dataclass(frozen=True, slots=True)
class RoadLoad:
    """Road load F = A + B v + C v² of the vehicle, with its bands."""

    a: Quantity
    b: Quantity
    c: Quantity

    def force(self, speed: Quantity) -> Quantity:
        """Force at a speed. [N]"""
        v = speed.value
        value = self.a.value + self.b.value * v + self.c.value * v * v
        slope = self.b.value + 2.0 * self.c.value * v
        return combine(value, ((self.a, 1.0), (self.b, v), (self.c, v * v), (speed, slope)), "N")


def steady_stretches(times: Array, speed: Array, rule: SteadyRule) -> list[tuple[float, float]]:
    """Find the longest stretches of steady speed that do not overlap: ``(from_s, to_s)`` in the order driven.

    Parameters
    ----------
    times, speed : array, shape (n,)
    rule : SteadyRule

    Notes
    -----
    From every sample the stretch is drawn out as far as max − min ≤ 2 tolerance; of all stretches the longest is kept,
    then the longest that does not touch it, and so on. What is left of a stretch beside a longer one counts if it is
    still long enough.
    """
    last = _reach(speed, 2.0 * rule.tolerance_m_per_s)
    lengths = times[last] - times
    free = np.ones(len(times), dtype=bool)
    kept: list[tuple[float, float]] = []
    for i in np.argsort(-lengths, kind="stable"):
        if lengths[i] < rule.least_s:
            break
        if not free[i]:
            continue
        taken = np.flatnonzero(~free[i : last[i] + 1])
        end = int(i + taken[0] - 1) if len(taken) else int(last[i])
        if times[end] - times[i] >= rule.least_s:
            free[i : end + 1] = False
            kept.append((float(times[i]), float(times[end])))
    return sorted(kept)


def _reach(values: Array, width: float) -> np.ndarray:
    """Last sample up to which the values from each sample on stay within a width; two queues, one pass."""
    n = len(values)
    last = np.empty(n, dtype=np.intp)
    high: list[int] = []
    low: list[int] = []
    top = bottom = 0
    end = 0
    for start in range(n):
        while end < n:
            value = values[end]
            most = max(value, values[high[top]]) if top < len(high) else value
            least = min(value, values[low[bottom]]) if bottom < len(low) else value
            if most - least > width:
                break
            while len(high) > top and values[high[-1]] <= value:
                high.pop()
            high.append(end)
            while len(low) > bottom and values[low[-1]] >= value:
                low.pop()
            low.append(end)
            end += 1
        last[start] = end - 1
        if top < len(high) and high[top] == start:
            top += 1
        if bottom < len(low) and low[bottom] == start:
            bottom += 1
    return last


@dataclass(frozen=True, slots=True)
class _Stretch:
    start_s: float
    end_s: float
    speed: Quantity
    pack: Quantity
    wheel: Quantity | None
    accessory: Quantity | None
    direction: int


def evaluate_steady(
    series: Series,
    meters: Meters,
    *,
    label: str,
    rule: SteadyRule | None = None,
    road_load: RoadLoad | None = None,
    charging_efficiency: Quantity | None = None,
    effective_mass_kg: float | None = None,
) -> Outcome:
    """Evaluate a log of driving at steady speeds.

    Parameters
    ----------
    series : Series
        speed_m_per_s and pack power (or voltage and current); wheel force (or torque and speed), accessories, direction
        where recorded.
    meters : Meters
    label : str
        Names the errors of this test alone.
    rule : SteadyRule, optional
    road_load : RoadLoad, optional
        Held against the power of pack and wheels.
    charging_efficiency : Quantity, optional
        Takes the consumption to the wall; only then it is a fact of the vehicle. [1]
    effective_mass_kg : float, optional
        Takes out what speed lost or gained within a stretch; without it that is left in and said. [kg]

    Returns
    -------
    Outcome

    Raises
    ------
    LookupError
        A channel is missing.
    ValueError
        No steady stretch.

    Notes
    -----
    Consumption = mean power/mean speed of a stretch. Stretches of one speed are averaged per direction and the two
    directions then with equal weight, which cancels slope and, to first order, wind. Standing stretches give the power
    of the vehicle ready to drive.

    Source
    ------
    first principles; two-way averaging is common practice. Kinetic energy given back by slowing down is added to the
    power from the pack as it is, without the losses between pack and wheels: small as long as the stretch is steady.
    """
    rule = rule or SteadyRule()
    speed = measured(series, "speed_m_per_s", meters)
    power = pack_power(series, meters)
    wheel = _wheel_power(series, meters)
    accessory = _accessory(series, meters)
    found = steady_stretches(speed.time_s, speed.values, rule)
    start, end = power.time_s[0], power.time_s[-1]
    inside = [(a, b) for a, b in found if a >= start and b <= end]
    if not inside:
        msg = (
            f"{series.name!r}: no stretch of {rule.least_s:g} s within ±{3.6 * rule.tolerance_m_per_s:.3g} km/h; widen "
            "the tolerance or shorten the stretch."
        )
        raise ValueError(msg)
    set_aside = [
        f"{a:.0f}–{b:.0f} s: steady, but the power was not recorded" for a, b in found if (a, b) not in inside
    ]
    stretches = []
    for number, (a, b) in enumerate(inside, start=1):
        name = f"{label}, stretch {number}"
        part = _mean(speed, a, b, name, "speed")
        watts = _mean(power, a, b, name, "pack power")
        if effective_mass_kg is not None:
            watts = watts + _kinetic_w(speed, a, b, effective_mass_kg)
        stretches.append(
            _Stretch(
                a,
                b,
                part,
                watts,
                None if wheel is None else _mean(wheel, a, b, name, "wheel power"),
                None if accessory is None else _mean(accessory, a, b, name, "accessory power"),
                _direction(series, a, b),
            )
        )
    figures: list[Figure] = []
    checks: list[str] = []
    assumptions = list(unmetered(meters, "speed_m_per_s", *_power_channels(series)))
    if effective_mass_kg is None:
        assumptions.append("speed gained or lost within a stretch is left in: no mass was given")
    if wheel is not None and not series.has("wheel_force_n"):
        assumptions.append("the torque recorded is taken as that of all driven wheels together")
    standing = [s for s in stretches if s.speed.value < STANDING_M_PER_S]
    if standing:
        figures.append(
            Figure(
                "standing_power",
                "mean power from the pack while standing",
                _average([s.pack for s in standing]),
            )
        )
    moving = [s for s in stretches if s.speed.value >= STANDING_M_PER_S]
    groups = _grouped(moving, rule.same_m_per_s)
    for group in groups:
        figures += _group(group, road_load, charging_efficiency, checks, assumptions)
    if accessory is not None and moving:
        figures.append(
            Figure(
                "accessory_power",
                "mean power of the accessories at steady speed",
                _average([s.accessory for s in moving if s.accessory is not None]),
            )
        )
    curves = (
        Curve(
            "pack power over speed",
            "speed",
            "m/s",
            "pack power",
            "W",
            np.array([s.speed.value for s in stretches]),
            np.array([s.pack.value for s in stretches]),
        ),
    )
    return Outcome(
        "steady", tuple(figures), tuple(checks), tuple(dict.fromkeys(assumptions)), tuple(set_aside), curves
    )


def _group(
    group: list[_Stretch],
    road_load: RoadLoad | None,
    charging_efficiency: Quantity | None,
    checks: list[str],
    assumptions: list[str],
) -> list[Figure]:
    speed = _two_way(group, [s.speed for s in group])
    km_per_h = round(3.6 * speed.value)
    key = f"at_{km_per_h}_km_per_h"
    words = f"at {km_per_h} km/h"
    ways = {s.direction for s in group} - {0}
    if len(ways) < 2:
        assumptions.append(f"{words}: driven in one direction only, so wind and slope are left in")
    pack = _two_way(group, [s.pack / s.speed for s in group]).in_unit("J/m")
    figures = [Figure(f"speed_{key}", f"mean speed {words}", speed)]
    figures.append(Figure(f"pack_consumption_{key}", f"consumption at the pack {words}", pack))
    if charging_efficiency is not None:
        wall = (pack / charging_efficiency).in_unit("J/m")
        figures.append(
            Figure(
                f"wall_consumption_{key}",
                f"consumption at the wall {words}",
                wall,
                "consumption",
                f"steady {km_per_h} km/h",
                "pack consumption over charging efficiency; the pack's own loss is not in it",
            )
        )
    wheels = [s.wheel / s.speed for s in group if s.wheel is not None]
    wheel = None
    if len(wheels) == len(group):
        wheel = _two_way(group, wheels).in_unit("J/m")
        figures.append(Figure(f"wheel_consumption_{key}", f"consumption at the wheels {words}", wheel))
    if road_load is None:
        return figures
    force = road_load.force(speed)
    if wheel is not None:
        apart = wheel - force.in_unit("J/m")
        checks.append(
            f"{words}: force at the wheels {wheel.value:.1f} N, road load {force.value:.1f} N, "
            f"apart {apart.value:+.1f} ± {apart.expanded():.1f} N"
        )
    accessories = [s.accessory / s.speed for s in group if s.accessory is not None]
    driving = pack
    if len(accessories) == len(group):
        driving = pack - _two_way(group, accessories).in_unit("J/m")
    share = force.in_unit("J/m") / driving
    what = "" if driving is not pack else ", accessories included"
    figures.append(
        Figure(f"driveline_share_{key}", f"road load over power from the pack{what}, {words}", share)
    )
    if share.band()[0] > 1.0:
        checks.append(
            f"{words}: the road load asks for more than the pack gave ({share.value:.3f} of it); coefficients, mass or "
            "power are not of this state of the vehicle"
        )
    return figures


def _mean(signal: Signal, start_s: float, end_s: float, name: str, what: str) -> Quantity:
    part = signal.between(start_s, end_s)
    found = mean(part, f"{name}, {what}")
    return Quantity(
        found.value, found.unit, (*found.terms, *scatter(part, f"{name}, scatter of {what}")), found.origin
    )


def _kinetic_w(speed: Signal, start_s: float, end_s: float, mass_kg: float) -> float:
    """Power that the vehicle gave back by slowing down within a stretch, from a straight line through its speed. [W]"""
    part = speed.between(start_s, end_s)
    slope, level = np.polyfit(part.time_s - start_s, part.values, 1)
    first, last = level, level + slope * (end_s - start_s)
    return -0.5 * mass_kg * float(last * last - first * first) / (end_s - start_s)


def _average(quantities: Sequence[Quantity]) -> Quantity:
    return total(quantities, [1.0 / len(quantities)] * len(quantities))


def _two_way(group: list[_Stretch], values: Sequence[Quantity]) -> Quantity:
    """Mean per direction, then over the directions; where none is known, over the stretches."""
    ways = sorted({s.direction for s in group})
    return _average(
        [_average([v for s, v in zip(group, values, strict=True) if s.direction == way]) for way in ways]
    )


def _grouped(stretches: list[_Stretch], same_m_per_s: float) -> list[list[_Stretch]]:
    groups: list[list[_Stretch]] = []
    for stretch in sorted(stretches, key=lambda s: s.speed.value):
        if groups and stretch.speed.value - groups[-1][0].speed.value <= same_m_per_s:
            groups[-1].append(stretch)
        else:
            groups.append([stretch])
    return groups


def _direction(series: Series, start_s: float, end_s: float) -> int:
    if not series.has("direction"):
        return 0
    times, values = series.samples("direction")
    inside = values[(times >= start_s) & (times <= end_s)]
    if len(inside) and (inside == inside[0]).all():
        return int(np.sign(inside[0]))
    return 0


def _wheel_power(series: Series, meters: Meters) -> Signal | None:
    if series.has("wheel_force_n"):
        return product(
            measured(series, "wheel_force_n", meters),
            measured(series, "speed_m_per_s", meters),
            "wheel power",
            "W",
        )
    if series.has("wheel_torque_n_m", "wheel_speed_rad_per_s"):
        torque = measured(series, "wheel_torque_n_m", meters)
        return product(torque, measured(series, "wheel_speed_rad_per_s", meters), "wheel power", "W")
    return None


def _accessory(series: Series, meters: Meters) -> Signal | None:
    try:
        return accessory_power(series, meters)
    except LookupError:
        return None


def _power_channels(series: Series) -> tuple[str, ...]:
    return ("pack_power_w",) if series.has("pack_power_w") else ("pack_voltage_v", "pack_current_a")
