"""hoistbook fit steady, cycle, charge, discharge and standby: the tests that measure energy."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from hoistbook.cli.log_options import (
    At,
    Channels,
    Enter,
    Guess,
    LogFile,
    MeterOption,
    Note,
    Person,
    Sheet,
    TestedVehicle,
    TestName,
)
from hoistbook.cli.options import AsJson, Configuration, Store

if TYPE_CHECKING:
    from hoistbook.services.energy_trials import Asked

TestDuty = Annotated[
    str,
    typer.Option("--duty", help="What the figure is used for, e.g. wltc3b; makes it a fact of the vehicle."),
]
Full = Annotated[
    bool,
    typer.Option(
        "--full", help="The log runs from full to empty, or from empty to full, though it does not say."
    ),
]


def _run(
    kind: str,
    path: Path,
    asked: Asked,
    *,
    channels: str | None,
    guess: bool,
    sheet: str | None,
    vehicle: str | None,
    store: Path | None,
    configuration: str | None,
    name: str | None,
    enter: bool,
    person: str | None,
    at: str,
    note: str,
    as_json: bool,
) -> None:
    from hoistbook.cli.as_json import print_json
    from hoistbook.cli.log_options import needed_to_enter, opened, read, tested
    from hoistbook.cli.page import Page
    from hoistbook.cli.trial_page import print_outcome, print_recorded
    from hoistbook.services.as_json.trials import log_json, outcome_json
    from hoistbook.services.energy_trials import evaluate

    record = opened(store)
    entering = needed_to_enter(enter, vehicle, record, person)
    log = read(path, channels, guess, sheet, record)
    teardown, chosen = tested(vehicle, store, configuration)
    title = name or path.stem
    outcome = evaluate(kind, log, asked, label=f"test {title}", teardown=teardown, configuration=chosen)
    recorded = None
    if entering is not None:
        from hoistbook.services.trials import record_trial

        code, place, who = entering
        recorded = record_trial(
            place,
            code,
            outcome,
            name=title,
            person=who,
            configuration=None if chosen is None else chosen.id,
            at=at,
            file=path,
            log=log,
            note=note,
        )
    if as_json:
        print_json(
            {
                "test": title,
                **outcome_json(outcome),
                "log": log_json(log),
                "entered": None if recorded is None else recorded.facts.as_json(),
                "left_out": [] if recorded is None else list(recorded.left_out),
                "remarks": [] if recorded is None else list(recorded.remarks),
            }
        )
        return
    page = Page(sys.stdout)
    print_outcome(page, f"{title}: {kind}", outcome, log)
    if recorded is not None:
        print_recorded(page, recorded)


def charge(
    path: LogFile,
    channels: Channels = None,
    guess: Guess = False,
    vehicle: TestedVehicle = None,
    store: Store = None,
    configuration: Configuration = None,
    full: Full = False,
    meter: MeterOption = None,
    name: TestName = None,
    enter: Enter = False,
    person: Person = None,
    at: At = "",
    note: Note = "",
    sheet: Sheet = None,
    as_json: AsJson = False,
) -> None:
    """Work out a charge: wall energy, energy into the pack, charging efficiency and where the rest went."""
    from hoistbook.services.energy_trials import Asked

    _run(
        "charge",
        path,
        Asked(full=full, meters=tuple(meter or ())),
        channels=channels,
        guess=guess,
        sheet=sheet,
        vehicle=vehicle,
        store=store,
        configuration=configuration,
        name=name,
        enter=enter,
        person=person,
        at=at,
        note=note,
        as_json=as_json,
    )


def discharge(
    path: LogFile,
    channels: Channels = None,
    guess: Guess = False,
    vehicle: TestedVehicle = None,
    store: Store = None,
    configuration: Configuration = None,
    full: Full = False,
    settle_s: Annotated[
        float,
        typer.Option("--settle-s", min=0.1, help="Length of the pulses whose resistance is read. [s]"),
    ] = 10.0,
    meter: MeterOption = None,
    name: TestName = None,
    enter: Enter = False,
    person: Person = None,
    at: At = "",
    note: Note = "",
    sheet: Sheet = None,
    as_json: AsJson = False,
) -> None:
    """Work out a discharge: energy at the terminals, usable energy, and voltage and resistance of the pack."""
    from hoistbook.services.energy_trials import Asked

    _run(
        "discharge",
        path,
        Asked(full=full, settle_s=settle_s, meters=tuple(meter or ())),
        channels=channels,
        guess=guess,
        sheet=sheet,
        vehicle=vehicle,
        store=store,
        configuration=configuration,
        name=name,
        enter=enter,
        person=person,
        at=at,
        note=note,
        as_json=as_json,
    )


def standby(
    path: LogFile,
    channels: Channels = None,
    guess: Guess = False,
    vehicle: TestedVehicle = None,
    store: Store = None,
    configuration: Configuration = None,
    duty: TestDuty = "",
    meter: MeterOption = None,
    name: TestName = None,
    enter: Enter = False,
    person: Person = None,
    at: At = "",
    note: Note = "",
    sheet: Sheet = None,
    as_json: AsJson = False,
) -> None:
    """Work out the power of a vehicle that stands: parked, or ready to drive."""
    from hoistbook.services.energy_trials import Asked

    _run(
        "standby",
        path,
        Asked(duty=duty, meters=tuple(meter or ())),
        channels=channels,
        guess=guess,
        sheet=sheet,
        vehicle=vehicle,
        store=store,
        configuration=configuration,
        name=name,
        enter=enter,
        person=person,
        at=at,
        note=note,
        as_json=as_json,
    )


def cycle(
    path: LogFile,
    channels: Channels = None,
    guess: Guess = False,
    vehicle: TestedVehicle = None,
    store: Store = None,
    configuration: Configuration = None,
    duty: TestDuty = "",
    followed: Annotated[
        str,
        typer.Option(
            "--cycle", help="Cycle that was followed: udds, hwfet, us06, wltc3b, or a CSV file of one."
        ),
    ] = "",
    meter: MeterOption = None,
    name: TestName = None,
    enter: Enter = False,
    person: Person = None,
    at: At = "",
    note: Note = "",
    sheet: Sheet = None,
    as_json: AsJson = False,
) -> None:
    """Work out a driven cycle: consumption from wheels to wall, returned energy, and how well it was driven."""
    from hoistbook.services.energy_trials import Asked

    _run(
        "cycle",
        path,
        Asked(duty=duty, cycle=followed, meters=tuple(meter or ())),
        channels=channels,
        guess=guess,
        sheet=sheet,
        vehicle=vehicle,
        store=store,
        configuration=configuration,
        name=name,
        enter=enter,
        person=person,
        at=at,
        note=note,
        as_json=as_json,
    )


def steady(
    path: LogFile,
    channels: Channels = None,
    guess: Guess = False,
    vehicle: TestedVehicle = None,
    store: Store = None,
    configuration: Configuration = None,
    tolerance_km_per_h: Annotated[
        float, typer.Option("--tolerance-km-per-h", min=0.01, help="How far speed may stray. [km/h]")
    ] = 1.0,
    least_s: Annotated[float, typer.Option("--least-s", min=1.0, help="Shortest steady stretch. [s]")] = 30.0,
    meter: MeterOption = None,
    name: TestName = None,
    enter: Enter = False,
    person: Person = None,
    at: At = "",
    note: Note = "",
    sheet: Sheet = None,
    as_json: AsJson = False,
) -> None:
    """Work out driving at steady speeds: consumption at every speed, both ways, held against the road load."""
    from hoistbook.core.trials.steady import SteadyRule
    from hoistbook.services.energy_trials import Asked

    _run(
        "steady",
        path,
        Asked(
            rule=SteadyRule(tolerance_km_per_h / 3.6, least_s, 2.0 * tolerance_km_per_h / 3.6),
            meters=tuple(meter or ()),
        ),
        channels=channels,
        guess=guess,
        sheet=sheet,
        vehicle=vehicle,
        store=store,
        configuration=configuration,
        name=name,
        enter=enter,
        person=person,
        at=at,
        note=note,
        as_json=as_json,
    )


ENERGY_TESTS = (
    (steady, "steady"),
    (cycle, "cycle"),
    (charge, "charge"),
    (discharge, "discharge"),
    (standby, "standby"),
)
"""Commands of the group `hoistbook fit`."""
