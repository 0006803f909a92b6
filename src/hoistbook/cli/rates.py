"""hoistbook rates: what one unit of an effect is worth at a vehicle."""

from __future__ import annotations

from typing import Annotated

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
    from hoistbook.cli.one_vehicle import print_answer
    from hoistbook.cli.progress import find
    from hoistbook.cli.rates_page import print_rates
    from hoistbook.services.as_json.rates import rates_json
    from hoistbook.services.rates import SECONDARY_MASS_KG_PER_KG, rates_report

    found = find(path, store)
    follows = SECONDARY_MASS_KG_PER_KG if secondary_mass is None else secondary_mass
    options = {"duty": duty, "configuration": configuration, "draws": draws, "seed": seed}
    print_answer(
        found,
        "rates",
        {**options, "secondary_mass_kg_per_kg": follows},
        what=f"driving {duty}, {draws} draws",
        work=lambda: rates_report(
            found.teardown,
            duty=duty,
            configuration=configuration,
            n_draws=draws,
            seed=seed,
            secondary_mass_kg_per_kg=follows,
            defaults=chosen_defaults(defaults),
        ),
        to_json=rates_json,
        to_page=lambda page, report, name: print_rates(page, report, name, units.value),
        as_json=as_json,
        defaults=defaults,
    )
