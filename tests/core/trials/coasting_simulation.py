"""Coasting vehicles by integrating the equation of motion: known road load, wind with gusts, slope, noisy readings.

Written apart from the code under test: a fourth-order step on a fine grid, forces per second and not per reading.
"""

from dataclasses import dataclass, replace

import numpy as np

from hoistbook.core.trials.series import Series

GRAVITY = 9.80665


@dataclass(frozen=True)
class Vehicle:
    a_n: float = 165.0
    b_n_s_per_m: float = 1.2
    c_n_s2_per_m2: float = 0.62
    mass_kg: float = 2200.0
    rotating_frac: float = 0.03


@dataclass(frozen=True)
class Day:
    """Mean wind changes from pair to pair, gusts hang together over some seconds, the road rises one way."""

    wind_m_per_s: float = 1.0
    wind_change_m_per_s: float = 0.5
    gust_m_per_s: float = 0.6
    gust_time_s: float = 6.0
    slope: float = 0.0
    roughness_n: float = 8.0
    noise_m_per_s: float = 0.03
    step_s: float = 0.1
    density_ratio: float = 1.0
    from_kmh: float = 122.0
    to_kmh: float = 10.0


def coasting(vehicle, day, directions, winds, random):
    """Many runs at once: for each its times, read speeds, distances along the track, and the wind as it blew."""
    fine = 0.05
    directions, winds = np.asarray(directions, dtype=float), np.asarray(winds, dtype=float)
    inertia = vehicle.mass_kg * (1.0 + vehicle.rotating_frac)
    climb = vehicle.mass_kg * GRAVITY * directions * day.slope
    decay, rough_decay = np.exp(-fine / day.gust_time_s), np.exp(-fine / 1.0)
    gust, rough = random.normal(size=(2, len(winds)))
    v = np.full(len(winds), day.from_kmh / 3.6)
    speeds, blown = [v], [winds + day.gust_m_per_s * gust]
    while np.any(v > day.to_kmh / 3.6):
        head = directions * (winds + day.gust_m_per_s * gust)

        def slowing(v, head=head, rough=rough):
            air = v + head
            drag = day.density_ratio * vehicle.c_n_s2_per_m2 * air * np.abs(air)
            return -(vehicle.a_n + vehicle.b_n_s_per_m * v + drag + climb + day.roughness_n * rough) / inertia

        k1 = slowing(v)
        k2 = slowing(v + 0.5 * fine * k1)
        k3 = slowing(v + 0.5 * fine * k2)
        k4 = slowing(v + fine * k3)
        v = v + fine * (k1 + 2.0 * k2 + 2.0 * k3 + k4) / 6.0
        kicks = random.normal(size=(2, len(winds)))
        gust = decay * gust + np.sqrt(1.0 - decay**2) * kicks[0]
        rough = rough_decay * rough + np.sqrt(1.0 - rough_decay**2) * kicks[1]
        speeds.append(v)
        blown.append(winds + day.gust_m_per_s * gust)
    true, wind = np.array(speeds).T, np.array(blown).T
    every = max(1, round(day.step_s / fine))
    found = []
    for one, blow in zip(true, wind, strict=True):
        last = int(np.argmax(one <= day.to_kmh / 3.6))
        distance = np.concatenate(([0.0], np.cumsum(0.5 * (one[1:] + one[:-1]) * fine)))[: last + 1 : every]
        read = one[: last + 1 : every] + random.normal(0.0, day.noise_m_per_s, len(distance))
        found.append((fine * every * np.arange(len(read)), read, distance, blow[: last + 1 : every]))
    return found


def recordings(
    vehicle, day, count, seed, *, pairs=5, one_way=False, channels=(), name="coast.csv", spoil=None
):
    """Recordings of runs to and fro, numbered; `spoil(run_number, time, speed)` may change the speed of one."""
    random = np.random.default_rng(seed)
    per = pairs * (1 if one_way else 2)
    means = day.wind_m_per_s + random.normal(0.0, day.wind_change_m_per_s, (count, pairs))
    winds = means if one_way else np.repeat(means, 2, axis=1)
    directions = np.ones(per) if one_way else np.tile([1.0, -1.0], pairs)
    runs = coasting(vehicle, day, np.tile(directions, count), winds.ravel(), random)
    return [
        _recording(runs[i * per : (i + 1) * per], directions, day, channels, name, spoil, random)
        for i in range(count)
    ]


def _recording(runs, directions, day, channels, name, spoil, random):
    columns = {key: [] for key in ("time", "speed", "run", "direction", "station", "altitude", "grade")}
    clock = 0.0
    for number, ((time, speed, distance, blown), direction) in enumerate(
        zip(runs, directions, strict=True), 1
    ):
        columns["time"].append(clock + time)
        columns["speed"].append(speed if spoil is None else spoil(number, time, speed))
        columns["run"].append(np.full(len(time), float(number)))
        columns["direction"].append(np.full(len(time), direction))
        # A station beside the track sees gusts of the same kind, not the same gusts.
        columns["station"].append(random.permutation(blown))
        columns["grade"].append(np.full(len(time), direction * day.slope))
        columns["altitude"].append(direction * day.slope * distance)
        clock += time[-1] + 60.0
    table = {key: np.concatenate(values) for key, values in columns.items()}
    held = {"speed_m_per_s": table["speed"], "run": table["run"]}
    if "direction" in channels:
        held["direction"] = table["direction"]
    if "wind" in channels:
        held["wind_speed_m_per_s"] = np.abs(table["station"])
        held["wind_direction_rad"] = np.where(table["station"] >= 0.0, 0.0, np.pi)
    if "grade" in channels:
        held["grade_1"] = table["grade"]
    if "altitude" in channels:
        held["altitude_m"] = table["altitude"]
    return Series(name, table["time"], held)


def recording(vehicle, day, seed, **more):
    """One recording."""
    return recordings(vehicle, day, 1, seed, **more)[0]


def still(day=None):
    """A day without wind, roughness or noise."""
    return replace(
        day or Day(),
        wind_m_per_s=0.0,
        wind_change_m_per_s=0.0,
        gust_m_per_s=0.0,
        roughness_n=0.0,
        noise_m_per_s=0.0,
    )
