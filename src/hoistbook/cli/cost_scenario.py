"""hoistbook cost scenario and processes: what every cost rests on, and what nobody has looked at."""

from __future__ import annotations

import sys
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from hoistbook.cli.cost_options import (
    Currency,
    Machines,
    RegionName,
    ScenarioFile,
    SupplierName,
    Tools,
    Volume,
    Year,
    stated,
)
from hoistbook.cli.options import AsJson


class GroupWord(StrEnum):
    """Kinds of entries of a scenario."""

    SCENARIO = "scenario"
    REGION = "region"
    SUPPLIER = "supplier"
    MACHINE = "machine"
    MATERIAL = "material"
    PROCESS = "process"


def scenario_(
    group: Annotated[
        GroupWord | None, typer.Option("--figures", help="Print the figures of this kind, with who says so.")
    ] = None,
    never: Annotated[
        bool, typer.Option("--never-reviewed", help="Print only figures nobody has looked at.")
    ] = False,
    write: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE", help="Write the packaged scenario into a file that ends in .toml, to change it."
        ),
    ] = None,
    whole: Annotated[
        bool, typer.Option("--whole", help="With --write: the packaged materials and machines in it, too.")
    ] = False,
    force: Annotated[bool, typer.Option("--force", help="Replace a file that is already there.")] = False,
    scenario: ScenarioFile = None,
    volume: Volume = None,
    region: RegionName = None,
    supplier: SupplierName = None,
    machines: Machines = None,
    tools: Tools = None,
    currency: Currency = None,
    year: Year = None,
    as_json: AsJson = False,
) -> None:
    """Show the assumptions behind every cost.

    Volume, money, regions, mark-ups, machine-hour rates, materials, and how many of the figures nobody has looked at.
    """
    from hoistbook.cli.as_json import print_json
    from hoistbook.cli.cost_scenario_page import print_scenario, print_written
    from hoistbook.cli.page import Page
    from hoistbook.cli.progress import working
    from hoistbook.services.as_json.cost_scenario import scenario_json
    from hoistbook.services.cost_scenario import write_scenario
    from hoistbook.services.pages.scenario import page_of

    if write is not None:
        write_scenario(write, whole=whole, force=force)
        if as_json:
            print_json({"written": str(write), "whole": whole})
        else:
            print_written(Page(sys.stdout), write)
        return
    if whole or force:
        msg = "--whole and --force belong to --write FILE; name the file, or take them out."
        raise ValueError(msg)
    asked = stated(scenario, volume, region, supplier, machines, tools, currency, year)
    with working("building up the rates of machines"):
        found = page_of(asked.scenario())
    if as_json:
        print_json(scenario_json(found))
    else:
        print_scenario(Page(sys.stdout), found, group.value if group else "", never=never)


def processes(
    name: Annotated[
        str | None,
        typer.Argument(metavar="NAME", help="One process, by name or title; all are listed without."),
    ] = None,
    scenario: ScenarioFile = None,
    as_json: AsJson = False,
) -> None:
    """List the processes there are, or show one.

    What to read off a part, choices, what is refused, and every figure with its limits and who says so.
    """
    from hoistbook.cli.as_json import print_json
    from hoistbook.cli.cost_scenario_page import print_process, print_processes
    from hoistbook.cli.page import Page
    from hoistbook.core.cost.processes import PROCESSES
    from hoistbook.services.as_json.cost_scenario import process_json
    from hoistbook.services.cost_scenario import process_named

    assumed = stated(scenario, None, None, None, None, None, None, None).scenario()
    if name is None:
        found = list(PROCESSES.values())
        if as_json:
            print_json({"processes": [process_json(one, assumed) for one in found]})
        else:
            print_processes(Page(sys.stdout), found)
        return
    process = process_named(name)
    if as_json:
        print_json(process_json(process, assumed))
    else:
        print_process(Page(sys.stdout), process, assumed)
