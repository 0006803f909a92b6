"""Series: own gaps per channel, interpolation only where asked, integrals as SciPy's."""

import numpy as np
import pytest
import scipy.integrate
from hypothesis import given
from hypothesis import strategies as st

from hoistbook.core.trials.series import Series


def test_a_gap_adds_nothing_and_is_said():
    series = Series("log", [0, 1, 2, 3, 10, 11], {"speed_m_per_s": [0, 1, np.nan, 3, 5, 5]})
    integral = series.integral("speed_m_per_s", 2.5)
    # first principles: areas 0.5 (0–1 s), 4 (1–3 s, bridged), 5 (10–11 s); 3–10 s is a gap of 7 s.
    assert (integral.value, integral.covered_s, integral.missing_s) == (9.5, 4.0, 7.0)
    assert series.gaps("speed_m_per_s", 2.5) == ((3.0, 10.0),)
    # first principles: halfway from 1 at 1 s to 3 at 3 s; nothing in the gap; nothing after the end.
    np.testing.assert_array_equal(
        series.values_at("speed_m_per_s", np.array([2.0, 3.0, 5.0, 12.0]), 2.5), [2.0, 3.0, np.nan, np.nan]
    )


def test_gaps_at_the_ends_count():
    series = Series("log", [0, 5, 6, 20], {"pack_power_w": [np.nan, 1, 1, np.nan], "run": [1, 1, 1, 1]})
    # first principles: no sample from 0 to 5 and from 6 to 20 s.
    assert series.gaps("pack_power_w", 4.0) == ((0.0, 5.0), (6.0, 20.0))


@given(
    st.lists(
        st.tuples(st.floats(0.01, 3.0), st.floats(-1e4, 1e4)),
        min_size=2,
        max_size=60,
    )
)
def test_integral_without_gaps_is_scipys(samples):
    time = np.cumsum([step for step, _ in samples])
    power = np.array([value for _, value in samples])
    integral = Series("log", time, {"pack_power_w": power}).integral("pack_power_w", 3.1)
    # computed: scipy.integrate.trapezoid.
    assert integral.value == pytest.approx(scipy.integrate.trapezoid(power, time), rel=1e-12, abs=1e-6)
    assert integral.missing_s == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("count", [100, 101])
def test_sampling_error_estimates_that_of_a_parabola(count):
    time = np.linspace(0.0, 1.0, count)
    integral = Series("log", time, {"pack_power_w": time**2}).integral("pack_power_w", 1.0)
    # first principles: the integral of t² is 1/3, and the trapezoid of a parabola is off by h²/6 exactly.
    assert integral.value - 1.0 / 3.0 == pytest.approx((time[1] - time[0]) ** 2 / 6.0, rel=1e-6)
    assert integral.sampling == pytest.approx(integral.value - 1.0 / 3.0, rel=0.02)


def test_labels_step_and_angles_take_the_short_way():
    series = Series("log", [0, 1], {"run": [1, 2], "wind_direction_rad": [np.radians(350), np.radians(10)]})
    # first principles: a label holds until it changes; from 350° to 10° leads through 360°.
    assert series.values_at("run", np.array([0.9]), 2.0) == [1.0]
    assert np.degrees(series.values_at("wind_direction_rad", np.array([0.5]), 2.0)) == pytest.approx([360.0])


def test_runs_are_never_joined():
    series = Series("log", range(6), {"run": [np.nan, 1, np.nan, 2, 1, 1], "speed_m_per_s": range(6)})
    # first principles: run 1, run 2, then a run 1 again; the sample before the first number belongs to none.
    assert [(number, list(part.time_s)) for number, part in series.runs()] == [
        (1, [1.0, 2.0]),
        (2, [3.0]),
        (1, [4.0, 5.0]),
    ]


@pytest.mark.parametrize(
    ("time", "channels", "error", "words"),
    [
        ([0, 1, 1], {}, ValueError, "time 1 s does not come after 1 s"),
        ([0, np.nan], {}, ValueError, "not finite"),
        ([], {}, ValueError, "one or more"),
        ([0, 1], {"speed_m_per_s": [1]}, ValueError, "one per time"),
        ([0, 1], {"speed_m_per_s": [1, np.inf]}, ValueError, "a missing one is NaN"),
        ([0, 1], {"speed": [1, 2]}, LookupError, "known: speed_m_per_s"),
    ],
)
def test_bad_series_are_refused(time, channels, error, words):
    with pytest.raises(error, match=words):
        Series("log", np.array(time, dtype=float), channels)


def test_a_missing_channel_is_named_with_those_there():
    with pytest.raises(LookupError, match="no channel pack_power_w; it has: speed_m_per_s"):
        Series("log", [0.0], {"speed_m_per_s": [1.0]})["pack_power_w"]
