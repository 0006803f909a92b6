"""The page on studies says what the schema says."""

from pathlib import Path

import pytest

from hoistbook.capture.study_schema import STUDY_SHEETS
from hoistbook.core.compare.study_settings import KNOWN
from hoistbook.core.vehicle.hazards import HAZARDS

PAGE = (Path(__file__).parents[2] / "docs/engines/study.md").read_text(encoding="utf-8")


@pytest.mark.parametrize("name", STUDY_SHEETS)
def test_every_sheet_and_column_is_on_the_page(name):
    sheet = STUDY_SHEETS[name]
    columns = " · ".join(f"**{c.header}**" if c.required else c.header for c in sheet.columns)
    assert f"| {name} | {sheet.row_is} | {columns} |" in PAGE


def test_assumptions_that_steer_and_cautions_are_on_the_page():
    for name, known in KNOWN.items():
        assert f"| {name} | {known.help} |" in PAGE
    for hazard in HAZARDS:
        assert hazard.name in PAGE
