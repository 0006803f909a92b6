"""Words of a workbook never make the program read a file: only what somebody types on a command line names one."""

import pytest

from app.gap_store import fill
from app.study_store import load
from hoistbook.capture.faults import LoadRefused
from hoistbook.core.compare import study_problems
from hoistbook.services import duties, kept
from hoistbook.services.claim_states import claims_of
from hoistbook.services.study import freeze, gap_under

CYCLE = "time [s],speed [km/h]\n" + "".join(f"{i},{36 if 0 < i < 60 else 0}\n" for i in range(61))
CLAIM = {
    "claim": "c1", "sentence": "B goes less far", "quantity": "consumption", "vehicle": "B", "relation": "more than",
    "other": "A", "threshold": 0.0, "unit": "Wh/km",
}  # fmt: skip


@pytest.fixture
def file(tmp_path, monkeypatch):
    """A sound cycle file that nobody may read."""
    path = tmp_path / "drive.csv"
    path.write_text(CYCLE)
    assert duties.named_duty(str(path)).duty.cycles[0].name == "drive"  # on a command line it would do
    monkeypatch.setattr(duties, "read_cycle", lambda path: pytest.fail(f"{path} was read"))
    return str(path)


def test_a_study_that_names_a_file_is_not_loaded(record, tmp_path, file):
    with pytest.raises(LoadRefused, match="outside of studies: hoistbook gap A B --duty FILE"):
        fill_with(record, tmp_path, [{"assumption": "duty", "value": file}])


def fill_with(record, folder, assumptions, **more):
    fill(record, folder)
    draws = [{"assumption": "draws", "value": 100}]
    load(record, folder, assumptions=[*assumptions, *draws], **more)
    freeze(record, "two", "Kim")


@pytest.fixture
def from_before(record, tmp_path, file, monkeypatch):
    """A store of a program that took such a study."""
    with monkeypatch.context() as earlier:
        earlier.setattr(study_problems, "check_duty", lambda text: None)
        fill_with(record, tmp_path, [{"assumption": "duty", "value": file}], claims=[{**CLAIM, "duty": file}])
    return record


def test_a_store_that_holds_one_from_before_refuses_to_drive_it(from_before, client, ask, file):
    with pytest.raises(LookupError, match=r"no duty .*known: wltc3b, us"):
        gap_under(from_before, "two")
    told = next(one for one in claims_of(from_before, "two")["claims"] if one["claim"] == "c1")
    assert told["state"] == "open"
    assert "no duty" in str(told)
    assert client.get("/studies/two/gap/").status_code == 404
    # What does not hang on it is shown as ever.
    assert ask("/studies/two/").status_code == 200
    assert ask("/studies/two/claims/").status_code == 200
    assert ask("/studies/two/gap/?quantity=mass").status_code == 200


def test_a_duty_with_a_name_never_stands_for_a_file_of_that_name(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "us").write_text(CYCLE)
    monkeypatch.setattr(kept, "sha256_of", lambda path: pytest.fail(f"{path} was read"))
    assert "duty_sha256" not in kept.inputs_of({"A": 1}, {"duty": "us"})
    assert duties.named_duty("us").duty.name == "us"


def test_a_file_of_the_command_line_counts_by_what_is_in_it(tmp_path):
    path = tmp_path / "drive.csv"
    path.write_text(CYCLE)
    before = kept.inputs_of({"A": 1}, {"duty": str(path)})
    path.write_text(CYCLE.replace("36", "72"))
    assert kept.inputs_of({"A": 1}, {"duty": str(path)})["duty_sha256"] != before["duty_sha256"]
