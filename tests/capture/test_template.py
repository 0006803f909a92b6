"""The template: it loads, it explains, it helps typing."""

import openpyxl
import pytest

from capture.books import faults_of
from hoistbook.capture.read import read_teardown
from hoistbook.capture.schema import SHEETS, Holds
from hoistbook.capture.template import write_template
from hoistbook.core.vehicle.records import MassState
from hoistbook.services.demo import van_paths
from hoistbook.services.energy import range_report
from hoistbook.services.gap import gap_report
from hoistbook.services.mass import mass_report
from hoistbook.services.rates import rates_report


@pytest.fixture(scope="module")
def empty(tmp_path_factory):
    path = tmp_path_factory.mktemp("template") / "empty.xlsx"
    write_template(path)
    return path


@pytest.fixture(scope="module")
def filled(tmp_path_factory):
    path = tmp_path_factory.mktemp("template") / "filled.xlsx"
    write_template(path, example=True)
    return path


def test_the_empty_one_says_what_is_missing(empty):
    faults = faults_of(empty)
    assert {fault.sheet for fault in faults} == {"vehicle", "configurations"}
    assert "exactly one row" in faults[0].message


def test_the_filled_one_loads_without_fault_or_remark(filled):
    teardown = read_teardown(filled)
    assert teardown.reported == ()
    for records in (
        teardown.facts,
        teardown.nodes,
        teardown.joints,
        teardown.measurements,
        teardown.instruments,
        teardown.functions,
        teardown.approaches,
        teardown.shares,
        teardown.content,
        teardown.effects,
        teardown.check_readings,
    ):
        assert records
    assert {"R003"} == {m.supersedes for m in teardown.measurements if m.supersedes}


def test_every_heading_is_explained_and_stays_in_view(empty):
    book = openpyxl.load_workbook(empty)
    for name, sheet in SHEETS.items():
        assert [cell.value for cell in book[name][1]] == [column.header for column in sheet.columns]
        assert book[name].freeze_panes == "A2"
        for cell, column in zip(book[name][1], sheet.columns, strict=True):
            assert column.help in cell.comment.text
            assert ("Every row needs it" in cell.comment.text) == column.required
            assert cell.font.bold is column.required


def test_choices_are_lists_and_numbers_are_checked(empty):
    book = openpyxl.load_workbook(empty)
    for name, sheet in SHEETS.items():
        by_column = {
            str(rule.sqref).split("2:")[0]: rule for rule in book[name].data_validations.dataValidation
        }
        for place, column in enumerate(sheet.columns):
            rule = by_column.get(openpyxl.utils.get_column_letter(place + 1))
            if column.choices or column.holds is Holds.QUANTITY or column.header in ("system", "check"):
                assert rule.type == "list"
                area = rule.formula1.lstrip("=").split("!")[1].replace("$", "")
                words = [cell.value for (cell,) in book["lists"][area]]
                if column.choices:
                    assert tuple(words) == column.choices
                assert len(words) == len(set(words))
                assert None not in words
            elif column.holds is Holds.NUMBER:
                assert rule.type == "decimal"
            else:
                assert rule is None


def test_names_are_text_so_that_no_tag_becomes_a_day(empty):
    book = openpyxl.load_workbook(empty)
    for name, sheet in SHEETS.items():
        # Neighbours of one format are stored together, from min to max.
        formats = {
            place: dimension.number_format
            for dimension in book[name].column_dimensions.values()
            for place in range(dimension.min, dimension.max + 1)
        }
        for place, column in enumerate(sheet.columns, start=1):
            if column.holds in (Holds.NAME, Holds.NAMES, Holds.COVERS):
                assert formats[place] == "@"
            elif column.holds is Holds.NUMBER:
                assert formats[place] == "General"


def test_the_page_to_read_first_names_the_cautions(empty):
    book = openpyxl.load_workbook(empty)
    assert book.sheetnames[0] == "read me"
    text = " ".join(str(cell.value) for row in book["read me"] for cell in row)
    for word in (
        "Local law",
        "dismantling",
        "licensed",
        "Lifting",
        "High voltage",
        "Refrigerant",
        "yrotechnic",
        "Springs",
        "Fire",
    ):
        assert word in text
    assert "invented" not in text


def test_the_example_says_that_it_is_invented(filled):
    text = " ".join(str(c.value) for row in openpyxl.load_workbook(filled)["read me"] for c in row)
    assert "invented" in text


def test_the_same_bytes_every_time(empty, tmp_path):
    write_template(tmp_path / "again.xlsx")
    assert (tmp_path / "again.xlsx").read_bytes() == empty.read_bytes()


def test_the_example_answers_every_command(filled):
    van = read_teardown(filled)
    demo = {name: read_teardown(path) for name, path in van_paths().items()}
    assert van.vehicle.name.casefold() not in demo
    assert van.vehicle.code not in {other.vehicle.code for other in demo.values()}
    assert {fact.mass_state for fact in van.facts if fact.quantity == "mass"} == {
        MassState.CURB, MassState.TEST, MassState.AS_WEIGHED,
    }  # fmt: skip
    # first principles: what arrived less what stood in it is the curb mass, within the bands of both.
    mass = {fact.mass_state: fact.value for fact in van.facts if fact.quantity == "mass"}
    [on_board] = [fact.value for fact in van.facts if fact.quantity == "on_board_mass"]
    rest = mass[MassState.AS_WEIGHED] - on_board - mass[MassState.CURB]
    assert abs(rest.value) <= rest.expanded()
    assert mass_report(van).closure is not None
    ranges = range_report(van, duty="wltc3b", n_draws=200)
    # The figures are meant to fit each other: the stated range lies in the band of the modelled one.
    assert ranges.range.low < ranges.stated_range.value < ranges.range.high
    assert rates_report(van, duty="wltc3b", n_draws=200).as_built
    for quantity in ("range", "energy", "mass"):
        gap = gap_report(van, demo["whimbrel"], quantity=quantity, n_draws=200)
        assert gap.as_found.bars
