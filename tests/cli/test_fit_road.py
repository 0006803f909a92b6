"""Commands on coast-downs, spin-downs and corner pads: contract for scripts, pages, facts in a store, refusals."""

import numpy as np
import pytest

from cli.running import assert_fits, run
from core.trials.coasting_simulation import Day, Vehicle, recording
from core.trials.test_spindown import INERTIA, spins, torque_at
from hoistbook.capture.template import write_template
from hoistbook.core.trials.spindown import CORNERS

VEHICLE = Vehicle()
PADS = (
    "corner,mass [kg],state\nFL,452,level\nFR,448,level\nRL,520,level\nRR,530,level\n"
    "FL,469,raised\nFR,469,raised\n"
)


def coasted(path, seed, **more):
    made = recording(VEHICLE, Day(slope=0.001), seed, channels=("direction",), **more)
    columns = [made.time_s, 3.6 * made["speed_m_per_s"], made["run"], made["direction"]]
    np.savetxt(
        path,
        np.column_stack(columns),
        fmt=["%.2f", "%.4f", "%d", "%d"],
        delimiter=",",
        header="time [s],speed [km/h],run,direction",
        comments="",
    )
    return path


@pytest.fixture(scope="module")
def coast(tmp_path_factory):
    return coasted(tmp_path_factory.mktemp("coast") / "coast 1.csv", 4)


def spun_down(path, seed=1):
    made = spins(3, seed=seed)
    table = np.column_stack([made.time_s, made["wheel_speed_rad_per_s"]])
    np.savetxt(path, table, fmt="%.4f", delimiter=",", header="time [s],wheel speed [rad/s]", comments="")
    return path


@pytest.fixture(scope="module")
def wheel(tmp_path_factory):
    return spun_down(tmp_path_factory.mktemp("spin") / "fl.csv")


@pytest.fixture
def pads(tmp_path):
    path = tmp_path / "pads.csv"
    path.write_text(PADS)
    return path


def test_coastdown_keeps_its_contract_for_scripts(coast):
    ran = run("fit", "coastdown", coast, "--guess", "--mass-kg", 2200, "--json")
    assert ran.code == 0
    found = ran.json
    keys = ["a_n", "b_n_s_per_m", "c_n_s2_per_m2"]
    assert found["coefficients"] == keys
    covariance = np.array(found["covariance"])
    assert covariance.shape == (3, 3)
    assert covariance == pytest.approx(covariance.T)
    assert np.linalg.eigvalsh(covariance)[0] > -1e-12
    truth = [VEHICLE.a_n, VEHICLE.b_n_s_per_m, VEHICLE.c_n_s2_per_m2]
    for key, true, variance in zip(keys, truth, np.diag(covariance), strict=True):
        band = found["bands"][key]
        assert band["low"] < true < band["high"]
        assert isinstance(found[key], float)
        # first principles: a band is symmetric, wider than 1.96 u and, of five pairs, 2.776 u (Student, 4 degrees).
        assert (band["high"] - found[key]) / variance**0.5 == pytest.approx(2.776, abs=1e-3)
    assert [one["speed_m_per_s"] * 3.6 for one in found["forces"]] == pytest.approx([50.0, 80.0, 110.0])
    assert len(found["runs"]) == 10
    assert found["rejected"] == []
    assert found["assumptions"]
    assert (found["wind_from"], found["slope_from"], found["observations"]) == ("pairs", "pairs", 5)
    # the road load that was fitted, and ten runs
    assert len(found["curves"]) == 11


def test_coastdown_prints_a_page_with_its_caution(coast):
    ran = run(
        "fit", "coastdown", coast, "--guess", "--mass-kg", 2200, "--reference", "us", "--rotating", "us"
    )
    assert ran.code == 0
    assert_fits(ran.out)
    assert "N·s²/m²" in ran.plain
    assert "N.s2" not in ran.plain
    assert "1.5 % for each of two axles" in ran.plain
    assert "US reference air" in ran.plain
    assert "closed track" in ran.plain
    assert "the calibration of the speed is taken as exact" in ran.plain


def test_options_change_the_evaluation(coast):
    base = ("fit", "coastdown", coast, "--guess", "--mass-kg", 2200, "--json")
    plain = run(*base).json
    fixed = run(*base, "--no-b").json
    assert fixed["b_n_s_per_m"] == 0.0
    lower = run(*base, "--from-kmh", 90).json
    assert [one["inside"] for one in lower["forces"]] == [True, True, False]
    air = run(*base, "--pressure-kpa", 95, "--temperature-degc", 25).json
    # first principles: C in the reference air is C of the day times reference density over density, p/(R T).
    expected = plain["c_n_s2_per_m2"] * (100.0 / 293.0) / (95.0 / 298.15)
    assert air["c_n_s2_per_m2"] == pytest.approx(expected, rel=1e-3)
    flat = run(*base, "--wind", "none", "--slope", "flat").json
    assert flat["observations"] == 10


def test_coastdown_refuses_with_a_way_out(coast):
    for words, message in (
        (("--guess",), "give it with --mass-kg"),
        (("--mass-kg", 2200), "hoistbook channels"),
        (("--guess", "--mass-kg", 2200, "--rotating", "some"), "us, wltp, or a share"),
        (("--guess", "--mass-kg", 2200, "--wind", "measured"), "measured is asked for"),
        (("--guess", "--mass-kg", 2200, "--enter"), "--enter needs --store DIR"),
        (("--guess", "--mass-kg", 2200, "--from-kmh", 10), "higher speed to a lower one"),
        ((coast, "--guess", "--mass-kg", 2200), "hold the same bytes"),
    ):
        ran = run("fit", "coastdown", coast, *words)
        assert ran.code != 0
        assert message in " ".join(ran.err.split())


def test_spindown_of_one_wheel(wheel):
    words = ("fit", "spindown", f"FL={wheel}", "--guess", "--inertia-kg-m2", INERTIA, "--at-rad-per-s", 30)
    ran = run(*words, "--breakaway", "FL=2.5", "--json")
    assert ran.code == 0
    figures = {one["key"]: one for one in ran.json["figures"]}
    torque = figures["drag_torque_front_left"]
    assert torque["low"] < torque_at(30.0) < torque["high"]
    assert figures["breakaway_front_left"]["value"] == 2.5
    assert any("not spun" in words for words in ran.json["set_aside"])
    page = run(*words)
    assert_fits(page.out)
    assert "A wheel that spins on a hoist is a danger" in page.plain


def test_corners_with_a_lift(pads):
    words = ("fit", "corners", pads, "--wheelbase-mm", 2900, "--axle-height-mm", 335, "--lift-angle-deg", 12)
    ran = run(*words, "--json")
    assert ran.code == 0
    figures = {one["key"]: one["value"] for one in ran.json["figures"]}
    # computed: worked examples J and K of the uncertainty reference.
    assert figures["mass"] == 1950.0
    assert figures["cg_behind_front_axle"] == pytest.approx(1.561538, abs=1e-6)
    assert figures["cg_height"] == pytest.approx(0.600872, abs=1e-6)
    page = run(*words)
    assert_fits(page.out)
    assert "nobody under it" in page.plain
    assert "the vehicle was not turned round" in page.plain


def test_tests_are_entered_as_facts_and_their_files_kept(coast, pads, tmp_path):
    pytest.importorskip("django")
    from hoistbook.services.record import load_workbook, open_record, statements, teardown
    from hoistbook.services.trials import trials
    from hoistbook.store.place import close_store

    write_template(tmp_path / "van.xlsx", example=True)
    store = tmp_path / "store"
    code = load_workbook(open_record(store, create=True), tmp_path / "van.xlsx", "A. B.").code
    into = ("--store", store, "--vehicle", code, "--person", "C. D.", "--enter", "--json")
    second = coasted(tmp_path / "coast 2.csv", 5, pairs=2)
    driven = run("fit", "coastdown", coast, second, "--guess", "--mass-kg", 2200, *into)
    assert driven.json["entered"]["added"] == 4
    wheels = [spun_down(tmp_path / f"{corner}.csv", seed) for seed, corner in enumerate(CORNERS)]
    spun = run(
        "fit", "spindown", *(f"{path.stem}={path}" for path in wheels), "--guess",
        "--inertia-kg-m2", INERTIA, "--name", "spin 1", *into,
    )  # fmt: skip
    assert spun.json["entered"]["added"] == 1
    weighed = run("fit", "corners", pads, "--wheelbase-mm", 2900, "--state", "test", *into)
    assert weighed.code == 0
    again = run("fit", "corners", pads, "--wheelbase-mm", 2900, "--state", "test", *into)
    assert (again.json["entered"]["added"], again.json["entered"]["superseded"]) == (0, 0)
    record = open_record(store)
    facts = {(f.quantity, f.mass_state): f for f in teardown(record, code).facts}
    kept = {quantity: fact for (quantity, _), fact in facts.items()}
    assert kept["road_load_c"].value.value == pytest.approx(driven.json["c_n_s2_per_m2"])
    assert kept["road_load_c"].evidence == "test coast 1, log coast 1.csv, log coast 2.csv"
    assert kept["drag_torque"].value.origin.value == "measured"
    assert kept["front_share"].value.value == pytest.approx(900.0 / 1950.0)
    assert {"test coast 1", "test spin 1", "test pads"} <= set(statements(record, code))
    assert [one.kind for one in trials(record, code)] == ["coastdown", "spindown", "corners"]
    from hoistbook.store.changes.models import File

    assert {"coast 1.csv", "coast 2.csv", "front left.csv", "pads.csv"} <= set(
        File.objects.values_list("name", flat=True)
    )
    close_store()


def test_words_for_corners_are_checked(wheel):
    ran = run("fit", "spindown", f"middle={wheel}", "--guess", "--inertia-kg-m2", 1)
    assert ran.code != 0
    assert "write CORNER=FILE" in " ".join(ran.err.split())
    ran = run("fit", "spindown", f"FL={wheel}", "--guess", "--inertia-kg-m2", 1, "--breakaway", "FL=much")
    assert "no torque in N·m" in " ".join(ran.err.split())
