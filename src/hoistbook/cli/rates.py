"""hoistbook rates: what one unit of an effect is worth at a vehicle."""

from __future__ import annotations

import sys
from typing import Annotated, Any

import typer

from hoistbook.cli.options import (
    DRAWS,
    DUTY,
    SEED,
    AsJson,
    Configuration,
    DefaultsFile,
    Draws,
    Duty,
    Seed,
    Store,
    Units,
    UnitsWord,
    Workbook,
    chosen_defaults,
)


def rates(
    path: Workbook,
    store: Store = None,
    duty: Duty = DUTY,
    configuration: Configuration = None,
    draws: Draws = DRAWS,
    seed: Seed = SEED,
    secondary_mass: Annotated[
        float | None,
        typer.Option(
            min=0.0,
            help="kg that follow each kg once the vehicle is sized again; by default a published mean.",
        ),
    ] = None,
    defaults: DefaultsFile = None,
    units: Units = UnitsWord.METRIC,
    as_json: AsJson = False,
) -> None:
    """Work out what a kilogram or a watt is worth.

    In range and consumption, at one vehicle, for mass, drag area, accessory power, drag torque and tyres.
    """
    from hoistbook.cli.as_json import print_json
    from hoistbook.cli.keep import keeping, kept_json
    from hoistbook.cli.page import Page
    from hoistbook.cli.progress import find, working
    from hoistbook.cli.rates_page import print_rates
    from hoistbook.services.as_json.rates import rates_json
    from hoistbook.services.rates import SECONDARY_MASS_KG_PER_KG, rates_report

    found = find(path, store)
    teardown = found.teardown
    options: dict[str, Any] = {
        "duty": duty,
        "configuration": configuration,
        "draws": draws,
        "seed": seed,
        "secondary_mass_kg_per_kg": SECONDARY_MASS_KG_PER_KG if secondary_mass is None else secondary_mass,
    }
    what = f"driving {duty}, {draws} draws"
    if as_json:
        with working(what):
            kept = kept_json([found], "rates", options, defaults)
        if kept is not None:
            print_json(kept)
            return
    with working(what), keeping([found], "rates", options, defaults) as keep:
        report = rates_report(
            teardown,
            duty=duty,
            configuration=configuration,
            n_draws=draws,
            seed=seed,
            secondary_mass_kg_per_kg=options["secondary_mass_kg_per_kg"],
            defaults=chosen_defaults(defaults),
        )
        keep.append(lambda: rates_json(report))
    if as_json:
        print_json(rates_json(report))
    else:
        print_rates(Page(sys.stdout), report, teardown.vehicle.name or teardown.vehicle.code, units.value)
