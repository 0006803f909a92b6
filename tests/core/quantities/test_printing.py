"""Digits that a band carries."""

import math
import re
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoistbook.core.quantities.evaluation import normal
from hoistbook.core.quantities.printing import ends_text, quantity_text, text
from hoistbook.core.quantities.quantity import Quantity


@pytest.mark.parametrize(
    ("value", "band", "expected"),
    [
        # published: GUM 7.2.6 (quoted in a calibration-software support note): 10.057 62 with 27e-3 is 10.058.
        (10.05762, 0.027, "10.058 +/- 0.027"),
        (0.0, 10.47, "0 +/- 11"),
        (0.0, 28.05, "0 +/- 28"),
        # computed: five readings of a hose, U = 2.3495 rounded up.
        (730.2, 2.3495, "730.2 +/- 2.4"),
        # first principles: same place as the second digit of U, half to even, once.
        (1950.0, 3.2, "1950.0 +/- 3.2"),
        (45678.0, 1234.0, "45700 +/- 1300"),
        (-0.4, 12.0, "0 +/- 12"),
        (123.456, 0.996, "123.5 +/- 1.0"),
        (123.456, 99.6, "120 +/- 100"),
        (0.25, 1.0, "0.2 +/- 1.0"),
        (1e-7, 3e-9, "0.0000001000 +/- 0.0000000030"),
        (-12345.6, 0.5, "-12345.60 +/- 0.50"),
        # exact values and bands of 0: all their digits.
        (3.0, None, "3"),
        (0.1, 0.0, "0.1"),
        (None, 2.0, "not measured"),
        (None, None, "not measured"),
    ],
)
def test_plain_text(value, band, expected):
    assert text(value, band, plain=True) == expected


def test_display_text_has_a_true_minus_and_spaces_that_do_not_break():
    assert text(-1234567.8, 120.0, "kg") == "\u22121\u202f234\u202f570 ±\u202f120\u202fkg"
    assert text(730.2, 2.3495, "mm") == "730.2 ±\u202f2.4\u202fmm"


def test_unequal_sides_are_printed_as_an_interval():
    assert text(5.0, (4.0, 7.0), plain=True) == "5.0 (4.0 to 7.0)"
    assert text(5.0, (3.0, 7.0), plain=True) == "5.0 +/- 2.0"
    # first principles: ends go outwards.
    assert text(0.5, (0.031, 2.562), "kg", plain=True) == "0.5 (0.0 to 2.6) kg"
    assert text(5.0, (5.0, 5.0), plain=True) == "5"
    assert text(-5.0, (-7.0, -4.0)) == "\u22125.0 (\u22127.0 to \u22124.0)"


@pytest.mark.parametrize(
    ("low", "high", "expected"),
    [
        # first principles: to two digits of the half width, and outwards, so that the ends hold what they held.
        (45.58, 73.99, ("45", "74")),
        (5227.2, 6352.2, ("5220", "6360")),
        (-398.6, -243.7, ("-399", "-243")),
        # first principles: a tenth of the last digit or less is left away, as everywhere.
        (1.003, 2.001, ("1.00", "2.00")),
    ],
)
def test_ends_alone_go_outwards(low, high, expected):
    assert ends_text(low, high, plain=True) == expected


def test_ends_out_of_order_are_refused():
    with pytest.raises(ValueError, match="not in order"):
        ends_text(2.0, 1.0)


@given(st.floats(-1e9, 1e9), st.floats(1e-6, 1e6))
def test_printed_numbers_are_what_was_given_to_the_digits_shown(value, band):
    shown = text(value, band, plain=True)
    value_text, band_text = shown.split(" +/- ")
    # first principles: at most two significant digits, rounded up or by at most a tenth of the last of them.
    digits = band_text.replace(".", "").lstrip("0").rstrip("0" if "." not in band_text else "")
    assert len(digits) <= 2
    place = Decimal(1).scaleb(int(Decimal(band_text).as_tuple().exponent)) if "." in band_text else Decimal(1)
    step = max(place, Decimal(10) ** (Decimal(band_text).adjusted() - 1))
    assert -Decimal("0.1") * step <= Decimal(band_text) - Decimal(repr(band)) <= step
    assert abs(Decimal(value_text) - Decimal(repr(value))) <= step / 2
    assert not re.match(r"-0\.?0*$", value_text)
    # display and plain form hold the same digits.
    assert re.sub("[^0-9.]", "", text(value, band)) == re.sub("[^0-9.]", "", shown)


@given(st.floats(-1e3, 1e3), st.floats(1e-3, 1e2), st.floats(1e-3, 1e2))
def test_printed_interval_is_no_narrower_than_a_fiftieth_of_its_half_width(value, below, above):
    shown = text(value, (value - below, value + above), plain=True)
    match = re.fullmatch(r"(\S+) \((\S+) to (\S+)\)", shown)
    if match is None:
        assert "+/-" in shown
        return
    _, low, high = map(float, match.groups())
    slack = 0.01 * (
        below + above
    )  # a tenth of the last of two digits, at most a tenth of a tenth of the half width
    assert low <= value - below + slack
    assert high >= value + above - slack


def test_quantity_text_converts_value_and_band():
    mass = normal(0.4126, 0.0005, "kg", "scale")
    # computed: U = 1.96 × 0.5 g = 0.98 g.
    assert quantity_text(mass, "g", plain=True) == "412.60 +/- 0.98 g"
    assert quantity_text(mass, plain=True) == "0.41260 +/- 0.00098 kg"
    assert quantity_text(Quantity(0.55, "1"), plain=True) == "0.55"
    assert quantity_text(None, "g") == "not measured"
    assert quantity_text(normal(300.0, 1.0, "K", "probe"), "°C", plain=True) == "26.9 +/- 2.0 °C"
    with pytest.raises(ValueError, match="is expected here"):
        quantity_text(mass, "mm")


@pytest.mark.parametrize(
    ("value", "band", "message"),
    [
        (math.nan, 1.0, "not finite"),
        (1.0, math.inf, "not finite"),
        (1.0, -1.0, "is negative"),
        (1.0, (2.0, 3.0), "enclose"),
    ],
)
def test_errors_say_what_is_wrong(value, band, message):
    with pytest.raises(ValueError, match=message):
        text(value, band)
