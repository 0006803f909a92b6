"""Charges, discharges and standing power: analytic integrals, shared meters, published identities."""

import csv
from pathlib import Path

import numpy as np
import pytest
import scipy.integrate
from hypothesis import given
from hypothesis import strategies as st

from hoistbook.core.energy.depletion import recharge_allocation
from hoistbook.core.energy.us_label import full_recharge_wall_kwh
from hoistbook.core.quantities.quantity import Quantity, Source, correlation
from hoistbook.core.trials.charging import evaluate_charge
from hoistbook.core.trials.discharging import current_steps, evaluate_discharge
from hoistbook.core.trials.meters import stated_meter
from hoistbook.core.trials.power import scatter, wall_energy
from hoistbook.core.trials.series import Series
from hoistbook.core.trials.signals import Signal, integral, measured, product
from hoistbook.core.trials.standby import evaluate_standby

KWH = 3.6e6
EXACT = {}


def meters(**limits):
    return {c: stated_meter(c, f"meter of {c}", gain, zero) for c, (gain, zero) in limits.items()}


def test_a_gain_and_a_zero_error_of_an_integral():
    series = Series("log", [0, 10, 20], {"pack_power_w": [0.0, 100.0, 200.0]})
    signal = measured(series, "pack_power_w", meters(pack_power_w=(0.03, 2.0)))
    found = integral(signal, "J", "test")
    # first principles: 2000 J of a ramp to 200 W in 20 s; u = 0.03/√3 · 2000 J and 2 W/√3 · 20 s.
    assert found.value == pytest.approx(2000.0)
    u = {source.name: c for source, c in found.terms}
    assert u["meter of pack_power_w"] == pytest.approx(60.0 / np.sqrt(3))
    assert u["meter of pack_power_w, zero"] == pytest.approx(40.0 / np.sqrt(3))
    assert "test, sampling" not in u


def test_a_gap_is_bridged_with_a_band_and_too_much_of_it_refused():
    time = np.array([*range(51), *range(54, 101)], dtype=float)
    bridged = Signal("power", "W", time, np.sin(time), (), 1.5)
    u = {source.name: c for source, c in integral(bridged, "J", "test").terms}
    # first principles: one gap of 4 s times the standard deviation of the samples.
    assert u["test, gaps"] == pytest.approx(4.0 * np.std(np.sin(time)))
    holed = Signal("power", "W", np.array([0.0, 1.0, 5.0]), np.ones(3), (), 1.5)
    with pytest.raises(ValueError, match="4 of 5 s are missing, more than 10 %"):
        integral(holed, "J", "test")


@given(
    st.lists(
        st.tuples(st.floats(0.1, 2.0), st.floats(200, 450), st.floats(-300, 300)), min_size=3, max_size=40
    )
)
def test_voltage_times_current_integrates_as_scipys(samples):
    time = np.cumsum([s[0] for s in samples])
    volts, amperes = (np.array([s[k] for s in samples]) for k in (1, 2))
    series = Series("log", time, {"pack_voltage_v": volts, "pack_current_a": amperes})
    power = product(
        measured(series, "pack_voltage_v", EXACT), measured(series, "pack_current_a", EXACT), "power"
    )
    assert power.unit in ("W", "V.A", "A.V")
    # computed: scipy.integrate.trapezoid of the product of the samples.
    assert integral(power, "J", "test", 1.0).value == pytest.approx(
        scipy.integrate.trapezoid(volts * amperes, time), rel=1e-9, abs=1e-3
    )


def test_one_meter_for_both_sides_leaves_the_efficiency_exact():
    time = np.linspace(0, 3600, 361)
    wall, pack = np.full(361, 10_000.0), np.full(361, -9_000.0)
    series = Series("charge", time, {"wall_power_w": wall, "pack_power_w": pack})
    analyser = {c: stated_meter(c, "analyser E1", 0.01, 0.0) for c in ("wall_power_w", "pack_power_w")}
    found = evaluate_charge(series, analyser, label="c1")
    # first principles: 10 kWh, 9 kWh, share 0.9; a common gain cancels in the share, and in it alone.
    assert found.figure("wall_energy").value.value == pytest.approx(10 * KWH)
    assert found.figure("charging_efficiency").value.value == pytest.approx(0.9)
    assert found.figure("charging_efficiency").value.standard_uncertainty == pytest.approx(0.0, abs=1e-12)
    assert found.figure("wall_energy").value.standard_uncertainty == pytest.approx(0.1 * KWH / np.sqrt(3))
    apart = meters(wall_power_w=(0.01, 0.0), pack_power_w=(0.01, 0.0))
    both = evaluate_charge(series, apart, label="c1").figure("charging_efficiency").value
    # first principles: two independent gains, each 1 %/√3 of the share.
    assert both.standard_uncertainty == pytest.approx(0.9 * 0.01 * np.sqrt(2 / 3))


def test_the_loss_inside_the_pack_is_taken_off():
    time = np.linspace(0, 3600, 61)
    series = Series(
        "charge",
        time,
        {
            "wall_power_w": np.full(61, 11_000.0),
            "pack_voltage_v": np.full(61, 400.0),
            "pack_current_a": np.full(61, -25.0),
            "state_of_charge_1": np.linspace(0.02, 0.99, 61),
        },
    )
    resistance = Quantity(0.08, "ohm", ((Source("R"), 0.008),))
    found = evaluate_charge(series, EXACT, label="c2", resistance=resistance)
    # first principles: (400 V · 25 A − 0.08 Ω · 625 A²)/11 kW = 9950/11000; dη/dR = −625/11000.
    share = found.figure("charging_efficiency").value
    assert share.value == pytest.approx(9950 / 11_000)
    assert share.standard_uncertainty == pytest.approx(0.008 * 625 / 11_000)
    assert share.unit == "1"
    assert found.figure("wall_energy").fact == "wall_energy"
    assert correlation(share, resistance) == pytest.approx(-1.0)


def test_idle_and_taper_losses_add_up():
    time = np.arange(0.0, 1001.0)
    pack = np.where(time < 600, -1000.0, np.where(time < 800, -500.0, 0.0))
    wall = np.where(time < 600, 1100.0, np.where(time < 800, 570.0, 20.0))
    found = evaluate_charge(
        Series("c", time, {"wall_power_w": wall, "pack_power_w": pack}), EXACT, label="c3"
    )
    parts = [found.figure(f"loss_{name}").value.value for name in ("idle", "taper", "main")]
    # first principles: 600 s · 100 W, 200 s · 70 W, 200 s · 20 W, up to half a second at the edges.
    assert parts == pytest.approx([4000.0, 14_000.0, 60_000.0], abs=600.0)
    whole = found.figure("wall_energy").value.value - found.figure("pack_energy").value.value
    assert sum(parts) == pytest.approx(whole, rel=1e-9)


def test_a_counter_counts():
    series = Series("c", range(5), {"wall_energy_j": [100.0, 100.0, 103.0, 106.0, 110.0]})
    found = wall_energy(series, meters(wall_energy_j=(0.01, 5.0)), "c")
    # first principles: 10 J; the zero cancels, the step of 3 J enters as 3/√6, the gain as 1 %/√3.
    assert found.value == 10.0
    assert found.standard_uncertainty == pytest.approx(np.hypot(3 / np.sqrt(6), 0.1 / np.sqrt(3)))
    with pytest.raises(ValueError, match="was set back"):
        wall_energy(Series("c", [0, 1], {"wall_energy_j": [5.0, 1.0]}), EXACT, "c")


@pytest.mark.parametrize(
    ("wall", "pack", "words"),
    [(1000.0, 900.0, "the pack current is negative while charging"), (1000.0, -1100.0, "more than the")],
)
def test_impossible_charges_are_refused(wall, pack, words):
    series = Series("c", [0, 1], {"wall_power_w": [wall] * 2, "pack_power_w": [pack] * 2})
    with pytest.raises(ValueError, match=words):
        evaluate_charge(series, EXACT, label="c")


def test_a_charge_log_gives_away_what_the_label_does():
    # published: rows of tests/data/certification_2022.csv (sources in its header) that print city and highway range:
    # label kWh/100 mi times range is the wall energy of a full charge, the same from either cycle to rounding.
    path = Path(__file__).resolve().parents[2] / "data" / "certification_2022.csv"
    with path.open(encoding="utf-8") as file:
        rows = list(csv.DictReader(line for line in file if not line.startswith("#")))
    rows = [row for row in rows if row["range_city_mi"] and row["range_highway_mi"]]
    assert len(rows) == 27
    row = next(row for row in rows if "Bolt EV" in row["vehicle"])
    # published: Chevrolet Bolt EV 2022, 25.8039 and 30.9249 kWh/100 mi, 279.8 and 233.4 mi.
    city, highway = full_recharge_wall_kwh(25.8039, 279.8), full_recharge_wall_kwh(30.9249, 233.4)
    assert (float(row["range_city_mi"]), float(row["range_highway_mi"])) == (279.8, 233.4)
    hours = np.linspace(0.0, 10.0, 601)
    shape = np.minimum(1.0, (10.0 - hours) / 2.0)  # two hours of taper
    wall = shape * city / 9.0  # kW: the area of the shape is 8 h + 1 h
    series = Series(
        row["vehicle"], 3600.0 * hours, {"wall_power_w": 1e3 * wall, "pack_power_w": -880.0 * wall}
    )
    found = evaluate_charge(series, EXACT, label="bolt", full=True)
    # computed: 72.199 kWh from the city figures, 72.179 from the highway ones; rounded figures leave 0.03 kWh.
    assert found.figure("wall_energy").value.value / KWH == pytest.approx(highway, abs=0.03)
    assert found.figure("charging_efficiency").value.value == pytest.approx(0.88)


def test_the_recharge_of_a_depletion_test():
    # from memory: SAE J1634 section 8; synthetic test of 75 kWh usable and 84 kWh recharge: factor 1.12 (computed).
    time = np.linspace(0.0, 8 * 3600.0, 481)
    charge = Series(
        "c", time, {"wall_power_w": np.full(481, 10_500.0), "pack_power_w": np.full(481, -9_450.0)}
    )
    discharge = Series("d", time, {"pack_power_w": np.full(481, 9_375.0)})
    wall = evaluate_charge(charge, EXACT, label="c").figure("wall_energy").value.value
    usable = evaluate_discharge(discharge, EXACT, label="d").figure("terminal_energy").value.value
    assert (wall / KWH, usable / KWH) == (pytest.approx(84.0), pytest.approx(75.0))
    assert recharge_allocation(wall, usable) == pytest.approx(1.12)


def pulses(resistance=0.08, open_circuit=350.0, tau_s=0.0, slow=0.0):
    """A discharge at 40 A with pulses of 120 A, ten seconds long and twenty apart."""
    time = np.arange(0.0, 400.0, 0.1)
    current = np.where((time % 40.0 >= 20.0) & (time % 40.0 < 35.0), 120.0, 40.0)
    voltage = open_circuit - resistance * current
    if slow:
        state = np.zeros_like(time)
        for i in range(1, len(time)):
            state[i] = state[i - 1] + 0.1 / tau_s * (slow * current[i] - state[i - 1])
        voltage -= state
    return Series("d", time, {"pack_voltage_v": voltage, "pack_current_a": current})


def test_steps_of_the_current_show_the_resistance():
    found = current_steps(pulses())
    # first principles: V = 350 V − 0.08 Ω I; every step of ±80 A shows 0.08 Ω.
    assert len(found.time_s) >= 10
    np.testing.assert_allclose(found.resistance_ohm, 0.08, rtol=1e-9)
    np.testing.assert_allclose(np.abs(found.step_a), 80.0)


def test_a_falling_open_circuit_is_not_taken_for_resistance():
    flat = pulses()
    charge = scipy.integrate.cumulative_trapezoid(flat["pack_current_a"], flat.time_s, initial=0.0)
    falling = flat.adding(pack_voltage_v=flat["pack_voltage_v"] - 1e-4 * charge)
    # first principles: V = 350 V − 0.08 Ω I − 1e-4 V/(A·s) Q; without the last term a pulse of 10 s shows 1.4 mΩ more.
    np.testing.assert_allclose(current_steps(falling).resistance_ohm, 0.08, rtol=1e-6)


def test_energy_of_the_cells_is_that_of_the_open_circuit():
    series = pulses()
    found = evaluate_discharge(series, EXACT, label="d", full=True)
    # first principles: E_cell = ∫ V_oc I dt = V_oc Q, for any current.
    charge = scipy.integrate.trapezoid(series["pack_current_a"], series.time_s)
    assert found.figure("charge").value.value == pytest.approx(charge, rel=1e-9)
    assert found.figure("usable_energy").value.value == pytest.approx(350.0 * charge, rel=1e-9)
    assert found.figure("pack_voltage").value.value == pytest.approx(350.0, rel=1e-9)
    assert found.figure("usable_energy").fact == "usable_energy"


def test_a_slow_part_of_the_resistance_grows_with_the_pulse():
    series = pulses(slow=0.03, tau_s=4.0)
    short, long = (current_steps(series, settle_s=s).resistance_ohm.mean() for s in (2.0, 10.0))
    # first principles: R(t) = 0.08 + 0.03 (1 − e^(−t/4 s)), from 0 at the first pulse.
    assert 0.08 < short < long < 0.11


def test_a_part_discharge_is_no_usable_energy():
    series = pulses().adding(state_of_charge_1=np.linspace(0.8, 0.6, 4000))
    found = evaluate_discharge(series, EXACT, label="d")
    assert found.figure("usable_energy").fact == ""
    assert "80.0 to 60.0 %" in found.figure("usable_energy").note


def test_standing_power_with_scatter_and_drift():
    time = np.linspace(0.0, 36_000.0, 3601)
    power = 300.0 + 10.0 * np.sin(time / 500.0)
    series = Series("s", time, {"pack_power_w": power, "state_of_charge_1": np.linspace(0.5, 0.45, 3601)})
    usable = Quantity(60 * KWH, "J")
    found = evaluate_standby(
        series, meters(pack_power_w=(0.0, 3.0)), label="s", duty="wltc3b", usable_energy=usable
    )
    figure = found.figure("standing_power")
    # first principles: 300 W and what is left of the sine; a drift of 5 % of 60 kWh in 10 h is 300 W.
    assert figure.value.value == pytest.approx(300.0 + 10.0 * 500.0 * (1 - np.cos(72.0)) / 36_000.0, abs=1e-3)
    assert figure.value.standard_uncertainty > 3.0 / np.sqrt(3)
    assert (figure.fact, figure.duty) == ("accessory_power", "wltc3b")
    assert "300 W of the usable energy" in found.checks[0]


def test_block_means_of_a_ramp():
    time = np.linspace(0.0, 10.0, 101)
    ((source, u),) = scatter(Signal("p", "W", time, time, (), 1.0), "x", 5)
    # first principles: means 1, 3, 5, 7, 9; s = √10, u = s/√5 = √2, four degrees of freedom.
    assert (source.dof, u) == (4, pytest.approx(np.sqrt(2.0)))


def test_a_vehicle_that_stands_draws_power():
    with pytest.raises(ValueError, match="sign = -1"):
        evaluate_standby(Series("s", [0, 1], {"pack_power_w": [-300.0, -300.0]}), EXACT, label="s")


def test_a_moving_vehicle_is_not_standing():
    series = Series("s", [0, 1], {"pack_power_w": [1.0, 1.0], "speed_m_per_s": [0.0, 2.0]})
    with pytest.raises(ValueError, match="the vehicle moves at 1 s"):
        evaluate_standby(series, EXACT, label="s")
