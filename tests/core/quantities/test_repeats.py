"""Repeated readings: mean, band and contradiction."""

import itertools
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoistbook.core.quantities.evaluation import normal
from hoistbook.core.quantities.instruments import Instrument, reading
from hoistbook.core.quantities.quantity import Quantity, Source, correlation
from hoistbook.core.quantities.repeats import repeats

SCALE = Instrument("B2", "scale", accuracy_class="III", step_si=0.01, capacity_si=30.0)
TAPE = Instrument("T1", "tape", accuracy_class="II")


def taken(instrument, values, slot="mass of A12", **more):
    ids = [f"R{k}" for k in range(len(values))]
    return repeats([reading(instrument, x, i) for x, i in zip(values, ids, strict=True)], ids, slot, **more)


def terms_of(result):
    return {source.name: c for source, c in result.quantity.terms}


def test_one_reading_stays_what_it_is():
    single = reading(TAPE, 0.730, "R0")
    result = taken(TAPE, [0.730])
    assert result.quantity.value == 0.730
    assert result.quantity.standard_uncertainty == pytest.approx(single.standard_uncertainty)
    assert (result.contradicted, result.n) == (False, 1)
    wider = taken(TAPE, [0.730], repeatability_si=0.004)
    assert terms_of(wider)["reading R0/repeatability"] == 0.004


def test_calibration_does_not_average_out_and_scatter_does():
    result = taken(SCALE, [12.60, 12.61, 12.61, 12.60])
    # first principles: 12.605 kg is between 500 e and 2000 e, so 2 · 1 e in service; the farthest reading is 5 g away.
    assert result.quantity.value == pytest.approx(12.605)
    assert terms_of(result)["instrument B2/calibration"] == pytest.approx(0.02 / math.sqrt(3.0))
    assert terms_of(result)["slot mass of A12/scatter"] == pytest.approx(0.005 / math.sqrt(3.0))
    assert terms_of(result)["slot mass of A12/resolution"] == pytest.approx(0.01 / math.sqrt(12.0))
    assert result.scatter_si == pytest.approx(0.0057735, rel=1e-5)


def test_a_stated_repeatability_serves_until_there_are_readings_enough():
    few = taken(TAPE, [0.730, 0.730], "hose")
    # first principles: 1.5 mm/sqrt(2), although the two readings are alike.
    assert terms_of(few)["slot hose/scatter"] == pytest.approx(1.5e-3 / math.sqrt(2.0))
    assert math.isinf(few.quantity.dof)
    many = taken(TAPE, [0.731, 0.728, 0.733, 0.730, 0.729], "hose")
    # computed: NumPy, s/sqrt(5) = 0.86023 mm.
    assert terms_of(many)["slot hose/scatter"] == pytest.approx(0.86023e-3, abs=5e-9)
    later = taken(TAPE, [0.731, 0.728, 0.733, 0.730, 0.729], "hose", own_scatter_from=6)
    assert terms_of(later)["slot hose/scatter"] == pytest.approx(1.5e-3 / math.sqrt(5.0))


def test_two_readings_that_contradict_are_named_and_both_stay_inside_the_band():
    result = taken(SCALE, [12.6, 16.2])
    assert result.contradicted
    assert result.offenders == ("R0", "R1")
    assert "mass of A12: 2 readings from 12.6 to 16.2 kg" in result.message
    assert "R0 (12.6)" in result.message
    low, high = result.quantity.band()
    assert low < 12.6
    assert high > 16.2


@pytest.mark.parametrize(
    ("values", "offenders"),
    [
        ([12.60, 12.61, 16.2], ("R2",)),
        ([12.60, 2.0, 12.61, 12.59], ("R1",)),
        ([10.0, 10.0, 16.0, 16.0], ("R0", "R1", "R2", "R3")),
        ([1.26, 12.60, 12.61, 12.60, 126.0 / 5], ("R0", "R4")),
    ],
)
def test_the_minority_stands_out(values, offenders):
    result = taken(SCALE, values)
    assert result.contradicted
    assert result.offenders == offenders


@given(st.lists(st.floats(1.0, 25.0), min_size=2, max_size=8))
def test_the_band_reaches_every_reading_that_is_in_contradiction(values):
    result = taken(SCALE, values)
    low, high = result.quantity.band()
    if result.contradicted:
        assert low <= min(values)
        assert high >= max(values)
        assert result.offenders
    else:
        assert result.message == ""


@given(st.lists(st.integers(-2, 2), min_size=2, max_size=8), st.randoms(use_true_random=False))
def test_order_does_not_matter(steps, random):
    values = [12.6 + 0.01 * k for k in steps]
    shuffled = values.copy()
    random.shuffle(shuffled)
    a, b = taken(SCALE, values), taken(SCALE, shuffled)
    assert a.quantity.value == pytest.approx(b.quantity.value)
    assert a.quantity.standard_uncertainty == pytest.approx(b.quantity.standard_uncertainty)
    assert a.contradicted == b.contradicted


def test_a_repeatability_of_the_method_explains_what_the_tape_does_not():
    rigid = Instrument("T2", "tape", accuracy_class="II", repeatability_si=0.0)
    values = [0.731, 0.728, 0.733, 0.730, 0.729]
    # first principles: u² = 0.40415² + 0.28868² mm², chi-square 14.8/0.24667 = 60.0; computed: 5 % point 9.488 (SciPy).
    alone = taken(rigid, values)
    assert alone.contradicted
    assert alone.chi_square == pytest.approx(60.0, abs=0.05)
    assert alone.chi_square_limit == pytest.approx(9.488, abs=5e-4)
    assert not taken(rigid, values, repeatability_si=2e-3).contradicted


def test_the_test_on_two_readings_is_the_normalised_error():
    u = 0.1
    # computed: E_n = 1 at a difference of 1.959964 sqrt(2) u.
    edge = 1.959964 * math.sqrt(2.0) * u
    for gap, contradicted in ((0.999 * edge, False), (1.001 * edge, True)):
        pair = [normal(5.0, u, "kg", "reading a/band"), normal(5.0 + gap, u, "kg", "reading b/band")]
        assert repeats(pair, ["a", "b"], "x").contradicted is contradicted


def test_false_alarms_come_as_often_as_the_level_says():
    random = np.random.default_rng(7)
    runs = 2000
    count = 0
    for _ in range(runs):
        ids = ["a", "b", "c"]
        rows = [normal(random.normal(5.0, 0.1), 0.1, "kg", f"reading {i}/band") for i in ids]
        count += repeats(rows, ids, "x").contradicted
    # first principles: binomial with p = 0.05, four standard errors.
    assert count / runs == pytest.approx(0.05, abs=4 * math.sqrt(0.05 * 0.95 / runs))


def test_bands_of_two_readings_on_one_scale_hold():
    random = np.random.default_rng(23)
    runs, limit, spread = 4000, 0.02, 0.006
    held = flagged = 0
    for _ in range(runs):
        error = random.uniform(-limit, limit)
        result = taken(SCALE, [float(12.6 + error + random.normal(0.0, spread)) for _ in range(2)])
        low, high = result.quantity.band()
        held += low <= 12.6 <= high
        flagged += result.contradicted
    # first principles: the band covers the rectangular limit and more; at least 95 % must hold, and readings that
    # scatter by less than the limit must not be called contradictions more often than the level.
    assert held / runs >= 0.95
    assert flagged / runs <= 0.05


def test_a_little_more_distance_never_narrows_the_band():
    gaps = np.linspace(0.0, 0.2, 201)
    halves = [taken(SCALE, [12.6, 12.6 + float(gap)]).quantity.expanded() for gap in gaps]
    # first principles: less agreement cannot make a mean better known, across the border of contradiction either.
    assert all(b >= a - 1e-12 for a, b in itertools.pairwise(halves))


def test_a_typed_band_belongs_to_its_reading():
    rows = [normal(5.0, 0.1, "kg", f"VAN/W{k}") for k in (1, 2)]
    result = repeats(rows, ["W1", "W2"], "x")
    # first principles: nobody said that it is random, so it is not averaged: 0.1, not 0.1/sqrt(2).
    assert terms_of(result) == pytest.approx({"slot x/resolution": 0.1})


def test_a_better_instrument_counts_for_more():
    crane = Instrument("K1", "crane scale", accuracy_class="IIII", step_si=0.5)
    rows = [reading(SCALE, 20.00, "a"), reading(crane, 20.5, "b")]
    result = repeats(rows, ["a", "b"], "pack")
    # first principles: inverse-variance weights.
    weights = [1.0 / q.standard_uncertainty**2 for q in rows]
    assert result.quantity.value == pytest.approx((20.0 * weights[0] + 20.5 * weights[1]) / sum(weights))
    assert correlation(result.quantity, reading(SCALE, 5.0, "other")) > 0.0


def test_exact_counts_agree_only_when_equal():
    same = repeats([Quantity(5.0, "1"), Quantity(5.0, "1")], ["a", "b"], "clips")
    assert (same.contradicted, same.quantity.terms) == (False, ())
    unlike = repeats([Quantity(4.0, "1"), Quantity(5.0, "1")], ["a", "b"], "clips")
    assert unlike.contradicted
    assert unlike.quantity.band()[0] <= 4.0


def test_a_shared_error_other_than_an_instrument_is_kept():
    person = Source("person P1/habit")
    rows = [Quantity(1.0, "m", ((person, 0.01), (Source(f"reading {i}/band"), 0.02))) for i in "ab"]
    result = repeats(rows, ["a", "b"], "gap")
    assert terms_of(result)["person P1/habit"] == pytest.approx(0.01)


@pytest.mark.parametrize(
    ("rows", "ids", "message"),
    [
        ([], [], "gap: no reading"),
        ([Quantity(1.0, "m")], ["a", "b"], "gap: 1 readings need as many different ids"),
        ([Quantity(1.0, "m"), Quantity(1.0, "m")], ["a", "a"], "as many different ids"),
        ([Quantity(1.0, "m"), Quantity(1.0, "kg")], ["a", "b"], "cannot combine"),
    ],
)
def test_errors_say_what_is_wrong(rows, ids, message):
    with pytest.raises(ValueError, match=message):
        repeats(rows, ids, "gap")
