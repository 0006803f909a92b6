"""Expected narrowing against exact algebra of normal distributions."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoistbook.core.compare.next_measurement import Candidate, ranked, repeated


def designed(covariance, n_draws=5000, seed=7):
    """Draws whose sample mean is zero and whose sample covariance is exactly the one asked for."""
    z = np.random.default_rng(seed).standard_normal((len(covariance), n_draws))
    z -= z.mean(axis=1, keepdims=True)
    z = np.linalg.solve(np.linalg.cholesky(z @ z.T / n_draws), z)
    return np.linalg.cholesky(np.asarray(covariance)) @ z


def test_one_figure_is_the_conditional_normal():
    target, shown = designed([[4.0, 1.5], [1.5, 1.0]])
    (found,) = ranked(target, None, [Candidate("z", "z", shown, 0.5, "measure z", 20.0)])
    # first principles: Var(T|y) = 4 − 1.5²/(1 + 0.25) = 2.2. The correction for chance agreement is of the size 1/n.
    assert found.half_width_then / found.half_width_now == pytest.approx(np.sqrt(2.2 / 4.0), abs=2e-4)
    # first principles: 1.96 standard deviations of 2; the quantiles of 5,000 draws are good to some 3 %.
    assert found.half_width_now == pytest.approx(1.96 * 2.0, rel=0.05)
    assert (found.name, found.how, found.minutes) == ("z", "measure z", 20.0)


def test_several_figures_at_once_are_the_conditional_normal():
    covariance = np.array([[4.0, 1.0, 0.6], [1.0, 2.0, 0.5], [0.6, 0.5, 1.0]])
    target, one, two = designed(covariance)
    sd = (0.7, 0.3)
    (found,) = ranked(target, None, [Candidate("both", "both", np.stack([one, two]), sd, "measure both")])
    # first principles: Schur complement c' (S + N)⁻¹ c of the covariance above, written out for two rows.
    (a, b, c) = 2.0 + 0.49, 0.5, 1.0 + 0.09
    determinant = a * c - b * b
    explained = (1.0 * (c * 1.0 - b * 0.6) + 0.6 * (-b * 1.0 + a * 0.6)) / determinant
    assert found.half_width_then / found.half_width_now == pytest.approx(
        np.sqrt(1.0 - explained / 4.0), abs=3e-4
    )


def test_perfect_knowledge_of_the_target_leaves_nothing():
    (target,) = designed([[9.0]])
    (found,) = ranked(target, None, [Candidate("itself", "itself", target * 3.0, 0.0, "look")])
    # first principles: T is known once 3 T is read without error.
    assert found.half_width_then == pytest.approx(0.0, abs=1e-6)
    assert found.narrower_frac == pytest.approx(1.0, abs=1e-6)


def test_the_better_measurement_comes_first_and_an_idle_one_last():
    target, near, far = designed([[1.0, 0.9, 0.3], [0.9, 1.0, 0.2], [0.3, 0.2, 1.0]])
    constant = np.full_like(target, 5.0)
    found = ranked(
        target,
        None,
        [
            Candidate("constant", "", constant, 0.1, ""),
            Candidate("far", "", far, 0.1, ""),
            Candidate("near", "", near, 0.1, ""),
        ],
    )
    assert [one.name for one in found] == ["near", "far", "constant"]
    # first principles: what does not vary has nothing to say.
    assert found[-1].half_width_then == found[-1].half_width_now


def test_unrelated_draws_promise_nothing():
    draws = np.random.default_rng(3).standard_normal((40, 200))
    found = ranked(draws[0], None, [Candidate(str(i), "", draws[i], 0.0, "") for i in range(1, 40)])
    # first principles: chance correlations in 200 draws are of the size 1/200 in R²; freed from them the median is 0.
    assert np.median([one.narrower_frac for one in found]) == pytest.approx(0.0, abs=1e-3)


def test_weights_count_as_repeats():
    rng = np.random.default_rng(5)
    target, shown = rng.standard_normal((2, 400))
    target = target + shown
    repeats = rng.integers(1, 5, 400)
    weighed = ranked(target, repeats.astype(float), [Candidate("z", "", shown, 0.4, "")])[0]
    repeated = ranked(
        np.repeat(target, repeats), None, [Candidate("z", "", np.repeat(shown, repeats), 0.4, "")]
    )[0]
    # first principles: a draw of weight 3 is three draws; only the correction for chance sees another number of draws.
    ratio = weighed.half_width_then / weighed.half_width_now
    assert ratio == pytest.approx(repeated.half_width_then / repeated.half_width_now, abs=2e-3)


@given(st.floats(0.05, 5.0), st.floats(1.05, 3.0))
def test_a_worse_instrument_never_narrows_more(sd, worse):
    target, shown = designed([[1.0, 0.8], [0.8, 1.0]], n_draws=200)
    fine, coarse = (
        ranked(target, None, [Candidate("z", "", shown, s, "")])[0].half_width_then for s in (sd, sd * worse)
    )
    assert fine <= coarse


@pytest.mark.parametrize(
    ("weights", "candidate", "words"),
    [
        (np.array([1.0, -1.0, 1.0]), None, "weights: give 3 weights"),
        (None, Candidate("drum", "", np.zeros(4), 0.1, ""), "drum: draws have the shape"),
        (None, Candidate("drum", "", np.zeros(3), -0.1, ""), "drum: sd = -0.1"),
        (None, Candidate("drum", "", np.zeros(3), (0.1, 0.2), ""), "drum: sd ="),
    ],
)
def test_what_does_not_fit_is_refused(weights, candidate, words):
    with pytest.raises(ValueError, match=words):
        ranked(np.arange(3.0), weights, [candidate] if candidate else [])


@given(st.integers(1, 11), st.floats(0.1, 10.0), st.floats(0.0, 10.0))
def test_the_own_part_of_a_repeated_test_shrinks_with_its_number(more, own_sd, shared_sd):
    # published equation, from memory: JCGM 100:2008, 4.2.3, eq. (5): s²(q̄) = s²(q)/n; the shared part stays.
    own, shared = designed([[own_sd**2, 0.0], [0.0, max(shared_sd, 1e-9) ** 2]])
    (found,) = ranked(own + shared, None, [repeated("again", "", own, own_sd, more, "")])
    left = shared_sd**2 + own_sd**2 / (more + 1)
    assert found.half_width_then / found.half_width_now == pytest.approx(
        np.sqrt(left / (shared_sd**2 + own_sd**2)), abs=3e-4
    )


@pytest.mark.parametrize("tests", [2, 3, 6])
def test_repeats_narrow_as_simulated_tests_do(tests):
    # computed here: 40,000 series of tests of one thing on one bench. The bench errs alike in all tests of a series,
    # each test by itself besides; how far the mean is off is then counted, not worked out.
    rng = np.random.default_rng(11)
    own_sd, bench_sd = 1.6, 1.0
    off = rng.normal(0.0, bench_sd, 40_000) + rng.normal(0.0, own_sd, (tests, 40_000)).mean(axis=0)
    own, bench = designed([[own_sd**2, 0.0], [0.0, bench_sd**2]])
    (found,) = ranked(own + bench, None, [repeated("again", "", own, own_sd, tests - 1, "")])
    # The standard deviation of 40,000 is good to 0.35 %; five of these.
    share = off.std() / np.hypot(own_sd, bench_sd)
    assert found.half_width_then / found.half_width_now == pytest.approx(share, rel=0.018)


def test_a_repeat_adds_a_test():
    with pytest.raises(ValueError, match="again: 0 further tests"):
        repeated("again", "", np.zeros(3), 1.0, 0, "")
