"""hoistbook study and hoistbook freeze: what a study asks and found, and what was fixed before results."""

from __future__ import annotations

import sys
from typing import Annotated

import typer

from hoistbook.cli.options import AsJson, NeededStore

StudyCode = Annotated[str, typer.Argument(metavar="CODE", help="Code of the study.")]


def study(code: StudyCode, store: NeededStore, as_json: AsJson = False) -> None:
    """Show a study.

    Its question, vehicles and version, what stands in its way, its content list, how much of the mass gap has been
    looked at, and its strip plan.
    """
    from hoistbook.cli.as_json import print_json
    from hoistbook.cli.page import Page
    from hoistbook.cli.progress import working
    from hoistbook.cli.study_page import print_study
    from hoistbook.services.as_json.study import study_json
    from hoistbook.services.record import open_record
    from hoistbook.services.study import report_of

    record = open_record(store)
    with working("holding the study against its vehicles"):
        report = report_of(record, code)
    if as_json:
        print_json(study_json(report))
        return
    print_study(Page(sys.stdout), report)


def freeze(
    code: StudyCode,
    store: NeededStore,
    person: Annotated[str, typer.Option("--person", metavar="NAME", help="Who freezes it.")],
    note: Annotated[str, typer.Option("--note", help="Why.")] = "",
    as_json: AsJson = False,
) -> None:
    """Freeze a study before results are seen.

    Question, vehicles, equality, content and assumptions become version 1; a later change becomes the next version with
    its differences listed.
    """
    from hoistbook.cli.as_json import print_json
    from hoistbook.cli.page import Page
    from hoistbook.services.as_json.study import version_json
    from hoistbook.services.record import open_record
    from hoistbook.services.study import freeze as freeze_study

    version = freeze_study(open_record(store), code, person, note)
    if as_json:
        print_json({"study": code, "frozen": None if version is None else version_json(version)})
        return
    page = Page(sys.stdout)
    if version is None:
        page.text(f"Nothing changed since study {code} was frozen; its version stays.")
        return
    page.text(f"Study {code} is frozen as version {version.number} by {version.person}.", style="bold")
    if version.differences:
        page.text(f"Differs from version {version.number - 1}:")
        page.bullets(str(one) for one in version.differences)
