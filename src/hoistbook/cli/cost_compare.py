"""hoistbook cost compare: how two vehicles do one function, in money."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from hoistbook.cli.cost_options import (
    COST_DRAWS,
    COST_SEED,
    CostDraws,
    Currency,
    Machines,
    MachinesWord,
    RegionName,
    ScenarioFile,
    SupplierName,
    Tools,
    Volume,
    Year,
    stated,
)
from hoistbook.cli.options import DUTY, AsJson, Duty, Seed, Store


def compare(
    first: Annotated[
        str, typer.Argument(metavar="A", help="First vehicle: workbook, CSV folder, or code in the store.")
    ],
    second: Annotated[
        str, typer.Argument(metavar="B", help="Second vehicle; the first once more for two scenarios of one.")
    ],
    function: Annotated[
        str,
        typer.Option(
            "--function", metavar="NAME", help="Code, name or alias of the function that is compared."
        ),
    ],
    over: Annotated[
        list[str] | None,
        typer.Option(
            metavar="WHAT",
            help='Look for break-even over "volume" (when left out), "wage", "price of MATERIAL", or a reading such as '
            "tube_length_m; may be given several times.",
        ),
    ] = None,
    store: Store = None,
    configuration_a: Annotated[
        str | None, typer.Option(help="Configuration of A, where it has several.")
    ] = None,
    configuration_b: Annotated[
        str | None, typer.Option(help="Configuration of B, where it has several.")
    ] = None,
    scenario: ScenarioFile = None,
    volume: Volume = None,
    region: RegionName = None,
    supplier: SupplierName = None,
    machines: Machines = None,
    tools: Tools = None,
    currency: Currency = None,
    year: Year = None,
    scenario_b: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Assumptions of B, where they are not those of A.")
    ] = None,
    volume_b: Annotated[
        float | None, typer.Option(metavar="N", help="Vehicles B a year, where it is not as many as A.")
    ] = None,
    region_b: Annotated[
        str | None, typer.Option(metavar="NAME", help="Where the parts of B are made.")
    ] = None,
    supplier_b: Annotated[str | None, typer.Option(metavar="NAME", help="Class of suppliers of B.")] = None,
    machines_b: Annotated[
        MachinesWord | None, typer.Option(help="shared or dedicated, for the parts of B.")
    ] = None,
    equal_range: Annotated[
        bool,
        typer.Option(
            "--equal-range",
            help="Also with the battery that pays back what B costs A in range, by the masses of the function.",
        ),
    ] = False,
    on_b: Annotated[
        bool, typer.Option("--on-b", help="With --equal-range: both ways on vehicle B instead of A.")
    ] = False,
    change: Annotated[
        list[str] | None,
        typer.Option(
            "--change",
            metavar="WHAT=AMOUNT",
            help="With --equal-range: what else B changes, B less A: accessory_power [W], drag_area [m2], drag_torque "
            "[N at the tyres], tyre_coefficient [1], or mass [kg] instead of what was weighed.",
        ),
    ] = None,
    duty: Duty = DUTY,
    draws: CostDraws = COST_DRAWS,
    seed: Seed = COST_SEED,
    as_json: AsJson = False,
) -> None:
    """Compare what a function costs in two vehicles.

    Difference with its band, chance that A is cheaper, walk from A to B by cause, break-even, and what drives it. What
    both sides share is drawn once, so that the difference is sharper than either cost.
    """
    from hoistbook.cli.as_json import print_json
    from hoistbook.cli.cost_compare_page import print_comparison
    from hoistbook.cli.keep import keeping, kept_json
    from hoistbook.cli.page import Page
    from hoistbook.cli.progress import find, working
    from hoistbook.services.as_json.cost_equal_range import compared_json
    from hoistbook.services.cost_compare import VOLUME, cost_comparison
    from hoistbook.services.cost_equal_range import cost_at_equal_range
    from hoistbook.services.cost_options import amounts, comparison_options, equal_range_options, quantities

    inputs = tuple(over or (VOLUME,))
    sides = (
        stated(scenario, volume, region, supplier, machines, tools, currency, year),
        stated(
            scenario_b or scenario,
            volume if volume_b is None else volume_b,
            region_b or region,
            supplier_b or supplier,
            machines_b or machines,
            tools,
            currency,
            year,
        ),
    )
    found = [find(first, store), find(second, store)]
    configurations = (configuration_a, configuration_b)
    if (on_b or change) and not equal_range:
        msg = "--on-b and --change belong to --equal-range; give it too, or take them out."
        raise ValueError(msg)
    changes = amounts(change or ())
    options = comparison_options(
        sides,
        function,
        inputs,
        configurations,
        draws,
        seed,
        equal_range=equal_range_options(duty, changes, on_second=on_b) if equal_range else None,
    )
    what = f"comparing {function}, {draws} draws"
    if as_json:
        with working(what):
            kept = kept_json(found, "cost compare", options, None)
        if kept is not None:
            print_json(kept)
            return
    x, y = (one.teardown for one in found)
    with working(what), keeping(found, "cost compare", options, None) as keep:
        report = cost_comparison(
            (x, y),
            (sides[0].scenario(), sides[1].scenario()),
            function,
            inputs,
            configurations,
            n_draws=draws,
            seed=seed,
        )
        driven = None
        if equal_range:
            driven = cost_at_equal_range(
                (x, y),
                report,
                function,
                on_second=on_b,
                configurations=configurations,
                duty=duty,
                changes=quantities(changes),
            )
        keep.append(lambda: compared_json(report, driven))
    if as_json:
        print_json(compared_json(report, driven))
    else:
        print_comparison(Page(sys.stdout), report, driven)
