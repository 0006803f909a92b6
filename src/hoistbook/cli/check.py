"""hoistbook check: what a thing measured at the hoist does to the vehicle."""

from __future__ import annotations

import sys
from typing import Annotated

import typer

from hoistbook.cli.options import AsJson, Configuration, Store
from hoistbook.core.checks.run import CHECK_DRAWS, CHECK_SEED


def check(
    name: Annotated[
        str | None,
        typer.Argument(metavar="NAME", help="Which check; --list shows them with their questions."),
    ] = None,
    listed: Annotated[
        bool, typer.Option("--list", help="List the checks; with NAME, what that check reads and gives.")
    ] = False,
    settings: Annotated[
        list[str] | None,
        typer.Option(
            "--set",
            metavar="READING=VALUE",
            help="A reading, as often as needed: a number in SI, or with its unit and band, e.g. "
            "'span_left_m=330 mm ± 2 mm'; several things stand apart by semicolons.",
        ),
    ] = None,
    vehicle: Annotated[
        str | None,
        typer.Option(
            "--vehicle",
            metavar="VEHICLE",
            help="Take readings from this vehicle: a workbook or a code in the store.",
        ),
    ] = None,
    store: Store = None,
    configuration: Configuration = None,
    draws: Annotated[
        int, typer.Option(min=100, max=200_000, help="Draws behind the 95 % bands.")
    ] = CHECK_DRAWS,
    seed: Annotated[int, typer.Option(min=0, help="Seed of the draws.")] = CHECK_SEED,
    as_json: AsJson = False,
) -> None:
    """Answer an engineering question from hoist measurements.

    Readings come from --set, else from the record of --vehicle, else from usual values, which are then listed.
    """
    from hoistbook.cli.as_json import print_json
    from hoistbook.cli.check_page import print_check, print_checks, print_declared
    from hoistbook.cli.page import Page
    from hoistbook.cli.progress import find
    from hoistbook.services.as_json.checks import check_json, checks_json
    from hoistbook.services.checks import CHECKS, check_named, check_report

    page = Page(sys.stdout)
    if listed:
        wanted = list(CHECKS.values()) if name is None else [check_named(name)]
        if as_json:
            print_json(checks_json(wanted))
        elif name is None:
            print_checks(page, wanted)
        else:
            print_declared(page, wanted[0])
        return
    if name is None:
        msg = "say which check, e.g. 'hoistbook check half_shaft_angle'; 'hoistbook check --list' shows them."
        raise ValueError(msg)
    teardown = find(vehicle, store).teardown if vehicle else None
    report = check_report(
        name, settings or (), teardown, configuration=configuration, n_draws=draws, seed=seed
    )
    if as_json:
        print_json(check_json(report))
    else:
        print_check(page, report)
