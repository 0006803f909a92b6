"""hoistbook gap: why two vehicles differ, cause by cause and decision by decision."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

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
    Store,
    Units,
    UnitsWord,
    chosen_defaults,
)

if TYPE_CHECKING:
    from hoistbook.core.vehicle.records import Teardown
    from hoistbook.services.gap import GapReport
    from hoistbook.services.gap_view import GapView

FIXED_BY_STUDY = ("quantity", "duty", "configuration_a", "configuration_b", "draws", "seed")
"""Parameters a study fixes before results, so that no command may set them beside it."""


def gap(
    context: typer.Context,
    first: Annotated[
        str | None,
        typer.Argument(
            metavar="A", help="Vehicle to start from: workbook, CSV folder, or code in the store."
        ),
    ] = None,
    second: Annotated[
        str | None,
        typer.Argument(metavar="B", help="Vehicle to go to: workbook, CSV folder, or code in the store."),
    ] = None,
    study: Annotated[
        str | None,
        typer.Option(
            "--study", metavar="CODE", help="Take vehicles, content and assumptions from a frozen study."
        ),
    ] = None,
    to: Annotated[
        str | None,
        typer.Option(
            "--to", metavar="CODE", help="Vehicle of the study to go to; its second one when left out."
        ),
    ] = None,
    store: Store = None,
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
    from hoistbook.cli.keep import keeping, kept_json
    from hoistbook.cli.page import Page
    from hoistbook.cli.progress import find, working
    from hoistbook.cli.study_page import print_version
    from hoistbook.report.render import check_chart_path, write_chart
    from hoistbook.report.theme import DARK, LIGHT
    from hoistbook.services.as_json.gap import gap_json
    from hoistbook.services.gap import gap_report
    from hoistbook.services.gap_drawing import walk_drawing

    if chart is not None:
        check_chart_path(chart)
    under = None
    if study is not None:
        from hoistbook.services.record import open_record
        from hoistbook.services.study import gap_under

        record = open_record(_alone(context, store))
        with working(f"sharing the gap of study {study} among its causes"):
            under = gap_under(record, study, to=to, merge=not no_merge, defaults=chosen_defaults(defaults))
        report, (x, y) = under.report, under.vehicles
    else:
        if to is not None:
            context.fail("--to names a vehicle of a study; give --study CODE too, or take it out")
        if first is None or second is None:
            lacking = "A" if first is None else "B"
            context.fail(
                f"Missing argument '{lacking}': two vehicles A and B, or --study CODE with --store DIR"
            )
        found = [find(first, store), find(second, store)]
        x, y = (one.teardown for one in found)
        options = {
            "quantity": quantity.value,
            "duty": "" if quantity is QuantityWord.MASS else duty,
            "configurations": [configuration_a, configuration_b],
            "draws": draws,
            "seed": seed,
            "as_found": as_found,
            "merge": not no_merge,
        }
        what = f"sharing the gap among its causes, {draws} draws"
        if as_json and chart is None:
            with working(what):
                kept = kept_json(found, "gap", options, defaults)
            if kept is not None:
                print_json(kept)
                return
        with working(what), keeping(found, "gap", options, defaults) as keep:
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
            keep.append(lambda: gap_json(_view(report, x, y, as_found, UnitsWord.METRIC)))
    view = _view(report, x, y, as_found, units)
    if under is not None:
        view = replace(view, under=under.under)
    if chart is not None:
        with working(f"drawing {chart.name}"):
            write_chart(chart, walk_drawing(view, theme=DARK if dark else LIGHT))
    if as_json:
        print_json({**gap_json(view), **({"study": under.as_json()} if under else {})})
        return
    page = Page(sys.stdout)
    if under is not None:
        page.text(f"Study {under.study}: {under.question}")
        print_version(page, under.state.sentences)
        page.blank()
    print_gap(page, view, by_cause=by_cause)
    if chart is not None:
        page.blank()
        page.text(f"Drawn: {chart}")


def _view(report: GapReport, x: Teardown, y: Teardown, as_found: bool, units: UnitsWord) -> GapView:
    from hoistbook.services.gap_view import GapView, surprise

    names = (x.vehicle.name or x.vehicle.code, y.vehicle.name or y.vehicle.code)
    return GapView(report, names, as_found, surprise(report, as_found=as_found), units.value)


def _alone(context: typer.Context, store: Path | None) -> Path:
    """Store of a study; what the study fixes may not be typed beside it."""
    typed = [
        {"first": "A", "second": "B"}.get(name, f"--{name.replace('_', '-')}")
        for name in ("first", "second", *FIXED_BY_STUDY)
        if (source := context.get_parameter_source(name)) is not None and source.name == "COMMANDLINE"
    ]
    if typed:
        msg = (
            f"{', '.join(typed)} cannot stand beside --study: the study fixed it before results; change the study and "
            "freeze it again."
        )
        raise ValueError(msg)
    if store is None:
        msg = "a study lies in a store; say which with --store DIR."
        raise ValueError(msg)
    return store
