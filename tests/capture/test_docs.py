"""The page on the vehicle record says what the schema says."""

from pathlib import Path

import pytest

from hoistbook.capture.schema import SHEETS
from hoistbook.capture.tables import Limits
from hoistbook.reference.taxonomy import expected_content

PAGE = (Path(__file__).parents[2] / "docs/engines/vehicle-and-loading.md").read_text(encoding="utf-8")


@pytest.mark.parametrize("name", SHEETS)
def test_every_sheet_and_column_is_on_the_page(name):
    sheet = SHEETS[name]
    columns = " · ".join(f"**{c.header}**" if c.required else c.header for c in sheet.columns)
    assert f"| {name} | {sheet.row_is} | {columns} |" in PAGE


def test_the_limits_on_the_page_are_the_defaults():
    limits = Limits()
    for words in (
        f"| file | {limits.file_bytes // 1_000_000} MB |",
        f"| unpacked | {limits.unpacked_bytes // 1_000_000} MB |",
        f"| entries | {limits.entries:,} |",
        f"| ratio (above {limits.ratio_floor_bytes // 1_000_000} MB) | {limits.ratio:g} |",
        f"| rows of a sheet | {limits.rows:,} |",
        f"| columns of a sheet | {limits.columns} |",
        f"| filled cells | {limits.cells:,} |",
        f"| faults listed | {limits.faults:,}, then their number |",
    ):
        assert words in PAGE


def test_the_size_of_the_list_of_expected_content():
    assert f"{len(expected_content())} things a complete teardown lists" in PAGE
