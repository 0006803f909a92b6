"""What is read at a vehicle for checks: rows become figures in SI with their bands, and slips are named."""

import math

import openpyxl
import pytest

from capture.books import faults_of, saved, sound
from capture.lever import LEVER
from hoistbook.capture import build
from hoistbook.capture.read import read_teardown
from hoistbook.capture.schema import SHEETS
from hoistbook.capture.template import write_template
from hoistbook.core.checks import CHECKS
from hoistbook.core.checks.recorded import recorded
from hoistbook.core.checks.run import run_check
from hoistbook.core.quantities.quantity import Origin
from hoistbook.core.vehicle.records import CheckReading

# from memory: GUM table G.2, two-sided 95 % of the normal distribution.
K95 = 1.959964


@pytest.fixture(autouse=True)
def checks(monkeypatch):
    monkeypatch.setattr(build, "CHECKS", {**CHECKS, "lever": LEVER})


def row(reading="arm_m", value=500, unit="mm", **cells):
    figure = {} if value is None else {"value": value, "unit": unit}
    named = {name.replace("__", " "): cell for name, cell in cells.items()}
    return {"check": "lever", "reading": reading, **figure, **named}


def loaded(folder, *rows, instruments=()):
    book = sound() | {"checks": list(rows)}
    book["instruments"] += instruments
    return read_teardown(saved(folder, book))


def faults(folder, *rows):
    found = faults_of(saved(folder, sound() | {"checks": list(rows)}))
    assert all(fault.sheet == "checks" for fault in found)
    return [(fault.row, fault.column, fault.value, fault.message) for fault in found]


def test_names_and_words_find_the_same_figure(tmp_path):
    for check in ("lever", "Lever of bags", "LEVER  OF BAGS"):
        for reading in ("arm_m", "arm m", "Arm, from the pin"):
            (found,) = loaded(tmp_path, row(reading, check=check, plus__or__minus=1)).check_readings
            assert (found.check, found.reading) == ("lever", "arm_m")


def test_a_figure_has_its_own_band_or_that_of_the_check(tmp_path):
    told = loaded(
        tmp_path,
        row(plus__or__minus=2, evidence="photo 3", note="warm"),
        row("mass_kg", 2.5, "kg", item="left", plus__or__minus=0.02, band__is="limits", origin="published"),
        row("mass_kg", 1.5, "kg", item="right"),
        row("share_frac", 40, "%", item="left", plus__or__minus=0),
    )
    own, limits, usual, exact = told.check_readings
    assert (own.value.value, own.value.unit, own.evidence, own.note) == (0.5, "m", "photo 3", "warm")
    assert own.value.standard_uncertainty == pytest.approx(0.002 / K95, rel=1e-5)
    assert own.value.origin is Origin.MEASURED
    # from memory: GUM 4.3.7: u = a/√3 of limits ±a; the check states ±0.01 kg where nobody typed a band.
    assert limits.value.standard_uncertainty == pytest.approx(0.02 / math.sqrt(3))
    assert limits.value.origin is Origin.PUBLISHED
    assert usual.value.standard_uncertainty == pytest.approx(0.01 / math.sqrt(3))
    assert exact.value.standard_uncertainty == 0.0
    assert exact.value.value == pytest.approx(0.4)
    # As the docs of the record name error sources.
    names = [source.name for one in told.check_readings for source, _ in one.value.terms]
    assert names == [f"WHI/check/lever/{slot}" for slot in ("arm_m", "mass_kg/left", "mass_kg/right")]
    remark = "1 figure for checks without band and instrument; the band that the check states for the way of"
    assert [line[: len(remark)] for line in told.reported] == [remark]


def test_a_place_behind_is_read_on_a_tape_as_its_distance(tmp_path):
    tape = {"instrument": "T", "kind": "tape", "class": "II", "step": 1, "unit": "mm"}
    ahead, behind = (
        loaded(tmp_path, row(value=value, instrument="T"), instruments=[tape]).check_readings[0].value
        for value in (500, -500)
    )
    # first principles: the tape shows 500 mm either way; which way it lay does not change its error.
    assert (ahead.value, behind.value) == (0.5, -0.5)
    assert behind.standard_uncertainty == ahead.standard_uncertainty > 0.0
    assert [source for source, _ in behind.terms] == [source for source, _ in ahead.terms]


def test_a_choice_has_an_option_and_no_figure(tmp_path):
    (found,) = loaded(tmp_path, row("The pin", None, option="Held  tight", instrument="S1")).check_readings
    assert found == CheckReading("lever", "pin", None, option="held tight", instrument="S1")


def test_a_record_runs_the_check(tmp_path):
    told = loaded(
        tmp_path,
        row(plus__or__minus=0),
        row("mass_kg", 2, "kg", item="left", plus__or__minus=0),
        row("share_frac", 40, "%", item="right", plus__or__minus=0),
        row("mass_kg", 3, "kg", item="right", plus__or__minus=0),
        row("share_frac", 60, "%", item="left", plus__or__minus=0),
        row("pin", None, option="held tight"),
    )
    stated = recorded(LEVER, told.check_readings)
    # first principles: bags stand in the order they were first named, whatever the order of their figures.
    assert stated.names == {"bag": ("left", "right")}
    assert [one.value for one in stated.values["share_frac"]] == [0.6, 0.4]
    result = run_check(LEVER, stated)
    # first principles: 9.81 m/s² × 0.5 m × (2 + 3) kg.
    assert result.figures[0].value == pytest.approx(24.525)
    assert result.verdict == "held tight"


def test_a_figure_missing_for_one_of_several_is_named(tmp_path):
    told = loaded(
        tmp_path,
        row("mass_kg", 2, "kg", item="left"),
        row("mass_kg", 2, "kg", item="right"),
        row("share_frac", 40, "%", item="left", plus__or__minus=0),
    )
    with pytest.raises(
        ValueError, match="Lever of bags: share is not on record for bag right; measure it there too: counted"
    ):
        recorded(LEVER, told.check_readings)


SLIPS = [
    ({"check": "levr"}, "check", "no check has this name; did you mean 'lever'?"),
    ({"check": None}, "check", "is blank"),
    ({"reading": "arm"}, "reading", "Lever of bags asks for nothing of this name; did you mean 'arm_m'?"),
    ({"reading": None}, "reading", "is blank"),
    ({"value": None}, "value", "is blank; type arm, from the pin"),
    ({"value": "12,5"}, "value", "type 12.5 or 125"),
    ({"value": 2500}, "value", "= 2500 mm is outside -2000 mm to 2000 mm, where the check holds (common"),
    ({"unit": None}, "unit", "the unit is missing; write it beside the value, e.g. mm."),
    ({"unit": "kg"}, "unit", "a length (m) is expected"),
    ({"item": "left"}, "item", "is asked for once, not for one of several; clear the cell"),
    (
        {"reading": "mass_kg", "unit": "kg", "value": 2},
        "item",
        "is asked for each bag; name the bag it is of",
    ),
    ({"reading": "share_frac", "item": "left", "unit": "%", "value": 2}, "plus or minus", "no band and no"),
    ({"plus or minus": -1}, "plus or minus", "cannot be negative"),
    ({"band is": "limits", "shape": "normal"}, "shape", "a normal error has no limits"),
    ({"origin": "seen"}, "origin", "known: measured"),
    ({"option": "free"}, "option", "is a figure, not a choice; clear the cell"),
    ({"instrument": "S9", "plus or minus": 1}, "instrument", "no such instrument; known: S1"),
    ({"instrument": "S1"}, "instrument", "reads in kg, not in m"),
    ({"reading": "pin", "unit": None, "option": "free"}, "value", "is a choice, not a figure"),
    ({"reading": "pin", "value": None, "option": "free"}, "unit", "is a choice, not a figure"),
    (
        {"reading": "pin", "value": None, "unit": None},
        "option",
        "is blank; choose one of: free (turns); held",
    ),
    (
        {"reading": "pin", "value": None, "unit": None, "option": "fre"},
        "option",
        "no such option; choose one",
    ),
    (
        {"reading": "pin", "value": None, "unit": None, "option": "free", "item": "x"},
        "item",
        "clear the cell",
    ),
]


@pytest.mark.parametrize(("cells", "column", "words"), SLIPS, ids=lambda p: str(p)[:40])
def test_a_slip_is_the_one_fault(tmp_path, cells, column, words):
    ((place, found, _, message),) = faults(tmp_path, row() | cells)
    assert (place, found) == (2, column)
    assert words in message


def test_every_slip_comes_in_one_pass(tmp_path):
    wrong = [row() | cells for cells, _, _ in SLIPS]
    found = faults(tmp_path, *wrong, row(), row())
    assert {(place, column) for place, column, _, _ in found} >= {
        (number, column) for number, (_, column, _) in enumerate(SLIPS, start=2)
    }
    assert any(place == len(SLIPS) + 3 and "listed twice" in message for place, _, _, message in found)


def test_one_slot_is_stated_once(tmp_path):
    ((place, column, value, message),) = faults(
        tmp_path, row(), row(value=510), row("mass_kg", 1, "kg", item="a")
    )
    assert (place, column, value) == (3, "reading", "lever / arm_m")
    assert "keep one, or name in 'item'" in message


def test_its_absence_is_not_missed(tmp_path):
    book = sound()
    book.pop("checks")
    assert read_teardown(saved(tmp_path, book)).reported == ()


def test_the_template_says_what_each_check_reads(tmp_path):
    write_template(tmp_path / "empty.xlsx")
    book = openpyxl.load_workbook(tmp_path / "empty.xlsx")
    lists = {
        column[0].value: [cell.value for cell in column[1:] if cell.value] for column in book["lists"].columns
    }
    assert tuple(lists["check"]) == tuple(CHECKS)
    told = [line.split(" [")[0].split(":")[0] for line in lists["a check reads"]]
    for check in CHECKS.values():
        for one in (*check.readings, *check.choices):
            assert told.count(f"{check.name} · {one.name}") == 1
    assert [cell.value for cell in book["checks"][1]] == [
        column.header for column in SHEETS["checks"].columns
    ]
