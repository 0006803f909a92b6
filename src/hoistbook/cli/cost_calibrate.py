"""hoistbook cost calibrate: known quotes against process models."""

from __future__ import annotations

import sys
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

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
from hoistbook.cli.options import AsJson, Configuration, Seed, Store, Workbook


class MethodWord(StrEnum):
    """How quotes update a model."""

    UNKNOWN_SCATTER = "unknown-scatter"
    STATED_SCATTER = "stated-scatter"
    LEAST_SQUARES = "least-squares"


def calibrate(
    path: Workbook,
    quotes: Annotated[
        Path,
        typer.Argument(
            metavar="QUOTES",
            help="Known prices: a CSV file, or a workbook with the sheet quotes; columns tag, price, basis (make or "
            "buy), currency, year, source.",
        ),
    ],
    store: Store = None,
    configuration: Configuration = None,
    method: Annotated[
        MethodWord,
        typer.Option(
            help="unknown-scatter: bias and scatter are learned together, from the scenario's band on; stated-scatter: "
            "the bias alone; least-squares: quotes alone, at least two of a process."
        ),
    ] = MethodWord.UNKNOWN_SCATTER,
    write: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="Write the scenario with what was learned, for --scenario FILE."),
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
    """Learn from known quotes by how much process models miss.

    Bands before and after, what quotes that were left out in turn would have said, and the scenario with the errors
    found. Make and buy are told apart: a price is never taken for a cost.
    """
    from hoistbook.cli.as_json import print_json
    from hoistbook.cli.cost_calibrate_page import print_calibration
    from hoistbook.cli.page import Page
    from hoistbook.cli.progress import find, working
    from hoistbook.core.cost.calibration import METHODS
    from hoistbook.services.as_json.cost_calibration import calibration_json
    from hoistbook.services.cost_calibration import (
        calibrate_by_quotes,
        check_new_scenario,
        write_scenario,
    )

    if write is not None:
        check_new_scenario(write)
    asked = stated(scenario, volume, region, supplier, machines, tools, currency, year)
    found = find(path, store)
    chosen = next(one for one in METHODS if one == method.value.replace("-", " "))
    with working(f"calibrating, {draws} draws"):
        report = calibrate_by_quotes(
            found.teardown, asked.scenario(), quotes, configuration, method=chosen, n_draws=draws, seed=seed
        )
    if write is not None:
        write_scenario(write, report.scenario_text(asked))
    if as_json:
        print_json(calibration_json(report))
        return
    page = Page(sys.stdout)
    print_calibration(page, report, found.teardown.vehicle.name or found.teardown.vehicle.code)
    if write is not None:
        page.blank()
        page.text(f"Written: {write}")
