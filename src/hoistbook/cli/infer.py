"""hoistbook infer: what published figures alone say of two vehicles."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from hoistbook.cli.options import (
    DRAWS,
    SEED,
    AsJson,
    DefaultsFile,
    Draws,
    Seed,
    Units,
    UnitsWord,
    chosen_defaults,
)


def infer(
    first: Annotated[
        str, typer.Argument(metavar="A", help="Row of the table, workbook, or vehicle code of the store.")
    ],
    second: Annotated[
        str, typer.Argument(metavar="B", help="Row of the table, workbook, or vehicle code of the store.")
    ],
    facts: Annotated[
        Path | None,
        typer.Option(
            "--facts", metavar="FILE", help="Table of published figures, CSV or XLSX, one vehicle per row."
        ),
    ] = None,
    store: Annotated[
        Path | None,
        typer.Option(
            "--store", metavar="DIR", envvar="HOISTBOOK_STORE", help="Store to look vehicle codes up in."
        ),
    ] = None,
    settings: Annotated[
        Path | None,
        typer.Option(
            "--settings",
            metavar="FILE",
            help="Limits, priors and instruments, laid out like the packaged published.toml.",
        ),
    ] = None,
    draws: Draws = DRAWS,
    seed: Seed = SEED,
    defaults: DefaultsFile = None,
    units: Units = UnitsWord.METRIC,
    as_json: AsJson = False,
) -> None:
    """Work out from published figures why B differs from A.

    Says what must be true for the gap to be there, and what to measure next. Uses published figures only, also of
    workbooks and of the store. Contradictions are looked for in the whole table.
    """
    from hoistbook.cli.as_json import print_json
    from hoistbook.cli.infer_page import print_infer
    from hoistbook.cli.page import Page
    from hoistbook.cli.progress import working
    from hoistbook.reference.published import read_published_settings
    from hoistbook.services.as_json.infer import infer_json
    from hoistbook.services.infer import infer_report

    with working(f"weighing {draws} draws of two vehicles"):
        report = infer_report(
            first,
            second,
            facts=facts,
            store=store,
            n_draws=draws,
            seed=seed,
            defaults=chosen_defaults(defaults),
            settings=None if settings is None else read_published_settings(settings),
        )
    if as_json:
        print_json(infer_json(report))
    else:
        print_infer(Page(sys.stdout), report, units.value)
