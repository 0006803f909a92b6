"""The study template: it explains, it helps typing, and its example loads."""

import openpyxl
import pytest

from hoistbook.capture.faults import LoadRefused
from hoistbook.capture.read_study import is_study, read_study
from hoistbook.capture.study_schema import STUDY_SHEETS
from hoistbook.capture.study_template import write_study_template


@pytest.fixture(scope="module")
def empty(tmp_path_factory):
    path = tmp_path_factory.mktemp("template") / "empty.xlsx"
    write_study_template(path)
    return path


def test_the_empty_one_says_what_is_missing(empty):
    assert is_study(empty)
    with pytest.raises(LoadRefused) as refused:
        read_study(empty)
    assert {fault.sheet for fault in refused.value.faults} == {"study", "vehicles"}


def test_the_example_loads_without_fault_or_remark(tmp_path):
    write_study_template(tmp_path / "s.xlsx", example=True)
    study = read_study(tmp_path / "s.xlsx")
    assert study.reported == ()
    for rows in (study.vehicles, study.equality, study.content, study.assumptions, study.findings,
                 study.strip_plan, study.claims):  # fmt: skip
        assert rows


def test_every_heading_is_explained_and_choices_are_lists(empty):
    book = openpyxl.load_workbook(empty)
    for name, sheet in STUDY_SHEETS.items():
        assert [cell.value for cell in book[name][1]] == [column.header for column in sheet.columns]
        lists = {str(rule.sqref).split("2:")[0]: rule for rule in book[name].data_validations.dataValidation}
        for cell, column in zip(book[name][1], sheet.columns, strict=True):
            assert column.help in cell.comment.text
            if column.choices:
                area = lists[cell.column_letter].formula1.lstrip("=").split("!")[1].replace("$", "")
                assert tuple(c.value for (c,) in book["lists"][area]) == column.choices


def test_the_page_to_read_first_leaves_safety_to_others(empty):
    text = " ".join(str(c.value) for row in openpyxl.load_workbook(empty)["read me"] for c in row)
    for word in ("Local law", "dismantling", "licensed", "high voltage", "refrigerant", "freeze"):
        assert word in text
