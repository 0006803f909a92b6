"""Results as text: rounding, signs, lopsided bands, alignment."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoistbook.core.compare.bars import Interval
from hoistbook.report.figures import (
    aligned,
    amount,
    as_fine,
    certainty,
    display_unit,
    figure,
    per_cent,
    shown,
    to_place,
    worded,
)
from report.walks import around


def test_value_and_band_are_rounded_together():
    # published: GUM 7.2.6, two significant digits of the band at most; the value to the same place.
    assert str(figure(around(-9.4213, 1.998))) == "−9.4\u00a0±\u202f2.0"
    assert str(figure(around(1742.31, 3.96))) == "1\u202f742.3\u00a0±\u202f4.0"


def test_only_differences_carry_a_plus():
    assert figure(around(15.6, 2.1)).value == "15.6"
    assert figure(around(15.6, 2.1), signed=True).value == "+15.6"
    assert figure(around(0.001, 2.1), signed=True).value == "0.0"  # what prints as nothing has no sign


def test_lopsided_band_is_printed_as_its_two_ends():
    found = figure(Interval(-2.4, -9.7, 1.9), signed=True)
    assert found.lopsided
    assert (found.value, found.band) == ("−2.4", "−9.7 to +1.9")
    assert str(found) == "−2.4 (−9.7 to +1.9)"
    # Sides that differ by a few per cent, as chance alone makes them, stay a ±.
    assert not figure(Interval(10.0, 8.0, 12.3)).lopsided


def test_mean_outside_its_own_band_is_still_printed():
    found = figure(Interval(5.0, 0.0, 4.0))
    assert (found.value, found.band) == ("5.0", "0.0 to 4.0")


def test_exact_value_has_no_band():
    assert str(figure(Interval(0.0, 0.0, 0.0), signed=True)) == "0"


@pytest.mark.parametrize(
    ("value", "half", "unit", "printed"),
    [
        # first principles: nothing finer than 0.01 km, 0.01 Wh/km or 1 g; a band is rounded up to that step.
        (0.0001, 0.0029, "km", "0.00 ± 0.01"),
        (-0.8432, 0.0231, "km", "−0.84 ± 0.03"),
        (4.9, 0.33, "km", "4.90 ± 0.33"),
        (0.0490, 0.0016, "Wh/km", "0.05 ± 0.01"),
        (2.53012, 0.00056, "kg", "2.530 ± 0.001"),
        (0.049, 0.0016, "m2", "0.0490 ± 0.0016"),
    ],
)
def test_nothing_is_printed_finer_than_its_unit_is_measured(value, half, unit, printed):
    assert (
        str(figure(around(value, half), unit=unit)).replace("\u202f", " ").replace("\u00a0", " ") == printed
    )


def test_exact_value_is_printed_to_the_smallest_step():
    assert str(figure(Interval(-2.356, -2.356, -2.356), signed=True, unit="km")) == "−2.36"
    for nothing in (0.0, -1e-15):
        assert str(figure(Interval(nothing, nothing, nothing), signed=True, unit="km")) == "0"


@given(st.floats(-50.0, 50.0), st.floats(0.0, 5.0), st.floats(0.0, 5.0))
def test_printed_band_never_claims_more_than_the_band_itself(value, below, above):
    found = figure(Interval(value, value - below, value + above), unit="km")
    if found.band.startswith("±"):
        # first principles: a tenth of the last digit is dropped at most, and the last digit is a tenth of a band of two
        # digits, or 0.01 km.
        half, true = float(found.band.split("\u202f")[1]), 0.5 * (below + above)
        assert half >= true - 0.1 * max(0.01, 0.1 * true) - 1e-9


def test_words_of_the_core_are_set_for_print():
    # A name that somebody typed stays as it was typed, even where it is also the name of a quantity.
    assert (
        worded("40% of it, 3 % more; part drag_area stays")
        == "40\u202f% of it, 3\u202f% more; part drag_area stays"
    )


def test_amount_turns_the_band_with_the_value():
    assert str(amount(Interval(-2.4, -9.7, 1.9))) == "2.4 (−1.9 to 9.7)"
    assert str(amount(around(-20.4, 4.5))) == "20.4\u00a0±\u202f4.5"


def test_part_is_written_to_the_digits_of_the_whole():
    assert as_fine(-17.96, around(-20.4, 4.5)) == "−18.0"


@pytest.mark.parametrize(
    ("p", "text"), [(0.98, "0.98"), (0.999, ">0.99"), (1.0, ">0.99"), (0.5, "0.50"), (0.99, "0.99")]
)
def test_certainty_is_capped(p, text):
    assert certainty(p) == text


def test_shares_are_whole_per_cent():
    assert (per_cent(0.237), per_cent(-0.04)) == ("24\u202f%", "−4\u202f%")


def test_units_of_display():
    # first principles: 1 Wh/km = 3600 J per 1000 m.
    assert shown(Interval(3.6, 0.0, 7.2), display_unit("energy")).value == pytest.approx(1.0)
    with pytest.raises(LookupError, match="known quantities: range, energy, mass"):
        display_unit("cost")


def test_ticks_of_an_axis_have_the_decimals_of_their_step():
    assert [to_place(value, 1, signed=True) for value in (-0.5, 0.0, 2.0)] == ["−0.5", "0.0", "+2.0"]
    assert to_place(1650.0, 0) == "1\u202f650"


def test_numbers_are_aligned_at_the_decimal():
    assert aligned(["−9.4", "+15.63", "0", "not measured"], pad=" ") == [
        " −9.4 ",
        "+15.63",
        "  0   ",
        "not measured",
    ]


@given(st.lists(st.floats(-1e5, 1e5), min_size=1), st.floats(0.01, 1e4))
def test_aligned_numbers_have_their_points_in_one_column(values, half):
    lines = aligned([figure(around(value, half)).value for value in values], pad=" ")
    assert len({len(line) for line in lines}) == 1
    assert len({line.find(".") for line in lines}) == 1
