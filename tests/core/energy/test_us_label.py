"""US label arithmetic: laws of the combinations and the five-cycle formulae."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoistbook.core.energy.us_label import (
    FiveCycleEconomies,
    combined_mpge,
    combined_range_mi,
    derived_five_cycle_mpg,
    full_recharge_wall_kwh,
    kwh_per_100mi_from_mpge,
    label,
    mpge_from_wh_per_mi,
    vehicle_specific_five_cycle,
)

figures = st.floats(10.0, 500.0)


@given(figures, figures)
def test_economy_is_arithmetic_in_energy(city, highway):
    # published: 40 CFR 600.206-12(a)(3): weights 0.55 and 0.45, harmonic; in kWh/100 mi it is a plain mean.
    energy = 0.55 * kwh_per_100mi_from_mpge(city) + 0.45 * kwh_per_100mi_from_mpge(highway)
    assert kwh_per_100mi_from_mpge(combined_mpge(city, highway)) == pytest.approx(energy, rel=1e-12)
    # first principles: harmonic mean is at most the arithmetic one.
    assert combined_mpge(city, highway) <= combined_range_mi(city, highway) * (1.0 + 1e-12)


@given(figures, figures, st.floats(0.5, 1.0))
def test_adjustment_leaves_the_charge_alone(consumption, distance, factor):
    # first principles: consumption is divided and range multiplied by the factor, so their product stays.
    found = label(consumption, consumption, distance, distance, factor)
    charge = full_recharge_wall_kwh(found.city_kwh_per_100mi, found.city_range_mi)
    assert charge == pytest.approx(consumption * distance / 1000.0, rel=1e-12)
    assert found.range_mi == pytest.approx(factor * distance, rel=1e-12)


def test_gallon_equivalent():
    # from memory: 40 CFR 600.002: 33.705 kWh per gallon equivalent.
    assert mpge_from_wh_per_mi(337.05) == pytest.approx(100.0, rel=1e-12)
    assert kwh_per_100mi_from_mpge(100.0) == pytest.approx(33.705, rel=1e-12)


def test_printed_range_rounds_halves_up():
    assert label(300.0, 300.0, 100.5, 100.5, 1.0).printed_range_mi == 101
    assert label(300.0, 300.0, 100.4, 100.4, 1.0).printed_range_mi == 100


def test_derived_five_cycle():
    # from memory: § 600.210-12(a)(2), model years to 2016: city 1/(0.003259 + 1.1805/FTP), highway
    # 1/(0.001376 + 1.3466/HFET); by hand for 30 and 40 mpg: 1/(0.003259 + 0.03935), 1/(0.001376 + 0.033665).
    assert derived_five_cycle_mpg(30.0, 40.0, 2016) == pytest.approx(
        (1.0 / 0.042609, 1.0 / 0.035041), rel=1e-12
    )
    # From 2017: 1/(0.004091 + 1.1601/30), 1/(0.003191 + 1.2945/40).
    assert derived_five_cycle_mpg(30.0, 40.0, 2017) == pytest.approx(
        (1.0 / 0.042761, 1.0 / 0.0355535), rel=1e-12
    )


@given(figures)
def test_five_cycles_of_one_economy(economy):
    # from memory: § 600.114-12. With every bag alike, start and air conditioning vanish: city running is
    # 0.82 · (0.48 + 0.41 + 0.11) + 0.18 = 1 per economy, highway 1.007; both times 0.905.
    alike = FiveCycleEconomies(*[economy] * 10)
    assert vehicle_specific_five_cycle(alike) == pytest.approx(
        (0.905 * economy, 0.905 * economy / 1.007), rel=1e-12
    )


def test_five_cycles_term_by_term():
    # from memory: § 600.114-12; by hand: a cold bag 1 of half the economy at 75 °F adds 0.330 · 0.76 · 3.6/e per start:
    # /4.1 city, /60 highway. An SC03 of half the economy adds 0.133 · 1.083/e city and 0.133 · 0.377/e highway.
    base = [4.0] * 10
    cold = FiveCycleEconomies(*[2.0, *base[1:]])
    start = 0.330 * 0.76 * 3.6 / 4.0
    assert vehicle_specific_five_cycle(cold) == pytest.approx(
        (0.905 / (0.25 + start / 4.1), 0.905 / (1.007 * 0.25 + start / 60.0)), rel=1e-12
    )
    cooled = FiveCycleEconomies(*[*base[:9], 2.0])
    assert vehicle_specific_five_cycle(cooled) == pytest.approx(
        (0.905 / (0.25 + 0.133 * 1.083 / 4.0), 0.905 / (1.007 * 0.25 + 0.133 * 0.377 / 4.0)), rel=1e-12
    )
    # 20 °F: 0.24 of the starts, and 0.18 of city running by bags 2 and 3 alike.
    frozen = FiveCycleEconomies(*[4.0, 4.0, 4.0, 2.0, 2.0, 4.0, *base[6:]])
    start = 0.330 * 0.24 * 3.6 / 4.0
    assert vehicle_specific_five_cycle(frozen)[0] == pytest.approx(
        0.905 / (0.25 + start / 4.1 + 0.18 * 0.5 / 4.0), rel=1e-12
    )


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: mpge_from_wh_per_mi(0.0), "wall_wh_per_mi = 0.0"),
        (lambda: combined_mpge(100.0, -1.0), "highway_mpge = -1.0"),
        (lambda: combined_range_mi(float("nan"), 200.0), "city_mi = nan"),
        (lambda: full_recharge_wall_kwh(30.0, float("inf")), "range_mi = inf"),
        (lambda: label(300.0, 300.0, 200.0, 200.0, 0.0), "adjustment_frac = 0.0"),
        (lambda: derived_five_cycle_mpg(0.0, 30.0, 2020), "ftp_mpg = 0.0"),
        (lambda: vehicle_specific_five_cycle(FiveCycleEconomies(*[1.0] * 9, 0.0)), "sc03 = 0.0"),
    ],
)
def test_impossible_figures_are_refused(call, message):
    with pytest.raises(ValueError, match=message):
        call()
