"""hoistbook cost: what parts and vehicles should cost, and the commands around it."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from hoistbook.cli.cost_assembly import assembly, service
from hoistbook.cli.cost_calibrate import calibrate
from hoistbook.cli.cost_compare import compare
from hoistbook.cli.cost_marks import marks
from hoistbook.cli.cost_options import (
    COST_DRAWS,
    COST_SEED,
    CostDraws,
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
from hoistbook.cli.cost_scenario import processes, scenario_
from hoistbook.cli.groups import Family
from hoistbook.cli.options import AsJson, Configuration, Seed, Store, Workbook

if TYPE_CHECKING:
    from hoistbook.services.cost import CostReport

VEHICLE = "vehicle"
"""The command that is meant where the first word is none of the others."""


class CostCommands(Family):
    """The commands about cost; `hoistbook cost VEHICLE` is short for `hoistbook cost vehicle VEHICLE`."""

    implied = VEHICLE


cost = typer.Typer(
    name="cost",
    cls=CostCommands,
    help="Work out what parts and vehicles should cost.\n\nhoistbook cost VEHICLE is short for "
    "hoistbook cost vehicle VEHICLE.",
    rich_markup_mode=None,
    subcommand_metavar="VEHICLE | COMMAND [ARGS]...",
)

PartTag = Annotated[
    str | None, typer.Option("--part", metavar="TAG", help="Only this part, with the steps it is made in.")
]


def vehicle(
    path: Workbook,
    part: PartTag = None,
    store: Store = None,
    configuration: Configuration = None,
    sister: Annotated[
        str | None,
        typer.Option(
            metavar="VEHICLE",
            help="A vehicle that may carry the same parts; they then share volume and tools.",
        ),
    ] = None,
    sister_volume: Annotated[
        float | None,
        typer.Option(metavar="N", help="Sisters built a year; as many as the vehicle when left out."),
    ] = None,
    depth: Annotated[
        int,
        typer.Option(
            min=0, help="Levels of the part tree to print with the cost of all below; 0 prints none."
        ),
    ] = 0,
    sheet: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE",
            help="Write the cost as live formulas into a file that ends in .xlsx: of the vehicle, or with --part of "
            "that part down to its readings.",
        ),
    ] = None,
    scenario: ScenarioFile = None,
    volume: Volume = None,
    region: RegionName = None,
    supplier: SupplierName = None,
    machines: Machines = None,
    tools: Tools = None,
    currency: Currency = None,
    year: Year = None,
    draws: CostDraws = COST_DRAWS,
    seed: Seed = COST_SEED,
    as_json: AsJson = False,
) -> None:
    """Work out what a vehicle should cost, part by part.

    Parts by their routes, fasteners by their sizes, assembly by its motions: they add up over part, system, function
    and vehicle. Prices are data of a dated scenario, never live.
    """
    from hoistbook.cli.as_json import print_json
    from hoistbook.cli.cost_page import print_cost
    from hoistbook.cli.cost_part_page import print_part
    from hoistbook.cli.keep import keeping, kept_json
    from hoistbook.cli.page import Page
    from hoistbook.cli.progress import find, working
    from hoistbook.services.as_json.cost import cost_json, only_part
    from hoistbook.services.cost import chosen_part, cost_report
    from hoistbook.services.cost_options import check_sister, cost_options
    from hoistbook.services.cost_sheet import check_sheet_path, part_cost_sheet, vehicle_cost_sheet

    if sheet is not None:
        check_sheet_path(sheet)
    if sister_volume is not None and sister is None:
        msg = "--sister-volume belongs to --sister VEHICLE; name the sister too, or take it out."
        raise ValueError(msg)
    asked = stated(scenario, volume, region, supplier, machines, tools, currency, year)
    found = [find(path, store)]
    if sister is not None:
        found.append(find(sister, store))
        check_sister(found[0].teardown, found[1].teardown)
    options = cost_options(
        asked,
        configuration,
        draws,
        seed,
        sister=found[1].teardown.vehicle.code if sister is not None else "",
        sister_volume=sister_volume,
    )
    what = f"costing {len(found[0].teardown.routes)} steps, {draws} draws"
    if as_json and sheet is None:
        with working(what):
            kept = kept_json(found, "cost", options, None)
        if kept is not None:
            print_json(kept if part is None else only_part(kept, part))
            return
    with working(what), keeping(found, "cost", options, None) as keep:
        report: CostReport = cost_report(
            found[0].teardown,
            asked.scenario(),
            configuration,
            n_draws=draws,
            seed=seed,
            sister=found[1].teardown if sister is not None else None,
            sister_volume_per_year=sister_volume,
        )
        keep.append(lambda: cost_json(report))
    if part is not None:
        chosen_part(report, part)
    name = found[0].teardown.vehicle.name or found[0].teardown.vehicle.code
    if sheet is not None:
        if part is not None:
            part_cost_sheet(report, part, sheet)
        else:
            vehicle_cost_sheet(report, name, sheet)
    if as_json:
        told = cost_json(report)
        print_json(told if part is None else only_part(told, part))
        return
    page = Page(sys.stdout)
    if part is not None:
        print_part(page, report, part, name)
    else:
        print_cost(page, report, name, depth)
    if sheet is not None:
        page.blank()
        page.text(f"Written: {sheet}")


COST_COMMANDS = (
    (vehicle, VEHICLE),
    (compare, "compare"),
    (assembly, "assembly"),
    (service, "service"),
    (marks, "marks"),
    (processes, "processes"),
    (scenario_, "scenario"),
    (calibrate, "calibrate"),
)
"""Commands of the group `hoistbook cost`."""
