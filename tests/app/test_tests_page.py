"""The page of the tests of a vehicle, on tests whose truth was planted or worked out by hand."""

import json
import math
import re

import numpy as np
import pytest

from app.test_pages import text_of
from capture.books import sound
from core.trials.coasting_simulation import Day, recording, still
from core.trials.coasting_simulation import Vehicle as Coasting
from core.trials.test_spindown import INERTIA, spins
from hoistbook.capture.pads import PadRow
from hoistbook.core.quantities.quantity import Quantity, Source
from hoistbook.core.trials.outcome import Figure, Outcome
from hoistbook.core.trials.spindown import CORNERS
from hoistbook.core.vehicle.records import MassState
from hoistbook.services.as_json.trials import outcome_json
from hoistbook.services.energy_trials import Asked, evaluate
from hoistbook.services.logs import log_series, save_channel_map
from hoistbook.services.pages.trials import trials_of
from hoistbook.services.trials import record_trial
from hoistbook.services.trials_hoist import CornersAsked, SpinDownAsked, evaluate_corners, evaluate_spin_down
from hoistbook.services.trials_road import CoastDownAsked, evaluate_coast_down
from services.test_trials_road import pad_rows
from store.test_trials import MAP, charge_log

PAGE = "/vehicles/WHI/tests/"
LOAD = Coasting()


def plain(answer):
    return re.sub(r"[\u202f\xa0]", " ", text_of(answer))


def keep(record, outcome, name, **more):
    return record_trial(record, "WHI", outcome, name=name, person="Ines", configuration="delivered", **more)


def coasted(*recordings, **asked):
    given = CoastDownAsked(mass_kg=LOAD.mass_kg, rotating=str(LOAD.rotating_frac), **asked)
    return evaluate_coast_down(list(recordings), given, name="WHI coast-down")


def standing(watts, key="standing_power"):
    value = Quantity(
        watts,
        "W",
        ((Source(f"meter {key} {watts:g}"), 2.0),),
    )
    return Outcome("standby", (Figure(key, "mean power", value, "accessory_power", "wltc3b"),))


def held(record):
    return trials_of(record, "WHI", "delivered")


def test_a_vehicle_without_tests_is_told_which_there_are(van, ask):
    text = plain(ask(PAGE))
    assert "Whimbrel was not tested yet" in text
    # first principles: the workbook states an inferred drag area and no road load, drag torque or usable energy.
    assert re.search(r"Drag area \(Cd·A\) 1\.200 ± 0\.040 m² inferred Coast-down", text)
    assert re.search(r"Road load A not stated Coast-down", text)
    assert "Spin-down of all four wheels" in text
    for caution in ("Closed track", "can kill", "only people qualified", "Local law"):
        assert caution in text
    assert "hoistbook fit coastdown" in text


def test_a_coast_down_shows_its_figures_bands_and_runs(record, van, ask):
    found, outcome = coasted(recording(LOAD, Day(), 3, pairs=4, channels=("direction",)))
    keep(record, outcome, "coast 1", at="2026-05-04", note="dry")
    [one] = held(record).tests
    told = {figure.figure["key"]: figure for figure in one.figures}
    truth = {"road_load_a": LOAD.a_n, "road_load_b": LOAD.b_n_s_per_m, "road_load_c": LOAD.c_n_s2_per_m2}
    for key, true in truth.items():
        # first principles: a band of 95 % holds what was planted; this seed is no exception.
        assert told[key].figure["low"] < true < told[key].figure["high"]
        assert told[key].standing == "fact"
    assert (one.facts, told["force_at_80_km_per_h"].why) == (4, "follows from A, B and C")
    # computed: numpy.corrcoef of draws with the covariance of the fit, 200,000 of them; 0.005 is four of their errors.
    draws = np.random.default_rng(1).multivariate_normal([0.0] * 3, found.covariance, 200_000)
    wanted = np.corrcoef(draws.T)[np.triu_indices(3, 1)]
    assert [value for _, _, value in one.correlations] == pytest.approx(list(wanted), abs=0.005)
    answer = ask(PAGE)
    text = plain(answer)
    assert "Whimbrel was tested 1 time; 4 figures of it count as facts." in text
    assert "Nothing was rejected" in text
    drawings = answer.content.decode().count('class="plot"')
    # first principles: force against speed, and residuals of four runs each way.
    assert drawings == 1 + 8
    assert text.count("s, back [N]") == 4
    assert "Road load C is measured and holds it" in text
    assert "Road load A not stated" not in text
    assert "mean and its variance" in text or "solved for from each pair" in text


def test_residuals_show_the_run_that_lay_apart(record, van):
    more = {"pairs": 1, "channels": ("direction",)}
    apart = Coasting(a_n=LOAD.a_n + 12.0)
    parts = [recording(load, still(), seed, **more) for load, seed in ((LOAD, 1), (LOAD, 2), (apart, 3))]
    _, outcome = coasted(*parts)
    keep(record, outcome, "coast 1")
    curves = [curve for curve in held(record).tests[0].outcome["curves"] if "run" in curve["name"]]
    means = [np.mean(np.array(curve["y"]) - np.array(curve["fitted"])) for curve in curves]
    # first principles: one pair of three needs 12 N more, so the fit goes 4 N up: 4 N above two pairs, 8 N below one.
    assert means == pytest.approx([-4.0] * 4 + [8.0] * 2, abs=0.3)


def test_runs_that_were_rejected_stand_there_with_the_reason(record, van, ask):
    def brake(number, time, speed):
        return np.where(time > time[-1] * 0.4, speed - 1.2 * np.clip(time - time[-1] * 0.4, 0.0, 3.0), speed)

    log = recording(
        LOAD,
        still(),
        5,
        pairs=4,
        channels=("direction",),
        spoil=lambda number, time, speed: brake(number, time, speed) if number == 3 else speed,
    )
    _, outcome = coasted(log)
    keep(record, outcome, "coast 1")
    text = plain(ask(PAGE))
    # first principles: one braked run leaves three pairs, and its mate goes with it.
    assert re.search(r"Not used Run 3 \(coast\.csv, .*?\): .*?Run 4 \(coast\.csv", text)
    assert len([c for c in held(record).tests[0].outcome["curves"] if "run" in c["name"]]) == 6


def test_a_spin_down_of_two_wheels_is_no_fact_yet(record, van, ask):
    wheels = {corner: [spins(2, noise=0.0, seed=i)] for i, corner in enumerate(("front left", "rear left"))}
    _, outcome = evaluate_spin_down(wheels, SpinDownAsked(INERTIA, 0.02, attached="hub"), name="WHI spin")
    keep(record, outcome, "spin 1")
    [one] = held(record).tests
    for curve in one.outcome["curves"]:
        # first principles: made without noise from the same torque, so each spin lies on the fit; its reading steps are
        # taken as straight, which is good to a thousandth.
        assert np.array(curve["fitted"]) == pytest.approx(np.array(curve["y"]), abs=2e-3)
    assert one.facts == 0
    text = plain(ask(PAGE))
    assert "no fact: one wheel; a fact once all four were spun" in text
    assert "front right, rear right not spun" in text
    assert "front left, spin 2 [rad/s]" in text


def test_a_charge_names_its_log_and_channels_and_what_superseded_it(record, van, ask, tmp_path):
    save_channel_map(record, "bench", MAP, "Ines")
    for pack in (9.0, 8.8):
        path = charge_log(tmp_path, pack=pack)
        log = log_series(path, "bench", record=record)
        outcome = evaluate("charge", log, Asked(full=True), label="test charge 1")
        keep(record, outcome, "charge 1", file=path, log=log, at="2026-11-20")
    [one] = held(record).tests
    [was] = one.former
    moved = {words: (old["value"], new["value"]) for words, old, new in was.moved}
    # first principles: 9.0, then 8.8 of 10 kW reach the terminals.
    assert moved["share that reaches the terminals"] == (pytest.approx(0.9), pytest.approx(0.88))
    assert "energy from the wall" not in moved
    text = plain(ask(PAGE))
    assert f"charge.csv {one.sha256[:8]}" in text
    assert "log, its bytes" in text
    assert re.search(r"Share that reaches the terminals measured, a fact; to the terminals 88\.\d+ ± ", text)
    assert re.search(r"share that reaches the terminals 90\.\d+ ± \d\.\d+ % 88\.\d+ ± ", text)
    assert re.search(r"pack kW power at the pack terminals, discharge positive, sign turned", text)


def test_corner_weights_are_a_table_with_the_centre_of_gravity(record, van, ask):
    asked = CornersAsked(MassState.AS_WEIGHED, 2.9, 1.6, 0.335, math.radians(12.0))
    lifted = [PadRow(10 + i, corner, 469.0, "", False, True, 0.0) for i, corner in enumerate(CORNERS[:2])]
    _, outcome = evaluate_corners([*pad_rows(), *lifted], asked, name="WHI pads")
    keep(record, outcome, "pads 1")
    text = plain(ask(PAGE))
    # computed: worked examples J and K of the uncertainty reference: 1950 kg, 1.561538 m behind, 0.600872 m up.
    assert re.search(r"Mass measured, a fact 1 950\.\d ± \d\.\d kg", text)
    assert re.search(r"Centre of gravity behind the front axle measured, a fact 1 561\.5 ± \d\.\d mm", text)
    assert re.search(r"Centre of gravity above the ground measured, a fact 601 ± \d\d mm", text)
    assert "a table of readings has no curve" in text


def test_of_two_tests_of_one_figure_the_later_counts(record, van, ask):
    keep(record, standing(300.0), "standby 1")
    keep(record, standing(310.0), "standby 2")
    first, second = held(record).tests
    # first principles: entered in this order.
    assert (first.figures[0].standing, second.figures[0].standing) == ("set aside", "fact")
    assert "test standby 2 was entered later" in plain(ask(PAGE))


def test_a_test_of_an_earlier_program_shows_why_there_is_no_picture(record, van, ask, monkeypatch):
    _, outcome = coasted(recording(LOAD, still(), 3, pairs=3, channels=("direction",)))

    def as_it_was(outcome):
        told = outcome_json(outcome)
        del told["jointly"]
        told["curves"] = [
            {name: value for name, value in curve.items() if name != "half"} | {"fitted": None}
            for curve in told["curves"]
            if "run" in curve["name"]
        ]
        return told

    monkeypatch.setattr("hoistbook.services.trials.outcome_json", as_it_was)
    monkeypatch.setattr("hoistbook.services.trials.log_json", lambda log: {})
    keep(record, outcome, "coast 1")
    text = plain(ask(PAGE))
    assert "No picture of residuals: an earlier version of the program recorded this test" in text
    assert "correlation of" not in text


def test_tests_of_another_configuration_are_on_its_own_sheet(record, load, ask):
    rows = sound()
    rows["configurations"].append({"configuration": "winter"})
    load(rows)
    record_trial(record, "WHI", standing(290.0), name="cold", person="Ines", configuration="winter")
    assert held(record).elsewhere == ("winter",)
    assert "was not tested yet" in plain(ask(PAGE))
    assert "tested 1 time" in plain(ask(f"{PAGE}?configuration=winter"))


def test_names_are_text(record, van, ask):
    odd = "<script>alert(1)</script>"
    value = Quantity(
        300.0,
        "W",
        ((Source("m"), 3.0),),
    )
    outcome = Outcome("odd kind", (Figure("x", odd, value),), (odd,), (odd,), (odd,))
    keep(record, outcome, odd, at=odd, note=odd)
    page = ask(PAGE).content.decode()
    assert "&lt;script&gt;" in page
    assert odd not in page
    assert json.loads(json.dumps(held(record).tests[0].outcome))["kind"] == "odd kind"


def test_other_vehicles_are_not_read_for_it(record, load, van, client):
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    keep(record, standing(300.0), "standby 1")

    def asked():
        client.get(PAGE)
        with CaptureQueriesContext(connection) as found:
            client.get(PAGE)
        return len(found)

    before = asked()
    for code in ("B1", "B2"):
        rows = sound()
        rows["vehicle"][0] |= {"code": code, "name": code}
        load(rows)
        record_trial(record, code, standing(300.0), name="s", person="Ines", configuration="delivered")
    # first principles: what is asked of the database does not grow with vehicles that are not on the page.
    assert asked() == before


def test_tests_that_overlap_in_time_are_named(record, van, ask, tmp_path):
    save_channel_map(record, "bench", MAP, "Ines")

    def charged(name, at, pack):
        log = log_series(charge_log(tmp_path, pack=pack, name=f"{pack}.csv"), "bench", record=record)
        outcome = evaluate("charge", log, Asked(), label=f"test {name}")
        return keep(record, outcome, name, file=tmp_path / f"{pack}.csv", log=log, at=at)

    # first principles: these logs last an hour; 19:05 to 20:05 and 20:00 to 21:00 share five minutes.
    assert charged("charge 1", "2026-05-04 19:05", 9.0).remarks == ()
    assert charged("charge 2", "2026-05-04 20:05", 9.1).remarks == ()
    assert "overlap in time" not in plain(ask(PAGE))
    [said] = charged("charge 2", "2026-05-04 20:00", 9.1).remarks
    assert said.startswith("charge 1 (2026-05-04 19:05 to 20:05) and charge 2 (2026-05-04 20:00 to 21:00)")
    assert held(record).overlapping == (said,)
    assert "Charge 1 (2026-05-04 19:05 to 20:05) and charge 2" in plain(ask(PAGE))
