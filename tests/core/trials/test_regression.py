"""Regression of speed changes against dense references and the laws its covariance obeys."""

import math

import numpy as np
import pytest
import statsmodels.api as sm
from hypothesis import given, settings
from hypothesis import strategies as st

from hoistbook.core.trials.regression import Clustered, Steps, blocks, clustered, likeliest_ratio


def made_steps(seed=1, cluster_count=4, length=60, own=0, noise=0.03, gust=0.02):
    """Runs with readings that are noisy and a force that wanders."""
    random = np.random.default_rng(seed)
    parts = []
    for cluster in range(cluster_count):
        duration = random.uniform(0.5, 1.5, length)
        speed = np.linspace(30.0, 5.0, length) + random.normal(0.0, 1.0)
        common = duration[:, None] * np.stack([np.ones(length), speed, speed**2], axis=1) / 1000.0
        sign = np.where(np.arange(length) < length // 2, 1.0, -1.0)
        owns = duration[:, None] * np.stack([sign, sign * speed], axis=1)[:, :own] / 1000.0
        reading = random.normal(0.0, noise, length + 1)
        change = (
            common @ [150.0, 1.0, 0.5]
            + np.diff(reading)
            + random.normal(0.0, gust, length) * np.sqrt(duration)
        )
        linked = np.arange(length) > 0
        linked[length // 3] = False  # a gap in the recording
        parts.append((change, common, owns, duration, linked, np.full(length, cluster)))
    columns = [np.concatenate(column) for column in zip(*parts, strict=True)]
    return Steps(*columns)


def dense_covariance(steps, ratio):
    matrix = np.diag(2.0 + ratio * steps.duration_s)
    for i in np.flatnonzero(steps.linked):
        matrix[i, i - 1] = matrix[i - 1, i] = -1.0
    return matrix


def test_coefficients_and_covariance_match_dense_generalised_least_squares():
    steps, ratio = made_steps(), 0.4
    found = clustered(blocks(steps, ratio))
    # computed: statsmodels GLS with the dense covariance.
    reference = sm.GLS(steps.change, steps.common, sigma=dense_covariance(steps, ratio)).fit()
    assert found.estimate == pytest.approx(reference.params, rel=1e-8)
    assert found.covariance_within == pytest.approx(reference.cov_params(), rel=1e-7)


def test_own_coefficients_match_dummies_for_each_cluster():
    steps, ratio = made_steps(own=2), 0.4
    found = blocks(steps, ratio)
    solved = clustered(found)
    dummies = np.zeros((len(steps.change), 8))
    for i, cluster in enumerate(steps.cluster):
        dummies[i, 2 * cluster : 2 * cluster + 2] = steps.own[i]
    # computed: statsmodels GLS with one column per cluster and own coefficient.
    reference = sm.GLS(
        steps.change, np.hstack([steps.common, dummies]), sigma=dense_covariance(steps, ratio)
    ).fit()
    assert solved.estimate == pytest.approx(reference.params[:3], rel=1e-7)
    assert found.own(solved.estimate).ravel() == pytest.approx(reference.params[3:], rel=1e-6)
    assert solved.covariance_within == pytest.approx(reference.cov_params()[:3, :3], rel=1e-6)


def test_differences_say_what_the_whole_trace_with_a_free_start_says():
    random = np.random.default_rng(3)
    count, ratio = 80, 0.3
    duration = random.uniform(0.5, 1.5, count)
    time = np.concatenate(([0.0], np.cumsum(duration)))
    speed = 30.0 - 0.25 * time
    slowing = np.stack([np.ones(count), 0.5 * (speed[1:] + speed[:-1])], axis=1) * duration[:, None]
    reading = speed + random.normal(0.0, 0.05, count + 1)
    steps = Steps(
        -np.diff(reading),
        slowing,
        np.empty((count, 0)),
        duration,
        np.arange(count) > 0,
        np.zeros(count, dtype=int),
    )
    # first principles: v(t) = v0 − Σ regressors, readings with white noise and a random walk, fitted as one trace.
    lost = np.vstack([np.zeros(2), np.cumsum(slowing, axis=0)])
    covariance = np.eye(count + 1) + ratio * np.minimum.outer(time, time)
    reference = sm.GLS(reading, np.column_stack([np.ones(count + 1), -lost]), sigma=covariance).fit()
    assert clustered(blocks(steps, ratio)).estimate == pytest.approx(reference.params[1:], rel=1e-8)


def test_likeliest_ratio_is_the_largest_of_the_dense_likelihood():
    steps = made_steps(seed=5, noise=0.03, gust=0.03)
    best = likeliest_ratio(steps)

    def loss(ratio):
        # from memory: restricted likelihood, (n − p) ln s² + ln|T| + ln|XᵀT⁻¹X|, written out densely.
        matrix = dense_covariance(steps, ratio)
        inverse = np.linalg.inv(matrix)
        information = steps.common.T @ inverse @ steps.common
        theta = np.linalg.solve(information, steps.common.T @ inverse @ steps.change)
        left = steps.change - steps.common @ theta
        free = len(left) - 3
        return (
            free * math.log(left @ inverse @ left / free)
            + np.linalg.slogdet(matrix)[1]
            + np.linalg.slogdet(information)[1]
        )

    assert loss(best) < loss(best * 1.3)
    assert loss(best) < loss(best / 1.3)


def test_ratio_comes_back_from_made_readings():
    # first principles: gusts of variance 0.03² per second on readings of variance 0.03²: ratio 1/s. With 2,000 steps
    # its logarithm is known to about ±0.2.
    ratios = [likeliest_ratio(made_steps(seed=s, cluster_count=8, length=250, gust=0.03)) for s in range(3)]
    assert np.mean(np.log(ratios)) == pytest.approx(0.0, abs=0.25)


def test_equal_clusters_match_the_cluster_covariance_of_statsmodels():
    random = np.random.default_rng(7)
    count, length = 6, 40
    design = np.tile(np.stack([np.ones(length), np.linspace(0.0, 3.0, length)], axis=1), (count, 1))
    cluster = np.repeat(np.arange(count), length)
    change = design @ [2.0, 0.7] + random.normal(size=count)[cluster] + random.normal(size=count * length)
    steps = Steps(
        change,
        design,
        np.empty((count * length, 0)),
        np.ones(count * length),
        np.zeros(count * length, bool),
        cluster,
    )
    found = clustered(blocks(steps, 0.0))
    reference = sm.OLS(change, design).fit(
        cov_type="cluster", cov_kwds={"groups": cluster, "use_correction": False}
    )
    # computed: statsmodels OLS, covariance by cluster without correction; for m equal clusters the unbiased one is
    # m/(m − 1) times that (first principles: variance of a mean).
    assert found.estimate == pytest.approx(reference.params, rel=1e-9)
    assert found.covariance_between == pytest.approx(reference.cov_params() * count / (count - 1), rel=1e-8)
    assert found.dof(np.array([1.0, 0.5])) == pytest.approx(count - 1)


def test_straight_line_of_the_gum():
    """GUM H.3: corrections of a thermometer, a straight line by ordinary least squares."""
    reading = [21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511]
    correction = [-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160]
    n = len(reading)
    design = np.stack([np.ones(n), np.array(reading) - 20.0], axis=1)
    steps = Steps(
        np.array(correction), design, np.empty((n, 0)), np.ones(n), np.zeros(n, bool), np.zeros(n, dtype=int)
    )
    found = clustered(blocks(steps, 0.0))
    u = np.sqrt(np.diag(found.covariance_within))
    # from memory: GUM H.3, table H.6 and H.3.3, more digits as computed there with numpy.
    assert found.estimate == pytest.approx([-0.171204, 0.00218270], rel=3e-6)
    assert u == pytest.approx([0.002878, 0.000667939], rel=2e-4)
    assert found.covariance_within[0, 1] / (u[0] * u[1]) == pytest.approx(-0.930430, abs=1e-6)


def spread_clusters(sizes):
    """Information matrices of clusters of unlike size and design."""
    random = np.random.default_rng(11)
    found = []
    for size in sizes:
        rows = random.normal(size=(size, 3)) * [1.0, 2.0, 0.5]
        found.append(rows.T @ rows)
    return np.stack(found)


@given(st.lists(st.integers(1, 12), min_size=5, max_size=9))
@settings(max_examples=25, deadline=None)
def test_covariance_between_is_unbiased_for_unlike_clusters(sizes):
    """Each adjusted score has the variance it would have without the fit, so the sum has that of the estimate."""
    sizes = [*sizes, 6, 6]  # no cluster alone settles a coefficient
    information = spread_clusters(sizes)
    whole = np.linalg.inv(information.sum(axis=0))
    found = Clustered(np.zeros(3), information, np.zeros((len(sizes), 3)), 1.0)
    expected = np.zeros((3, 3))
    for one, adjust in zip(information, found.adjustment, strict=True):
        # first principles: the residual score has covariance H_i − H_i H⁻¹ H_i.
        expected += adjust @ (one - one @ whole @ one) @ adjust.T
    assert whole @ expected @ whole == pytest.approx(whole, rel=1e-6, abs=1e-12)
    for direction in np.eye(3):
        assert 1.0 <= found.dof(direction) <= len(sizes) - 1 + 1e-6


def test_one_cluster_says_nothing_of_the_others():
    found = Clustered(np.zeros(2), np.eye(2)[None], np.zeros((1, 2)), 1.0)
    with pytest.raises(ValueError, match="one cluster"):
        _ = found.covariance_between


def test_terms_that_cannot_be_told_apart_are_refused():
    steps = made_steps()
    same = np.column_stack([steps.common[:, 0], 2.0 * steps.common[:, 0]])
    twice = Steps(steps.change, same, steps.own, steps.duration_s, steps.linked, steps.cluster)
    with pytest.raises(ValueError, match="wider span of speeds"):
        clustered(blocks(twice, 1.0))
