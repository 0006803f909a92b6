"""hoistbook claims: the page, the JSON and the history, on the invented study."""

import pytest

from cli.running import assert_fits, run
from hoistbook.capture.study_schema import STUDY_SHEETS
from hoistbook.capture.write import write_workbook
from hoistbook.services.demo import van_paths
from test_examples import make_vans


@pytest.fixture(scope="module")
def store(tmp_path_factory):
    folder = tmp_path_factory.mktemp("claims")
    rows = make_vans.study_rows()
    # 100 draws: what is asked here is what is said, not how steady the bands are.
    rows["assumptions"] = [
        {**row, "value": "100"} if row["assumption"] == "draws" else row for row in rows["assumptions"]
    ]
    write_workbook(folder / "study.xlsx", rows, STUDY_SHEETS)
    from hoistbook.services.record import load_workbook, open_record
    from hoistbook.services.study import load_study
    from hoistbook.store.place import close_store

    record = open_record(folder / "store", create=True)
    for path in van_paths().values():
        load_workbook(record, path, "Ines")
    load_study(record, folder / "study.xlsx", "Ines")
    yield folder / "store"
    close_store()


def test_claims_are_judged_written_down_and_looked_up(store):
    first = run("claims", "light-vans", "--store", store, "--json").json
    states = {one["claim"]: one["state"] for one in first["claims"]}
    # first principles: confirmed, refuted and open are all that a claim can be, and the demo has each (design 7).
    assert set(states.values()) == {"confirmed", "refuted", "open"}
    assert all(one["new"] for one in first["claims"])

    page = run("claims", "light-vans", "--store", store)
    assert page.code == 0
    assert_fits(page.out)
    assert "door heavier" in page.plain
    assert "cannot both hold" in page.plain
    assert "is claimed" in page.plain

    again = run("claims", "light-vans", "--store", store, "--json").json
    assert not any(one["new"] for one in again["claims"])
    history = run("claims", "light-vans", "--store", store, "--history", "cable", "--json").json
    assert [one["state"] for one in history["states"]] == [states["cable"]]
    told = run("claims", "light-vans", "--store", store, "--history", "cable")
    assert_fits(told.out)
    assert "Claim cable of study light-vans" in told.plain


def test_unknown_names_are_refused_with_close_ones(store):
    study = run("claims", "light-van", "--store", store)
    assert (study.code, "did you mean 'light-vans'" in " ".join(study.err.split())) == (2, True)
    claim = run("claims", "light-vans", "--store", store, "--history", "cabel", "--json")
    assert claim.code == 2
    assert "did you mean 'cable'" in claim.json["faults"][0]["message"]
