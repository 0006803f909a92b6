"""hoistbook mass: what the weighings of one vehicle say, and what to weigh next."""

from __future__ import annotations

import sys

from hoistbook.cli.options import AsJson, Configuration, Store, Units, UnitsWord, Workbook


def mass(
    path: Workbook,
    store: Store = None,
    configuration: Configuration = None,
    units: Units = UnitsWord.METRIC,
    as_json: AsJson = False,
) -> None:
    """Add up the parts and hold them against the scale."""
    from hoistbook.cli.as_json import print_json
    from hoistbook.cli.keep import keeping, kept_json
    from hoistbook.cli.mass_page import print_mass
    from hoistbook.cli.page import Page
    from hoistbook.cli.progress import find, working
    from hoistbook.services.as_json.mass import mass_json
    from hoistbook.services.mass import mass_report

    found = find(path, store)
    teardown = found.teardown
    options = {"configuration": configuration}
    what = f"reconciling {len(teardown.measurements)} readings"
    if as_json:
        with working(what):
            kept = kept_json([found], "mass", options, None)
        if kept is not None:
            print_json(kept)
            return
    with working(what), keeping([found], "mass", options, None) as keep:
        book = mass_report(teardown, configuration)
        keep.append(lambda: mass_json(book))
    if as_json:
        print_json(mass_json(book))
    else:
        print_mass(Page(sys.stdout), book, teardown.vehicle.name or teardown.vehicle.code, units.value)
