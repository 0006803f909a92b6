"""The tests in the demo's store: invented, so no engine is checked; what is checked is that the demo keeps its word."""

import importlib.util
import itertools
import re
import sys
from pathlib import Path

import pytest

from hoistbook.core.quantities.quantity import Origin
from hoistbook.services.demo import demo_store, van_paths
from hoistbook.services.doubts import within_one_vehicle
from hoistbook.services.loading import load_teardown
from hoistbook.services.pages.book import Asked, summary_of
from hoistbook.services.pages.heads import head
from hoistbook.services.pages.trials import trials_of
from hoistbook.services.record import open_record, teardown
from hoistbook.services.trial_times import overlapping, span_of
from hoistbook.services.trials import trials
from hoistbook.store.place import close_store

ROOT = Path(__file__).resolve().parents[2]
VANS = {"whimbrel": "W", "turnstone": "T", "dotterel": "D"}


@pytest.fixture(scope="module")
def made():
    spec = importlib.util.spec_from_file_location("make_logs", ROOT / "examples" / "make_logs.py")
    module = importlib.util.module_from_spec(spec)
    sys.modules["make_logs"] = module
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    folder = tmp_path_factory.mktemp("demo") / "store"
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("DATABASE_URL", "postgresql://nobody@127.0.0.1:1/none")
        assert demo_store(folder)
    return folder


@pytest.fixture
def record(folder, monkeypatch):
    monkeypatch.delenv("DATABASE_URL", raising=False)
    yield open_record(folder)
    close_store()


def measured(record, code):
    return {
        fact.quantity: fact.value
        for fact in teardown(record, code).facts
        if fact.evidence.startswith("test ") and fact.value.origin is Origin.MEASURED
    }


@pytest.mark.parametrize("name", VANS)
def test_tests_of_a_van_find_what_it_was_made_with(record, made, name):
    van = made.tested_van(name)
    lever = van.value("gear_ratio") / van.value("wheel_radius_m")
    back = van.value("gear_efficiency_back_frac")
    # first principles: the coast-down has the drive unit turning, so its spin loss k2 ω + k3 ω³ is at the wheels, too.
    a = van.value("road_load_a_n") + van.value("loss_k2") * lever / back
    b = van.value("road_load_b_n_s_per_m")
    c = van.value("road_load_c_n_s2_per_m2") + van.value("loss_k3") * lever**3 / back
    configuration = head(record, VANS[name]).configuration().id
    coasted = next(
        one for one in trials_of(record, VANS[name], configuration).tests if one.kind == "coastdown"
    )
    forces = {told.figure["key"]: told.figure for told in coasted.figures}
    for km_per_h in (50, 80, 110):
        # Forces, not letters: these trade force among each other.
        v, force = km_per_h / 3.6, forces[f"force_at_{km_per_h}_km_per_h"]
        assert force["low"] < a + b * v + c * v * v < force["high"]
    truth = {
        "usable_energy": van.value("usable_energy_j"),
        "charging_efficiency": van.value("charging_efficiency_frac"),
        "pack_resistance": van.value("pack_resistance_ohm"),
        "accessory_power": van.value("accessory_power_w"),
    }
    found = measured(record, VANS[name])
    assert set(truth) | {"road_load_a", "road_load_b", "road_load_c", "wall_energy", "pack_voltage"} == set(
        found
    )
    for quantity, true in truth.items():
        assert abs(found[quantity].value - true) <= found[quantity].expanded(), quantity


@pytest.mark.parametrize("code", VANS.values())
def test_every_kind_of_test_is_there_and_nothing_is_in_doubt(record, code):
    stated = head(record, code)
    found = trials_of(record, code, stated.configuration().id)
    kinds = [one.kind for one in found.tests]
    assert sorted(kinds) == ["charge", "coastdown", "cycle", "discharge", "spindown", "standby"]
    assert [len(one.outcome["logs"]) for one in found.tests if one.kind == "spindown"] == [2]
    # The consumption of the range test has the error of the dynamometer's load, which no log shows: it stands.
    assert "consumption" not in measured(record, code)
    assert within_one_vehicle(teardown(record, code), stated.configuration().id, "wltc3b") == ()
    # First principles: two wheels of four were spun.
    assert "drag torque of all wheels together (brakes, bearings, gears)" in {one.words for one in found.open}


def test_the_pages_of_the_vans_need_not_be_worked_out(record):
    for code in VANS.values():
        stated = head(record, code)
        assert summary_of(record, Asked(code, stated.change, stated.configuration().id)) is not None


@pytest.mark.parametrize("name", VANS)
def test_what_a_test_replaced_stands_apart_with_old_and_new(record, name):
    van = teardown(record, VANS[name])

    def slot(fact):
        return (fact.quantity, fact.mass_state, fact.duty, fact.basis, fact.configuration)

    # first principles: whatever the workbook stated (measured or not) and a test then measured is replaced.
    stated = {
        (slot(fact), fact.value.origin): fact.value.value for fact in load_teardown(van_paths()[name]).facts
    }
    tested = {slot(fact): fact for fact in van.facts if fact.evidence.startswith("test ")}
    expected = {
        (slot_[0], was, tested[slot_].value.value)
        for (slot_, _), was in stated.items()
        if slot_ in tested and tested[slot_].value.origin is Origin.MEASURED
    }
    assert {(one.now.quantity, one.was.value.value, one.now.value.value) for one in van.replaced} == expected
    assert len(expected) >= 6
    assert {one.at[:10] for one in van.replaced} <= days_of(record, VANS[name])
    # What is replaced is no remark any more.
    assert not any("counts before" in line for line in van.reported)


def days_of(record, code):
    return {one.at[:10] for one in trials(record, code)}


@pytest.mark.parametrize("name", VANS)
def test_a_van_is_on_one_test_at_a_time_before_it_is_taken_apart(record, name):
    van = teardown(record, VANS[name])
    found = trials(record, VANS[name])
    spans = {one.name: span_of(one.name, one.at, one.outcome) for one in found}
    assert None not in spans.values()
    # first principles: one van is in one place. Seconds of all tests together, counted, are as many as in their union.
    times = [(span.start, span.end) for span in spans.values()]
    ordered = sorted(times)
    assert all(end <= start for (_, end), (start, _) in itertools.pairwise(ordered))
    assert overlapping(spans.values()) == ()
    # What is discharged from full was charged to full, and nothing was driven in between.
    order = sorted(spans, key=lambda test: spans[test].start)
    assert order.index("discharge") == order.index("charge") + 1
    # A test needs the van whole: it was delivered before, and its first part was weighed after.
    weighed = min(m.at for m in van.measurements if m.at)
    assert van.vehicle.delivered < ordered[0][0].isoformat() < ordered[-1][1].isoformat() < weighed
    # A logger with a clock shows the same hour as was written down.
    for one in found:
        for log in one.outcome["logs"][:1]:
            if re.match(r"\d\d:\d\d:", log["start"]):
                assert log["start"][:5] == one.at[11:16]


def test_logs_of_one_test_do_not_overlap_either(made):
    # first principles: one person spins one wheel at a time; the recorder's clock says when.
    left, right = (
        made.logs()[f"turnstone-spindown-{side}.csv"].decode("cp1252").splitlines()
        for side in ("left", "right")
    )
    assert left[-1][:10] < next(line for line in right if re.match(r"\d\d:\d\d:\d\d,", line))[:10]
