"""A driven cycle: consumption at wheels, pack and wall, returned energy, accessories, and how well it was driven."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np

from hoistbook.core.energy.cycles import Cycle
from hoistbook.core.quantities.quantity import Quantity, combine, total
from hoistbook.core.trials.meters import Meters
from hoistbook.core.trials.outcome import Curve, Figure, Outcome
from hoistbook.core.trials.power import accessory_power, pack_power, unmetered
from hoistbook.core.trials.series import Series
from hoistbook.core.trials.signals import Signal, integral, mean, measured, product
from hoistbook.core.trials.steady import STANDING_M_PER_S, RoadLoad
from hoistbook.core.trials.trace_quality import drive_quality, start_of_cycle_s

STEP_S = 1.0
"""common practice: the driven trace is looked at second by second, as the cycles are; noise is no acceleration."""

FAR_FRAC = 0.02
"""project rule: two distances of one drive more than 2 % apart are named."""


@dataclass(frozen=True, slots=True)
class Vehicle:
    """What is known of the vehicle that was driven; anything may be missing.

    Attributes
    ----------
    road_load : RoadLoad, optional
    effective_mass_kg : Quantity, optional
        Test mass with its rotating share. [kg]
    charging_efficiency : Quantity, optional
        Wall to cells. [1]
    resistance : Quantity, optional
        Of the pack. [ohm]
    """

    road_load: RoadLoad | None = None
    effective_mass_kg: Quantity | None = None
    charging_efficiency: Quantity | None = None
    resistance: Quantity | None = None


@dataclass(slots=True)
class _Run:
    """One run of the log, cut to what is evaluated."""

    name: str
    suffix: str
    series: Series
    speed: Signal
    power: Signal
    distance: Quantity
    figures: list[Figure] = field(default_factory=list)

    def add(self, key: str, words: str, value: Quantity) -> None:
        self.figures.append(
            Figure(f"{key}{self.suffix}", f"{words}, {self.name}" if self.suffix else words, value)
        )

    def trace(self, step_s: float = STEP_S) -> Cycle:
        """Return the driven speed, sampled evenly and never negative."""
        count = max(2, round((self.speed.time_s[-1] - self.speed.time_s[0]) / step_s) + 1)
        times = np.linspace(self.speed.time_s[0], self.speed.time_s[-1], count)
        speeds = np.maximum(np.interp(times, self.speed.time_s, self.speed.values), 0.0)
        return Cycle(self.name, self.name, speeds, times - times[0])


def evaluate_cycle(
    series: Series,
    meters: Meters,
    *,
    label: str,
    vehicle: Vehicle | None = None,
    cycle: Cycle | None = None,
    duty: str = "",
) -> Outcome:
    """Evaluate a log of driving.

    Parameters
    ----------
    series : Series
        speed_m_per_s and pack power (or voltage and current); run, distance, accessories, wheel force where recorded.
    meters : Meters
    label : str
        Names the errors of this test alone.
    vehicle : Vehicle, optional
    cycle : Cycle, optional
        The trace that was followed; every run is cut to it where it lies closest.
    duty : str
        Name of the duty, which makes consumption and accessory power facts of the vehicle.

    Returns
    -------
    Outcome
        Figures of every run (keys end in its number), and their mean where there are several.

    Raises
    ------
    LookupError
        A channel is missing.
    ValueError
        Nothing was driven, or a run is shorter than the cycle.

    Notes
    -----
    Pack consumption is the net energy at the terminals per distance; wall consumption adds R ∫ I² dt where the
    resistance is known and divides by the charging efficiency. The returned share is the energy that flowed back into
    the pack over that which left it; held against the braking energy at the wheels where road load and mass are known.
    Energy at the wheels comes from the recorded force, else from the road load along the driven trace.

    Source
    ------
    first principles.
    """
    vehicle = vehicle or Vehicle()
    assumptions: list[str] = []
    checks: list[str] = []
    set_aside: list[str] = []
    curves: list[Curve] = []
    runs: list[_Run] = []
    parts = list(series.runs())
    for number, (run_number, part) in enumerate(parts, start=1):
        name = f"run {number}" if len(parts) > 1 else "run"
        if len(parts) > 1 and run_number != number:
            name += f" (numbered {run_number})"
        run = _cut(
            part, meters, label, (name, f"_{number}" if len(parts) > 1 else ""), cycle, checks, set_aside
        )
        if run is None:
            continue
        _evaluate_run(run, meters, vehicle, f"{label}, {name}", assumptions, checks)
        curves += _curves(run, cycle)
        if cycle is not None:
            _judge_driving(run, vehicle, cycle, checks)
        runs.append(run)
    if not runs:
        msg = f"{series.name!r}: nothing was driven; {' '.join(set_aside)}"
        raise ValueError(msg)
    used = ["speed_m_per_s"]
    used += ["pack_power_w"] if series.has("pack_power_w") else ["pack_voltage_v", "pack_current_a"]
    figures = [figure for run in runs for figure in run.figures]
    figures = _means(runs, figures, duty)
    if not duty:
        assumptions.append("no duty was named, so consumption is no fact of the vehicle")
    if vehicle.charging_efficiency is None:
        assumptions.append("no charging efficiency is known: consumption ends at the pack")
    return Outcome(
        "cycle",
        tuple(figures),
        tuple(checks),
        tuple(dict.fromkeys((*unmetered(meters, *used), *assumptions))),
        tuple(set_aside),
        tuple(curves),
    )


def _cut(
    part: Series,
    meters: Meters,
    label: str,
    named: tuple[str, str],
    cycle: Cycle | None,
    checks: list[str],
    set_aside: list[str],
) -> _Run | None:
    name, suffix = named
    if not part.has("speed_m_per_s") or len(part.samples("speed_m_per_s")[0]) < 2:
        set_aside.append(f"{name}: no speed was recorded")
        return None
    times, speeds = part.samples("speed_m_per_s")
    if float(speeds.max()) < STANDING_M_PER_S:
        set_aside.append(f"{name}: the vehicle stood")
        return None
    start, end = float(times[0]), float(times[-1])
    if cycle is not None:
        begin = start_of_cycle_s(times, speeds, cycle)
        start, end = max(start, begin), min(end, begin + cycle.duration_s)
        checks.append(f"{name}: the cycle starts at {begin:.1f} s of the log")
    power = pack_power(part, meters)
    start, end = max(start, float(power.time_s[0])), min(end, float(power.time_s[-1]))
    speed = measured(part, "speed_m_per_s", meters).between(start, end)
    distance = integral(speed, "m", f"{label}, {name}, distance")
    return _Run(name, suffix, part.between(start, end), speed, power.between(start, end), distance)


def _evaluate_run(
    run: _Run,
    meters: Meters,
    vehicle: Vehicle,
    label: str,
    assumptions: list[str],
    checks: list[str],
) -> None:
    out = integral(run.power.clipped(positive=True), "J", f"{label}, out of the pack")
    back = integral(run.power.clipped(positive=False), "J", f"{label}, into the pack")
    net = integral(run.power, "J", f"{label}, pack energy")
    run.add("distance", "distance", run.distance)
    run.add("pack_energy", "net energy from the pack", net)
    run.add("pack_consumption", "consumption at the pack", (net / run.distance).in_unit("J/m"))
    run.add("returned_share", "energy back into the pack over energy out of it", back / out)
    if vehicle.charging_efficiency is not None:
        cells = net
        if vehicle.resistance is not None and run.series.has("pack_current_a"):
            current = measured(run.series, "pack_current_a", meters)
            squared = integral(product(current, current, "current squared", "A2"), "A2.s", f"{label}, I²")
            cells = net + (vehicle.resistance * squared).in_unit("J")
        else:
            assumptions.append("the loss inside the pack is not in the consumption at the wall")
        wall = cells / (vehicle.charging_efficiency * run.distance)
        run.add("wall_consumption", "consumption at the wall", wall.in_unit("J/m"))
    _wheels(run, meters, vehicle, label, back, assumptions)
    try:
        accessories = accessory_power(run.series, meters)
    except LookupError:
        pass
    else:
        run.add(
            "accessory_power", "mean power of the accessories", mean(accessories, f"{label}, accessories")
        )
    if run.series.has("distance_m"):
        _, counted = run.series.samples("distance_m")
        apart = float(counted[-1] - counted[0]) / run.distance.value - 1.0
        words = "; check the scale of both" if abs(apart) > FAR_FRAC else ""
        checks.append(
            f"{run.name}: the distance counted is {100 * apart:+.2f} % from that of the speed{words}"
        )


def _curves(run: _Run, cycle: Cycle | None) -> tuple[Curve, ...]:
    """Driven speed, beside the trace where one was followed, and power at the pack."""
    start = run.speed.time_s[0]
    since = run.speed.time_s - start
    asked = None if cycle is None else np.interp(since, cycle.time_s - cycle.time_s[0], cycle.speed_m_per_s)
    return (
        Curve(f"speed, {run.name}", "time", "s", "speed", "m/s", since, run.speed.values, asked),
        Curve(
            f"pack power, {run.name}",
            "time",
            "s",
            "pack power",
            "W",
            run.power.time_s - start,
            run.power.values,
        ),
    )


def _wheels(
    run: _Run, meters: Meters, vehicle: Vehicle, label: str, back: Quantity, assumptions: list[str]
) -> None:
    """Energy at the wheels, recorded or from the road load, and how much of the braking came back to the pack."""
    if run.series.has("wheel_force_n"):
        force = measured(run.series, "wheel_force_n", meters)
        power = product(force, measured(run.series, "speed_m_per_s", meters), "wheel power", "W")
        traction = integral(power.clipped(positive=True), "J", f"{label}, traction")
        braking = integral(power.clipped(positive=False), "J", f"{label}, braking")
    elif vehicle.road_load is not None and vehicle.effective_mass_kg is not None:
        traction, braking = wheel_energies(run.trace(), vehicle.road_load, vehicle.effective_mass_kg)
        assumptions.append(
            "energy at the wheels is that of the road load and mass along the driven trace, second by second"
        )
    else:
        assumptions.append(
            "no energy at the wheels: the force was not recorded, or road load or mass are not known"
        )
        return
    run.add("wheel_traction", "traction at the wheels", traction)
    run.add("wheel_braking", "braking at the wheels", braking)
    run.add(
        "wheel_consumption", "traction at the wheels per distance", (traction / run.distance).in_unit("J/m")
    )
    if braking.value > 0.0:
        run.add(
            "returned_of_braking",
            "energy back into the pack over braking at the wheels (after all losses)",
            back / braking,
        )


def wheel_energies(
    trace: Cycle, road_load: RoadLoad, effective_mass_kg: Quantity
) -> tuple[Quantity, Quantity]:
    """Traction and braking energy at the wheels with the bands of road load and mass. [J]

    Notes
    -----
    Step rule of `energy.wheel`. Both are sums over steps of a force linear in (m, A, B, C), so their slopes are the
    sums of (a, 1, u, u²) u dt over the steps of their sign.

    Source
    ------
    first principles.
    """
    u, dt, a = trace.step_speed, trace.step_duration, trace.step_acceleration
    m, (qa, qb, qc) = effective_mass_kg, (road_load.a, road_load.b, road_load.c)
    force = qa.value + (qb.value + qc.value * u) * u + m.value * a
    path = np.where(u > 0.0, u * dt, 0.0)
    found = []
    for sign in (1.0, -1.0):
        steps = np.where(sign * force > 0.0, sign * path, 0.0)
        slopes = ((m, a), (qa, np.ones_like(u)), (qb, u), (qc, u * u))
        found.append(
            combine(float(np.sum(force * steps)), [(q, float(np.sum(s * steps))) for q, s in slopes], "J")
        )
    return found[0], found[1]


def _judge_driving(run: _Run, vehicle: Vehicle, cycle: Cycle, checks: list[str]) -> None:
    times = cycle.time_s - cycle.time_s[0] + run.speed.time_s[0]
    speeds = np.maximum(np.interp(times, run.speed.time_s, run.speed.values), 0.0)
    driven = Cycle(run.name, run.name, speeds, cycle.time_s)
    load = None
    if vehicle.road_load is not None and vehicle.effective_mass_kg is not None:
        r = vehicle.road_load
        load = (vehicle.effective_mass_kg.value, r.a.value, r.b.value, r.c.value)
    q = drive_quality(driven, cycle, load)
    ratings = [
        ("DR", q.distance_rating_frac),
        ("ASCR", q.absolute_speed_change_rating_frac),
        ("IWR", q.inertial_work_rating_frac),
    ]
    if q.energy_rating_frac is not None and q.energy_economy_rating_frac is not None:
        ratings = [("ER", q.energy_rating_frac), ("EER", q.energy_economy_rating_frac), *ratings]
    said = ", ".join(f"{name} {100 * value:+.2f} %" for name, value in ratings)
    checks.append(
        f"{run.name} against {cycle.title}: {said}, RMSSE {3.6 * q.rms_speed_error_m_per_s:.2f} km/h, "
        f"{q.outside_s:.0f} s outside the speed band"
    )


def _means(runs: list[_Run], figures: list[Figure], duty: str) -> list[Figure]:
    """Add the mean over the runs of what can be averaged, and say which figures are facts."""
    if len(runs) > 1:
        for key, words in (
            ("pack_consumption", "consumption at the pack"),
            ("wall_consumption", "consumption at the wall"),
            ("accessory_power", "mean power of the accessories"),
        ):
            each = [f.value for f in figures if f.key.rpartition("_")[0] == key]
            if len(each) == len(runs):
                mean_of = total(each, [1.0 / len(each)] * len(each))
                figures.append(Figure(key, f"{words}, mean of {len(each)} runs", mean_of))
    facts = {"wall_consumption": "consumption", "accessory_power": "accessory_power"}
    return [replace(f, fact=facts[f.key], duty=duty) if duty and f.key in facts else f for f in figures]
