"""hoistbook range and hoistbook cycle: what one vehicle needs, and what a cycle asks of the wheels."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Annotated

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

if TYPE_CHECKING:
    from hoistbook.services.energy import CycleReport


def range_(
    path: Workbook,
    store: Store = None,
    duty: Duty = DUTY,
    configuration: Configuration = None,
    draws: Draws = DRAWS,
    seed: Seed = SEED,
    defaults: DefaultsFile = None,
    units: Units = UnitsWord.METRIC,
    as_json: AsJson = False,
) -> None:
    """Work out range and consumption of one vehicle.

    Says of every figure in it where it comes from.
    """
    from hoistbook.cli.energy_page import print_range
    from hoistbook.cli.one_vehicle import print_answer
    from hoistbook.cli.progress import find
    from hoistbook.services.as_json.energy import range_json
    from hoistbook.services.energy import range_report

    found = find(path, store)
    print_answer(
        found,
        "range",
        {"duty": duty, "configuration": configuration, "draws": draws, "seed": seed},
        what=f"driving {duty}, {draws} draws",
        work=lambda: range_report(
            found.teardown,
            duty=duty,
            configuration=configuration,
            n_draws=draws,
            seed=seed,
            defaults=chosen_defaults(defaults),
        ),
        to_json=range_json,
        to_page=lambda page, report, name: print_range(page, report, name, units.value),
        as_json=as_json,
        defaults=defaults,
    )


def cycle(
    name: Annotated[
        str,
        typer.Argument(
            metavar="CYCLE",
            help="udds, hwfet, us06, wltc3b, or a CSV file with columns time [s] and speed [km/h].",
        ),
    ],
    mass_kg: Annotated[
        float,
        typer.Option("--mass-kg", help="Effective mass: test mass and the share of rotating parts. [kg]"),
    ],
    a_n: Annotated[float, typer.Option("--a-n", help="Road load, constant part. [N]")],
    b_n_s_per_m: Annotated[float, typer.Option("--b-n-s-per-m", help="Road load per speed. [N/(m/s)]")],
    c_n_s2_per_m2: Annotated[
        float, typer.Option("--c-n-s2-per-m2", help="Road load per speed squared. [N/(m/s)²]")
    ],
    as_json: AsJson = False,
) -> None:
    """Work out the energy at the wheels over a cycle.

    Traction and braking are given apart; mass and road load are taken as they are.
    """
    from hoistbook.cli.as_json import print_json
    from hoistbook.cli.energy_page import print_cycle
    from hoistbook.cli.page import Page
    from hoistbook.services.as_json.energy import cycle_json
    from hoistbook.services.energy import cycle_energy

    reports: tuple[CycleReport, ...] = cycle_energy(name, mass_kg, a_n, b_n_s_per_m, c_n_s2_per_m2)
    if as_json:
        print_json(cycle_json(name, reports))
    else:
        print_cycle(Page(sys.stdout), reports)
