"""Widths of text, wrapping, axes."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoistbook.report.lettering import text_width, wrapped
from hoistbook.report.scale import Claim, Scale, fitted, share

LETTERS = st.text(alphabet="abcdefghijklmnopqrstuvwxyzWMI0123456789−.± \u202fäéßЖ", max_size=60)


def test_digits_are_of_one_width():
    assert len({text_width(digit, 10.0) for digit in "0123456789"}) == 1


def test_accent_takes_no_width():
    assert text_width("é", 10.0) == text_width("e", 10.0)


@given(LETTERS, st.floats(60.0, 300.0), st.booleans())
def test_wrapped_lines_fit_and_lose_nothing(text, width, bold):
    lines = wrapped(text, 13.0, width, bold=bold)
    assert all(text_width(line, 13.0, bold=bold) <= width for line in lines)
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")


def test_no_break_space_holds():
    assert wrapped("gap ±\u202f4.5\u202fkm", 13.0, 60.0)[-1] == "±\u202f4.5\u202fkm"


@given(
    st.lists(
        st.tuples(st.floats(-1e6, 1e6), st.floats(0.0, 60.0), st.floats(0.0, 60.0)), min_size=1, max_size=8
    )
)
def test_fitted_axis_keeps_every_claim_on_it(claims):
    found = [Claim(*claim) for claim in claims]
    axis = fitted(found, 100.0, 400.0)
    for claim in found:
        assert axis(claim.value) - claim.left >= 100.0 - 0.01
        assert axis(claim.value) + claim.right <= 400.0 + 0.01


def test_share_is_what_labels_leave():
    # first principles: 100 px of label on each side of a 300 px axis leave a third.
    claims = [Claim(-5.0, left=100.0), Claim(5.0, right=100.0)]
    assert share(fitted(claims, 0.0, 300.0), claims) == pytest.approx(1.0 / 3.0)


@given(st.floats(-1e4, 1e4), st.floats(1e-3, 1e5), st.floats(20.0, 90.0))
def test_ticks_are_round_apart_and_inside(low, span, apart):
    axis = Scale(low, low + span, 0.0, 300.0)
    ticks, places = axis.ticks(apart)
    assert all(low - 1e-6 * span <= tick <= low + span * (1.0 + 1e-6) for tick in ticks)
    assert all(tick == round(tick, places) for tick in ticks)
    steps = [axis(two) - axis(one) for one, two in pairwise(ticks)]
    assert all(step >= apart * (1.0 - 1e-6) for step in steps)


def test_axis_without_room_is_refused():
    with pytest.raises(ValueError, match="no room"):
        fitted([Claim(1.0)], 100.0, 100.0)
