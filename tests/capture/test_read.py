"""What a sound workbook becomes, and that a broken one names every fault in one pass."""

import datetime
import json
import math

import pytest
import xlsxwriter

from capture.books import SOUND, edit, faults_of, opened, place, saved, sound, with_new, with_row
from hoistbook.capture.faults import LoadRefused
from hoistbook.capture.read import read_teardown
from hoistbook.capture.tables import Limits
from hoistbook.capture.write import write_csv_folder, write_workbook
from hoistbook.core.quantities.quantity import Origin, correlation
from hoistbook.core.vehicle.records import (
    Basis,
    MassState,
    Method,
    NodeKind,
    ReasonKind,
    Rule,
    Seen,
    SubjectKind,
)

# from memory: GUM table G.2, two-sided 95 % of the normal distribution.
K95 = 1.959964


@pytest.fixture(params=["workbook", "folder"])
def write(request, tmp_path):
    def written(rows):
        if request.param == "workbook":
            write_workbook(tmp_path / "van.xlsx", rows)
            return tmp_path / "van.xlsx"
        write_csv_folder(tmp_path / "van", rows)
        return tmp_path / "van"

    return written


def test_every_record_arrives(write):
    teardown = read_teardown(write(SOUND))
    assert (teardown.vehicle.code, teardown.vehicle.model_year) == ("WHI", 2024)
    assert teardown.configurations[0].wheels == "16 in"
    mass, drag = teardown.facts
    assert (mass.quantity, mass.mass_state, mass.basis) == ("mass", MassState.CURB, Basis.SPECIMEN)
    assert (drag.quantity, drag.value.unit, drag.value.origin) == ("drag_area", "m2", Origin.INFERRED)
    van, arm, bolt, _ = teardown.nodes
    assert (van.parent, van.kind) == (None, NodeKind.ASSEMBLY)
    # The function was named by its name; the record holds its code.
    assert (arm.count, arm.system, arm.function) == (2.0, "SU02", "F1")
    assert bolt.kind is NodeKind.FASTENER
    joint = teardown.joints[0]
    assert (joint.parts, joint.fastener_count, joint.removable) == (("A1", "VAN"), 4, True)
    weighed, lot, length = teardown.measurements
    assert (weighed.method, weighed.subject_kind, weighed.replicate) == (Method.WEIGHED, SubjectKind.PART, 1)
    assert (lot.value.value, lot.pieces) == (pytest.approx(0.120), 4.0)
    assert (length.method, length.value.unit) == (Method.MEASURED, "m")
    assert teardown.functions[0].aliases == ("cradle", "subframe")
    assert [share.share_frac for share in teardown.shares] == [0.6, 0.4]
    assert teardown.content[0].rule is Rule.STRIP
    assert (teardown.effects[0].function, teardown.effects[0].quantity) == ("F1", "drag_torque")
    first, second = teardown.routes
    assert (first.tag, first.number, first.options) == (
        "A1",
        1,
        (("line", "progressive"), ("metal", "steel")),
    )
    assert (first.seen, second.seen, second.options) == (Seen.OBSERVED, Seen.ASSUMED, ())
    assert [one.kind for one in teardown.reasons] == [ReasonKind.MOVES, ReasonKind.COMES_OFF]
    assert (teardown.reasons[0].policy, teardown.reasons[1].policy) == ("", "lamp replaced in the field")
    span, inclination = teardown.check_readings
    assert (span.check, span.reading, span.value.value, span.value.unit) == (
        "half_shaft_angle",
        "span_left_m",
        pytest.approx(0.35),
        "m",
    )
    assert (inclination.reading, inclination.value.origin) == ("inclination_rad", Origin.INFERRED)
    assert inclination.value.value == pytest.approx(math.pi / 15)  # 12 degrees
    assert teardown.reported == ()


def test_bands_become_standard_uncertainties(write):
    rows = with_row("facts", 0, plus__or__minus=3.0)
    # from memory: GUM 4.3.7 and 4.3.9: u = a/√3 of limits ±a, a/√6 of a triangle; GUM G.3: U = t(ν)·u.
    # from memory: GUM table G.2: t(4) = 2.776 (2.78 printed).
    for quantity, unit, cells, u in [
        ("wheelbase", "mm", {"band is": "limits"}, 3e-3 / math.sqrt(3)),
        ("track", "mm", {"band is": "limits", "shape": "triangular"}, 3e-3 / math.sqrt(6)),
        ("wheel radius", "mm", {"shape": "rectangular"}, 3e-3 / math.sqrt(3)),
        ("drag area", "m2", {"band is": "standard"}, 3.0),
        ("length", "mm", {"degrees of freedom": 4}, 3e-3 / 2.7764),
        # first principles: the central 95 % of a rectangle ±a is ±0.95 a.
        ("height", "mm", {"band is": "95 %", "shape": "rectangular"}, 3e-3 / 0.95 / math.sqrt(3)),
        # first principles: P(|x| > c) = (1 − c/a)² = 5 % at c = (1 − √0.05) a.
        (
            "thickness",
            "mm",
            {"band is": "95 %", "shape": "triangular"},
            3e-3 / (1 - math.sqrt(0.05)) / math.sqrt(6),
        ),
        ("resistance", "mohm", {}, 3e-3 / K95),
    ]:
        base = {"configuration": "delivered", "value": 300, "plus or minus": 3, "origin": "measured"}
        rows["facts"] = [{**base, "quantity": quantity, "unit": unit, **cells}]
        fact = read_teardown(write(rows)).facts[0]
        assert fact.value.standard_uncertainty == pytest.approx(u, rel=1e-4), quantity
        assert fact.value.dof == (4.0 if "degrees of freedom" in cells else math.inf)


def test_an_exact_figure_has_no_error_source(write):
    rows = sound()
    rows["facts"] = [
        {
            "configuration": "delivered",
            "quantity": "gear ratio",
            "value": 10.4,
            "unit": "1",
            "plus or minus": 0,
            "origin": "measured",
        }
    ]
    assert read_teardown(write(rows)).facts[0].value.terms == ()


def test_a_band_converts_with_its_unit_even_where_the_unit_is_a_reciprocal(write):
    rows = sound()
    rows["facts"] = [
        {
            "configuration": "delivered",
            "quantity": "consumption",
            "duty": "two cycles",
            "value": 4.0,
            "unit": "km/kWh",
            "plus or minus": 0.2,
            "band is": "standard",
            "origin": "measured",
        }
    ]
    value = read_teardown(write(rows)).facts[0].value
    # first principles: 1 kWh per 4 km is 900 J/m; d(1/x) = dx/x², so 5 % of it: 45 J/m.
    assert value.value == pytest.approx(900.0)
    assert value.standard_uncertainty == pytest.approx(45.0)


def test_an_instrument_gives_the_band_and_its_readings_share_it(write):
    # published: OIML R 76-1 class III, e = 1 g (second hand): 2500 g lies beyond 2000 e, so ±1.5 g, in service ±3 g;
    # 120 g lies below 500 e: ±0.5 g, in service ±1 g. first principles: u = limit/√3, step 1 g/√12.
    weighed, lot, _ = read_teardown(write(SOUND)).measurements
    assert weighed.value.standard_uncertainty == pytest.approx(
        1e-3 * math.hypot(3 / math.sqrt(3), 1 / math.sqrt(12))
    )
    assert lot.value.standard_uncertainty == pytest.approx(
        1e-3 * math.hypot(1 / math.sqrt(3), 1 / math.sqrt(12))
    )
    shared = (3 / math.sqrt(3)) * (1 / math.sqrt(3)) * 1e-6
    assert correlation(weighed.value, lot.value) == pytest.approx(
        shared / (weighed.value.standard_uncertainty * lot.value.standard_uncertainty)
    )


def test_a_shared_source_is_the_same_error_in_any_workbook(tmp_path):
    quantities = []
    for code in ("WHI", "DOT"):
        rows = with_row("facts", 1, shared__source="dynamometer 4", shared__plus__or__minus=0.03)
        rows["vehicle"][0]["code"] = code
        write_workbook(tmp_path / f"{code}.xlsx", rows)
        quantities.append(read_teardown(tmp_path / f"{code}.xlsx").facts[1].value)
    # first principles: own 0.04 and shared 0.03 make 0.05; the shared part is 9/25 of the variance of either.
    assert quantities[0].standard_uncertainty == pytest.approx(0.05 / K95, rel=1e-5)
    assert correlation(*quantities) == pytest.approx(0.36)


def test_a_typed_band_comes_before_that_of_the_instrument(write):
    rows = with_row("measurements", 0, plus__or__minus=0.5)
    teardown = read_teardown(write(rows))
    assert teardown.measurements[0].value.standard_uncertainty == pytest.approx(0.5 / K95, rel=1e-5)
    assert any("the typed band was used" in note for note in teardown.reported)


def test_the_origin_of_a_reading_follows_its_method(write):
    rows = sound()
    base = {"of": "A1", "quantity": "mass", "value": 2.5, "unit": "kg", "plus or minus": 0.1}
    methods = ["weighed", "measured", "computed from geometry", "estimated", "literature"]
    rows["measurements"] = [
        {"reading": m, "method": m, "replicate": i, **base} for i, m in enumerate(methods, start=1)
    ]
    origins = [m.value.origin for m in read_teardown(write(rows)).measurements]
    assert origins == [Origin.MEASURED, Origin.MEASURED, Origin.INFERRED, Origin.ASSUMED, Origin.PUBLISHED]


def test_a_correction_takes_the_replicate_of_what_it_corrects(write):
    rows = sound()
    base = {"of": "A1", "quantity": "mass", "value": 2.5, "unit": "kg", "instrument": "S1"}
    rows["measurements"] = [
        {"reading": "R1", **base},
        {"reading": "R2", "replicate": 2, **base},
        {"reading": "R3", "supersedes": "R2", **base},
        {"reading": "R4", "supersedes": "R3", **base},
    ]
    assert [m.replicate for m in read_teardown(write(rows)).measurements] == [1, 2, 2, 2]


def test_repeat_readings_that_contradict_are_remarked_and_load(write):
    rows = sound()
    base = {"of": "A1", "quantity": "mass", "unit": "kg", "instrument": "S1"}
    rows["measurements"] = [
        {"reading": "R1", "value": 2.5, **base},
        {"reading": "R2", "value": 2.6, "replicate": 2, **base},
        {"reading": "R3", "value": 5.0, "pieces": 2, "replicate": 3, **base},
        {
            "reading": "R4",
            "value": 9.0,
            "of": "B1",
            **{k: v for k, v in base.items() if k != "of"},
            "plus or minus": 1,
        },
    ]
    reported = [n for n in read_teardown(write(rows)).reported if "R2" in n]
    assert len(reported) == 1
    assert "R1" not in reported[0]
    # Within the band of the scale (3 g in service) they agree; a superseded reading has no say.
    rows["measurements"][1]["value"] = 2.502
    assert not any("R2" in n for n in read_teardown(write(rows)).reported)
    rows["measurements"][1]["value"] = 2.6
    rows["measurements"].append({"reading": "R5", "value": 2.501, "supersedes": "R2", **base})
    assert not any("R2" in n for n in read_teardown(write(rows)).reported)


def test_two_readings_are_enough_to_contradict(write):
    rows = with_row("measurements", 0, value=2.5)
    rows["measurements"].append({**rows["measurements"][0], "reading": "R9", "value": 2.6, "replicate": 2})
    assert any("R9" in note for note in read_teardown(write(rows)).reported)


def test_a_blank_beside_merged_cells_is_blamed_and_one_among_them_is_not(tmp_path):
    book, path = opened(tmp_path, sound())
    place(book, "parts", "tag", 3).value = None
    place(book, "parts", "kind", 4).value = None
    book["parts"].merge_cells("C3:D3")
    book.save(path)
    found = {(f.row, f.column): f.message for f in faults_of(path) if f.sheet == "parts"}
    assert found.keys() == {(3, "name"), (3, "tag"), (4, "kind")}
    assert "are merged" in found[3, "name"]


def test_a_control_character_in_a_remark_is_refused(tmp_path):
    faults = faults_of(saved(tmp_path, with_row("parts", 1, note="bell \x07")))
    assert [(f.column, "U+0007" in f.message) for f in faults] == [("note", True)]
    assert faults_of(saved(tmp_path, with_row("parts", 1, note="two\nlines\tand a tab"))) == ()


def test_names_that_differ_in_capitals_only_are_remarked(write):
    rows = with_new("parts", like=1, tag="a1")
    rows["facts"][0].update({"shared source": "dyno", "shared plus or minus": 1})
    rows["facts"][1].update({"shared source": "Dyno", "shared plus or minus": 0.01})
    reported = read_teardown(write(rows)).reported
    assert any("'A1' and 'a1'" in n for n in reported)
    assert any("'dyno' and 'Dyno'" in n for n in reported)


def test_covers_are_read_with_their_numbers(write):
    rows = with_row("measurements", 0, covers="A1 × 2; B1 x 4;C1;AX12; VAN*1.5", scope="subtree")
    rows["parts"].append({"tag": "AX12", "parent": "VAN", "name": "a tag with an x", "kind": "part"})
    covers = read_teardown(write(rows)).measurements[0].covers
    assert covers == (("A1", 2.0), ("B1", 4.0), ("C1", 1.0), ("AX12", 1.0), ("VAN", 1.5))


def test_columns_of_ones_own_are_kept_and_reported(write):
    rows = with_row("parts", 1, shelf="12 b", _tag2="x")
    rows["parts"][1]["_tag2"] = "x"
    teardown = read_teardown(write(rows))
    assert ("parts", 3, "shelf", "12 b") in [(k.sheet, k.row, k.column, k.text) for k in teardown.kept]
    assert any("'shelf'" in note for note in teardown.reported)


def test_sheets_of_ones_own_are_reported(write):
    rows = {**sound(), "photo list": [{"a": 1}]}
    assert any("'photo list'" in note for note in read_teardown(write(rows)).reported)


def test_missing_optional_sheets_are_reported(write):
    rows = {name: SOUND[name] for name in ("vehicle", "configurations")}
    teardown = read_teardown(write(rows))
    assert teardown.nodes == ()
    assert any("parts" in note and "measurements" in note for note in teardown.reported)


def test_headings_in_any_order_and_case_and_blank_rows(tmp_path):
    book, path = opened(tmp_path, sound())
    sheet = book["parts"]
    sheet.insert_rows(2)
    sheet.insert_rows(4, amount=2)
    for cell in sheet[1]:
        cell.value = f"  {str(cell.value).upper()} "
    sheet.move_range("A1:A20", cols=30)
    book.save(path)
    assert read_teardown(path).nodes == read_teardown(saved(tmp_path / "..", sound())).nodes


def test_a_wrong_check_digit_is_remarked_and_loads(write):
    rows = with_row("vehicle", 0, VIN="1G4AH5H10RG118341")
    assert any("check digit" in note for note in read_teardown(write(rows)).reported)
    rows = with_row("vehicle", 0, VIN="1G4AH5H")
    assert any("7 characters" in note for note in read_teardown(write(rows)).reported)


def test_progress_is_told_and_ends_complete(write):
    told = []
    read_teardown(write(SOUND), progress=lambda done, total, what: told.append((done, total, what)))
    assert all(0 <= done <= total for done, total, _ in told)
    assert told[-1][0] == told[-1][1] > 0
    assert any("measurements" in what for _, _, what in told)


def test_all_faults_that_can_live_together_are_named_in_one_pass(tmp_path):
    """Every fault the loader promises, in one file; only an archive bomb must stand alone (see test_attacks)."""
    rows = sound()
    rows["parts"] += [
        {"tag": "D1", "parent": "NONE", "name": "part without parent", "kind": "part"},  # row 6
        {"tag": "E1", "parent": "E2", "name": "in a ring", "kind": "part"},  # row 7
        {"tag": "E2", "parent": "E1", "name": "in a ring", "kind": "part"},
        {"tag": "A1", "parent": "VAN", "name": "second of its tag", "kind": "part"},  # row 9
        {"tag": "G1", "parent": "VAN", "name": "kind of its own", "kind": "fastner"},  # row 10
        {"tag": "H1", "parent": "VAN", "name": "count", "kind": "part", "count": "two"},  # row 11
        {"tag": "I1", "parent": "VAN", "name": "merged", "kind": "part"},  # row 12
        {"tag": "K1", "parent": None, "name": "second root", "kind": "part"},  # row 13
        {"tag": None, "parent": "VAN", "name": "no tag", "kind": "part"},  # row 14
        {"tag": "L1", "parent": "VAN", "name": "day", "kind": "part", "count": 3},  # row 15
        {"tag": "M1", "parent": "VAN", "name": "system", "kind": "part", "system": "SU99"},  # row 16
    ]
    base = {"of": "C1", "quantity": "mass", "value": 2.5, "unit": "kg", "instrument": "S1"}
    rows["measurements"] += [
        {**base, "reading": "R4", "unit": "kgg"},  # row 5: unknown unit
        {**base, "reading": "R5", "unit": "mm"},  # row 6: unit of another kind
        {
            **base,
            "reading": "R6",
            "value": -2.5,
            "plus or minus": 0.1,
            "instrument": None,
        },  # row 7: negative mass
        {**base, "reading": "R7", "value": "12,5"},  # row 8: comma decimal
        {**base, "reading": "R8", "value": "2.5 kg"},  # row 9: unit in the number
        {**base, "reading": "R9", "value": 2.5},  # row 10: becomes a formula
        {**base, "reading": "R10", "value": 0.010},  # row 11: below the smallest load (20 e)
        {**base, "reading": "R11", "instrument": None},  # row 12: no band
        {**base, "reading": "R12", "instrument": "S9"},  # row 13: unknown instrument
        {**base, "reading": "R13", "of": "C9"},  # row 14: unknown part
        {**base, "reading": "R14", "supersedes": "R15", "replicate": 4},  # row 15: corrections in a ring
        {**base, "reading": "R15", "supersedes": "R14", "replicate": 4},  # row 16
        {**base, "reading": "R1", "replicate": 5},  # row 17: reading twice
        {**base, "reading": "R17", "value": None, "replicate": 6},  # row 18: blank is not zero
    ]
    for number, row in enumerate(rows["measurements"][3:], start=10):
        row.setdefault("replicate", number)
    rows["facts"] += [
        {**rows["facts"][0], "mass state": None},  # row 4: mass without state
        {**rows["facts"][1], "quantity": "range", "unit": "km", "value": 268},  # row 5: no duty
        {**rows["facts"][1], "quantity": "drag aera"},  # row 6: unknown quantity
        {**rows["facts"][1], "quantity": "track", "unit": "m", "origin": "guessed"},  # row 7: unknown word
    ]
    rows["shares"][1]["share [%]"] = 30
    rows["functions"].append({"function": "F1", "name": "again"})
    rows["joints"].append({**rows["joints"][0], "parts": "A1; Z9"})
    book, path = opened(tmp_path, rows)
    place(book, "measurements", "value", 10).value = "=1+1.5"
    place(book, "parts", "count", 15).value = datetime.datetime.fromisoformat("2025-03-02")
    book["parts"].merge_cells("C12:D12")
    book.create_sheet("efects").append(["function"])
    del book["effects"]
    book.save(path)

    faults = faults_of(path)
    found = {(f.sheet, f.row, f.column): f for f in faults}
    expected = {
        ("parts", 6, "parent"): "no part has this tag",
        ("parts", 7, "parent"): "ring",
        ("parts", 9, "tag"): "listed twice",
        ("parts", 10, "kind"): "did you mean 'fastener'",
        ("parts", 11, "count"): "not a number",
        ("parts", 12, "name"): "are merged",
        ("parts", 13, "parent"): "only the vehicle itself (VAN)",
        ("parts", 14, "tag"): "blank",
        ("parts", 15, "count"): "day or time",
        ("parts", 16, "system"): "no such code",
        ("measurements", 5, "unit"): "no unit named 'kgg'",
        ("measurements", 6, "unit"): "a mass (kg) is expected",
        ("measurements", 7, "value"): "cannot be negative",
        ("measurements", 8, "value"): "type 12.5 or 125",
        ("measurements", 9, "value"): "put the unit into the 'unit' column",
        ("measurements", 10, "value"): "formula has no stored result",
        ("measurements", 11, "value"): "below the 0.02 kg",
        ("measurements", 12, "plus or minus"): "no band and no instrument",
        ("measurements", 13, "instrument"): "no such instrument; known: S1",
        ("measurements", 14, "of"): "no part of this name",
        ("measurements", 15, "supersedes"): "ring",
        ("measurements", 17, "reading"): "listed twice",
        ("measurements", 18, "value"): "never taken as zero",
        ("facts", 4, "mass state"): "without its state",
        ("facts", 5, "duty"): "depends on the duty",
        ("facts", 6, "quantity"): "did you mean drag_area",
        ("facts", 7, "origin"): "unknown word",
        ("shares", 2, "share [%]"): "add up to 90 %",
        ("functions", 4, "function"): "listed twice",
        ("joints", 3, "joint"): "listed twice",
        ("joints", 3, "parts"): "no part has this tag",
        ("efects", 0, ""): "did you mean 'effects'",
    }
    for where, words in expected.items():
        assert where in found, where
        assert words in found[where].message, found[where]
    # Nothing else is blamed: no fault follows from another one.
    rest = set(found) - set(expected)
    assert not rest


def test_a_refusal_speaks_for_itself_and_as_json(tmp_path):
    path = saved(tmp_path, with_row("measurements", 0, value="12,5"))
    with pytest.raises(LoadRefused) as refused:
        read_teardown(path)
    assert "1 fault; nothing was loaded." in str(refused.value)
    assert "measurements row 2, value: '12,5'" in str(refused.value)
    told = json.loads(json.dumps([fault.to_dict() for fault in refused.value.faults]))
    assert told[0].keys() == {"sheet", "row", "column", "value", "message"}
    assert told[0]["row"] == 2


def test_a_missing_file_is_no_fault_of_the_teardown(tmp_path):
    with pytest.raises(FileNotFoundError):
        read_teardown(tmp_path / "nothing.xlsx")


def test_faults_come_in_the_order_of_the_workbook(tmp_path):
    rows = with_row("measurements", 2, unit="kgg")
    rows["measurements"][0]["unit"] = "kgg"
    rows["parts"][1]["kind"] = "thing"
    rows["vehicle"][0]["model year"] = 2024.5
    faults = faults_of(saved(tmp_path, rows))
    assert [(f.sheet, f.row) for f in faults] == [
        ("vehicle", 2),
        ("parts", 3),
        ("measurements", 2),
        ("measurements", 4),
    ]


def test_a_long_value_is_shortened_in_its_fault(tmp_path):
    fault = faults_of(saved(tmp_path, with_row("measurements", 0, value="x" * 5000)))[0]
    assert len(fault.value) < 200
    assert "5000 characters" in fault.value


# One cell spoiled, the one fault it must raise: sheet, changed cells, column, words.
SPOILED = [
    ("vehicle", {"code": None}, "code", "blank"),
    ("vehicle", {"model year": 2024.5}, "model year", "whole number"),
    ("vehicle", {"model year": 999}, "model year", "four digits"),
    ("vehicle", {"model year": 20240}, "model year", "four digits"),
    ("configurations", {"configuration": None}, "configuration", "blank"),
    ("facts", {"plus or minus": -1}, "plus or minus", "cannot be negative"),
    ("facts", {"plus or minus": None}, "plus or minus", "no band and no instrument"),
    ("facts", {"band is": "2 sigma"}, "band is", "known: 95 %, standard, limits"),
    ("facts", {"band is": "limits", "shape": "normal"}, "shape", "a normal error has no limits"),
    ("facts", {"degrees of freedom": 0}, "degrees of freedom", "at least 1"),
    ("facts", {"mass state": "kerb"}, "mass state", "curb"),
    ("facts", {"quantity": "wheelbase", "unit": "m"}, "mass state", "wheelbase has no mass state"),
    ("facts", {"basis": "labels"}, "basis", "did you mean 'label'"),
    ("facts", {"instrument": "S9"}, "instrument", "no such instrument"),
    ("facts", {"configuration": "later"}, "configuration", "no such configuration"),
    ("facts", {"shared source": "dyno"}, "shared plus or minus", "needs its band"),
    ("facts", {"shared plus or minus": 1}, "shared source", "name of its source"),
    ("facts", {"unit": "ton"}, "unit", "more than one meaning"),
    ("joints", {"fastener count": 1.5}, "fastener count", "whole number"),
    ("joints", {"removable": "maybe"}, "removable", "yes or no"),
    ("joints", {"fastener": "B9"}, "fastener", "known: VAN, A1, B1, C1"),
    ("measurements", {"pieces": 0}, "pieces", "above 0"),
    ("measurements", {"replicate": 0}, "replicate", "count 1"),
    ("measurements", {"scope": "all"}, "scope", "known: self, subtree"),
    ("measurements", {"method": "weighted"}, "method", "did you mean 'weighed'"),
    ("measurements", {"subject kind": "joint"}, "of", "no joint of this name"),
    ("measurements", {"value": 7}, "value", "scale S1: 7 kg is above its capacity of 6 kg"),
    ("measurements", {"quantity": "length", "unit": "m"}, "instrument", "reads in kg, not in m"),
    ("measurements", {"covers": "A1 × 0"}, "covers", "above 0"),
    ("measurements", {"covers": "A1; A1 × 2"}, "covers", "twice"),
    ("instruments", {"kind": "bench scal"}, "kind", "did you mean bench scale"),
    ("instruments", {"unit": "mm"}, "unit", "a mass (kg) is expected"),
    ("instruments", {"unit": None}, "unit", "need their unit"),
    ("instruments", {"class": "V"}, "instrument", "known classes"),
    ("instruments", {"class": None}, "instrument", "class is unknown"),
    ("instruments", {"step": -1}, "step", "cannot be negative"),
    ("instruments", {"coverage factor": 0}, "coverage factor", "above 0"),
    ("approaches", {"present": "perhaps"}, "present", "yes or no"),
    ("approaches", {"function": "F9"}, "function", "known: F1, guide, cradle, subframe, F2, brake"),
    ("shares", {"share [%]": 0}, "share [%]", "above 0"),
    ("content", {"rule": "remove"}, "rule", "known: strip, add, scale"),
    ("content", {"rule": "scale"}, "unit", "pure number"),
    ("content", {"plus or minus": None}, "plus or minus", "no band"),
    ("effects", {"quantity": "mass", "unit": "kg"}, "quantity", "from the part tree"),
    ("effects", {"function": "seat"}, "function", "no such function"),
    ("routes", {"part": "A9"}, "part", "no part has this tag"),
    ("routes", {"step": 0}, "step", "steps count 1, 2, 3"),
    ("routes", {"step": 100}, "step", "up to 99"),
    ("routes", {"step": 2}, "step", "step 1 of this part is missing"),
    ("routes", {"options": "line = progressive"}, "options", "write each choice as name: option"),
    ("routes", {"options": "line: a; line: b"}, "options", "chosen twice"),
    ("routes", {"process": None}, "process", "is blank"),
    ("routes", {"seen": "guessed"}, "seen", "observed"),
    ("reasons", {"part": "A9"}, "part", "no part has this tag"),
    ("reasons", {"because": "it is nice"}, "because", "moves against it in use"),
    ("reasons", {"in words": None}, "in words", "is blank"),
    (
        "reasons",
        {"because": "must come off for service or assembly"},
        "policy",
        "service or assembly assumed",
    ),
]


@pytest.mark.parametrize(("sheet", "cells", "column", "words"), SPOILED, ids=lambda p: str(p)[:40])
def test_a_spoiled_cell_is_the_one_named(tmp_path, sheet, cells, column, words):
    rows = sound()
    rows[sheet][0].update(cells)
    faults = [f for f in faults_of(saved(tmp_path, rows)) if (f.sheet, f.row, f.column) == (sheet, 2, column)]
    assert len(faults) == 1
    assert words in faults[0].message


def test_a_broken_instrument_is_blamed_once_not_with_every_reading(tmp_path):
    faults = faults_of(saved(tmp_path, with_row("instruments", 0, step=-1)))
    assert [(f.sheet, f.column) for f in faults] == [("instruments", "step")]


def test_a_sheet_without_a_needed_column_is_blamed_once(tmp_path):
    book, path = opened(tmp_path, sound())
    book["parts"].delete_cols(1)
    book.save(path)
    assert [(f.sheet, f.row, f.column) for f in faults_of(path)] == [("parts", 1, "tag")]


def test_slips_in_headings_and_sheet_names_are_refused_with_the_right_word(tmp_path):
    book, path = opened(tmp_path, sound())
    place(book, "measurements", "plus or minus", 1).value = "plus and minus"
    book["joints"].title = "joint"
    book.save(path)
    found = {(f.sheet, f.column): f.message for f in faults_of(path)}
    assert "did you mean 'plus or minus'" in found["measurements", "plus and minus"]
    assert "did you mean 'joints'" in found["joint", ""]


@pytest.mark.parametrize("title", ["_joint", "_plus and minus"])
def test_an_underscore_says_that_it_is_ones_own(tmp_path, title):
    book, path = opened(tmp_path, sound())
    if title == "_joint":
        book["joints"].title = title
    else:
        place(book, "joints", "note", 1).value = "_not"
    book.save(path)
    assert read_teardown(path).joints == (() if title == "_joint" else read_teardown(path).joints)


def test_doubled_headings_and_content_without_heading(tmp_path):
    book, path = opened(tmp_path, sound())
    place(book, "parts", "note", 1).value = "Tag"
    book["joints"].cell(row=2, column=14).value = "stray"
    book.save(path)
    found = {(f.sheet, f.row, f.column): f for f in faults_of(path)}
    assert "columns A and J" in found["parts", 1, "tag"].message
    assert found["joints", 2, "column N"].value == "stray"


def test_two_vehicles_or_none(tmp_path):
    two = faults_of(saved(tmp_path, with_new("vehicle", code="DOT")))
    assert any("one vehicle" in f.message for f in two)
    rows = sound()
    rows["vehicle"] = []
    assert any((f.sheet, f.row) == ("vehicle", 2) for f in faults_of(saved(tmp_path, rows)))


def test_missing_compulsory_sheet(tmp_path):
    rows = sound()
    del rows["vehicle"]
    assert [f.sheet for f in faults_of(saved(tmp_path, rows)) if "missing" in f.message] == ["vehicle"]


def test_hidden_rows_sheets_and_columns_are_read_and_reported(tmp_path):
    book, path = opened(tmp_path, sound())
    book["parts"].row_dimensions[3].hidden = True
    book["parts"].column_dimensions["C"].hidden = True
    book["joints"].sheet_state = "veryHidden"
    book.save(path)
    teardown = read_teardown(path)
    assert teardown.nodes == read_teardown(saved(tmp_path / "..", sound())).nodes
    assert any("'parts'" in n and "hidden row" in n and ": 3." in n for n in teardown.reported)
    assert any("'parts'" in n and "hidden columns" in n for n in teardown.reported)
    assert any("'joints' is hidden" in n for n in teardown.reported)
    assert teardown.joints


def test_a_formula_with_its_result_is_read_and_reported(tmp_path):
    path = saved(tmp_path, sound())
    # A spreadsheet program stores the result beside the formula; no writer here does, so the XML is edited.
    edit(path, "xl/worksheets/sheet6.xml", "<v>2.5</v>", "<f>5/2</f><v>2.5</v>")
    edit(path, "xl/workbook.xml", ' fullCalcOnLoad="1"', "")
    teardown = read_teardown(path)
    assert teardown.measurements[0].value.value == 2.5
    assert any("1 formula cell" in n for n in teardown.reported)


def test_a_formula_marked_as_not_computed_is_refused(tmp_path):
    # Writers that cannot compute store 0 and ask for a full calculation on opening: that 0 is no result.
    path = tmp_path / "van.xlsx"
    book = xlsxwriter.Workbook(str(path))
    for name, rows in sound().items():
        sheet = book.add_worksheet(name)
        headers = list(dict.fromkeys(h for row in rows for h in row))
        sheet.write_row(0, 0, headers)
        for r, row in enumerate(rows, start=1):
            for c, header in enumerate(headers):
                if row.get(header) is not None:
                    sheet.write(r, c, row[header])
        if name == "measurements":
            sheet.write_formula(1, headers.index("value"), "=5/2")
    book.close()
    assert [(f.sheet, f.row, f.column) for f in faults_of(path)] == [("measurements", 2, "value")]


# What a person types where a number belongs, and what the fault must say.
NO_NUMBERS = [
    ("12,5", "type 12.5 or 125"),
    ("1.234,5", "thousands marks"),
    ("1,234.5", "thousands marks"),
    ("1 234", "thousands marks"),
    ("2.5", "stored as text"),
    ("'2.5", "apostrophe"),
    ("2.5 kg", "unit"),
    ("2.5±0.1", "band"),
    ("~2.5", "a bound or a guess"),
    ("<2.5", "a bound or a guess"),
    ("ca. 2", "a bound or a guess"),
    ("n/a", "leave the cell"),
    ("-", "leave the cell"),
    ("nan", "not a finite number"),
    ("inf", "not a finite number"),
    ("two and a half", "not a number"),
    ("1_000", "not a number"),
    ("٢", "not a number"),
    (True, "yes/no"),
]


@pytest.mark.parametrize(("typed", "words"), NO_NUMBERS, ids=lambda p: str(p)[:20])
def test_what_is_no_number_is_refused_with_advice(tmp_path, typed, words):
    book, path = opened(tmp_path, sound())
    place(book, "measurements", "value", 2).value = typed
    book.save(path)
    faults = faults_of(path)
    assert [(f.sheet, f.row, f.column) for f in faults] == [("measurements", 2, "value")]
    assert words in faults[0].message


def test_days_percentages_and_errors_in_number_cells(tmp_path):
    for value, number_format, words in [
        (datetime.datetime.fromisoformat("2025-03-02"), "yyyy-mm-dd", "day or time"),
        (45000.5, "d/m/yy h:mm", "day or time"),
        (0.25, "0.0%", "percentage"),
        ("#N/A", "General", "error"),
        ("#DIV/0!", "General", "error"),
    ]:
        book, path = opened(tmp_path, sound())
        cell = place(book, "measurements", "value", 2)
        cell.value = value
        cell.number_format = number_format
        book.save(path)
        fault = faults_of(path)[0]
        assert (fault.sheet, fault.row, fault.column) == ("measurements", 2, "value")
        assert words in fault.message, value


def test_a_tag_the_spreadsheet_turned_into_a_day(tmp_path):
    book, path = opened(tmp_path, sound())
    place(book, "parts", "tag", 3).value = datetime.datetime.fromisoformat("2025-01-03")
    book.save(path)
    fault = next(f for f in faults_of(path) if f.column == "tag")
    assert "turned this into a date" in fault.message
    assert fault.value == "2025-01-03"


def test_days_where_days_belong_become_iso_text(tmp_path):
    book, path = opened(tmp_path, sound())
    place(book, "vehicle", "delivered", 2).value = datetime.date(2025, 3, 2)
    place(book, "measurements", "time", 2).value = datetime.datetime.fromisoformat("2025-03-02T14:05")
    book.save(path)
    teardown = read_teardown(path)
    assert teardown.vehicle.delivered == "2025-03-02"
    assert teardown.measurements[0].at == "2025-03-02 14:05:00"


def test_a_number_where_a_name_belongs_keeps_its_digits(tmp_path):
    rows = sound()
    rows["parts"].append({"tag": 1204, "parent": "VAN", "name": "clip", "kind": "part"})
    rows["parts"].append({"tag": "1205", "parent": 1204, "name": "clip", "kind": "part"})
    assert [n.tag for n in read_teardown(saved(tmp_path, rows)).nodes][-2:] == ["1204", "1205"]


@pytest.mark.parametrize("character", ["\u200b", "\u202e", "\u00ad", "\ufeff", "\n"])
def test_invisible_characters_in_names_are_refused(tmp_path, character):
    faults = faults_of(saved(tmp_path, with_row("parts", 1, tag=f"A{character}1")))
    assert any("may not hold" in f.message and f.column == "tag" for f in faults)


def test_composed_and_decomposed_letters_are_one_name(tmp_path):
    rows = sound()
    rows["parts"].append({"tag": "B\u00fcgel", "parent": "VAN", "name": "x", "kind": "assembly"})
    rows["parts"].append({"tag": "N", "parent": "Bu\u0308gel", "name": "x", "kind": "part"})
    assert read_teardown(saved(tmp_path, rows)).nodes[-1].parent == "B\u00fcgel"


def test_limits_are_stated_and_can_be_raised(tmp_path):
    path = saved(tmp_path, sound())
    assert "limits.rows" in faults_of(path, limits=Limits(rows=3))[0].message
    assert "limits.columns" in faults_of(path, limits=Limits(columns=3))[0].message
    assert "limits.file_bytes" in faults_of(path, limits=Limits(file_bytes=10))[0].message
    assert "limits.unpacked_bytes" in faults_of(path, limits=Limits(unpacked_bytes=10))[0].message
    assert faults_of(path, limits=Limits(rows=5, columns=18)) == ()


def test_sheets_that_only_costs_ask_for_are_not_missed(write):
    rows = sound()
    for sheet in ("routes", "reasons", "checks", "effects"):
        del rows[sheet]
    assert read_teardown(write(rows)).reported == ("not there, so nothing was loaded for: effects.",)
