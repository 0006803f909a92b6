"""hoistbook fit: what the tests of the intact vehicle say, each with its band and its evidence."""

from __future__ import annotations

import typer

from hoistbook.cli.groups import Family

fit = typer.Typer(
    name="fit",
    cls=Family,
    help="Work out tests of the intact vehicle.",
    rich_markup_mode=None,
)
