"""Monte Carlo propagation and the second-order terms."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from hoistbook.core.quantities.evaluation import normal, rectangular
from hoistbook.core.quantities.montecarlo import (
    numerical_tolerance,
    propagate,
    shortest_interval,
    symmetric_interval,
)
from hoistbook.core.quantities.quantity import Quantity, Source
from hoistbook.core.quantities.second_order import second_order_variance


@pytest.mark.parametrize(
    ("u", "digits", "delta"),
    # from memory: JCGM 101 7.9.2: 0.00035 = 35e-5 gives 0.5e-5 (2 digits); 2 = 2e0 gives 0.5 (1 digit).
    [
        (0.00035, 2, 0.5e-5),
        (2.0, 1, 0.5),
        (10.47, 2, 0.5),
        (0.0996, 2, 0.5e-2),
        (0.0994, 2, 0.5e-3),
        (1234.0, 2, 50.0),
    ],
)
def test_numerical_tolerance(u, digits, delta):
    assert numerical_tolerance(u, digits) == pytest.approx(delta)


def test_intervals_of_a_known_sample():
    values = np.arange(1.0, 101.0)
    # from memory: JCGM 101 7.7.2 with M = 100, p = 0.95: q = 95, r = 3 (from 2.5), ends y(3) and y(98).
    assert symmetric_interval(np.flip(values)) == (3.0, 98.0)
    skewed = np.concatenate([np.zeros(96), [5.0, 6.0, 7.0, 8.0]])
    # first principles: 95 steps further on, the shortest stretch is the heap of zeros.
    assert shortest_interval(skewed) == (0.0, 0.0)


@given(st.lists(st.floats(-1e6, 1e6), min_size=50, max_size=200), st.floats(0.5, 0.95))
def test_the_shortest_interval_is_no_longer_and_holds_its_share(values, p):
    array = np.array(values)
    low, high = shortest_interval(array, p)
    s_low, s_high = symmetric_interval(array, p)
    assert high - low <= s_high - s_low
    assert np.count_nonzero((array >= low) & (array <= high)) >= math.floor(p * array.size + 0.5)


def test_the_shortest_interval_of_an_exponential_starts_at_its_bound():
    run = propagate(
        lambda a, b: a**2 + b**2,
        {"a": normal(0.0, 1.0, "1", "a"), "b": normal(0.0, 1.0, "1", "b")},
        200_000,
        8,
    )
    # first principles: chi-square with 2 degrees of freedom, mean 2; 95 % from 0 to −2 ln 0.05 = 5.991.
    error = math.sqrt(0.05 * 0.95 / 200_000) / float(stats.chi2(2).pdf(5.991))
    assert run.shortest[0] == pytest.approx(0.0, abs=1e-3)
    assert run.shortest[1] == pytest.approx(5.991, abs=5 * error + 1e-3)
    assert run.interval[0] == pytest.approx(
        -2.0 * math.log(0.975), abs=5 * math.sqrt(0.025 * 0.975 / 2e5) / 0.49
    )


def test_same_seed_same_result_whatever_the_order_of_inputs():
    x, y = normal(1.0, 0.1, "1", "x"), rectangular(2.0, 0.3, "1", "y")
    one = propagate(lambda x, y: x * y, {"x": x, "y": y}, 20_000, 5)
    two = propagate(lambda x, y: x * y, {"y": y, "x": x}, 20_000, 5)
    other = propagate(lambda x, y: x * y, {"x": x, "y": y}, 20_000, 6)
    assert np.array_equal(one.values, two.values)
    assert not np.array_equal(one.values, other.values)


def test_shared_sources_cancel():
    s = Source("shared", "rectangular")
    x, y = Quantity(5.0, "m", ((s, 0.5),)), Quantity(3.0, "m", ((s, 0.5),))
    run = propagate(lambda x, y: x - y, {"x": x, "y": y}, 1000, 1)
    assert run.values == pytest.approx(np.full(1000, 2.0))
    assert run.standard_uncertainty == pytest.approx(0.0, abs=1e-12)


def test_adaptive_run_stops_when_the_digits_are_secured():
    x = normal(10.0, 0.5, "1", "x")
    run = propagate(lambda x: x, {"x": x}, 5_000_000, 3, adaptive=True, digits=1)
    # from memory: JCGM 101 7.9.4: blocks of 10 000, at least two; one digit of u = 0.5 is secured to 0.05.
    assert run.converged is True
    assert run.n_draws == 20_000
    assert run.value == pytest.approx(10.0, abs=0.05)
    finer = propagate(lambda x: x, {"x": x}, 5_000_000, 3, adaptive=True)
    assert finer.n_draws > run.n_draws
    assert finer.interval[0] == pytest.approx(10.0 - 1.959964 * 0.5, abs=0.01)
    # first principles: the adaptive run takes the first draws of the same streams.
    assert np.array_equal(finer.values[:20_000], run.values)


def test_adaptive_run_says_when_it_could_not():
    run = propagate(lambda x: x, {"x": normal(10.0, 0.5, "1", "x")}, 30_000, 3, adaptive=True)
    assert run.converged is False
    assert run.n_draws == 30_000


def test_standard_errors_of_a_run():
    run = propagate(lambda x: x, {"x": normal(0.0, 3.0, "1", "x")}, 100_000, 2)
    # first principles: u/sqrt(n), and u/sqrt(2n) for a normal result.
    assert run.mean_error == pytest.approx(3.0 / math.sqrt(1e5), rel=0.02)
    assert run.uncertainty_error == pytest.approx(3.0 / math.sqrt(2e5), rel=0.05)
    assert run.converged is None


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda x: propagate(lambda x: x[:5], {"x": x}, 1000, 1), r"returned shape \(5,\) for 1000 draws"),
        (
            lambda x: propagate(lambda x: np.where(x > 0.0, np.nan, x), {"x": x}, 1000, 1),
            "no finite value for",
        ),
        (lambda x: propagate(lambda x: x, {"x": x}, 0, 1), "take at least 10000"),
        (lambda x: propagate(lambda x: x, {"x": x}, 9_999, 1, adaptive=True), "take at least 10000"),
        (lambda x: propagate(lambda x: x, {"x": x}, 10, 1, probability=0.99), "too few"),
        (lambda x: propagate(lambda x: x, {"x": x}, 10, 1, probability=95), "outside 0–1"),
        (lambda x: numerical_tolerance(0.0), "no numerical tolerance"),
        (lambda x: second_order_variance(lambda x: x, {"x": x}, step=0.0), "step = 0.0"),
        (lambda x: second_order_variance(lambda x: math.inf, {"x": x}), "not finite"),
    ],
)
def test_errors_say_what_is_wrong(call, message):
    with pytest.raises(ValueError, match=message):
        call(normal(0.0, 1.0, "1", "x"))


# first principles: fourth moments of the standardised shapes, by numerical integration with SciPy.
SHAPES = [
    (Source("x"), stats.norm()),
    (Source("x", "rectangular"), stats.uniform(-1, 2)),
    (Source("x", "triangular"), stats.triang(0.5, -1, 2)),
    (Source("x", "arcsine"), stats.arcsine(-1, 2)),
    (Source("x", "trapezoid", 0.5), stats.trapezoid(0.25, 0.75, -1, 2)),
]


@pytest.mark.parametrize(("source", "law"), SHAPES)
def test_second_order_is_exact_for_a_parabola(source, law):
    u = 0.3
    x = Quantity(0.5, "1", ((source, u),))
    first, second = second_order_variance(lambda x: 2.0 * x + 3.0 * x**2, {"x": x})
    kappa = 3.0 + float(law.stats(moments="k"))
    # first principles: slope 2 + 6 x = 5; var = 25 u² + 9 u⁴ (kappa − 1).
    assert first == pytest.approx(25.0 * u**2)
    assert second == pytest.approx(25.0 * u**2 + 9.0 * u**4 * (kappa - 1.0), rel=1e-8)


@given(st.floats(-2, 2), st.floats(-2, 2), st.floats(0.05, 1.0), st.floats(0.05, 1.0))
def test_second_order_is_exact_for_a_product(x, y, u, v):
    inputs = {"x": normal(x, u, "1", "x"), "y": rectangular(y, v * math.sqrt(3.0), "1", "y")}
    _, second = second_order_variance(lambda x, y: x * y, inputs)
    # first principles: var(xy) = y² u² + x² v² + u² v² for independent factors.
    assert second == pytest.approx(y**2 * u**2 + x**2 * v**2 + u**2 * v**2, rel=1e-6, abs=1e-9)


def test_second_order_takes_shared_sources_once():
    s = Source("s")
    inputs = {"x": Quantity(1.0, "1", ((s, 0.2),)), "y": Quantity(1.0, "1", ((s, -0.2),))}
    first, second = second_order_variance(lambda x, y: x * y, inputs)
    # first principles: (1 + 0.2 z)(1 − 0.2 z) = 1 − 0.04 z², variance 0.04² · 2.
    assert first == pytest.approx(0.0, abs=1e-15)
    assert second == pytest.approx(0.0032, rel=1e-6)
