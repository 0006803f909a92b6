"""hoistbook cost assembly and service: seconds on the line, and seconds in the workshop."""

from __future__ import annotations

from typing import Annotated

import typer

from hoistbook.cli.cost_options import Currency, RegionName, ScenarioFile, Year, stated
from hoistbook.cli.options import AsJson, Configuration, Store, Workbook


def assembly(
    path: Workbook,
    function: Annotated[
        str,
        typer.Option(
            "--function", metavar="NAME", help="Only what serves this function; code, name or alias."
        ),
    ] = "",
    motions: Annotated[
        bool, typer.Option("--motions", help="Print the motions of every joint, not only their sums.")
    ] = False,
    store: Store = None,
    configuration: Configuration = None,
    scenario: ScenarioFile = None,
    region: RegionName = None,
    currency: Currency = None,
    year: Year = None,
    as_json: AsJson = False,
) -> None:
    """Work out how long assembly takes.

    Motions by code, fasteners, drives, access directions, cost at the wage of the region, and why each part is a part
    of its own. Times are estimates with their motions open; none was taken on a line.
    """
    from hoistbook.cli.cost_assembly_page import print_assembly
    from hoistbook.cli.one_vehicle import print_answer
    from hoistbook.cli.progress import find
    from hoistbook.services.as_json.cost_assembly import assembly_json
    from hoistbook.services.cost_assembly import assembly_report
    from hoistbook.services.cost_options import assembly_options

    asked = stated(scenario, None, region, None, None, None, currency, year)
    found = find(path, store)
    print_answer(
        found,
        "cost assembly",
        assembly_options(asked, function, configuration),
        what=f"timing {len(found.teardown.joints)} joints",
        work=lambda: assembly_report(found.teardown, asked.scenario(), function, configuration),
        to_json=assembly_json,
        to_page=lambda page, report, name: print_assembly(page, report, name, motions=motions),
        as_json=as_json,
    )


def service(
    path: Workbook,
    part: Annotated[str, typer.Option("--part", metavar="TAG", help="What is taken off and put back.")],
    before: Annotated[
        list[str] | None,
        typer.Option(
            metavar="WHAT=FIRST",
            help="A joint or tag, and what must come off before it (W-J0273=W-0701); joints do not say it. May "
            "be given several times.",
        ),
    ] = None,
    takes: Annotated[
        list[str] | None,
        typer.Option(
            metavar="WHAT=SECONDS",
            help="Seconds to undo a joint or take off a part, where they were taken or none can be worked out. May be "
            "given several times.",
        ),
    ] = None,
    store: Store = None,
    configuration: Configuration = None,
    scenario: ScenarioFile = None,
    region: RegionName = None,
    currency: Currency = None,
    year: Year = None,
    as_json: AsJson = False,
) -> None:
    """Work out how long replacing a part takes.

    Shortest sequence of removal that the joints allow, the way back in, work that is added once, and what to take care
    of before anything is touched.
    """
    from hoistbook.cli.cost_service_page import print_service
    from hoistbook.cli.one_vehicle import print_answer
    from hoistbook.cli.progress import find
    from hoistbook.services.as_json.cost_assembly import service_json
    from hoistbook.services.cost_assembly import service_report
    from hoistbook.services.cost_options import pairs, seconds, service_options

    asked = stated(scenario, None, region, None, None, None, currency, year)
    obstacles, times = pairs(before or (), "--before"), seconds(takes or ())
    found = find(path, store)
    print_answer(
        found,
        "cost service",
        service_options(asked, part, configuration, times, obstacles),
        what=f"looking for the shortest way to {part}",
        work=lambda: service_report(found.teardown, asked.scenario(), part, configuration, times, obstacles),
        to_json=service_json,
        to_page=print_service,
        as_json=as_json,
    )
