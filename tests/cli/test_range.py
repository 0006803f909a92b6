"""hoistbook range, mass and rates: what adds up, what is said of the drive unit, and units. The vans are invented."""

import re
from dataclasses import replace

import pytest

from cli.running import assert_fits, run
from hoistbook.core.quantities.quantity import Origin
from hoistbook.services.demo import van_paths
from hoistbook.services.energy import range_report
from hoistbook.services.loading import load_teardown


@pytest.fixture(scope="module")
def van():
    return load_teardown(van_paths()["turnstone"])


@pytest.fixture(scope="module")
def reports(van):
    return {duty: range_report(van, duty=duty, n_draws=100) for duty in ("wltc3b", "us")}


@pytest.fixture
def shown(monkeypatch, van, reports):
    """Print a report that was worked out once, changed where a test asks for it."""

    def show(*words, duty="wltc3b", width=80, **changes):
        monkeypatch.setattr("hoistbook.services.loading.load_teardown", lambda *_, **__: van)
        report = replace(reports[duty], **changes)
        monkeypatch.setattr("hoistbook.services.energy.range_report", lambda *_, **__: report)
        return run("range", "t.xlsx", *words, COLUMNS=str(width))

    return show


@pytest.mark.parametrize("duty", ["wltc3b", "us"])
def test_energy_chain_adds_up_and_ends_at_the_consumption(reports, duty):
    report = reports[duty]
    chain = report.chain
    # first principles: energy is kept; every step starts where the one before it ended.
    terminal = chain["traction"] - chain["returned"] + chain["gears"] + chain["loss"] + chain["accessory"]
    assert terminal == pytest.approx(chain["terminal"])
    assert chain["terminal"] + chain["pack_loss"] == pytest.approx(chain["cell"])
    assert chain["cell"] + chain["charging"] == pytest.approx(chain["wall"])
    assert chain["wall"] + chain["label"] == pytest.approx(chain["consumption"])
    assert chain["consumption"] == pytest.approx(report.energy.value)
    for loss in ("gears", "loss", "copper", "accessory", "pack_loss", "charging"):
        assert chain[loss] > 0.0


def value(line):
    return float(re.split(r"\s{2,}", line.strip())[-1].replace("−", "-").replace("\u202f", ""))


@pytest.mark.parametrize("units", ["metric", "us"])
def test_printed_chain_adds_up_digit_by_digit(shown, units):
    ran = shown("--units", units)
    assert_fits(ran.out)
    block = ran.out.partition("Where the energy goes")[2].partition("Each line under")[0]
    total = 0.0
    lines = [line for line in block.splitlines()[2:] if line and "─" not in line]
    assert len(lines) >= 9
    for line in lines:
        if line.startswith("At the"):
            assert value(line) == pytest.approx(total, abs=1e-9)
        else:
            total += value(line)
    assert lines[-1].startswith("At the wall")


def test_label_factor_is_a_step_of_its_own(shown, reports):
    chain = dict(reports["wltc3b"].chain)
    chain |= {"consumption": chain["wall"] / 0.7, "label": chain["wall"] / 0.7 - chain["wall"]}
    ran = shown(chain=chain).plain
    assert "Step of the label factor +" in ran
    assert "Consumption as labelled" in ran
    assert "label factor +" not in shown().plain


def test_one_efficiency_is_called_that_of_the_drive_unit(shown, van):
    assert "Efficiency of the reduction, driving" in shown(width=110).plain
    ran = shown(width=110, one_efficiency=True).plain
    assert "Efficiency of the drive unit, driving" in ran
    assert "Efficiency of the reduction" not in ran
    assert "one efficiency for gears, motor and inverter" in ran


def test_drive_unit_nobody_described_is_one_efficiency(van):
    silent = replace(
        van, facts=tuple(f for f in van.facts if "loss" not in f.quantity and "gear_eff" not in f.quantity)
    )
    report = range_report(silent, n_draws=100)
    assert report.one_efficiency
    assert not range_report(van, n_draws=100).one_efficiency
    assert {row.origin for row in report.parameters if row.field.startswith("gear_eff")} == {
        Origin.ASSUMED.value
    }


def test_us_duty_prints_unadjusted_and_label_side_by_side(shown, reports):
    ran = shown("--units", "us", duty="us")
    assert_fits(ran.out)
    assert "model, label" in ran.out
    assert "a default (from memory: 40 CFR 600.210-12(d)" in ran.plain
    label, report = reports["us"].label, reports["us"]
    # first principles: the band of the factor is even about 0.70, so the mean range is 0.70 of the unadjusted one; 100
    # draws of a factor of ±0.05 scatter by 0.029/√100 = 0.3 % of 1.
    assert label.range.value / report.range.value == pytest.approx(0.70, abs=0.01)
    assert reports["wltc3b"].label is None


def test_mpge_stands_beside_consumption(shown, reports):
    ran = shown("--units", "us")
    # from memory: 33.705 kWh per gallon equivalent (40 CFR 600.002); first principles: 1 mi = 1609.344 m.
    expected = 33.705 * 3.6e6 / 1609.344 / reports["wltc3b"].energy.value
    line = next(line for line in ran.out.splitlines() if line.rstrip().endswith("MPGe"))
    assert float(re.search(r"\d+\.\d+|\d+", line)[0]) == pytest.approx(expected, abs=0.6)
    assert "mi on wltc3b" in ran.plain


def test_no_field_names_or_raw_units_are_printed(shown):
    for words in ((), ("--units", "us")):
        ran = shown(*words).plain
        assert re.findall(r"\b[a-z]+(?:_[a-z0-9]+)+\b", ran) == []
        assert "N.s" not in ran


def test_rates_in_us_units_speak_of_pounds_and_miles(van, monkeypatch):
    monkeypatch.setattr("hoistbook.services.loading.load_teardown", lambda *_, **__: van)
    words = ("rates", "t.xlsx", "--draws", 100)
    metric, us = run(*words), run(*words, "--units", "us")
    assert_fits(us.out)
    worth = [
        float(re.search(r"is worth ([−+][\d.]+)", ran.plain)[1].replace("−", "-")) for ran in (metric, us)
    ]
    # first principles: m per kg to mi per lb: × 0.45359237/1609.344.
    assert worth[1] == pytest.approx(worth[0] * 0.45359237 / 1609.344, rel=0.01)
    assert "1 lb of mass" in us.plain
