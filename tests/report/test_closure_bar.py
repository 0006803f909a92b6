"""The closure bar: stretches in proportion, labels that never touch, nothing drawn of what has no mass."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoistbook.report.closure_bar import NARROW, Piece, closure_bar
from hoistbook.report.lettering import text_width
from hoistbook.report.theme import CAPTION

KINDS = ("weighed", "computed", "published", "estimated")


def pieces(*masses):
    return [Piece(kind, kind, mass, f"{mass:.1f}") for kind, mass in zip(KINDS, masses, strict=False)]


def test_stretches_are_shares_of_the_scale():
    bar = closure_bar(pieces(900.0, 50.0, 25.0), 1000.0)
    # first principles: 900, 50, 25 and the 25 left of 1000 kg.
    assert [(s.kind, s.left, s.width) for s in bar.segments] == [
        ("weighed", pytest.approx(0.0), pytest.approx(90.0)),
        ("computed", pytest.approx(90.0), pytest.approx(5.0)),
        ("published", pytest.approx(95.0), pytest.approx(2.5)),
        ("rest", pytest.approx(97.5), pytest.approx(2.5)),
    ]
    assert bar.scale_end == pytest.approx(100.0)


def test_parts_above_the_scale_end_beyond_it():
    bar = closure_bar(pieces(1200.0, 50.0), 1000.0)
    # first principles: 1000 of 1250 kg, and nothing is left to be unallocated.
    assert bar.scale_end == pytest.approx(80.0)
    assert [s.kind for s in bar.segments] == ["weighed", "computed"]


def test_without_a_scale_the_parts_are_the_whole():
    bar = closure_bar(pieces(3.0, 1.0), None)
    assert bar.scale_end is None
    assert sum(s.width for s in bar.segments) == pytest.approx(100.0)
    assert closure_bar([], None).segments == ()


masses = st.lists(st.floats(0.0, 1000.0), min_size=1, max_size=4)


@given(masses, st.floats(0.001, 2000.0), st.floats(NARROW, 2000.0))
def test_labels_stand_in_a_row_without_touching_at_any_width(found, scale, width):
    bar = closure_bar(pieces(*found), scale)
    ends = []
    for label in bar.labels:
        right = label.middle * width / 100.0 + label.right
        ends.append((right - text_width(f"{label.words} {label.text}", CAPTION, bold=True), right))
    # first principles: two texts in one line do not touch when the left one ends before the right one begins.
    for (_, left_end), (right_begin, _) in pairwise(ends):
        assert left_end < right_begin
    assert all(right <= width + 1e-6 for _, right in ends)
