"""Tests of the invented vans in the demo's store, entered as the commands `hoistbook fit … --enter` enter them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

from hoistbook.capture.logs import LogRead
from hoistbook.core.trials.outcome import Outcome
from hoistbook.core.vehicle.records import Configuration, Teardown
from hoistbook.services.energy_trials import Asked, evaluate
from hoistbook.services.loading import chosen_configuration
from hoistbook.services.logs import log_series
from hoistbook.services.record import Record, teardown
from hoistbook.services.trials import record_trial
from hoistbook.services.trials_hoist import SpinDownAsked, evaluate_spin_down
from hoistbook.services.trials_road import CoastDownAsked, evaluate_coast_down

DUTY = "wltc3b"
ANALYSER = "power analyser E1, calibration"
METERS = (
    f"wall_power_w=0.1%@{ANALYSER}",
    "pack_voltage_v=0.05%@power analyser E1, voltage",
    "pack_current_a=0.1%+0.02A@power analyser E1, current",
    "accessory_power_w=0.5%+2W@power analyser E1, accessories",
    "speed_m_per_s=0.1%@dynamometer D1, speed",
)
"""What the logs were read with (examples/README.md); E1 is one analyser, so its errors are those of all three vans."""

SPEED_LIMIT_FRAC = 0.001
"""Limit of error of the satellite receiver on the road."""
ROTATING_BAND_FRAC = 0.005
"""Half width of the band of the allowance for rotating parts, as the workbooks have it."""
INERTIA_BAND_KG_M2 = 0.01
"""Half width of the band of an inertia swung on a trifilar pendulum."""


@dataclass(frozen=True, slots=True)
class Tested:
    """One van on test: its code, the undriven axle that was spun, inertia of one of its wheels, and the first day."""

    code: str
    axle: str
    inertia_kg_m2: float
    day: str


VANS = {
    "whimbrel": Tested("W", "rear", 0.86, "2026-04-07"),
    "turnstone": Tested("T", "front", 1.12, "2026-05-05"),
    "dotterel": Tested("D", "front", 0.92, "2026-05-27"),
}
"""Inertia of wheel, disc and hub; an undriven axle turns nothing else."""

TIMES = {
    "coast-down": (0, "10:12"),
    "spin-down": (1, "14:20"),
    "charge": (0, "19:05"),
    "discharge": (1, "07:30"),
    "standby": (0, "13:00"),
    "cycle": (0, "14:10"),
}
"""Tests in the order in which they are entered, with the day (from 0) and the hour at which each log begins.

A cycle is held against the charge and the road load, so it is entered last. Driven they were in another order: road,
standing and rollers on the first day, charged from empty to full overnight, discharged from full to empty on the
second day, and then onto the hoist.
"""


def enter_tests(record: Record, logs: Path, person: str) -> None:
    """Enter the tests of all vans.

    Parameters
    ----------
    record : Record
        Holds the vans.
    logs : Path
        Folder of their logs.
    person : str

    Notes
    -----
    The cycle names no duty, so its consumption is no fact: it was driven on a dynamometer whose load has an error that
    no log shows, and the workbooks state the consumption with it.
    """
    for name, van in VANS.items():
        found = teardown(record, van.code)
        chosen = chosen_configuration(found, None)
        for test, (day, clock) in TIMES.items():
            if test == "cycle":
                found = teardown(
                    record, van.code
                )  # with the road load and the charging efficiency found just now
            paths = list(_logs(logs, name, test))
            read = [log_series(path, guess=True) for path in paths]
            outcome = _outcome(van, test, read, found, chosen)
            record_trial(
                record,
                van.code,
                outcome,
                name=test,
                person=person,
                configuration=chosen.id,
                at=f"{date.fromisoformat(van.day) + timedelta(days=day)} {clock}",
                file=paths[0],
                log=read[0],
                more=list(zip(paths[1:], read[1:], strict=True)),
                note=NOTES.get(test, ""),
            )


NOTES = {
    "spin-down": "only the undriven axle was spun: the other turns gears and motor along",
    "cycle": "on dynamometer D1, whose load has an error of its own: the consumption of the range test stands",
}


def _logs(folder: Path, name: str, test: str) -> Iterator[Path]:
    if test == "spin-down":
        yield from (folder / f"{name}-spindown-{side}.csv" for side in ("left", "right"))
    else:
        yield folder / f"{name}-{test.replace('-', '')}.csv"


def _outcome(van: Tested, test: str, read: list[LogRead], found: Teardown, chosen: Configuration) -> Outcome:
    if test == "coast-down":
        asked = CoastDownAsked(rotating_band_frac=ROTATING_BAND_FRAC, speed_limit_frac=SPEED_LIMIT_FRAC)
        recordings = [log.series for log in read]
        return evaluate_coast_down(recordings, asked, name=test, teardown=found, configuration=chosen)[1]
    if test == "spin-down":
        wheels = {
            f"{van.axle} {side}": [log.series] for side, log in zip(("left", "right"), read, strict=True)
        }
        spun = SpinDownAsked(van.inertia_kg_m2, INERTIA_BAND_KG_M2, attached="disc and hub")
        return evaluate_spin_down(wheels, spun, name=f"{van.code} {test}")[1]
    wanted = Asked(
        duty=DUTY if test == "standby" else "", cycle=DUTY if test == "cycle" else "", meters=METERS
    )
    label = f"{van.code} test {test}"
    return evaluate(test, read[0], wanted, label=label, teardown=found, configuration=chosen)
