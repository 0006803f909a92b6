"""What the commands about one vehicle share: find it, take the kept answer or work one out, print object or page."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

from hoistbook.cli.as_json import print_json
from hoistbook.cli.keep import keeping, kept_json
from hoistbook.cli.page import Page
from hoistbook.cli.progress import working
from hoistbook.services.loading import Found

Report = TypeVar("Report")


def print_answer(
    found: Found,
    kind: str,
    options: dict[str, Any],
    *,
    what: str,
    work: Callable[[], Report],
    to_json: Callable[[Report], dict[str, Any]],
    to_page: Callable[[Page, Report, str], None],
    as_json: bool,
    defaults: Path | None = None,
) -> None:
    """Answer a question about one vehicle.

    Parameters
    ----------
    found : Found
        The vehicle, from a workbook or a store; answers about a store's vehicle are kept there.
    kind : str
        Of the answer, as it is kept.
    options : dict
        All that the answer depends on besides the vehicle.
    what : str
        What is being done, for the line of progress.
    work : callable
        Works the answer out.
    to_json, to_page : callable
        Turn it into one object, or print it with the name of the vehicle.
    as_json : bool
    defaults : Path, optional
        A file of defaults: nothing is kept then.
    """
    if as_json:
        with working(what):
            kept = kept_json([found], kind, options, defaults)
        if kept is not None:
            print_json(kept)
            return
    with working(what), keeping([found], kind, options, defaults) as keep:
        report = work()
        keep.append(lambda: to_json(report))
    if as_json:
        print_json(to_json(report))
        return
    vehicle = found.teardown.vehicle
    to_page(Page(sys.stdout), report, vehicle.name or vehicle.code)
