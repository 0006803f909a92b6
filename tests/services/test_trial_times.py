"""One vehicle is on one test at a time: what is said where the times written down cannot be."""

from datetime import datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoistbook.services.trial_times import overlapping, span_of

DAY = datetime.fromisoformat("2026-05-04")


def outcome(*seconds):
    return {"logs": [{"duration_s": length} for length in seconds]}


def at(minute):
    return f"{DAY + timedelta(minutes=minute):%Y-%m-%d %H:%M}"


@given(st.lists(st.tuples(st.integers(0, 40), st.integers(1, 20)), max_size=6))
def test_tests_overlap_where_they_share_a_minute(tests):
    # first principles: two stretches of whole minutes overlap where some minute is in both.
    minutes = [set(range(start, start + length)) for start, length in tests]
    shared = sum(bool(one & other) for place, one in enumerate(minutes) for other in minutes[place + 1 :])
    spans = [
        span_of(f"t{place}", at(start), outcome(60.0 * length)) for place, (start, length) in enumerate(tests)
    ]
    assert len(overlapping(spans)) == shared
    for place, one in enumerate(minutes):
        alone = sum(bool(one & other) for other in minutes) - 1
        assert len(overlapping(spans, f"t{place}")) == alone


def test_what_overlaps_is_named_with_its_times():
    # A charge of 6 h from 19:05 lasts until 01:05; a cycle at 23:48 is in it, a discharge at 01:05 begins as it ends.
    spans = [
        span_of("charge", "2026-05-12 19:05", outcome(6 * 3600.0)),
        span_of("cycle", "2026-05-12T23:48:00", outcome(1800.0)),
        span_of("discharge", "2026-05-13 01:05", outcome(3600.0)),
    ]
    [said] = overlapping(spans)
    assert said.startswith(
        "charge (2026-05-12 19:05 to 2026-05-13 01:05) and cycle (2026-05-12 23:48 to 2026-05-13 00:18) overlap"
    )


@pytest.mark.parametrize(
    ("written", "lengths"),
    [
        ("", (60.0,)),
        ("2026-05-12", (60.0,)),  # no hour: it may have been at any
        ("Tuesday after lunch", (60.0,)),
        ("12/05/2026 10:12", (60.0,)),
        ("2026-05-12 10:12", ()),  # a table without a clock
    ],
)
def test_a_time_that_does_not_say_when_is_left_alone(written, lengths):
    assert span_of("t", written, outcome(*lengths)) is None


def test_zones_are_heeded_and_logs_side_by_side_count_once():
    # 10:12 at +02:00 is 08:12 at UTC; two wheels logged side by side for 90 and 100 s took 100 s at least.
    span = span_of("t", "2026-05-12T10:12:00+02:00", outcome(90.0, 100.0))
    assert (span.start, span.end - span.start) == (
        datetime.fromisoformat("2026-05-12 08:12"),
        timedelta(seconds=100),
    )
