"""Claims in the record: their states are written down when they change, and stay."""

from dataclasses import replace

import pytest

from hoistbook.capture.write import write_workbook
from hoistbook.core.compare.claims import Claim, Relation
from hoistbook.core.compare.study import Study, StudyVehicle
from hoistbook.core.quantities.quantity import Quantity

LONGER = Claim(
    "longer", "Y is longer between the axles", "wheelbase", "Y", Relation.MORE_THAN, Quantity(0.0, "m"), "X"
)
EQUAL = Claim("equal", "Both are alike", "wheelbase", "Y", Relation.ABOUT, Quantity(0.01, "m"), "X")
STUDY = Study("s", "Test", "Why?", vehicles=(StudyVehicle("X"), StudyVehicle("Y")), claims=(LONGER, EQUAL))


def load(place, folder, code, wheelbase_m):
    from hoistbook.services.record import load_workbook

    rows = {
        "vehicle": [{"code": code, "name": code}],
        "configurations": [{"configuration": "c"}],
        "facts": [
            {
                "configuration": "c",
                "quantity": "wheelbase",
                "value": 1000.0 * wheelbase_m,
                "unit": "mm",
                "plus or minus": 2.0,
                "origin": "measured",
                "evidence": "tape",
            }
        ],
    }
    path = folder / f"{code}.xlsx"
    write_workbook(path, rows)
    load_workbook(place, path, "Kim")


def state_study_(study):
    from hoistbook.store.studies.reading import state_study
    from hoistbook.store.writing import writing

    with writing("Kim", "load", f"study {study.code}") as change:
        state_study(study, change)


@pytest.fixture
def filled(place, tmp_path):
    load(place, tmp_path, "X", 2.900)
    load(place, tmp_path, "Y", 2.901)
    state_study_(STUDY)
    return place


def judged(place):
    from hoistbook.services.claim_states import claims_of

    told = claims_of(place, "s")
    return told, {one["claim"]: one for one in told["claims"]}


def test_states_are_written_down_when_they_change_and_stay(filled, tmp_path):
    from hoistbook.services.claim_states import claim_history
    from hoistbook.services.keeping import model_version

    told, first = judged(filled)
    assert "not frozen" in told["remarks"][0]
    # first principles: 1 mm apart, ±2 mm (95 %) each: u = √2 · 2/1.96 = 1.4431 mm, P = Φ(0.69296) = 0.7558.
    assert first["longer"]["probability"] == pytest.approx(0.7558, abs=1e-4)
    assert (first["longer"]["state"], first["longer"]["new"], first["longer"]["before"]) == (
        "open",
        True,
        None,
    )
    assert first["longer"]["since"]["model"] == model_version()

    _, again = judged(filled)
    assert not again["longer"]["new"]
    assert again["longer"]["since"] == first["longer"]["since"]

    load(filled, tmp_path, "Y", 2.920)
    _, then = judged(filled)
    assert then["longer"]["state"] == "confirmed"
    assert then["longer"]["before"]["state"] == "open"
    assert then["longer"]["since"]["change"] > first["longer"]["since"]["change"]
    assert (then["equal"]["state"], then["equal"]["before"]["state"]) == ("refuted", "confirmed")

    states = claim_history(filled, "s", "longer")["states"]
    assert [one["state"] for one in states] == ["open", "confirmed"]
    assert states[0]["value"]["figures"][0]["value"] == pytest.approx(2.901)
    with pytest.raises(LookupError, match="did you mean 'longer'"):
        claim_history(filled, "s", "longr")


def test_another_threshold_is_another_state_and_a_vanished_claim_keeps_its_history(filled):
    from hoistbook.services.claim_states import claim_history

    judged(filled)
    state_study_(replace(STUDY, claims=(replace(LONGER, threshold=Quantity(-0.05, "m")), EQUAL)))
    _, then = judged(filled)
    assert (then["longer"]["new"], then["equal"]["new"]) == (True, False)
    assert [one["state"] for one in claim_history(filled, "s", "longer")["states"]] == ["open", "confirmed"]


def test_states_cannot_be_changed(filled):
    from django.db import DatabaseError, transaction

    from hoistbook.store.claims.models import ClaimState

    judged(filled)
    with pytest.raises(DatabaseError, match="append-only"), transaction.atomic():
        ClaimState.objects.update(state="confirmed")
    with pytest.raises(DatabaseError, match="append-only"), transaction.atomic():
        ClaimState.objects.all().delete()


def test_a_vehicle_that_is_not_there_leaves_the_claim_open(place, tmp_path):
    load(place, tmp_path, "X", 2.900)
    state_study_(STUDY)
    _, found = judged(place)
    assert (found["longer"]["state"], found["longer"]["probability"]) == ("open", None)
    assert "Y is not there" in found["longer"]["to_measure"][0]


def test_a_judgement_that_comes_too_late_is_not_written_after_a_newer_one(filled):
    # Two programs judge at once; the slower one looked at the record before the other one's load.
    from hoistbook.store.claims.reading import NewState, add_states, last_states
    from hoistbook.store.writing import writing

    def add(state, record_change):
        with writing("hoistbook", "claims", "study s") as change:
            return add_states("s", {"longer": NewState(state, 0.5, state, "{}")}, change, record_change, "m")

    assert add("open", 2) == ("longer",)
    assert add("confirmed", 5) == ("longer",)
    assert add("open", 3) == ()
    assert last_states("s")["longer"].state == "confirmed"
    assert add("open", 5) == ("longer",)  # the same record, another model
