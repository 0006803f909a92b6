"""What the commands about cost share: which scenario they take, and what of it is stated otherwise."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from hoistbook.cli.options import MOST_DRAWS

if TYPE_CHECKING:
    from hoistbook.services.cost_scenario import Stated

COST_DRAWS, COST_SEED = 1_000, 1


class MachinesWord(StrEnum):
    """Whose machines a part runs on."""

    SHARED = "shared"
    DEDICATED = "dedicated"


class ToolsWord(StrEnum):
    """How tools are paid."""

    APART = "apart"
    SIMPLE = "simple"
    ANNUITY = "annuity"


ScenarioFile = Annotated[
    Path | None,
    typer.Option(
        "--scenario",
        metavar="FILE",
        help="Assumptions to take; hoistbook cost scenario --write FILE makes a copy to change.",
    ),
]
Volume = Annotated[
    float | None, typer.Option(help="Vehicles a year; the scenario's when left out.", metavar="N")
]
RegionName = Annotated[
    str | None,
    typer.Option(metavar="NAME", help="Where parts are made; hoistbook cost scenario lists the regions."),
]
SupplierName = Annotated[
    str | None,
    typer.Option(
        metavar="NAME", help="Class of suppliers, for the mark-ups; hoistbook cost scenario lists them."
    ),
]
Machines = Annotated[
    MachinesWord | None,
    typer.Option(
        help="shared: machines are paid by the hour they run; dedicated: whole machines stand for the part."
    ),
]
Tools = Annotated[
    ToolsWord | None,
    typer.Option(help="apart: tools stand beside the piece; simple or annuity: paid back in the piece."),
]
Currency = Annotated[
    str | None, typer.Option(metavar="CODE", help="Money of the result, by a dated rate of the scenario.")
]
Year = Annotated[
    int | None,
    typer.Option(min=1900, metavar="YEAR", help="Year of that money, by the price indices of the scenario."),
]
CostDraws = Annotated[
    int,
    typer.Option(min=100, max=MOST_DRAWS, help="Draws behind the 95 % bands; more draws, steadier bands."),
]


def stated(
    scenario: Path | None,
    volume: float | None,
    region: str | None,
    supplier: str | None,
    machines: MachinesWord | None,
    tools: ToolsWord | None,
    currency: str | None,
    year: int | None,
) -> Stated:
    """What a command states of its scenario; wrong words are refused before anything is worked out."""
    from hoistbook.services.cost_scenario import stated_scenario

    found = stated_scenario(
        scenario,
        volume,
        region or "",
        None if machines is None else machines is MachinesWord.DEDICATED,
        tools.value if tools else "",
        supplier or "",
        (currency or "").upper(),
        year,
    )
    found.scenario()
    return found
