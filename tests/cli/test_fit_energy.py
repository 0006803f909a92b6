"""Commands on logs: nothing is used before it is accepted; figures, facts and refusals."""

import json

import pytest

from cli.running import assert_fits, run
from hoistbook.capture.template import write_template


@pytest.fixture
def charge(tmp_path):
    path = tmp_path / "charge.csv"
    rows = "".join(f"{60 * i};{10},0;{'-' if i < 61 else ''}9,0\n" for i in range(61))
    path.write_text(f"Logger 7\nTime [s];Wall power [kW];Pack power [kW]\n{rows}")
    return path


def test_a_log_is_refused_until_its_columns_are_accepted(charge):
    ran = run("fit", "charge", charge)
    assert ran.code != 0
    accepted = run("fit", "charge", charge, "--guess", "--full", "--json")
    assert accepted.code == 0
    figures = {f["key"]: f for f in accepted.json["figures"]}
    # first principles: 10 kWh from the wall, 9 of them reach the terminals.
    assert figures["wall_energy"]["value"] == pytest.approx(3.6e7)
    assert figures["charging_efficiency"]["value"] == pytest.approx(0.9)
    assert figures["charging_efficiency"]["low"] < 0.9 < figures["charging_efficiency"]["high"]
    assert accepted.json["log"]["guessed"] is True


def test_the_page_fits_and_says_what_was_assumed(charge):
    ran = run("fit", "charge", charge, "--guess", "--meter", "wall_power_w=0.5%+10W@meter M1")
    assert ran.code == 0
    assert_fits(ran.out)
    assert "pack_power_w: limits of error of ±1 % and ±20 are assumed" in ran.plain
    assert "wall_power_w: limits" not in ran.plain
    assert "nothing says that the charge was full" in ran.plain


def test_a_proposal_is_printed_written_and_used(charge, tmp_path):
    out = tmp_path / "bench.toml"
    ran = run("channels", charge, "--out", out)
    assert ran.code == 0
    assert_fits(ran.out)
    assert "wall_power_w" in ran.plain
    assert run("fit", "charge", charge, "--channels", out).code == 0
    # A file that is there is left alone.
    assert isinstance(run("channels", charge, "--out", out).code, int)
    assert run("channels", charge, "--out", out).code != 0
    found = run("channels", charge, "--json").json
    assert [c["channel"] for c in found["columns"]] == ["(time)", "wall_power_w", "pack_power_w"]


def test_a_test_is_entered_and_shown_by_its_store(charge, tmp_path):
    pytest.importorskip("django")
    from hoistbook.services.record import load_workbook, open_record, teardown
    from hoistbook.store.place import close_store

    write_template(tmp_path / "van.xlsx", example=True)
    store = tmp_path / "store"
    code = load_workbook(open_record(store, create=True), tmp_path / "van.xlsx", "A. B.").code
    saved = run("channels", charge, "--save", "bench", "--store", store, "--person", "A. B.")
    assert saved.code == 0
    words = (
        "fit",
        "charge",
        charge,
        "--channels",
        "bench",
        "--store",
        store,
        "--vehicle",
        code,
        "--full",
        "--enter",
    )
    assert run(*words).code != 0  # nobody says who enters it
    ran = run(*words, "--person", "A. B.", "--name", "charge 1", "--json")
    assert ran.code == 0
    assert json.loads(ran.out)["entered"]["added"] == 2
    facts = {f.quantity for f in teardown(open_record(store), code).facts if "charge 1" in f.evidence}
    # The log lasts an hour: another charge half an hour later is a slip, and is said.
    twice = [
        run(*words, "--person", "A. B.", "--name", name, "--at", f"2026-05-04 19:{minute}")
        for name, minute in (("charge 2", "00"), ("charge 3", "30"))
    ]
    assert "overlap in time" not in twice[0].plain
    assert "charge 2 (2026-05-04 19:00 to 20:00) and charge 3" in twice[1].plain
    assert_fits(twice[1].out)
    close_store()
    assert facts == {"wall_energy", "charging_efficiency"}


@pytest.mark.parametrize(
    "meter", ["pack_power_w", "warp=1%", "pack_power_w=E9", "pack_power_w=1%+2V", "pack_power_w=x%"]
)
def test_meters_that_are_none_are_refused(charge, meter):
    assert run("fit", "charge", charge, "--guess", "--meter", meter).code != 0
