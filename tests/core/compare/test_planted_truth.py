"""A small seeded version of the planted-truth study; the full one, 2,000 pairs, is `make validate`."""

import pytest

import planted_truth

N_PAIRS, N_DRAWS = 18, 400


@pytest.fixture(scope="module")
def coverage():
    return planted_truth.run(N_PAIRS, N_DRAWS, seed=77)


def test_bands_hold_the_planted_truth(coverage):
    # first principles: the truth is made, not computed by the engine from data; a 95 % band holds it 95 times in 100.
    # 36 pairs: one cause is held in 28 or fewer with probability 1e-4 (binomial), one of 18 in 13 or fewer; all
    # together, within about 4 %.
    counts = [*coverage.causes.values(), *coverage.decisions.values()]
    assert len(coverage.causes) == 10
    for name, count in coverage.causes.items():
        assert count.held >= 0.72 * count.tried, name
    held, tried = sum(c.held for c in counts), sum(c.tried for c in counts)
    assert tried > 30 * N_PAIRS
    assert 0.91 < held / tried < 0.99


def test_bands_are_no_wider_than_they_need_be(coverage):
    # first principles: bands that always hold the truth are too wide; some of some 700 must miss it.
    counts = [*coverage.causes.values(), *coverage.decisions.values()]
    assert sum(c.tried - c.held for c in counts) >= 8


def test_tyres_and_drag_force_merge_for_the_planted_reason_only(coverage):
    # first principles: every second pair is planted with a road load known by its coefficients alone.
    assert coverage.coefficient_pairs == N_PAIRS
    assert coverage.merged_pairs == coverage.coefficient_pairs
    assert coverage.wrong_merges == 0


def test_slopes_of_the_decisions_return_their_cause(coverage):
    # first principles: the integral of the slopes must return the share of the cause (fundamental theorem).
    assert coverage.worst_closing_frac < 5e-3
