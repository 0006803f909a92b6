"""A study typed as rows comes back as the same records, from a workbook and from CSV; faults come all at once."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from capture.study_books import sound
from hoistbook.capture.faults import LoadRefused
from hoistbook.capture.read_study import is_study, read_study
from hoistbook.capture.study_schema import STUDY_SHEETS
from hoistbook.capture.write import write_csv_folder, write_workbook
from hoistbook.core.compare.claims import Claim, Relation, ThresholdIs
from hoistbook.core.compare.strip_plan import StepStatus, StripStep
from hoistbook.core.compare.study import (
    EqualityRow,
    Finding,
    FindingKind,
    Study,
    StudyAssumption,
    StudyContent,
    StudyVehicle,
)
from hoistbook.core.quantities.quantity import Origin, Quantity, Source
from hoistbook.core.vehicle.records import ContentItem, Rule

# from memory: GUM table G.2, 95 % of the normal distribution.
K95 = 1.959963984540054
WRITERS = {"workbook": write_workbook, "folder": write_csv_folder}


def saved(folder, rows, kind="workbook"):
    path = folder / ("study.xlsx" if kind == "workbook" else "study")
    WRITERS[kind](path, rows, STUDY_SHEETS)
    return path


def faults(folder, rows):
    with pytest.raises(LoadRefused) as refused:
        read_study(saved(folder, rows))
    return refused.value.faults


@pytest.mark.parametrize("kind", WRITERS)
def test_rows_become_records(tmp_path, kind):
    path = saved(tmp_path, sound(), kind)
    assert is_study(path)
    found = read_study(path)
    bar = found.content[0].item.value
    # first principles: 196 g is the 95 % half width, so u = 0.196 kg / 1.96.
    [(source, u)] = bar.terms
    assert (bar.value, bar.unit, bar.origin) == (18.0, "kg", Origin.ASSUMED)
    assert (source, u) == (Source("B/content/tow bar/mass/strip"), pytest.approx(0.196 / K95))
    assert found == Study(
        "s1", "Two vans", "Why does B not go as far?", "Kim",
        vehicles=(StudyVehicle("A", role="baseline"), StudyVehicle("B", "16 inch")),
        equality=(EqualityRow("payload", "A", "700", "kg"),
                  EqualityRow("payload", "B", "705", "kg", equal=True, note="trim")),
        content=(
            StudyContent("B", ContentItem("tow bar", "removable", Rule.STRIP, "mass", bar, "towing")),
            StudyContent("B", ContentItem("wheels", "to 15 inch", Rule.SCALE, "tyre_coefficient",
                                          Quantity(0.5, "1", (), Origin.ASSUMED))),
        ),
        assumptions=(StudyAssumption("duty", "wltc3b", "the client"), StudyAssumption("draws", "400")),
        findings=(
            Finding("seats", FindingKind.SAME, ("A", "B"), compared="mass, frame, foam", person="Kim",
                    at="2026-05-02", evidence="photos 1-9"),
            Finding("doors", FindingKind.CARRIED_OVER, ("B",), "A", "numbers"),
        ),
        strip_plan=(StripStep(1.0, "B", "B-1 battery", "Ada", "table", ("routing", "fluids weighed"),
                              ("routing: photo 3",), StepStatus.READY),),
        claims=found.claims,
    )  # fmt: skip
    assert found.reported == ()
    assert found.strip_plan[0].unrecorded == ("fluids weighed",)


@pytest.mark.parametrize("kind", WRITERS)
def test_claims_in_si(tmp_path, kind):
    lighter, cable, whole, tenth = read_study(saved(tmp_path, sound(), kind)).claims
    exact = Quantity(0.5, "kg", (), Origin.ASSUMED)
    assert lighter == Claim(
        "lighter",
        "its doors are lighter",
        "mass",
        "B",
        Relation.LESS_THAN,
        exact,
        other="A",
        function="doors",
        person="Ada",
    )
    assert (cable.quantity, cable.threshold.value, cable.threshold.unit) == ("effect on range", 0.0, "m")
    # first principles: 250 km ± 5 km at 95 %.
    assert (whole.threshold.value, whole.duty) == (250e3, "wltc3b")
    assert whole.threshold.expanded() == pytest.approx(5e3)
    assert (tenth.threshold_is, tenth.threshold.value) == (ThresholdIs.SHARE, 0.5)


def test_claims_that_cannot_stand_are_faults(tmp_path):
    rows = sound()
    rows["claims"][0].update({"unit": "km"})
    rows["claims"][1].update({"function": None})  # an effect is that of a decision
    rows["claims"][2].update({"quantity": "beauty"})
    rows["claims"][3].update({"vehicle": "Q"})
    assert {(fault.sheet, fault.row, fault.column) for fault in faults(tmp_path, rows)} == {
        ("claims", 2, "unit"), ("claims", 3, "claim"), ("claims", 4, "quantity"), ("claims", 5, "vehicle"),
    }  # fmt: skip


def test_a_teardown_is_no_study(tmp_path):
    write_workbook(tmp_path / "van.xlsx", {"vehicle": [{"code": "A", "name": "A"}]})
    assert not is_study(tmp_path / "van.xlsx")
    (tmp_path / "junk.xlsx").write_bytes(b"PK\x03\x04 not a workbook")
    assert not is_study(tmp_path / "junk.xlsx")


def test_all_faults_in_one_pass(tmp_path):
    rows = sound()
    rows["study"][0]["question"] = None
    rows["vehicles"][1]["vehicle"] = "C"
    rows["content"][0].update({"plus or minus": None, "unit": "km"})
    rows["assumptions"][1]["value"] = "many"
    rows["findings"][0]["finding"] = "alike"
    rows["strip plan"][0].update({"step": 0, "status": "gone"})
    found = {(fault.sheet, fault.row, fault.column) for fault in faults(tmp_path, rows)}
    assert found >= {
        ("study", 2, "question"), ("equality", 3, "vehicle"), ("content", 2, "vehicle"), ("content", 2, "unit"),
        ("assumptions", 3, "value"), ("findings", 2, "finding"), ("findings", 2, "vehicles"),
        ("strip plan", 2, "step"), ("strip plan", 2, "status"),
    }  # fmt: skip


def test_a_missing_band_is_a_fault(tmp_path):
    rows = sound()
    rows["content"][0]["plus or minus"] = None
    [fault] = faults(tmp_path, rows)
    assert (fault.sheet, fault.row, fault.column) == ("content", 2, "plus or minus")


@pytest.mark.parametrize("name", ["study", "vehicles"])
def test_compulsory_sheets(tmp_path, name):
    rows = sound()
    del rows[name]
    assert any(fault.sheet == name and "missing" in fault.message for fault in faults(tmp_path, rows))


def test_one_study_per_workbook(tmp_path):
    rows = sound()
    rows["study"] *= 2
    assert any("2 rows" in fault.message for fault in faults(tmp_path, rows))


def test_own_columns_and_sheets_are_kept_and_said(tmp_path):
    rows = sound()
    rows["vehicles"][0]["_bay"] = "3"
    found = read_study(saved(tmp_path, rows))
    assert [(k.sheet, k.row, k.column, k.text) for k in found.kept] == [("vehicles", 2, "_bay", "3")]
    assert any("_bay" in text for text in found.reported)


NAMES = st.text("ABab019-_.+=@äß/ '", min_size=1, max_size=6).map(str.strip).filter(bool)
CODES = st.lists(NAMES.filter(lambda n: ";" not in n), min_size=2, max_size=4, unique=True)
ITEMS = st.lists(NAMES, max_size=3, unique_by=str.casefold)


@given(
    CODES,
    ITEMS,
    st.floats(0.001, 1e5).map(lambda x: float(f"{x:.10g}")),
    st.sampled_from(StepStatus),
    st.booleans(),
)
@settings(max_examples=25, deadline=None)
def test_any_study_comes_back(tmp_path_factory, codes, items, kg, status, equal):
    half = float(f"{kg / 10:.10g}")  # a workbook keeps 16 digits
    rows = {
        "study": [{"study": codes[0], "title": "t", "question": "q"}],
        "vehicles": [{"vehicle": code} for code in codes],
        "equality": [{"property": "p", "vehicle": code, "value": kg, "equal": equal} for code in codes],
        "content": [
            {"item": name, "vehicle": codes[1], "description": "d", "rule": "add", "quantity": "mass", "value": kg,
             "unit": "kg", "plus or minus": half} for name in items
        ],
        "findings": [{"function": "f", "finding": "same", "vehicles": "; ".join(codes), "what was compared": "c"}],
        "strip plan": [
            {"step": n, "vehicle": codes[-1], "what": "w", "record before removal": "; ".join(items), "status": status}
            for n in (1, 2.5)
        ],
    }  # fmt: skip
    folder = tmp_path_factory.mktemp("study")
    book, csv = (read_study(saved(folder, rows, kind)) for kind in WRITERS)
    assert book.codes == csv.codes == tuple(codes)
    assert (book.content, book.findings, book.strip_plan) == (csv.content, csv.findings, csv.strip_plan)
    assert [row.item.value.value for row in book.content] == [kg] * len(items)
    assert all(math.isclose(row.item.value.expanded(), half, rel_tol=1e-9) for row in book.content)
    assert [step.record_before for step in book.strip_plan] == [tuple(items)] * 2
    assert {row.equal for row in book.equality} == {equal}
    assert book.findings[0].vehicles == tuple(codes)
