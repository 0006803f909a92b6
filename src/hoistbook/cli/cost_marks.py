"""hoistbook cost marks: how a part was probably made, and the look that decides most."""

from __future__ import annotations

import sys
from dataclasses import replace
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from hoistbook.cli.cost_options import (
    COST_DRAWS,
    COST_SEED,
    CostDraws,
    Currency,
    RegionName,
    ScenarioFile,
    Volume,
    Year,
    stated,
)
from hoistbook.cli.options import AsJson, Configuration, Seed, Store


class AboutWord(StrEnum):
    """Which doubt a further look should take away."""

    PROCESS = "process"
    MATERIAL = "material"
    BOTH = "both"


def marks(
    path: Annotated[
        str | None,
        typer.Argument(
            metavar="VEHICLE", help="With --part: cost this part over the candidates that are left."
        ),
    ] = None,
    part: Annotated[
        str | None, typer.Option("--part", metavar="TAG", help="The part, with its readings and later steps.")
    ] = None,
    seen: Annotated[
        list[str] | None,
        typer.Option("--seen", metavar="MARK", help="A mark that is there; several times for more."),
    ] = None,
    not_seen: Annotated[
        list[str] | None,
        typer.Option("--not-seen", metavar="MARK", help="A mark that was looked for and is not there."),
    ] = None,
    read: Annotated[
        list[str] | None,
        typer.Option(
            "--read",
            metavar="NAME=VALUE",
            help="Outcome of a result, or value of a measure in its unit, as it is listed.",
        ),
    ] = None,
    process: Annotated[
        str, typer.Option(metavar="NAME", help="What you say the process is; it overrides the marks.")
    ] = "",
    material: Annotated[
        str, typer.Option(metavar="NAME", help="What you say the material is; it overrides the marks.")
    ] = "",
    about: Annotated[
        AboutWord, typer.Option(help="Which doubt a further look should take away.")
    ] = AboutWord.PROCESS,
    table: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="Likelihoods to take, laid out like the packaged witness.toml."),
    ] = None,
    store: Store = None,
    configuration: Configuration = None,
    scenario: ScenarioFile = None,
    volume: Volume = None,
    region: RegionName = None,
    currency: Currency = None,
    year: Year = None,
    draws: CostDraws = COST_DRAWS,
    seed: Seed = COST_SEED,
    as_json: AsJson = False,
) -> None:
    """Weigh marks: how was a part made?

    Probabilities of process and material by what was seen and read, the cheapest further look, usual routes; with a
    part of a vehicle its cost, the doubt between candidates in the band. Without any mark it lists what can be looked
    at.
    """
    from hoistbook.cli.as_json import print_json
    from hoistbook.cli.cost_marks_page import print_marks
    from hoistbook.cli.page import Page
    from hoistbook.cli.progress import find, working
    from hoistbook.services.as_json.cost_marks import marks_json
    from hoistbook.services.cost_marks import cost_in_doubt, marks_report, observations, witness_from
    from hoistbook.services.cost_options import pairs

    if (path is None) != (part is None):
        msg = "a part is costed by VEHICLE and --part TAG together; give both, or neither."
        raise ValueError(msg)
    known = witness_from(table)
    taken = observations(known, seen or (), not_seen or (), pairs(read or (), "--read"))
    found = marks_report(known, taken, process, material, about.value)
    if path is not None and part is not None:
        asked = stated(scenario, volume, region, None, None, None, currency, year)
        van = find(path, store).teardown
        with working(f"costing {part} as each candidate"):
            doubt = cost_in_doubt(
                van, part, found.belief, asked.scenario(), configuration, n_draws=draws, seed=seed
            )
        found = replace(found, in_doubt=doubt)
    if as_json:
        print_json(marks_json(found))
    else:
        print_marks(Page(sys.stdout), found)
