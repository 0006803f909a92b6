"""What is written: the same bytes, typed cells, nothing that runs, nothing by halves."""

import datetime
import enum
import math

import numpy as np
import openpyxl
import pytest

from capture.books import SOUND
from hoistbook.capture.schema import SHEETS
from hoistbook.capture.write import cell_value, headers_of, write_csv_folder, write_workbook
from hoistbook.core.vehicle.records import NodeKind


def test_the_same_rows_give_the_same_bytes(tmp_path):
    for name in ("a", "b"):
        write_workbook(tmp_path / f"{name}.xlsx", SOUND)
        write_csv_folder(tmp_path / name, SOUND)
    assert (tmp_path / "a.xlsx").read_bytes() == (tmp_path / "b.xlsx").read_bytes()
    for sheet in SOUND:
        assert (tmp_path / "a" / f"{sheet}.csv").read_bytes() == (
            tmp_path / "b" / f"{sheet}.csv"
        ).read_bytes()


@pytest.mark.parametrize(
    "text", ["=1+1", "+1", "-1", "@SUM(A1)", "=cmd|' /C calc'!A0", "http://example.invalid", "12"]
)
def test_text_stays_text(tmp_path, text):
    write_workbook(tmp_path / "van.xlsx", {"parts": [{"note": text}]})
    sheet = openpyxl.load_workbook(tmp_path / "van.xlsx")["parts"]
    cell = sheet.cell(row=2, column=[c.value for c in sheet[1]].index("note") + 1)
    assert (cell.value, cell.data_type, cell.hyperlink) == (text, "s", None)


def test_numbers_are_numbers_negative_ones_too(tmp_path):
    write_workbook(tmp_path / "van.xlsx", {"facts": [{"value": -2.5}]})
    sheet = openpyxl.load_workbook(tmp_path / "van.xlsx")["facts"]
    # first principles: what was written is what is read.
    assert sheet["C2"].value == -2.5
    assert sheet["C2"].data_type == "n"
    write_csv_folder(tmp_path, {"facts": [{"value": np.float64(-2.5)}]})
    assert ",-2.5," in (tmp_path / "facts.csv").read_text()


def test_headings_of_the_schema_come_first_then_ones_own():
    assert headers_of("shares", [{"b": 1}, {"a": 2, "part": 3}]) == [
        "part",
        "approach",
        "share [%]",
        "b",
        "a",
    ]
    assert headers_of("photos", [{"b": 1}, {"a": 2}]) == ["b", "a"]


def test_a_sheet_without_rows_has_its_headings(tmp_path):
    write_workbook(tmp_path / "van.xlsx", {"parts": []})
    sheet = openpyxl.load_workbook(tmp_path / "van.xlsx")["parts"]
    assert [c.value for c in sheet[1]] == [c.header for c in SHEETS["parts"].columns]


def test_what_cells_hold():
    class Colour(enum.Enum):
        RED = "red"

    assert [cell_value(v) for v in (None, "", True, False, 3, 2.5, "x")] == [
        None,
        None,
        "yes",
        "no",
        3,
        2.5,
        "x",
    ]
    assert cell_value(NodeKind.FLUID) == "fluid"
    assert cell_value(Colour.RED) == "red"
    assert cell_value(datetime.date(2025, 3, 2)) == "2025-03-02"
    assert cell_value(datetime.datetime.fromisoformat("2025-03-02T14:05")) == "2025-03-02 14:05:00"
    assert type(cell_value(np.float64(2.5))) is float


@pytest.mark.parametrize(
    "value", [math.nan, math.inf, "x" * 40_000, b"x", [1], object()], ids=lambda v: type(v).__name__
)
def test_what_no_cell_holds_is_refused_and_no_file_appears(tmp_path, value):
    rows = {"parts": [{"tag": "A"}, {"tag": "B", "note": value}]}
    for write, target in ((write_workbook, tmp_path / "van.xlsx"), (write_csv_folder, tmp_path / "van")):
        with pytest.raises(ValueError, match="sheet 'parts' row 3, note"):
            write(target, rows)
        assert not target.exists()


@pytest.mark.parametrize("sheet", ["../x", "a/b", ".x"])
def test_a_sheet_name_that_is_a_path_is_refused(tmp_path, sheet):
    with pytest.raises(ValueError, match="not a plain file name"):
        write_csv_folder(tmp_path / "van", {sheet: []})
    assert not (tmp_path / "van").exists()
