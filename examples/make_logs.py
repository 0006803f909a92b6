"""Make the logs of the demo: tests of the three invented vans before anything was taken off them.

    python examples/make_logs.py            write examples/logs/*.csv and their packaged copies
    python examples/make_logs.py --check    write nothing; fail when a stored log is not what this script makes

Every log is what the true parameters of the van give (`van_data/<name>.py`), step by step through the equations of
`hoistbook.core.energy`, with the noise of a sensor drawn by name (`van_data/noise.py`). The three loggers write as
differently as loggers do: Whimbrel's with commas and units in brackets, Turnstone's in German with semicolons, decimal commas
and a row of units, Dotterel's with tabs, names of a bus and milliseconds. Invented, so never a check of the program.
"""

from __future__ import annotations

import argparse
import math
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

HERE = Path(__file__).resolve().parent
for folder in (HERE, HERE.parent / "src"):
    if str(folder) not in sys.path:
        sys.path.insert(0, str(folder))

import make_vans  # noqa: E402
from van_data.noise import normal  # noqa: E402
from van_data.van import AIR_DENSITY_KG_PER_M3, BALLAST_KG, DUTY, Van  # noqa: E402

from hoistbook.core.energy.parameters import EnergyParameters  # noqa: E402
from hoistbook.core.quantities.units import to_si  # noqa: E402
from hoistbook.reference.cycles import cycle  # noqa: E402

PLACES = (HERE / "logs", HERE.parent / "src" / "hoistbook" / "reference" / "data" / "vans" / "logs")
KMH = 1.0 / 3.6
WHEEL_INERTIA_KG_M2 = {"W": 0.86, "T": 1.12, "D": 0.92}
"""Wheel, disc and hub of one corner, as swung on a trifilar pendulum; the undriven axle turns nothing else."""
CORNER_SHARES = {"W": (0.232, 0.246), "T": (0.238, 0.259), "D": (0.241, 0.252)}
"""Share of the drag torque of all wheels that the left and the right corner of the undriven axle have."""


@dataclass(frozen=True, slots=True)
class Tested:
    """One van on test: its true parameters, what its energy chain is wrong by, and how its logger writes."""

    van: Van
    parameters: EnergyParameters
    residual: float

    @property
    def letter(self) -> str:
        """First letter of the van, of its tags and of its logs."""
        return self.van.letter

    def value(self, name: str) -> float:
        """One true parameter."""
        return float(getattr(self.parameters, name))


@dataclass(frozen=True, slots=True)
class Field:
    """One column: what it is called by each logger (W, T, D), its unit there, its factor from SI and its decimals."""

    names: tuple[str, str, str]
    units: tuple[str, str, str]
    factors: tuple[float, float, float]
    decimals: int


FIELDS = {
    "speed": Field(("Vehicle speed", "Geschwindigkeit", "VehSpd"), ("km/h", "km/h", "kph"), (3.6, 3.6, 3.6), 2),
    "voltage": Field(("HV voltage", "Batteriespannung", "BMS_PackVoltage"), ("V", "V", "V"), (1.0, 1.0, 1.0), 2),
    # Whimbrel's bus counts charging as positive.
    "current": Field(("HV current", "Batteriestrom", "BMS_PackCurrent"), ("A", "A", "A"), (-1.0, 1.0, 1.0), 2),
    "wall": Field(("Wall power", "Netzleistung", "EVSE_WallPower"), ("W", "kW", "W"), (1.0, 1e-3, 1.0), 3),
    "charge": Field(("SoC", "Ladezustand", "BMS_SOC"), ("%", "%", "%"), (100.0, 100.0, 100.0), 1),
    "aux": Field(("Aux power", "Leistung Nebenverbraucher", "DCDC_Power"), ("W", "W", "W"), (1.0, 1.0, 1.0), 0),
    "wheel": Field(("Wheel speed", "Raddrehzahl", "WheelSpd"), ("rpm", "1/min", "rpm"), (30 / math.pi,) * 3, 2),
    "wind": Field(("Wind speed", "Windgeschwindigkeit", "Wind_Speed"), ("m/s", "m/s", "m/s"), (1.0, 1.0, 1.0), 1),
    "from": Field(("Wind direction", "Windrichtung", "Wind_Dir"), ("deg", "°", "deg"), (180 / math.pi,) * 3, 0),
    "air": Field(("Ambient temp", "Umgebungstemperatur", "Amb_Temp"), ("°C", "°C", "°C"), (1.0, 1.0, 1.0), 1),
    "pressure": Field(("Ambient pressure", "Luftdruck", "Amb_Pressure"), ("hPa", "hPa", "hPa"), (0.01, 0.01, 0.01), 1),
    "altitude": Field(("Altitude", "Höhe", "GPS_Altitude"), ("m", "m", "m"), (1.0, 1.0, 1.0), 2),
    "run": Field(("Run", "Fahrt", "Run_No"), ("", "", ""), (1.0, 1.0, 1.0), 0),
    "direction": Field(("Direction", "Richtung", "Run_Dir"), ("", "", ""), (1.0, 1.0, 1.0), 0),
}
LOGGERS = "WTD"

Table = dict[str, Sequence[float]]


def written(tested: Tested, test: str, started: str, times: Sequence[float], table: Table) -> str:
    """Write a log as the logger of this van does; `started` is the hour of the day, hh:mm:ss."""
    who = LOGGERS.index(tested.letter)
    fields = [FIELDS[name] for name in table]
    mark, comma = ((",", "."), (";", ","), ("\t", "."))[who]
    heads = [f.names[who] for f in fields]
    units = [f.units[who] for f in fields]
    hours, minutes, seconds = (int(part) for part in started.split(":"))
    begin = 3600 * hours + 60 * minutes + seconds
    lines: list[str] = []
    if tested.letter == "W":
        lines.append(mark.join(["Time [s]", *(f"{h} [{u}]" if u else h for h, u in zip(heads, units, strict=True))]))
    elif tested.letter == "T":
        lines += [f"Prüfung;T-{test}", "Messgerät;Rekorder 4", ""]
        lines += [mark.join(["Uhrzeit", *heads]), mark.join(["hh:mm:ss", *units])]
    else:
        lines += [f"# Log D-{test}", "# bus channels, first frame at " + started]
        lines.append(mark.join(["Time_ms", *(f"{h} ({u})" if u else h for h, u in zip(heads, units, strict=True))]))
    for i, time in enumerate(times):
        cells = []
        for name, field in zip(table, fields, strict=True):
            value = table[name][i]
            decimals = field.decimals if name != "wall" or tested.letter == "T" else 0
            cells.append("" if math.isnan(value) else f"{value * field.factors[who]:.{decimals}f}")
        if tested.letter == "W":
            stamp = f"{time:.1f}"
        elif tested.letter == "T":
            # Counted in tenths: 0.9999999 s is one second, not no second and ten tenths.
            tenths = round(10.0 * (begin + time)) % 864_000
            whole = tenths // 10
            stamp = f"{whole // 3600:02d}:{whole // 60 % 60:02d}:{whole % 60:02d}.{tenths % 10}"
        else:
            stamp = f"{round(1000 * time)}"
        # Signs of nothing: −0.00 is no reading a logger writes.
        text = mark.join(cell if cell.strip("-0.") else cell.lstrip("-") for cell in cells)
        lines.append(stamp.replace(".", comma) + mark + text.replace(".", comma))
    return "\n".join(lines) + "\n"


def noise(tested: Tested, test: str, channel: str, count: int, size: float) -> np.ndarray:
    """Noise of a sensor, drawn by name."""
    return size * np.array([normal(f"{tested.letter}/{test}/{channel}/{i}") for i in range(count)])


def pack_power_w(tested: Tested, v: np.ndarray, a: np.ndarray) -> np.ndarray:
    """Power at the pack terminals at a speed and an acceleration, by the chain of `hoistbook.core.energy.model`. [W]"""
    get = tested.value
    force = (
        get("road_load_a_n")
        + get("road_load_b_n_s_per_m") * v
        + get("road_load_c_n_s2_per_m2") * v * v
        + get("effective_mass_kg") * a
    )
    low, full = get("cut_in_low_m_per_s"), get("cut_in_full_m_per_s")
    blend = np.clip((v - low) / (full - low), 0.0, 1.0)
    lever = get("gear_ratio") / get("wheel_radius_m")
    back_n = np.minimum(np.maximum(-force, 0.0), get("regen_torque_cap_n_m") * lever / get("gear_efficiency_back_frac"))
    shaft = np.where(
        force > 0.0,
        force * v / get("gear_efficiency_frac"),
        -get("gear_efficiency_back_frac") * get("return_frac") * blend * back_n * v,
    )
    omega = lever * v
    torque = np.divide(shaft, omega, out=np.zeros_like(v), where=omega > 0.0)
    loss = get("loss_c0_w") + get("loss_k1") * torque**2 + get("loss_k2") * omega + get("loss_k3") * omega**3
    power = shaft + np.where(v > 0.0, loss, 0.0) + get("accessory_power_w")
    # The van is that much better than its chain, so the chain's power is that much too high.
    return power / tested.residual


def terminals(tested: Tested, power: np.ndarray, open_circuit: np.ndarray | float) -> tuple[np.ndarray, np.ndarray]:
    """Voltage and current at the terminals for a power. [V, A]"""
    resistance = tested.value("pack_resistance_ohm")
    root = np.sqrt(np.maximum(np.asarray(open_circuit) ** 2 - 4.0 * resistance * power, 0.0))
    current = 2.0 * power / (open_circuit + root)
    return open_circuit - resistance * current, current


def open_circuit_v(tested: Tested, charge: np.ndarray) -> np.ndarray:
    """Open-circuit voltage over the state of charge: linear, its mean over a full charge the stated one. [V]"""
    return tested.value("pack_voltage_v") * (1.0 + 0.16 * (charge - 0.5))


def coast_down(tested: Tested) -> str:
    """Four pairs of runs to and fro on a road that rises 0.15 % one way, in a light wind."""
    test, get = "coast-02", tested.value
    lever = get("gear_ratio") / get("wheel_radius_m")
    back = get("gear_efficiency_back_frac")
    kelvin, pascal, slope = 291.55, 99_790.0, 0.0015
    density = pascal / (287.05 * kelvin)

    def slowing(v: float, way: float, wind: float) -> float:
        # The wind comes from ahead on the way out.
        through_air = v + way * wind * math.cos(0.35)
        force = (
            get("road_load_a_n")
            + get("road_load_b_n_s_per_m") * v
            + 0.5 * density * get("drag_area_m2") * through_air * abs(through_air)
            + (get("loss_k2") * lever + get("loss_k3") * lever**3 * v * v) / back
            + way * slope * get("test_mass_kg") * 9.80665
        )
        return force / get("effective_mass_kg")

    step, rows, times = 0.1, [], []
    clock = 0.0
    for run in range(1, 9):
        way = 1.0 if run % 2 else -1.0
        wind = 0.5 + 0.2 * normal(f"{tested.letter}/{test}/wind/{run}")
        v, place, since = 118.0 * KMH, 0.0, 0.0
        while v > 14.0 * KMH:
            if round(since / step) % 10 == 0:  # once a second; the van rolls in finer steps
                altitude = 212.0 + slope * (place if way > 0 else 2_400.0 - place)
                gust = wind + 0.2 * normal(f"{tested.letter}/{test}/gust/{run}/{len(rows)}")
                rows.append((v, abs(gust), 0.35 if gust > 0 else 0.35 + math.pi, altitude, float(run), way))
                times.append(clock + since)
            # By the middle of the step: a step of its first speed alone would brake by a newton too much.
            middle = v - 0.5 * step * slowing(v, way, wind)
            v -= step * slowing(middle, way, wind)
            place += step * middle
            since += step
        clock += math.ceil(since) + 120.0
    count = len(rows)
    columns = np.array(rows).T
    table: Table = {
        "speed": columns[0] + noise(tested, test, "speed", count, 0.02),
        "wind": columns[1],
        "from": columns[2],
        "air": np.full(count, kelvin - 273.15),
        "pressure": np.full(count, pascal),
        "altitude": columns[3] + noise(tested, test, "altitude", count, 0.02),
        "run": columns[4],
        "direction": columns[5],
    }
    return written(tested, test, "10:12:00", times, table)


def driven_cycle(tested: Tested) -> str:
    """One WLTC with the hand of a driver, second by second, after half a minute at rest."""
    test = "dyno-05"
    trace = cycle(DUTY)
    lead = 30
    wander = noise(tested, test, "driver", len(trace.speed_m_per_s), 1.0)
    smooth = np.convolve(wander, np.ones(9) / 9.0, mode="same")
    driven = np.where(trace.speed_m_per_s > 0.0, np.maximum(trace.speed_m_per_s + 0.12 * smooth, 0.0), 0.0)
    # Power belongs to the step between two samples: it is worked out on the half steps and read back at the samples.
    u, a = 0.5 * (driven[1:] + driven[:-1]), np.diff(driven)
    half = pack_power_w(tested, u, a)
    power = np.concatenate(([half[0]], 0.5 * (half[1:] + half[:-1]), [half[-1]]))
    idle = float(pack_power_w(tested, np.zeros(1), np.zeros(1))[0])
    speed = np.concatenate((np.zeros(lead), driven, np.zeros(20)))
    power = np.concatenate((np.full(lead, idle), power, np.full(20, idle)))
    volts, amperes = terminals(tested, power, tested.value("pack_voltage_v"))
    count = len(speed)
    table: Table = {
        "speed": np.maximum(speed + np.where(speed > 0, noise(tested, test, "speed", count, 0.015), 0.0), 0.0),
        "voltage": volts + noise(tested, test, "voltage", count, 0.05),
        "current": amperes + noise(tested, test, "current", count, 0.05),
        "aux": tested.value("accessory_power_w") + noise(tested, test, "aux", count, 3.0),
    }
    return written(tested, test, "14:10:00", range(count), table)


def full_charge(tested: Tested) -> str:
    """Empty to full at 11 kW with a taper, every 30 s; the wall goes on a while when the pack is full."""
    test = "charge-05"
    usable, share = tested.value("usable_energy_j"), tested.value("charging_efficiency_frac")
    resistance = tested.value("pack_resistance_ohm")
    step, charge, cells = 30.0, 0.0, []
    while charge < 1.0 - 1e-9:
        watts = 11_000.0 * share * min(1.0, 0.06 + (1.0 - charge) / 0.05)
        watts = min(watts, (1.0 - charge) * usable / step)
        cells.append(watts)
        charge += watts * step / usable
    into = np.array(cells + [0.0] * 12)
    state = np.minimum(np.concatenate(([0.0], np.cumsum(into[:-1]) * step / usable)), 1.0)
    open_circuit = open_circuit_v(tested, state)
    current = -into / open_circuit
    volts = open_circuit - resistance * current
    # The idle wall power at the end is part of the whole charge, so the rest of the charger loses a little less.
    idle = 45.0
    wall = np.where(into > 0.0, into / share * (1.0 - 12 * idle / (into.sum() / share)), idle)
    count = len(into)
    times = np.arange(count) * step
    table: Table = {
        "wall": wall * (1.0 + noise(tested, test, "wall", count, 0.001)),
        "voltage": volts + noise(tested, test, "voltage", count, 0.05),
        "current": current + noise(tested, test, "current", count, 0.02),
        "charge": state,
    }
    return written(tested, test, "19:05:00", list(times), table)


def full_discharge(tested: Tested) -> str:
    """Full to empty at 40 A with a pulse of 120 A for 10 s every quarter of an hour; finer samples around a pulse."""
    test = "discharge-02"
    usable, resistance = tested.value("usable_energy_j"), tested.value("pack_resistance_ohm")
    time, charge = 0.0, 1.0
    rows: list[tuple[float, float, float, float]] = []
    while charge > 0.0:
        since = time % 900.0
        pulse = 600.0 <= since < 611.0
        fine = 596.0 <= since < 616.0
        current = 120.0 if pulse else 40.0
        open_circuit = float(open_circuit_v(tested, np.array([charge]))[0])
        rows.append((time, open_circuit - resistance * current, current, charge))
        step = 1.0 if fine else min(15.0, 596.0 - since if since < 596.0 else 15.0)
        charge -= open_circuit * current * step / usable
        time += step
    columns = np.array(rows).T
    count = len(rows)
    table: Table = {
        "voltage": columns[1] + noise(tested, test, "voltage", count, 0.03),
        "current": columns[2] + noise(tested, test, "current", count, 0.03),
        "charge": np.where(np.arange(count) % 4 == 0, columns[3], np.nan),  # the bus sends it more seldom
    }
    return written(tested, test, "07:30:00", list(columns[0]), table)


def spin_down(tested: Tested, corner: int) -> str:
    """Three spins of one lifted wheel of the undriven axle."""
    side = ("left", "right")[corner]
    test = f"spin-0{corner + 1}"
    torque = CORNER_SHARES[tested.letter][corner] * to_si(*tested.van.truth["drag_torque"])[0]
    inertia = WHEEL_INERTIA_KG_M2[tested.letter]
    per_speed = 0.0035 * torque  # grease: a third of a per cent more for each rad/s
    times, speeds, runs = [], [], []
    clock = 0.0
    for run in range(1, 4):
        start = 42.0 + 2.0 * normal(f"{tested.letter}/{test}/{run}")
        since, omega = 0.0, start
        while omega > 0.5:
            times.append(clock + since)
            speeds.append(omega)
            runs.append(float(run))
            k0, k1, step = torque / inertia, per_speed / inertia, 0.2
            # Exact solution of ω' = −k0 − k1 ω over a step.
            omega = (omega + k0 / k1) * math.exp(-k1 * step) - k0 / k1
            since += step
        clock += math.ceil(since) + 20.0
    table: Table = {"wheel": np.array(speeds) + noise(tested, f"{test}-{side}", "wheel", len(speeds), 0.03), "run": runs}
    return written(tested, f"{test}, {side}", ("14:20:00", "14:31:00")[corner], times, table)


def standing(tested: Tested) -> str:
    """Half an hour ready to drive, cabin off, every 5 s; a pump switches on and off."""
    test = "stand-02"
    times = np.arange(0.0, 1_800.0 + 2.5, 5.0)
    pump = np.where((times % 150.0) < 75.0, 20.0, -20.0)
    power = tested.value("accessory_power_w") + pump
    volts, amperes = terminals(tested, power, tested.value("pack_voltage_v"))
    count = len(times)
    table: Table = {
        "voltage": volts + noise(tested, test, "voltage", count, 0.05),
        "current": amperes + noise(tested, test, "current", count, 0.01),
        "charge": 0.614 - np.cumsum(power) * 5.0 / tested.value("usable_energy_j"),
    }
    return written(tested, test, "13:00:00", list(times), table)


TESTS: dict[str, Callable[[Tested], str]] = {
    "coastdown": coast_down,
    "cycle": driven_cycle,
    "charge": full_charge,
    "discharge": full_discharge,
    "spindown-left": lambda tested: spin_down(tested, 0),
    "spindown-right": lambda tested: spin_down(tested, 1),
    "standby": standing,
}


def tested_van(name: str) -> Tested:
    """Return the true parameters of one van at its test mass."""
    made = make_vans.make(name)
    parameters = made.van.parameters(made.curb_kg + BALLAST_KG)
    if float(parameters.air_density_kg_per_m3) != AIR_DENSITY_KG_PER_M3:
        msg = f"{name}: the air of the vans changed; the logs are made for {AIR_DENSITY_KG_PER_M3} kg/m3."
        raise ValueError(msg)
    return Tested(made.van, parameters, made.van.residual)


def logs() -> dict[str, bytes]:
    """Every log by its file name."""
    found = {}
    for name in make_vans.VANS:
        tested = tested_van(name)
        for test, make in TESTS.items():
            # Turnstone's recorder is an old one and writes Windows-1252.
            encoding = "cp1252" if tested.letter == "T" else "utf-8"
            found[f"{name}-{test}.csv"] = make(tested).encode(encoding)
    return found


def main() -> int:
    """Write or check the logs."""
    parser = argparse.ArgumentParser(description=str(__doc__).split("\n", maxsplit=1)[0])
    parser.add_argument("--check", action="store_true", help="write nothing; fail when a stored log differs")
    arguments = parser.parse_args()
    made = logs()
    wrong = []
    for place in PLACES:
        for name, data in made.items():
            path = place / name
            if arguments.check:
                if not path.exists() or path.read_bytes() != data:
                    wrong.append(f"{path.relative_to(HERE.parent)} is not what {Path(__file__).name} makes.")
                continue
            place.mkdir(parents=True, exist_ok=True)
            path.write_bytes(data)
    print("\n".join(wrong) or f"{len(made)} logs, {sum(map(len, made.values()))} bytes, in two places")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
