"""What every check declares, and that its docs page says the same."""

import numpy as np
import pytest

import check_pages
from hoistbook.core.checks import CHECKS
from hoistbook.core.checks.declared import MARKS

EVERY = pytest.mark.parametrize("check", CHECKS.values(), ids=CHECKS)


@EVERY
def test_page_and_drawing_are_those_of_the_check(check):
    told = (check_pages.PAGES / f"{check.name}.md").read_text(encoding="utf-8")
    assert told == check_pages.page(check), "run python scripts/check_pages.py"
    drawn = (check_pages.PAGES / f"{check.name}.svg").read_text(encoding="utf-8")
    assert drawn == check_pages.drawing(check), "run python scripts/check_pages.py"


def test_contents_list_every_check():
    assert (check_pages.PAGES / "README.md").read_text(encoding="utf-8") == check_pages.contents()


@EVERY
def test_declared_in_full(check):
    assert check.question.endswith("?")
    for told in (check.cannot_say, check.references, check.method.strip()):
        assert told
    assert len({one.name for one in (*check.readings, *check.choices, *check.names)}) == len(
        (*check.readings, *check.choices, *check.names)
    )
    assert all(one.how for one in check.readings)
    # Where a range, a band or a limit comes from is told with its mark.
    assert all(one.reach.startswith(MARKS) for one in check.readings)
    assert all(one.band.startswith(MARKS) for one in check.readings if one.half_width)
    drawn = set(check.sketch.readings())
    assert drawn, "the drawing shows no reading"
    named = {one.each for one in check.names}
    assert {one.each for one in check.readings if one.each} >= named


@EVERY
def test_drawing_lies_on_its_sheet(check):
    # first principles: what lies off the sheet is cut off; a sheet is 100 wide.
    for mark in check.sketch.marks:
        points = [
            getattr(mark, name)
            for name in ("centre", "start", "end", "at")
            if getattr(mark, name, None) is not None
        ]
        points += list(getattr(mark, "points", ()))
        for x, y in points:
            assert 0.0 <= x <= 100.0, mark
            assert 0.0 <= y <= check.sketch.height, mark
        assert np.isfinite(np.array(points)).all()
