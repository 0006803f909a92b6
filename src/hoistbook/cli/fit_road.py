"""hoistbook fit coastdown: road load from coasting runs."""

from __future__ import annotations

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

CAUTION_ROAD = (
    "A coast-down is driven on a closed track, or with the rules of the road kept: a vehicle that slows without brake "
    "lamps is a danger to those behind. Tyres, brakes and load are checked first; the driver drives, and another one "
    "looks at the log."
)


class RulesWord(StrEnum):
    """Whose reference air."""

    US = "us"
    WLTP = "wltp"


class WindWord(StrEnum):
    """Where the wind comes from."""

    MEASURED = "measured"
    PAIRS = "pairs"
    NONE = "none"


class SlopeWord(StrEnum):
    """Where the slope comes from."""

    GRADE = "grade"
    ALTITUDE = "altitude"
    PAIRS = "pairs"
    FLAT = "flat"


def coastdown(
    paths: Annotated[
        list[Path],
        typer.Argument(metavar="FILE…", help="Recordings: CSV in any dialect, or workbooks (.xlsx)."),
    ],
    channels: Channels = None,
    guess: Guess = False,
    mass_kg: Annotated[
        float | None,
        typer.Option(min=1.0, help="Mass as driven; without it the vehicle's stated test mass. [kg]"),
    ] = None,
    mass_band_kg: Annotated[float, typer.Option(min=0.0, help="Half width of its 95 % band. [kg]")] = 0.0,
    rotating: Annotated[
        str,
        typer.Option(
            metavar="us|wltp|SHARE",
            help="Rotating parts: us (1.5 % per axle), wltp (3 % of mass in running order + 25 kg), or a share.",
        ),
    ] = "wltp",
    rotating_band: Annotated[
        float, typer.Option(min=0.0, help="Half width of the 95 % band of that share, e.g. 0.005.")
    ] = 0.0,
    running_order_kg: Annotated[
        float | None, typer.Option(min=1.0, help="Mass in running order, for the WLTP share. [kg]")
    ] = None,
    speed_limit_pct: Annotated[
        float, typer.Option(min=0.0, help="Limit of error of the speed, in percent of it.")
    ] = 0.0,
    slope_limit_pct: Annotated[
        float, typer.Option(min=0.0, help="Limit of error of the recorded slope, in percent of slope.")
    ] = 0.0,
    reference: Annotated[
        RulesWord,
        typer.Option(help="Air that C is stated for: us (98.21 kPa, 20 °C) or wltp (100 kPa, 20 °C)."),
    ] = RulesWord.WLTP,
    pressure_kpa: Annotated[
        float | None, typer.Option(help="Air pressure of the test, where no column has it. [kPa]")
    ] = None,
    temperature_degc: Annotated[
        float | None, typer.Option(help="Air temperature of the test, where no column has it. [°C]")
    ] = None,
    rolling_per_k: Annotated[
        float,
        typer.Option(
            min=0.0,
            help="Correct A and B to 20 °C by this share per kelvin; WLTP uses 0.0086. None when left out.",
        ),
    ] = 0.0,
    no_b: Annotated[bool, typer.Option("--no-b", help="Fix B at 0.")] = False,
    wind: Annotated[
        WindWord | None,
        typer.Option(help="Where the wind comes from; the best the recordings hold when left out."),
    ] = None,
    slope: Annotated[
        SlopeWord | None,
        typer.Option(help="Where the slope comes from; the best the recordings hold when left out."),
    ] = None,
    alternate: Annotated[
        bool, typer.Option("--alternate", help="Runs go to and fro in turn, though no column says so.")
    ] = False,
    from_kmh: Annotated[float, typer.Option(help="Upper end of the window of speed. [km/h]")] = 115.0,
    to_kmh: Annotated[float, typer.Option(help="Lower end of the window of speed. [km/h]")] = 15.0,
    wind_mean_m_per_s: Annotated[
        float, typer.Option(min=0.0, help="Largest mean wind of a run. [m/s]")
    ] = 5.0,
    wind_peak_m_per_s: Annotated[float, typer.Option(min=0.0, help="Largest wind of a run. [m/s]")] = 8.0,
    wind_across_m_per_s: Annotated[
        float, typer.Option(min=0.0, help="Largest mean wind across the track. [m/s]")
    ] = 2.0,
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
    """Work out a coast-down: road load A, B, C with covariance, and the runs that were rejected."""
    from hoistbook.cli.log_options import needed_to_enter, opened, tested
    from hoistbook.core.trials.coasting import RunRules
    from hoistbook.services.as_json.trials_road import coast_down_json
    from hoistbook.services.trials_road import CoastDownAsked, evaluate_coast_down

    rules = RunRules(
        from_m_per_s=from_kmh / 3.6,
        to_m_per_s=to_kmh / 3.6,
        wind_mean_m_per_s=wind_mean_m_per_s,
        wind_peak_m_per_s=wind_peak_m_per_s,
        wind_across_m_per_s=wind_across_m_per_s,
    )
    asked = CoastDownAsked(
        mass_kg=mass_kg,
        mass_band_kg=mass_band_kg,
        rotating=rotating,
        rotating_band_frac=rotating_band,
        running_order_kg=running_order_kg,
        speed_limit_frac=speed_limit_pct / 100.0,
        slope_limit=slope_limit_pct / 100.0,
        reference=reference.value,
        pressure_kpa=pressure_kpa,
        temperature_degc=temperature_degc,
        rolling_per_k=rolling_per_k,
        with_b=not no_b,
        wind=None if wind is None else wind.value,
        slope=None if slope is None else slope.value,
        alternate=alternate,
        rules=rules,
    )
    record = opened(store)
    entering = needed_to_enter(enter, vehicle, record, person)
    logs = read_all(paths, channels, guess, sheet, record)
    teardown, chosen = tested(vehicle, store, configuration)
    title = name or paths[0].stem
    found, outcome = evaluate_coast_down(
        [log.series for log in logs], asked, name=title, teardown=teardown, configuration=chosen
    )
    files: list[tuple[Path, LogRead | None]] = list(zip(paths, logs, strict=True))
    recorded = kept(outcome, files, entering, title, chosen, at, note)
    more = coast_down_json(found) if as_json else {}
    answer(title, "coast-down", outcome, logs, recorded, CAUTION_ROAD, as_json, more)


ROAD_TESTS = ((coastdown, "coastdown"),)
"""Commands of the group `hoistbook fit`."""
