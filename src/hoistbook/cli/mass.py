"""hoistbook mass: what the weighings of one vehicle say, and what to weigh next."""

from __future__ import annotations

from hoistbook.cli.options import AsJson, Configuration, Store, Units, UnitsWord, Workbook


def mass(
    path: Workbook,
    store: Store = None,
    configuration: Configuration = None,
    units: Units = UnitsWord.METRIC,
    as_json: AsJson = False,
) -> None:
    """Add up the parts and hold them against the scale."""
    from hoistbook.cli.mass_page import print_mass
    from hoistbook.cli.one_vehicle import print_answer
    from hoistbook.cli.progress import find
    from hoistbook.services.as_json.mass import mass_json
    from hoistbook.services.mass import mass_report

    found = find(path, store)
    print_answer(
        found,
        "mass",
        {"configuration": configuration},
        what=f"reconciling {len(found.teardown.measurements)} readings",
        work=lambda: mass_report(found.teardown, configuration),
        to_json=mass_json,
        to_page=lambda page, book, name: print_mass(page, book, name, units.value),
        as_json=as_json,
    )
