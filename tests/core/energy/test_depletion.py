"""Charge-depleting tests: the synthetic multi-cycle test, and laws of the weights."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoistbook.core.energy.depletion import (
    Repeats,
    alike,
    first_run_apart,
    recharge_allocation,
    usable_energy_j,
    wltp_consumption_j_per_m,
    wltp_interpolated_j_per_m,
)

KWH, MILE = 3.6e6, 1609.344  # J, m; exact


def test_synthetic_multi_cycle_test():
    # computed (separate script): UBE 75 kWh; UDDS 1.90, 1.55, 1.55, 1.55 kWh over 7.45 mi; HFEDS 2.30, 2.30 over
    # 10.26 mi; recharge 84 kWh: K 0.0253333, 0.3248889 ×3; city 0.2092438 kWh/mi, 358.4335 mi; highway 0.2241715,
    # 334.5652; recharge allocation 1.12; city at the wall 0.2343531.
    usable = 75.0 * KWH
    city = first_run_apart(
        Repeats(tuple(e * KWH for e in (1.90, 1.55, 1.55, 1.55)), (7.45 * MILE,) * 4), usable
    )
    highway = alike(Repeats((2.30 * KWH, 2.30 * KWH), (10.26 * MILE,) * 2), usable)
    assert city.weights == pytest.approx((0.0253333, 0.3248889, 0.3248889, 0.3248889), abs=5.1e-8)
    assert city.consumption_dc_j_per_m / KWH * MILE == pytest.approx(0.2092438, abs=5.1e-8)
    assert city.range_m / MILE == pytest.approx(358.4335, abs=5.1e-5)
    assert highway.weights == (0.5, 0.5)
    assert highway.consumption_dc_j_per_m / KWH * MILE == pytest.approx(0.2241715, abs=5.1e-8)
    assert highway.range_m / MILE == pytest.approx(334.5652, abs=5.1e-5)
    factor = recharge_allocation(84.0 * KWH, usable)
    assert factor == pytest.approx(1.12, rel=1e-12)
    assert city.consumption_ac_j_per_m(factor) / KWH * MILE == pytest.approx(0.2343531, abs=5.1e-8)


energies = st.lists(st.floats(1.0e6, 1.0e7), min_size=2, max_size=6).map(tuple)


@given(energies, st.floats(1.001, 20.0), st.floats(5e3, 3e4))
def test_weights_share_the_charge(runs, spare, distance):
    # first principles: weights add up to 1; alike and apart agree when every run took the same.
    usable = spare * sum(runs)
    apart = first_run_apart(Repeats(runs, (distance,) * len(runs)), usable)
    assert sum(apart.weights) == pytest.approx(1.0, rel=1e-12)
    assert apart.weights[0] * usable == pytest.approx(runs[0], rel=1e-12)
    assert apart.range_m * apart.consumption_dc_j_per_m == pytest.approx(usable, rel=1e-12)
    same = Repeats((runs[0],) * len(runs), (distance,) * len(runs))
    full = spare * len(runs) * runs[0]
    assert first_run_apart(same, full).range_m == pytest.approx(alike(same, full).range_m, rel=1e-12)


@given(energies, st.floats(1.01, 1.5))
def test_a_long_test_forgets_its_cold_start(runs, colder):
    # first principles: K_1 = E_1/UBE goes to 0 as the charge grows, and with it the weight of the cold run.
    usable = 1e4 * colder * sum(runs)
    repeats = Repeats((colder * runs[1], *runs[1:]), (1e4,) * len(runs))
    warm = Repeats(runs[1:], (1e4,) * (len(runs) - 1))
    assert first_run_apart(repeats, usable).range_m == pytest.approx(alike(warm, usable).range_m, rel=1e-3)


def test_shortened_wltp_procedure():
    # first principles, by hand: UBE 60 kWh over DS1, CSS_M, DS2, CSS_E; WLTC 4.0 and 3.6 kWh over 23.266 km:
    # K_1 = 4/60, EC = (4/60 · 4.0 + 56/60 · 3.6)/23.266 kWh/km = 3.626667/23.266.
    usable = usable_energy_j([6.1 * KWH, 40.0 * KWH, 5.6 * KWH, 8.3 * KWH])
    assert usable == pytest.approx(60.0 * KWH, rel=1e-12)
    result = first_run_apart(Repeats((4.0 * KWH, 3.6 * KWH), (23266.0, 23266.0)), usable)
    assert result.range_m == pytest.approx(60.0 / (3.0 + 0.626667) * 23266.0, rel=1e-6)
    assert wltp_consumption_j_per_m(67.0 * KWH, result.range_m) == pytest.approx(
        67.0 * KWH / result.range_m, rel=1e-12
    )


def test_interpolation_between_vehicles_low_and_high():
    # first principles: a straight line through L and H: a quarter of the way up.
    assert wltp_interpolated_j_per_m(500.0, 600.0, 1.0e7, 1.4e7, 1.1e7) == pytest.approx(525.0)
    assert wltp_interpolated_j_per_m(500.0, 600.0, 1.0e7, 1.4e7, 1.4e7) == 600.0


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: Repeats((), ()), "0 energies and 0 distances"),
        (lambda: Repeats((1.0,), (1.0, 2.0)), "1 energies and 2 distances"),
        (lambda: Repeats((1.0, -2.0), (1.0, 2.0)), "energy_j = -2.0"),
        (lambda: first_run_apart(Repeats((1.0,), (1.0,)), 5.0), "1 run"),
        (lambda: alike(Repeats((3.0, 3.0), (1.0, 1.0)), 5.0), "the runs took 6 J of usable_j = 5 J"),
        (lambda: recharge_allocation(70.0 * KWH, 75.0 * KWH), "the wall gives at least"),
        (lambda: wltp_consumption_j_per_m(1.0, 0.0), "pure_electric_range_m = 0.0"),
        (lambda: wltp_interpolated_j_per_m(1.0, 2.0, 5.0, 5.0, 5.0), "vehicle H needs more than L"),
        (lambda: wltp_interpolated_j_per_m(1.0, 2.0, 5.0, 6.0, 7.0), "only between L and H"),
    ],
)
def test_impossible_tests_are_refused(call, message):
    with pytest.raises(ValueError, match=message):
        call()
