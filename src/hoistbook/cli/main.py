"""The entry point `hoistbook`."""

from __future__ import annotations

from typing import Annotated

import typer

from hoistbook import __version__
from hoistbook.cli.channels import channels
from hoistbook.cli.check import check
from hoistbook.cli.claims import claims
from hoistbook.cli.cost import COST_COMMANDS, cost
from hoistbook.cli.demo import demo
from hoistbook.cli.energy import cycle, range_
from hoistbook.cli.fit import fit
from hoistbook.cli.fit_energy import ENERGY_TESTS
from hoistbook.cli.fit_hoist import HOIST_TESTS
from hoistbook.cli.fit_road import ROAD_TESTS
from hoistbook.cli.gap import gap
from hoistbook.cli.infer import infer
from hoistbook.cli.mass import mass
from hoistbook.cli.outcome import Commands
from hoistbook.cli.rates import rates
from hoistbook.cli.record import history, load, results, retire, verify
from hoistbook.cli.serve import serve
from hoistbook.cli.study import freeze, study
from hoistbook.cli.template import template

EXIT_CODES = (
    "Exit codes: 0 done; 2 a workbook or an argument was refused (with --json the faults stand on standard output); "
    "1 something unexpected."
)

app = typer.Typer(
    name="hoistbook",
    cls=Commands,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    epilog=EXIT_CODES,
)
for command, name in (
    (demo, "demo"),
    (template, "template"),
    (channels, "channels"),
    (mass, "mass"),
    (range_, "range"),
    (cycle, "cycle"),
    (gap, "gap"),
    (rates, "rates"),
    (check, "check"),
    (load, "load"),
    (retire, "retire"),
    (history, "history"),
    (results, "results"),
    (verify, "verify"),
    (study, "study"),
    (freeze, "freeze"),
    (claims, "claims"),
    (infer, "infer"),
    (serve, "serve"),
):
    app.command(name, epilog=EXIT_CODES)(command)
for test, word in (*ENERGY_TESTS, *ROAD_TESTS, *HOIST_TESTS):
    fit.command(word, epilog=EXIT_CODES)(test)
app.add_typer(fit, epilog=EXIT_CODES)
for about_cost, word in COST_COMMANDS:
    cost.command(word, epilog=EXIT_CODES)(about_cost)
app.add_typer(cost, epilog=EXIT_CODES)


def _print_version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"hoistbook {__version__}")
        raise typer.Exit


@app.callback(invoke_without_command=True)
def main(
    context: typer.Context,
    version: Annotated[
        bool,
        typer.Option("--version", callback=_print_version, is_eager=True, help="Print the version and stop."),
    ] = False,
) -> None:
    """From two torn-down vehicles to a reconciled gap: what each design decision costs, and what is not explained.

    Start with: hoistbook demo
    """
    if context.invoked_subcommand is None:
        typer.echo(context.get_help())
