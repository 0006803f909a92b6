"""Draws: reproducible, shared, and of the right shape."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from hoistbook.core.quantities.evaluation import correlated, normal
from hoistbook.core.quantities.quantity import Quantity, Source, correlation, total
from hoistbook.core.quantities.sampling import SourceStream, draw_source, draws, joint_draws

N = 100_000
ROOT3, ROOT2, ROOT6 = math.sqrt(3.0), math.sqrt(2.0), math.sqrt(6.0)

# first principles: distributions of standard deviation 1 (student: unit scale).
LAWS = {
    "normal": (Source("n"), stats.norm()),
    "student": (Source("t", "student", dof=5), stats.t(5)),
    "rectangular": (Source("r", "rectangular"), stats.uniform(-ROOT3, 2 * ROOT3)),
    "triangular": (Source("tri", "triangular"), stats.triang(0.5, -ROOT6, 2 * ROOT6)),
    "arcsine": (Source("a", "arcsine"), stats.arcsine(-ROOT2, 2 * ROOT2)),
    "trapezoid": (
        Source("z", "trapezoid", 0.5),
        stats.trapezoid(0.25, 0.75, -math.sqrt(6.0 / 1.25), 2 * math.sqrt(6.0 / 1.25)),
    ),
    "trapezoid without top": (Source("z0", "trapezoid", 0.0), stats.triang(0.5, -ROOT6, 2 * ROOT6)),
    "trapezoid without sides": (Source("z1", "trapezoid", 1.0), stats.uniform(-ROOT3, 2 * ROOT3)),
}


@pytest.mark.parametrize("name", LAWS)
def test_draws_follow_their_law(name):
    source, law = LAWS[name]
    z = draw_source(source, N, seed=11)
    # first principles: the distance of the distribution functions exceeds 1.95/sqrt(n) once in 1000 (Kolmogorov).
    assert stats.kstest(z, law.cdf).statistic < 1.95 / math.sqrt(N)
    if name != "student":
        assert np.std(z) == pytest.approx(1.0, abs=5.0 / math.sqrt(N))


@given(st.integers(0, 2**70), st.sampled_from([source for source, _ in LAWS.values()]), st.integers(1, 50))
def test_the_first_draws_of_a_long_run_are_those_of_a_short_one(seed, source, n):
    long = draw_source(source, 100, seed)
    assert np.array_equal(draw_source(source, n, seed), long[:n])
    stream = SourceStream(source, seed)
    assert np.array_equal(np.concatenate([stream.take(n), stream.take(100 - n or 1)])[:100], long)


def test_draws_depend_on_name_and_seed_and_on_nothing_else():
    z = draw_source(Source("drag area", "normal"), 1000, 1)
    other = draw_source(Source("mass"), 1000, 1)
    again = draw_source(Source("drag area", "normal"), 1000, 1)
    assert np.array_equal(z, again)
    # first principles: independent draws correlate by 1/sqrt(n).
    for unlike in (other, draw_source(Source("drag area"), 1000, 2)):
        assert abs(np.corrcoef(z, unlike)[0, 1]) < 5.0 / math.sqrt(1000)


def test_two_quantities_share_the_draws_of_a_shared_source():
    shared = Source("instrument B2/calibration", "rectangular")
    a = Quantity(2.0, "kg", ((shared, 0.3), (Source("reading a"), 0.4)))
    b = Quantity(5.0, "kg", ((Source("reading b"), 0.1), (shared, 0.3)))
    x, y = draws(a, N, 3), draws(b, N, 3)
    # first principles: the shared part cancels draw by draw; standard error of u is u/sqrt(2n).
    u = math.hypot(0.4, 0.1)
    assert np.std(x - y) == pytest.approx(u, abs=5 * u / math.sqrt(2 * N))
    assert np.allclose(draws(a - b, N, 3), x - y, atol=1e-12)
    assert np.corrcoef(x, y)[0, 1] == pytest.approx(correlation(a, b), abs=5.0 / math.sqrt(N))
    assert np.allclose(joint_draws([a, b], N, 3), np.array([x, y]), atol=1e-12)


def test_a_sum_is_drawn_like_the_sum_of_its_draws():
    parts = [Quantity(0.5, "kg", ((Source("B2"), 0.01), (Source(f"r{k}"), 0.02))) for k in range(20)]
    assert np.allclose(draws(total(parts), 500, 9), joint_draws(parts, 500, 9).sum(axis=0), atol=1e-9)


def test_an_ensemble_is_drawn_as_one_multivariate_student_distribution():
    x, y = correlated((0.0, 0.0), [[1.0, 0.6], [0.6, 2.0]], ("x", "y"), "m", dof=4)
    p, q = joint_draws([x, y], N, 5)
    # first principles: every linear combination is student with 4 degrees of freedom and the scale of its variance.
    for a, b in ((1.0, 0.0), (1.0, 1.0), (1.0, -0.7)):
        scale = math.sqrt(a * a + 2.0 * b * b + 2.0 * a * b * 0.6)
        assert stats.kstest((a * p + b * q) / scale, stats.t(4).cdf).statistic < 1.95 / math.sqrt(N)


def test_bands_of_few_readings_hold_as_often_as_they_say():
    random = np.random.default_rng(17)
    runs, n, calibration = 4000, 4, 0.5
    held = 0
    for _ in range(runs):
        error = calibration * random.normal()
        values = 10.0 + error + random.normal(size=n)
        s = float(np.std(values, ddof=1))
        q = Quantity(
            float(values.mean()),
            "m",
            ((Source("a", "student", dof=n - 1), s / math.sqrt(n)), (Source("calibration"), calibration)),
        )
        low, high = q.band()
        held += low <= 10.0 <= high
    # first principles: 95 % nominal; Welch–Satterthwaite is approximate, published studies find it within 2 % here
    # (common practice), plus four binomial standard errors.
    assert held / runs == pytest.approx(0.95, abs=0.02 + 4 * math.sqrt(0.05 * 0.95 / runs))


def test_errors_say_what_is_wrong():
    with pytest.raises(ValueError, match="n = 0 draws"):
        draw_source(Source("x"), 0, 1)
    with pytest.raises(ValueError, match="n = -1 draws"):
        draws(normal(1.0, 0.1, "m", "x"), -1, 1)
    clash = [Quantity(1.0, "m", ((Source("x", shape), 0.1),)) for shape in ("normal", "rectangular")]
    with pytest.raises(ValueError, match="both named 'x'"):
        joint_draws(clash, 10, 1)
