"""hoistbook demo: the three invented vans, from their workbooks to a reconciled gap."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from hoistbook.cli.options import DRAWS, DUTY, SEED, AsJson, Draws, Duty, Seed


def demo(
    out: Annotated[
        Path,
        typer.Option(
            metavar="FOLDER", help="Where drawings and copies of the workbooks go; made when missing."
        ),
    ] = Path("hoistbook-demo"),
    duty: Duty = DUTY,
    draws: Draws = DRAWS,
    seed: Seed = SEED,
    dark: Annotated[bool, typer.Option("--dark", help="Draw on dark sheets.")] = False,
    as_json: AsJson = False,
) -> None:
    """Show it on three invented delivery vans."""
    from hoistbook.cli.as_json import print_json
    from hoistbook.cli.demo_page import demo_json, print_demo, run_demo
    from hoistbook.cli.page import Page

    found = run_demo(out, duty=duty, draws=draws, seed=seed, dark=dark)
    if as_json:
        print_json(demo_json(found))
    else:
        print_demo(Page(sys.stdout), found)
