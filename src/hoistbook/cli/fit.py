"""hoistbook fit: what the tests of the intact vehicle say, each with its band and its evidence."""

from __future__ import annotations

import typer

fit = typer.Typer(
    name="fit",
    help="Work out tests of the intact vehicle.",
    no_args_is_help=True,
    rich_markup_mode=None,
)
