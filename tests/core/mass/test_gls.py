"""Least squares with shared sources, against generalised least squares with the dense covariance."""

import numpy as np
import pytest
import scipy.linalg
from hypothesis import given, settings
from hypothesis import strategies as st

from hoistbook.core.mass.gls import Block, fit_blocks

NO_BOUND = 1e12


def random_blocks(seed, parts, shared_count=2):
    rng = np.random.default_rng(seed)
    blocks = []
    for _ in range(parts):
        unknowns = int(rng.integers(1, 4))
        readings = unknowns + int(rng.integers(1, 4))
        design = rng.integers(0, 4, (readings, unknowns)).astype(float)
        design[:unknowns] += np.eye(unknowns) * 5.0  # full rank
        blocks.append(
            Block(
                design,
                rng.normal(0.0, 3.0, readings),
                rng.uniform(0.1, 2.0, readings),
                rng.normal(0.0, 1.0, (readings, shared_count)),
            )
        )
    return blocks


def dense(blocks):
    """Textbook: s = (AᵀV⁻¹A)⁻¹AᵀV⁻¹y with V = D + CCᵀ over all readings of all blocks."""
    design = scipy.linalg.block_diag(*(block.design for block in blocks))
    values = np.concatenate([block.values_kg for block in blocks])
    shared = np.vstack([block.shared_kg for block in blocks])
    covariance = np.diag(np.concatenate([block.own_kg for block in blocks]) ** 2) + shared @ shared.T
    weight = scipy.linalg.inv(covariance)
    normal = design.T @ weight @ design
    return scipy.linalg.solve(normal, design.T @ weight @ values), scipy.linalg.inv(normal)


def solution(blocks, fit):
    shared = fit.shared
    return np.concatenate(
        [f.gain @ (b.values_kg - b.shared_kg @ shared) for b, f in zip(blocks, fit.blocks, strict=True)]
    )


@settings(max_examples=50)
@given(st.integers(0, 2**32 - 1), st.integers(1, 4))
def test_agrees_with_dense_generalised_least_squares(seed, parts):
    # first principles: Aitken's estimator, solved densely with scipy.linalg.
    blocks = random_blocks(seed, parts)
    fit = fit_blocks(blocks, 2, NO_BOUND)
    expected, _ = dense(blocks)
    np.testing.assert_allclose(solution(blocks, fit), expected, rtol=1e-8, atol=1e-8)


@given(st.integers(0, 2**32 - 1))
def test_covariance_follows_from_the_gains(seed):
    # first principles: covariance of Aitken's estimator is (AᵀV⁻¹A)⁻¹.
    blocks = random_blocks(seed, 2)
    fit = fit_blocks(blocks, 2, NO_BOUND)
    _, expected = dense(blocks)
    shared = np.vstack([block.shared_kg for block in blocks])
    gain = scipy.linalg.block_diag(*(f.gain for f in fit.blocks)) @ (
        np.eye(len(shared)) - shared @ fit.shared_gain
    )
    own = np.concatenate([block.own_kg for block in blocks])
    covariance = gain @ (np.diag(own**2) + shared @ shared.T) @ gain.T
    np.testing.assert_allclose(covariance, expected, rtol=1e-7, atol=1e-9)


def test_two_readings_of_one_mass_are_their_weighted_mean():
    # first principles: weights 1/u²: (10/0.01 + 10.3/0.04)/(1/0.01 + 1/0.04) = 10.06; u² = 1/125.
    block = Block(np.ones((2, 1)), np.array([10.0, 10.3]), np.array([0.1, 0.2]), np.zeros((2, 0)))
    fit = fit_blocks([block], 0)
    assert (fit.blocks[0].gain @ block.values_kg)[0] == pytest.approx(10.06, abs=1e-12)
    assert (fit.blocks[0].gain ** 2 @ block.own_kg**2)[0] == pytest.approx(1.0 / 125.0, abs=1e-12)
    # residual −0.06 with u² = 0.1² − 1/125 = 0.002
    assert fit.blocks[0].residual_kg[0] == pytest.approx(-0.06)
    assert fit.blocks[0].residual_u_kg[0] == pytest.approx(np.sqrt(0.002))
    assert not fit.blocks[0].contradictory


def test_an_exact_reading_decides():
    block = Block(np.ones((2, 1)), np.array([10.0, 10.1]), np.array([0.0, 0.2]), np.zeros((2, 0)))
    fit = fit_blocks([block], 0)
    # first principles: an infinite weight; the numerical band of 1e-6 leaves 0.1 · 1e-12.
    assert (fit.blocks[0].gain @ block.values_kg)[0] == pytest.approx(10.0, abs=1e-10)


def test_readings_without_any_band_that_agree_are_kept():
    block = Block(np.ones((2, 1)), np.array([3.0, 3.0]), np.zeros(2), np.zeros((2, 0)))
    fit = fit_blocks([block], 0)
    assert (fit.blocks[0].gain @ block.values_kg)[0] == pytest.approx(3.0)
    assert not fit.blocks[0].contradictory


def test_unknowns_that_cannot_be_told_apart_are_named():
    # The second and third unknown lie on the scale in proportion 1 : 2 at every reading.
    design = np.array([[1.0, 1.0, 2.0], [1.0, 2.0, 4.0], [2.0, 1.0, 2.0]])
    block = Block(design, np.array([3.0, 5.0, 4.0]), np.full(3, 0.1), np.zeros((3, 0)))
    fit = fit_blocks([block], 0).blocks[0]
    assert fit.dropped == (2,)
    assert fit.tied == (1,)
    np.testing.assert_allclose(fit.gain @ block.values_kg, [1.0, 2.0, 0.0], atol=1e-9)


def test_a_contradiction_widens_by_the_birge_ratio_and_leaves_the_scale_alone():
    good = Block(np.ones((2, 1)), np.array([5.0, 5.01]), np.full(2, 0.01), np.full((2, 1), 0.01))
    bad = Block(np.ones((2, 1)), np.array([5.0, 9.0]), np.full(2, 0.01), np.array([[0.01], [0.0]]))
    fit = fit_blocks([good, bad], 1)
    assert not fit.blocks[0].contradictory
    assert fit.blocks[1].contradictory
    # first principles: chi² = 2 (2/0.01)² = 80000 for one degree of freedom; own errors become 0.01 √80000 = 2.828.
    total_own = np.sqrt(0.01**2 + fit.blocks[1].widening_kg ** 2)
    np.testing.assert_allclose(total_own, 0.01 * np.sqrt(80000.0))
    # The good block sees the scale twice, so its readings say nothing about the scale; the bad one is not asked.
    np.testing.assert_allclose(fit.shared, 0.0, atol=1e-12)


def test_no_blocks():
    fit = fit_blocks([], 3)
    assert fit.blocks == ()
    assert fit.shared.shape == (3,)
