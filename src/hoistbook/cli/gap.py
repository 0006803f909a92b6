"""hoistbook gap: why two vehicles differ, cause by cause and decision by decision."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from hoistbook.cli.options import (
    DRAWS,
    DUTY,
    SEED,
    AsJson,
    DefaultsFile,
    Draws,
    Duty,
    QuantityWord,
    Seed,
    Units,
    UnitsWord,
    chosen_defaults,
)


def gap(
    first: Annotated[
        Path, typer.Argument(metavar="A", help="Workbook or CSV folder of the vehicle to start from.")
    ],
    second: Annotated[
        Path, typer.Argument(metavar="B", help="Workbook or CSV folder of the vehicle to go to.")
    ],
    quantity: Annotated[
        QuantityWord, typer.Option(help="What the gap is in: km of range, Wh/km at the wall, or kg.")
    ] = QuantityWord.RANGE,
    as_found: Annotated[
        bool,
        typer.Option(
            "--as-found", help="Speak of the gap as found instead of the normalised one; both are printed."
        ),
    ] = False,
    duty: Duty = DUTY,
    configuration_a: Annotated[
        str | None, typer.Option(help="Configuration of A, where it has several.")
    ] = None,
    configuration_b: Annotated[
        str | None, typer.Option(help="Configuration of B, where it has several.")
    ] = None,
    draws: Draws = DRAWS,
    seed: Seed = SEED,
    no_merge: Annotated[
        bool, typer.Option("--no-merge", help="Keep causes apart that the figures cannot tell apart.")
    ] = False,
    by_cause: Annotated[
        bool,
        typer.Option(
            "--by-cause", help="Print every decision inside every cause, not only the three largest."
        ),
    ] = False,
    chart: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Draw the walk into a file that ends in .svg or .png.")
    ] = None,
    dark: Annotated[bool, typer.Option("--dark", help="Draw on a dark sheet.")] = False,
    defaults: DefaultsFile = None,
    units: Units = UnitsWord.METRIC,
    as_json: AsJson = False,
) -> None:
    """Say why vehicle B differs from vehicle A.

    Causes, the decisions inside them, and what is not explained. Speaks of the normalised gap (unlike content set
    equal) with the gap as found beside it.
    """
    from hoistbook.cli.as_json import print_json
    from hoistbook.cli.gap_page import print_gap
    from hoistbook.cli.page import Page
    from hoistbook.cli.progress import load, working
    from hoistbook.report.render import check_chart_path, write_chart
    from hoistbook.services.as_json.gap import gap_json
    from hoistbook.services.gap import gap_report
    from hoistbook.services.gap_drawing import walk_drawing
    from hoistbook.services.gap_view import GapView, surprise

    if chart is not None:
        check_chart_path(chart)
    x, y = load(first), load(second)
    with working(f"sharing the gap among its causes, {draws} draws"):
        report = gap_report(
            x,
            y,
            quantity=quantity.value,
            duty=duty,
            n_draws=draws,
            seed=seed,
            merge=not no_merge,
            configuration_x=configuration_a,
            configuration_y=configuration_b,
            defaults=chosen_defaults(defaults),
        )
    names = (x.vehicle.name or x.vehicle.code, y.vehicle.name or y.vehicle.code)
    view = GapView(report, names, as_found, surprise(report, as_found=as_found), units.value)
    if chart is not None:
        with working(f"drawing {chart.name}"):
            write_chart(chart, walk_drawing(view, dark=dark))
    if as_json:
        print_json(gap_json(view))
        return
    page = Page(sys.stdout)
    print_gap(page, view, by_cause=by_cause)
    if chart is not None:
        page.blank()
        page.text(f"Drawn: {chart}")
