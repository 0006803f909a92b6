"""Arguments and options of everything that reads a log, each described once."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from hoistbook.capture.logs import LogRead
    from hoistbook.core.vehicle.records import Configuration, Teardown
    from hoistbook.store.place import Place

LogFile = Annotated[
    Path, typer.Argument(metavar="FILE", help="Log: CSV in any dialect, or a workbook (.xlsx).")
]
Channels = Annotated[
    str | None,
    typer.Option(
        metavar="NAME|FILE.toml",
        help="Which column is which channel: a map saved in the store, or a TOML file. `hoistbook channels` makes one.",
    ),
]
Guess = Annotated[
    bool,
    typer.Option("--guess", help="Accept the mapping that `hoistbook channels FILE` proposes, as printed."),
]
Sheet = Annotated[str | None, typer.Option(help="Sheet of a workbook, where several hold samples.")]
TestedVehicle = Annotated[
    str | None,
    typer.Option(
        "--vehicle",
        metavar="CODE|PATH",
        help="The vehicle that was tested: its facts and instruments are used. A code needs --store.",
    ),
]
TestName = Annotated[
    str | None, typer.Option("--name", help="Name of the test; the name of the file when left out.")
]
MeterOption = Annotated[
    list[str] | None,
    typer.Option(
        "--meter",
        metavar="CHANNEL=WHAT",
        help="Instrument behind a channel: one of the vehicle, pack_power_w=E1, or its limits of error, "
        "pack_power_w=0.5%+10W@name. May be given several times.",
    ),
]
Enter = Annotated[
    bool,
    typer.Option(
        "--enter", help="Keep the test in the store and enter its figures as facts; needs --person."
    ),
]
Person = Annotated[str | None, typer.Option("--person", metavar="NAME", help="Who enters it.")]
At = Annotated[str, typer.Option("--at", help="When the test was driven, as it is to be kept.")]
Note = Annotated[str, typer.Option("--note", help="What else should stand with it.")]


@contextmanager
def reading(path: Path) -> Iterator[Callable[[int, int, str], None]]:
    """Show how much of a log is read, on standard error, where somebody looks on."""
    from rich.console import Console
    from rich.progress import BarColumn, DownloadColumn, Progress, TextColumn

    from hoistbook.report.lettering import printable

    console = Console(file=sys.stderr, highlight=False, emoji=False, markup=False)
    columns = (TextColumn("{task.description}", markup=False), BarColumn(bar_width=24), DownloadColumn())
    with Progress(*columns, console=console, transient=True, disable=not console.is_terminal) as progress:
        task = progress.add_task(f"reading {printable(path.name)}", total=None)

        def advance(done: int, total: int, _what: str) -> None:
            progress.update(task, completed=done, total=total)

        yield advance


def opened(store: Path | None) -> Place | None:
    """Open the store that was named; None where none was."""
    if store is None:
        return None
    from hoistbook.services.record import open_record

    return open_record(store)


def read(path: Path, channels: str | None, guess: bool, sheet: str | None, record: Place | None) -> LogRead:
    """Read a log with a map or an accepted proposal."""
    from hoistbook.services.logs import log_series

    with reading(path) as advance:
        return log_series(path, channels, guess=guess, record=record, sheet=sheet, progress=advance)


def tested(
    vehicle: str | None, store: Path | None, configuration: str | None
) -> tuple[Teardown | None, Configuration | None]:
    """Find the vehicle that was tested and its configuration."""
    if vehicle is None:
        return None, None
    from hoistbook.services.loading import chosen_configuration, vehicle_of

    found = vehicle_of(vehicle, store)
    return found, chosen_configuration(found, configuration)


def needed_to_enter(
    enter: bool, vehicle: str | None, record: Place | None, person: str | None
) -> tuple[str, Place, str] | None:
    """Vehicle, store and person of a test to be kept; None for one that is only printed.

    Raises
    ------
    ValueError
        One of them is missing.
    """
    if not enter:
        return None
    if vehicle is None or record is None or not (person or "").strip():
        msg = "--enter needs --store DIR, --vehicle CODE and --person NAME: where, of which vehicle, and who says so."
        raise ValueError(msg)
    return vehicle, record, str(person)
