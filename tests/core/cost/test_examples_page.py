"""The page of worked examples names tests that exist, and says how sure each number is."""

import re
from pathlib import Path

import pytest

from hoistbook.core.cost.figure import MARKS

ROOT = Path(__file__).parents[3]
PAGE = (ROOT / "docs/engines/cost-examples.md").read_text(encoding="utf-8")
ROWS = [[cell.strip() for cell in line.strip("|").split("|")] for line in PAGE.splitlines() if "::" in line]


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row[0])
def test_an_example_has_its_test(row):
    _, _, mark, test = row
    # first principles: a row of the page names a function of a file that is there, and one of the five marks.
    assert mark in MARKS
    path, _, name = test.strip("`").partition("::")
    assert f"def {name}(" in (ROOT / path).read_text(encoding="utf-8")


def test_the_page_counts_its_rows():
    counted = re.match(r"(?s).*?(\d+) examples .*?; (\d+) are published", PAGE)
    assert [int(one) for one in counted.groups()] == [
        len(ROWS), sum(mark == "published" for _, _, mark, _ in ROWS)
    ]  # fmt: skip
