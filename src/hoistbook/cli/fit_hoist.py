"""hoistbook fit spindown and corners: the tests of lifted wheels and of pads."""

from __future__ import annotations

import math
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from hoistbook.cli.fit_common import answer, kept, read_all
from hoistbook.cli.log_options import (
    At,
    Channels,
    Enter,
    Guess,
    Note,
    Person,
    Sheet,
    TestedVehicle,
    TestName,
)
from hoistbook.cli.options import AsJson, Configuration, Store

if TYPE_CHECKING:
    from hoistbook.capture.logs import LogRead
    from hoistbook.core.trials.series import Series

CAUTION_HOIST = (
    "A wheel that spins on a hoist is a danger by itself, and a drive that can turn it more so: the lift within its "
    "inspection, the vehicle on its lift points and secured, the drive made safe by people qualified for it, nobody "
    "near the wheel, nothing loose on it. Local law, the maker's documents and licensed people decide."
)
CAUTION_PADS = (
    "A vehicle with one axle up can roll or slip: locked suspension and free wheels ask for chocks, straps and stands "
    "that hold it without taking load off the pads, and nobody under it. Local law and licensed people decide."
)


class StateWord(StrEnum):
    """What stood in the vehicle on the pads."""

    CURB = "curb"
    RUNNING_ORDER = "running order"
    TEST = "test"
    AS_WEIGHED = "as weighed"
    DRY = "dry"


def spindown(
    paths: Annotated[
        list[str],
        typer.Argument(
            metavar="CORNER=FILE…",
            help="Recordings by corner, e.g. 'front left=fl.csv'; a corner may be given more than once.",
        ),
    ],
    channels: Channels = None,
    guess: Guess = False,
    inertia_kg_m2: Annotated[
        float, typer.Option(min=0.0, help="Inertia of all that turns, at the wheel. [kg·m²]")
    ] = 0.0,
    inertia_band_kg_m2: Annotated[
        float, typer.Option(min=0.0, help="Half width of its 95 % band. [kg·m²]")
    ] = 0.0,
    added: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Recording of the first wheel with an inertia added.")
    ] = None,
    added_kg_m2: Annotated[float, typer.Option(min=0.0, help="What was added, m·r². [kg·m²]")] = 0.0,
    added_band_kg_m2: Annotated[
        float, typer.Option(min=0.0, help="Half width of its 95 % band. [kg·m²]")
    ] = 0.0,
    pulled: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="Recording of the first wheel sped up by a known torque."),
    ] = None,
    torque_n_m: Annotated[float, typer.Option(min=0.0, help="That torque, at the wheel. [N·m]")] = 0.0,
    torque_band_n_m: Annotated[float, typer.Option(min=0.0, help="Half width of its 95 % band. [N·m]")] = 0.0,
    breakaway: Annotated[
        list[str] | None,
        typer.Option(
            metavar="CORNER=N·M",
            help="Torque read when a wheel began to turn; kept as that, never as drag torque.",
        ),
    ] = None,
    attached: Annotated[
        str, typer.Option(help="What turned with the wheel, e.g. 'disc and hub' or 'gears and motor'.")
    ] = "",
    at_rad_per_s: Annotated[
        float | None,
        typer.Option(
            min=0.0, help="Speed where the torque is stated; the mean of the readings when left out. [rad/s]"
        ),
    ] = None,
    constant: Annotated[
        bool, typer.Option("--constant", help="Take the torque as the same at every speed.")
    ] = False,
    from_rad_per_s: Annotated[
        float | None, typer.Option(min=0.0, help="Upper end of the window of wheel speed. [rad/s]")
    ] = None,
    to_rad_per_s: Annotated[
        float, typer.Option(min=0.0, help="Lower end of the window of wheel speed. [rad/s]")
    ] = 1.0,
    vehicle: TestedVehicle = None,
    store: Store = None,
    configuration: Configuration = None,
    name: TestName = None,
    enter: Enter = False,
    person: Person = None,
    at: At = "",
    note: Note = "",
    sheet: Sheet = None,
    as_json: AsJson = False,
) -> None:
    """Work out spin-downs of lifted wheels: drag torque of each corner, and of all wheels together."""
    from hoistbook.cli.log_options import needed_to_enter, opened, tested
    from hoistbook.core.trials.spindown import SpinRules
    from hoistbook.services.trials_hoist import SpinDownAsked, evaluate_spin_down

    record = opened(store)
    entering = needed_to_enter(enter, vehicle, record, person)
    teardown, chosen = tested(vehicle, store, configuration)
    named = [_by_corner(text, "FILE") for text in paths]
    every = [Path(file) for _, file in named] + [file for file in (added, pulled) if file is not None]
    logs = read_all(every, channels, guess, sheet, record)
    read_as = dict(zip(every, logs, strict=True))
    wheels: dict[str, list[Series]] = {}
    for corner, file in named:
        wheels.setdefault(corner, []).append(read_as[Path(file)].series)
    title = name or every[0].stem
    asked = SpinDownAsked(
        inertia_kg_m2=inertia_kg_m2,
        inertia_band_kg_m2=inertia_band_kg_m2,
        added_kg_m2=added_kg_m2,
        added_band_kg_m2=added_band_kg_m2,
        torque_n_m=torque_n_m,
        torque_band_n_m=torque_band_n_m,
        attached=attached,
        at_rad_per_s=at_rad_per_s,
        with_speed=not constant,
        rules=SpinRules(to_rad_per_s, math.inf if from_rad_per_s is None else from_rad_per_s),
    )
    _, outcome = evaluate_spin_down(
        wheels,
        asked,
        name=title if teardown is None else f"{teardown.vehicle.code} {title}",
        added=[read_as[added].series] if added is not None else (),
        pulled=[read_as[pulled].series] if pulled is not None else (),
        breakaway=dict(_torque(text) for text in breakaway or ()),
    )
    files: list[tuple[Path, LogRead | None]] = list(zip(every, logs, strict=True))
    recorded = kept(outcome, files, entering, title, chosen, at, note)
    answer(title, "spin-down", outcome, logs, recorded, CAUTION_HOIST, as_json, {})


def corners(
    path: Annotated[
        Path,
        typer.Argument(
            metavar="FILE",
            help="CSV: corner, mass [kg]; optional pad, turned (yes, no), state (level, raised), zero [kg].",
        ),
    ],
    state: Annotated[StateWord, typer.Option(help="What stood in the vehicle.")] = StateWord.AS_WEIGHED,
    wheelbase_mm: Annotated[float, typer.Option(min=0.0, help="Wheelbase. [mm]")] = 0.0,
    track_mm: Annotated[float, typer.Option(min=0.0, help="Track width. [mm]")] = 0.0,
    axle_height_mm: Annotated[
        float, typer.Option(min=0.0, help="Height of the wheel centres above the pads, level. [mm]")
    ] = 0.0,
    lift_angle_deg: Annotated[
        float, typer.Option(min=0.0, max=60.0, help="Angle of the vehicle with the rear axle up. [°]")
    ] = 0.0,
    tape: Annotated[
        str, typer.Option(help="Instrument of the vehicle for the lengths; a class II tape when left out.")
    ] = "",
    gauge: Annotated[
        str, typer.Option(help="Instrument of the vehicle for the angle; a digital gauge when left out.")
    ] = "",
    vehicle: TestedVehicle = None,
    store: Store = None,
    configuration: Configuration = None,
    name: TestName = None,
    enter: Enter = False,
    person: Person = None,
    at: At = "",
    note: Note = "",
    as_json: AsJson = False,
) -> None:
    """Work out corner weights: masses, share on the front axle, centre of gravity and, with a lift, its height."""
    from hoistbook.capture.pads import read_pads
    from hoistbook.cli.log_options import needed_to_enter, opened, tested
    from hoistbook.core.vehicle.records import MassState
    from hoistbook.services.trials_hoist import CornersAsked, evaluate_corners

    entering = needed_to_enter(enter, vehicle, opened(store), person)
    teardown, chosen = tested(vehicle, store, configuration)
    title = name or path.stem
    asked = CornersAsked(
        state=MassState(state.value),
        wheelbase_m=wheelbase_mm / 1000.0,
        track_m=track_mm / 1000.0,
        axle_height_m=axle_height_mm / 1000.0,
        lift_angle_rad=math.radians(lift_angle_deg),
        tape=tape,
        gauge=gauge,
    )
    label = title if teardown is None else f"{teardown.vehicle.code} {title}"
    found, outcome = evaluate_corners(read_pads(path), asked, name=label, teardown=teardown)
    recorded = kept(outcome, [(path, None)], entering, title, chosen, at, note)
    lifted = found.lifted_front is not None
    answer(title, "corner weights", outcome, [], recorded, CAUTION_PADS if lifted else "", as_json, {})


def _by_corner(text: str, what: str) -> tuple[str, str]:
    from hoistbook.capture.pads import CORNER_WORDS

    corner, mark, rest = text.partition("=")
    words = " ".join(corner.replace("_", " ").split()).casefold()
    words = CORNER_WORDS.get(words, words)
    if not mark or words not in CORNER_WORDS.values():
        known = ", ".join(CORNER_WORDS.values())
        msg = f"{text!r}: write CORNER={what}, with one of the corners {known} (or FL, FR, RL, RR)."
        raise ValueError(msg)
    return words, rest


def _torque(text: str) -> tuple[str, float]:
    corner, figure = _by_corner(text, "N·M")
    try:
        value = float(figure)
    except ValueError:
        value = math.nan
    if not 0.0 <= value < math.inf:
        msg = f"{text!r}: {figure!r} is no torque in N·m."
        raise ValueError(msg)
    return corner, value


HOIST_TESTS = ((spindown, "spindown"), (corners, "corners"))
"""Commands of the group `hoistbook fit`."""
