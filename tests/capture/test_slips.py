"""Whole kinds of slips and attacks: deep trees, merged ranges, hidden characters, missing sheets, odd units."""

import pytest

from capture.books import faults_of, opened, place, saved, sound, with_new, with_row
from hoistbook.capture import headings
from hoistbook.capture.read import read_teardown
from hoistbook.capture.tables import Limits
from hoistbook.capture.write import write_csv_folder
from hoistbook.core.vehicle.kinds import ACTING, QUANTITY_KINDS


def chain(levels, **cells):
    rows = sound()
    rows["parts"] += [
        {"tag": f"D{i}", "parent": f"D{i - 1}" if i else "VAN", "name": "n", "kind": "assembly", **cells}
        for i in range(levels)
    ]
    return rows


def test_a_tree_too_deep_is_one_fault_that_names_the_part(tmp_path):
    read_teardown(saved(tmp_path, chain(64)))
    (fault,) = faults_of(saved(tmp_path, chain(3000)))
    assert (fault.sheet, fault.column) == ("parts", "parent")
    assert "part D64 hangs 65 levels" in fault.message
    assert "limits.depth" in fault.message
    assert len(read_teardown(saved(tmp_path, chain(65)), limits=Limits(depth=65)).nodes) == 69


def test_counts_that_multiply_beyond_reason_are_refused(tmp_path):
    # first principles: 2^20 is the first power of two above a million.
    (fault,) = faults_of(saved(tmp_path, chain(60, count=2)))
    assert "1.049e+06 pieces of part D19" in fault.message


@pytest.mark.parametrize(
    ("sheet", "cells"),
    [
        ("parts", {"count": 1_000_001}),
        ("joints", {"fastener__count": 1_000_001}),
        ("measurements", {"pieces": 1_000_001}),
        ("measurements", {"pieces": 2.5}),
        ("measurements", {"covers": "A1 × 1000001"}),
    ],
)
def test_pieces_nobody_counts_are_refused(tmp_path, sheet, cells):
    (fault,) = faults_of(saved(tmp_path, with_row(sheet, 0 if sheet != "parts" else 1, **cells)))
    assert fault.sheet == sheet
    assert fault.column == next(iter(cells)).replace("__", " ")


def test_a_fluid_may_be_weighed_in_parts_of_a_piece(tmp_path):
    rows = with_row("parts", 3, kind="fluid")
    rows["measurements"][2] |= {"quantity": "mass", "value": 1.0, "unit": "kg", "pieces": 0.5}
    assert read_teardown(saved(tmp_path, rows)).measurements[2].pieces == 0.5


def test_a_merged_range_is_judged_once_and_rows_are_not_scanned_for_each(tmp_path, monkeypatch):
    book, path = opened(tmp_path, sound())
    for row in range(10, 400):
        book["parts"].merge_cells(f"A{row}:B{row}")
    book.save(path)
    calls = []
    monkeypatch.setattr(
        headings, "cell_place", lambda r, seen=headings.cell_place: calls.append(r) or seen(r)
    )
    faults = faults_of(path, limits=Limits(merged=100))
    assert sum("are merged" in fault.message for fault in faults) == 100
    assert any("290 more ranges of merged cells" in fault.message for fault in faults)
    assert len(calls) < 100 * 30  # at most twice per range and column


HIDDEN = "\x80\x9b\u200b\u200c\u200d\u200e\u200f\u202a\u202e\u2066\u2069\ufeff"


@pytest.mark.parametrize("character", HIDDEN)
@pytest.mark.parametrize(
    ("sheet", "column"),
    [("vehicle", "name"), ("vehicle", "maker"), ("vehicle", "note"), ("parts", "name"), ("parts", "tag")],
)
def test_text_that_shows_as_something_else_is_refused(tmp_path, sheet, column, character):
    folder = tmp_path / "van"
    write_csv_folder(folder, with_row(sheet, 0, **{column: f"Whim{character}brel"}))
    assert any(
        (f.sheet, f.column, f.row) == (sheet, column, 2) and f"U+{ord(character):04X}" in f.message
        for f in faults_of(folder)
    )


@pytest.mark.parametrize("sheet", ["instruments", "functions", "approaches"])
def test_a_missing_sheet_is_said_once(tmp_path, sheet):
    rows = sound()
    del rows[sheet]
    faults = faults_of(saved(tmp_path, rows))
    told = [f for f in faults if f.sheet == sheet and "is not there" in f.message]
    assert len(told) == 1
    assert "point" in told[0].message
    assert not [f for f in faults if f"no such {sheet[:-1]}" in f.message]


def test_a_share_fault_shows_the_cell_and_says_the_sum(tmp_path):
    (fault,) = faults_of(saved(tmp_path, with_row("shares", 1, **{"share [%]": 30})))
    assert (fault.row, fault.value) == (2, "60")
    assert "add up to 90 %" in fault.message


def test_a_negative_reading_of_a_scale_is_told_in_words(tmp_path):
    (fault,) = faults_of(saved(tmp_path, with_row("measurements", 0, value=-2.5)))
    assert (fault.column, fault.value) == ("value", "-2.5")
    assert fault.message.startswith("mass cannot be negative; check the sign, the tare or the zero")


@pytest.mark.parametrize("key", [key for key in QUANTITY_KINDS if key not in ACTING])
def test_content_that_acts_on_nothing_is_refused_with_the_list_of_what_does(tmp_path, key):
    unit = QUANTITY_KINDS[key].example_units[0]
    (fault,) = faults_of(saved(tmp_path, with_row("content", 0, quantity=key, unit=unit)))
    assert fault.column == "quantity"
    assert "drag_area" in fault.message
    assert "drag_torque" in fault.message


@pytest.mark.parametrize(
    ("cells", "remark"),
    [
        # first principles: the figure of one unit typed with another.
        (
            {"quantity": "usable energy", "value": 52, "unit": "Wh", "plus__or__minus": 1},
            "usable battery energy = 52 Wh lies outside the usual 1000 to 3e+05 Wh",
        ),
        (
            {"quantity": "wheel radius", "value": 330, "unit": "m", "plus__or__minus": 1},
            "= 330 m lies outside the usual 0.2 to 0.6 m",
        ),
        (
            {"quantity": "drag area", "value": 1.2, "unit": "cm2", "plus__or__minus": 0.1, "basis": "label"},
            "= 1.2 cm2 lies outside the usual 2000 to 1.2e+05 cm2",
        ),
    ],
)
def test_an_unusual_figure_loads_with_a_remark_first(tmp_path, cells, remark):
    teardown = read_teardown(saved(tmp_path, with_new("facts", like=1, **cells)))
    assert teardown.reported[0].startswith("unusual: facts row 4: ")
    assert remark in teardown.reported[0]


def test_usual_figures_are_not_remarked_on(tmp_path):
    assert not [n for n in read_teardown(saved(tmp_path, sound())).reported if n.startswith("unusual:")]


def test_a_fault_shows_the_cell_as_typed(tmp_path):
    book, path = opened(tmp_path, with_row("facts", 1, value=-12000, unit="cm2"))
    assert place(book, "facts", "value", 3).value == -12000
    (fault,) = faults_of(path)
    assert fault.value == "-12000"
