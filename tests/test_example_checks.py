"""What was read on the invented vans for checks: near the truth it was made from, and enough to work the checks out.

The data is invented, so no figure here holds a check against anything.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from hoistbook.capture.read import read_teardown
from hoistbook.core.checks import CHECKS, check_named
from hoistbook.core.quantities.units import to_si
from hoistbook.core.vehicle.records import CheckReading, Teardown
from hoistbook.services.checks import check_report
from test_examples import make_vans

from van_data.checks import LETTERS, Line, statements  # isort: skip  (found once the vans are)

ROOT = Path(__file__).resolve().parent.parent
NAMES = dict(zip(LETTERS, ("whimbrel", "turnstone", "dotterel"), strict=True))
LINES = tuple(statements())
# the lines that were read are suction lines; one van's bracket has no seat; another's rail is no mild steel
DOES_NOT_APPLY = {
    **{("refrigerant_line", letter): {"subcooling_left_k"} for letter in "WTD"},
    ("bolt_group", "W"): {"seat_n"},
    ("crush_member", "W"): {"rate_factor"},
}


@pytest.fixture(scope="module")
def vans() -> dict[str, Teardown]:
    return {letter: read_teardown(ROOT / "examples" / f"{name}.xlsx") for letter, name in NAMES.items()}


def stated(van: Teardown, line: Line) -> list[CheckReading]:
    slot = (line.check, line.reading, line.item)
    return [one for one in van.check_readings if (one.check, one.reading, one.item) == slot]


def test_the_columns_stand_in_the_order_of_the_vans():
    assert {van.letter: name for name, van in make_vans.VANS.items()} == NAMES


@pytest.mark.parametrize("letter", LETTERS)
def test_every_figure_is_near_its_truth(vans, letter):
    for line in LINES:
        found = stated(vans[letter], line)
        true = line.truth[letter]
        assert len(found) == (true != "-"), line
        for one in found:
            if line.by == "option":
                assert one.option == true
                continue
            reading = check_named(line.check).reading(line.reading)
            true_si, _ = to_si(float(true), line.unit, reading.unit)
            # common practice: what a band of 95 % says, twice over, holds for all of a hundred figures.
            assert abs(one.value.value - true_si) <= 2.0 * one.value.expanded(), line
    assert len(vans[letter].check_readings) == sum(line.truth[letter] != "-" for line in LINES)


@pytest.mark.parametrize("name", sorted({line.check for line in LINES}))
def test_a_check_that_was_read_for_works_out(vans, name):
    for letter, van in vans.items():
        read = {line.reading for line in LINES if line.check == name and line.truth[letter] != "-"}
        if not read:
            continue
        report = check_report(name, teardown=van, n_draws=200)
        assert {reading for reading, place in report.filled if "for this check" in place} == read
        assert not read & {one.field for one in report.result.assumptions}
        items = {line.item for line in LINES if line.check == name and line.item}
        assert {one for several in report.stated.names.values() for one in several} == items
        given = {figure.name for figure in report.result.figures}
        assert {one.name for one in CHECKS[name].outcomes} - given == DOES_NOT_APPLY.get(
            (name, letter), set()
        )
