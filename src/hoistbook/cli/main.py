"""The entry point `hoistbook`."""

from typing import Annotated

import typer

from hoistbook import __version__

app = typer.Typer(name="hoistbook", no_args_is_help=True, add_completion=False)


def _print_version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"hoistbook {__version__}")
        raise typer.Exit


@app.callback()
def main(
    version: Annotated[
        bool,
        typer.Option("--version", callback=_print_version, is_eager=True, help="Print the version and stop."),
    ] = False,
) -> None:
    """From two torn-down vehicles to a reconciled gap."""
