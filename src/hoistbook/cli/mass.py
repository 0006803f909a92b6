"""hoistbook mass: what the weighings of one vehicle say, and what to weigh next."""

from __future__ import annotations

import sys

from hoistbook.cli.options import AsJson, Configuration, Units, UnitsWord, Workbook


def mass(
    path: Workbook,
    configuration: Configuration = None,
    units: Units = UnitsWord.METRIC,
    as_json: AsJson = False,
) -> None:
    """Add up the parts and hold them against the scale."""
    from hoistbook.cli.as_json import print_json
    from hoistbook.cli.mass_page import print_mass
    from hoistbook.cli.page import Page
    from hoistbook.cli.progress import load, working
    from hoistbook.services.as_json.mass import mass_json
    from hoistbook.services.mass import mass_report

    teardown = load(path)
    with working(f"reconciling {len(teardown.measurements)} readings"):
        book = mass_report(teardown, configuration)
    if as_json:
        print_json(mass_json(book))
    else:
        print_mass(Page(sys.stdout), book, teardown.vehicle.name or teardown.vehicle.code, units.value)
