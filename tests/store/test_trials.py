"""Tests of the intact vehicle in a store: facts entered once, superseded, kept with their log; maps by name."""

import numpy as np
import pytest

from hoistbook.capture.channel_map import ChannelMap, Mapped
from hoistbook.capture.template import write_template
from hoistbook.core.quantities.quantity import Origin, Quantity, Source
from hoistbook.core.trials.outcome import Curve, Figure, Outcome
from hoistbook.services.energy import range_report
from hoistbook.services.energy_trials import Asked, evaluate
from hoistbook.services.logs import channel_map, log_series, save_channel_map
from hoistbook.services.record import load_workbook, statements, teardown
from hoistbook.services.trials import record_trial, trials

MAP = ChannelMap(
    "bench", "t", "s", (Mapped("wall", "wall_power_w", "kW"), Mapped("pack", "pack_power_w", "kW", sign=-1))
)


def loaded(place, tmp_path):
    write_template(tmp_path / "van.xlsx", example=True)
    return load_workbook(place, tmp_path / "van.xlsx", "A. B.").code


def charge_log(tmp_path, pack=9.0, name="charge.csv"):
    rows = "".join(f"{60 * i};10;{pack}\n" for i in range(61))
    (tmp_path / name).write_text(f"t;wall;pack\n{rows}")
    return tmp_path / name


def fact(place, code, quantity):
    return [f for f in teardown(place, code).facts if f.quantity == quantity]


def charged(place, code, path, **more):
    log = log_series(path, "bench", record=place)
    outcome = evaluate("charge", log, Asked(full=True), label="test charge 1")
    return record_trial(place, code, outcome, name="charge 1", person="C. D.", file=path, log=log, **more)


def test_a_test_becomes_facts_with_evidence_and_a_second_entry_changes_nothing(place, tmp_path):
    code = loaded(place, tmp_path)
    assert save_channel_map(place, "bench", MAP, "C. D.")
    path = charge_log(tmp_path)
    first = charged(place, code, path, at="2026-11-20 18:00")
    assert first.facts.added == 2
    (efficiency,) = fact(place, code, "charging_efficiency")
    # first principles: 9 of 10 kW reach the terminals.
    assert efficiency.value.value == pytest.approx(0.9)
    assert efficiency.value.origin is Origin.MEASURED
    assert efficiency.evidence == "test charge 1, log charge.csv"
    assert "test charge 1" in statements(place, code)
    again = charged(place, code, path, at="2026-11-20 18:00")
    assert not again.trial.wrote
    assert not again.facts.wrote
    (kept,) = trials(place, code)
    assert (kept.name, kept.kind, kept.at, kept.person) == ("charge 1", "charge", "2026-11-20 18:00", "C. D.")
    assert kept.channels["channel"][1] == {
        "column": "pack",
        "channel": "pack_power_w",
        "unit": "kW",
        "sign": -1,
    }
    assert kept.outcome["curves"][0]["points_in_all"] == 61
    assert (place.files / kept.file_sha256[:2] / kept.file_sha256).read_bytes() == path.read_bytes()


def test_a_bar_turns_from_assumed_to_measured(place, tmp_path):
    code = loaded(place, tmp_path)
    save_channel_map(place, "bench", MAP, "C. D.")

    def charging():
        rows = {row.field: row for row in range_report(teardown(place, code), n_draws=200).parameters}
        return rows["charging_efficiency_frac"]

    before = charging()
    charged(place, code, charge_log(tmp_path))
    after = charging()
    assert (before.origin, after.origin) == ("assumed", "measured")
    # first principles: 9 of 10 kW.
    assert after.value == pytest.approx(0.9)


def test_a_corrected_log_supersedes(place, tmp_path):
    code = loaded(place, tmp_path)
    save_channel_map(place, "bench", MAP, "C. D.")
    charged(place, code, charge_log(tmp_path))
    corrected = charged(place, code, charge_log(tmp_path, pack=8.8))
    # wall energy is the same figure; efficiency and test are new versions.
    assert (corrected.facts.superseded, corrected.facts.unchanged, corrected.trial.superseded) == (1, 1, 1)
    assert fact(place, code, "charging_efficiency")[0].value.value == pytest.approx(0.88)
    assert len(trials(place, code)) == 1


def test_what_rests_on_an_assumption_is_not_entered(place, tmp_path):
    code = loaded(place, tmp_path)
    measured = Quantity(300.0, "W", ((Source("m"), 3.0),))
    assumed = Quantity(0.9, "1", ((Source("a"), 0.03),), Origin.ASSUMED)
    outcome = Outcome(
        "standby",
        (
            Figure("standing_power", "standing power", measured, "accessory_power", "wltc3b"),
            Figure("charging_efficiency", "efficiency", assumed, "charging_efficiency"),
            Figure("other", "no fact", measured),
        ),
        curves=(Curve("c", "t", "s", "p", "W", np.arange(5000.0), np.full(5000, np.nan)),),
    )
    found = record_trial(place, code, outcome, name="stand", person="C. D.")
    assert [f.quantity for f in found.entered] == ["accessory_power"]
    assert found.left_out == ("efficiency: it rests on an assumption",)
    curve = trials(place, code)[0].outcome["curves"][0]
    assert (len(curve["x"]), curve["points_in_all"], curve["y"][0]) == (2000, 5000, None)


def test_facts_that_contradict_the_record_write_nothing(place, tmp_path):
    code = loaded(place, tmp_path)
    wrong = Outcome("charge", (Figure("x", "x", Quantity(1.0, "kg"), "charging_efficiency"),))
    with pytest.raises(ValueError, match=r"unit|kg"):
        record_trial(place, code, wrong, name="wrong", person="C. D.")
    assert trials(place, code) == ()
    with pytest.raises(ValueError, match="no name"):
        record_trial(place, code, wrong, name=" ", person="C. D.")


def test_maps_are_saved_by_name_and_superseded(place):
    assert save_channel_map(place, "bench", MAP, "C. D.")
    assert not save_channel_map(place, "bench", MAP, "C. D.")
    found = channel_map("bench", place)
    assert found == MAP
    other = ChannelMap("x", "t", "ms", MAP.channels)
    assert save_channel_map(place, "bench", other, "C. D.")
    assert channel_map("bench", place).time_is == "ms"
    with pytest.raises(LookupError, match="no channel map 'roller'; it has: bench"):
        channel_map("roller", place)
    with pytest.raises(ValueError, match="no name for a channel map"):
        save_channel_map(place, "a.toml", MAP, "C. D.")
