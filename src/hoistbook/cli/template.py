"""hoistbook template: the workbook to start from."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from hoistbook.cli.options import AsJson


def template(
    path: Annotated[
        Path | None,
        typer.Argument(metavar="FILE", help="Workbook to write; teardown.xlsx or study.xlsx when left out."),
    ] = None,
    study: Annotated[
        bool, typer.Option("--study", help="Write the workbook of a study instead of that of a vehicle.")
    ] = False,
    example: Annotated[
        bool,
        typer.Option("--example", help="Fill it with a small invented example that loads without a fault."),
    ] = False,
    as_json: AsJson = False,
    force: Annotated[bool, typer.Option("--force", help="Replace a file that is already there.")] = False,
) -> None:
    """Write the workbook to fill in.

    It holds every sheet, headings with explanations, and lists to choose from.
    """
    from hoistbook.capture.study_template import write_study_template
    from hoistbook.capture.template import write_template
    from hoistbook.cli.as_json import print_json
    from hoistbook.cli.page import Page

    path = path or Path("study.xlsx" if study else "teardown.xlsx")
    if path.suffix.lower() != ".xlsx":
        msg = f"{path}: a workbook ends in .xlsx; give e.g. {path.with_suffix('.xlsx')}."
        raise ValueError(msg)
    if (path.exists() or path.is_symlink()) and not force:
        msg = f"{path} is already there and was left as it is; give another name, or --force to replace it."
        raise ValueError(msg)
    write = write_study_template if study else write_template
    write(path, example=example)
    if as_json:
        print_json({"written": str(path), "example": example, "study": study})
        return
    page = Page(sys.stdout)
    page.text(f"Written: {path}. Start with its sheet 'read me'.")
    page.text("Load it at any time to see what is still missing:")
    page.verbatim(f"  hoistbook load {path} --store DIR" if study else f"  hoistbook mass {path}")
