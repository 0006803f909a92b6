"""The drawing of a claim: whatever the figures, everything stands where its value is, inside the drawing."""

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoistbook.core.compare.bars import Interval
from hoistbook.report.claim_scale import MARGIN, WIDTH, claim_scale
from hoistbook.report.lettering import text_width

SIZES = st.floats(-1e6, 1e6).map(lambda x: round(x, 3))
HALVES = st.floats(0.0, 1e4).map(lambda x: round(x, 3))


@given(
    value=SIZES,
    half=HALVES,
    limit=SIZES,
    reach=HALVES,
    beyond=HALVES,
    relation=st.sampled_from(["less than", "more than", "about"]),
)
def test_everything_is_inside_and_in_the_order_of_its_values(value, half, limit, reach, beyond, relation):
    limits = (limit - reach, limit + reach) if relation == "about" else (limit,)
    unsure = (limit - beyond, limit) if relation == "less than" else (limit, limit + beyond)
    drawn = claim_scale(
        Interval(value, value - half, value + half), limits, relation, unsure, "12.34 ± 5.6 kg", "at least"
    )
    known = [
        (value, drawn.value),
        (value - half, drawn.low),
        (value + half, drawn.high),
        *zip(limits, drawn.limits, strict=True),
        (unsure[0], drawn.unsure[0]),
        (unsure[1], sum(drawn.unsure)),
    ]
    assert all(0.0 <= x <= WIDTH for _, x in known)
    for (a, x), (b, y) in pairwise(sorted(known)):
        assert x <= y + 0.21 or math.isclose(a, b)  # places are rounded to a tenth of a pixel
    for middle, words in ((drawn.value_words, "12.34 ± 5.6 kg"), (drawn.claimed_words, "at least")):
        half_width = 0.5 * text_width(words, 12.0, bold=True)
        assert middle - half_width >= -0.1
        assert middle + half_width <= WIDTH + 0.1
    ends = [
        (x - 0.5 * text_width(words, 12.0), x + 0.5 * text_width(words, 12.0)) for x, words in drawn.ticks
    ]
    assert all(before[1] < after[0] for before, after in pairwise(ends))
    assert all(left >= 0.0 and right <= WIDTH for left, right in ends)


def test_places_are_in_proportion():
    # first principles: 0, 1 and 2 lie in equal steps; the axis keeps 40 px beyond its outermost figures.
    drawn = claim_scale(Interval(1.0, 0.0, 2.0), (0.0,), "more than", (0.0, 0.5), "1 ± 1", "more")
    assert drawn.high - drawn.value == pytest.approx(drawn.value - drawn.low, abs=0.11)
    assert drawn.unsure[1] == pytest.approx(0.5 * (drawn.value - drawn.low), abs=0.11)
    assert drawn.zero == drawn.low == drawn.limits[0]
    at = {float(words): x for x, words in drawn.ticks}
    assert at[1.0] == drawn.value


@pytest.mark.parametrize(
    ("relation", "end_px"), [("less than", MARGIN), ("more than", WIDTH - MARGIN), ("about", None)]
)
def test_arrows_point_where_the_claim_holds(relation, end_px):
    limits = (-1.0, 1.0) if relation == "about" else (0.0,)
    drawn = claim_scale(Interval(0.5, 0.4, 0.6), limits, relation, (0.0, 0.2), "0.5", "so")
    for start, end in drawn.claimed:
        if relation == "about":
            assert end in drawn.limits
        else:
            assert start == drawn.limits[0]
            assert end == end_px
    assert len(drawn.claimed) == (2 if relation == "about" else 1)


def test_zero_far_away_does_not_press_the_figures_together():
    drawn = claim_scale(Interval(-17.4, -17.43, -17.37), (-15.0,), "less than", (-15.03, -15.0), "x", "y")
    assert drawn.zero is None
    assert abs(drawn.limits[0] - drawn.value) > 200.0
