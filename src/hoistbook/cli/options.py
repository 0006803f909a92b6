"""Arguments and options that several commands share, each described once."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from hoistbook.services import DEFAULT_DRAWS, DEFAULT_SEED

if TYPE_CHECKING:
    from hoistbook.core.energy.defaults import EnergyDefaults

DUTY = "wltc3b"
DRAWS, SEED = DEFAULT_DRAWS, DEFAULT_SEED


class QuantityWord(StrEnum):
    """What a gap can be asked for."""

    RANGE = "range"
    ENERGY = "energy"
    MASS = "mass"


class UnitsWord(StrEnum):
    """Units a page or a drawing speaks in."""

    METRIC = "metric"
    US = "us"


Units = Annotated[
    UnitsWord,
    typer.Option(
        help="Units of page and drawing: metric, or us for mi, kWh/100 mi and lb. JSON is always metric."
    ),
]
Workbook = Annotated[
    str,
    typer.Argument(
        metavar="VEHICLE",
        help="Workbook (.xlsx) of one torn-down vehicle, a folder of its sheets as CSV, or its code in the store.",
    ),
]
Duty = Annotated[
    str,
    typer.Option(
        help="What the vehicle drives: wltc3b, us (UDDS and HWFET as combined on the US label), udds, hwfet, us06, or "
        "a CSV file with columns time [s] and speed [km/h]."
    ),
]
Configuration = Annotated[
    str | None, typer.Option(help="Which configuration of the vehicle, where the workbook holds several.")
]
MOST_DRAWS = 200_000
"""About 1 GB of memory; the band of 4,000 draws is already known to 3 %."""

Draws = Annotated[
    int,
    typer.Option(min=100, max=MOST_DRAWS, help="Draws behind the 95 % bands; more draws, steadier bands."),
]
Seed = Annotated[int, typer.Option(min=0, help="Seed of the draws; the same seed gives the same figures.")]
AsJson = Annotated[bool, typer.Option("--json", help="Print one JSON object, unrounded, for scripts.")]
DefaultsFile = Annotated[
    Path | None,
    typer.Option(
        "--defaults",
        metavar="FILE",
        help="Figures to take where the workbooks are silent, laid out like the packaged energy_defaults.toml.",
    ),
]

_STORE_HELP = "Folder of the store (variable HOISTBOOK_STORE)."
Store = Annotated[
    Path | None, typer.Option("--store", metavar="DIR", envvar="HOISTBOOK_STORE", help=_STORE_HELP)
]
NeededStore = Annotated[
    Path, typer.Option("--store", metavar="DIR", envvar="HOISTBOOK_STORE", help=_STORE_HELP)
]


def chosen_defaults(path: Path | None) -> EnergyDefaults | None:
    """Read the file of defaults; None for the packaged ones."""
    from hoistbook.reference.energy import read_energy_defaults

    return None if path is None else read_energy_defaults(path)
