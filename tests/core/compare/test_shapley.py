from itertools import permutations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from hoistbook.core.compare.shapley import coalition_weights, shapley, weights_without

PLAYERS = 4
GAMES = arrays(np.float64, 2**PLAYERS, elements=st.floats(-1e3, 1e3))


def by_orders(values):
    """Shapley's definition: the mean marginal contribution over every order of arrival."""
    n = len(values).bit_length() - 1
    shares = np.zeros(n)
    orders = list(permutations(range(n)))
    for order in orders:
        coalition = 0
        for player in order:
            joined = coalition | 1 << player
            shares[player] += values[joined] - values[coalition]
            coalition = joined
    return shares / len(orders)


def test_glove_game():
    # from memory: the glove game, standard in texts after Shapley (two own a left glove, one a right): 1/6, 1/6, 2/3.
    values = np.array([1.0 if s & 4 and s & 3 else 0.0 for s in range(8)])
    assert shapley(values) == pytest.approx([1 / 6, 1 / 6, 2 / 3], abs=1e-15)


def test_airport_game():
    # from memory: S. C. Littlechild and G. Owen, 1973, costs 8, 11, 13, 18: 2, 3, 4, 9.
    costs = [8.0, 11.0, 13.0, 18.0]
    values = np.array([max((costs[i] for i in range(4) if s >> i & 1), default=0.0) for s in range(16)])
    assert shapley(values) == pytest.approx([2.0, 3.0, 4.0, 9.0], abs=1e-12)


def test_three_factor_range():
    # computed: R = 1000 U eta/w; U 80 -> 84 kWh, w 150 -> 180 Wh/km, eta 0.90 -> 0.85; all 3! orders.
    # Coalition values 480, 504, 400, 420, 453.3333, 476, 377.7778, 396.6667 km; shares +21.4074, -79.7037, -25.0370.
    x, y = (80.0, 150.0, 0.90), (84.0, 180.0, 0.85)
    values = []
    for s in range(8):
        u, w, eta = (y[i] if s >> i & 1 else x[i] for i in range(3))
        values.append(1000.0 * u * eta / w)
    assert values == pytest.approx(
        [480.0, 504.0, 400.0, 420.0, 453.3333, 476.0, 377.7778, 396.6667], abs=5e-5
    )
    assert shapley(np.array(values)) == pytest.approx([21.4074, -79.7037, -25.0370], abs=5e-5)


@given(GAMES)
def test_equals_the_mean_over_all_orders(values):
    # first principles: Shapley's definition, written out in by_orders().
    assert shapley(values) == pytest.approx(by_orders(values), abs=1e-9)


@given(GAMES, GAMES, st.floats(-3, 3))
def test_axioms(one, other, factor):
    # published: Shapley 1953 (second hand): efficiency, additivity; anti-symmetry when the two vehicles swap.
    assert shapley(one).sum() == pytest.approx(one[-1] - one[0], abs=1e-8)
    combined = shapley(one + factor * other)
    assert combined == pytest.approx(shapley(one) + factor * shapley(other), abs=1e-8)
    assert shapley(one[::-1].copy()) == pytest.approx(-shapley(one), abs=1e-8)


@given(GAMES, st.floats(-50, 50))
def test_dummy_and_symmetry(values, worth):
    # published: Shapley 1953 (second hand): a dummy gets what it is worth alone; equal players get equal shares.
    with_dummy = np.concatenate([values, values + worth])
    assert shapley(with_dummy)[-1] == pytest.approx(worth, abs=1e-8)
    symmetric = np.array(
        [
            values[min(s, int(format(s, "04b")[:2] + format(s, "04b")[3] + format(s, "04b")[2], 2))]
            for s in range(16)
        ]
    )
    shares = shapley(symmetric)
    assert shares[0] == pytest.approx(shares[1], abs=1e-9)


@pytest.mark.parametrize("n", [1, 2, 5, 11])
def test_weights_add_up(n):
    # first principles: the weights of the coalitions without a player are a probability.
    weights = coalition_weights(n)
    assert weights.sum(axis=1) == pytest.approx(np.zeros(n), abs=1e-12)
    assert np.where(weights > 0, weights, 0).sum(axis=1) == pytest.approx(np.ones(n), abs=1e-12)
    for player in range(n):
        assert weights_without(n, player).sum() == pytest.approx(1.0, abs=1e-12)


def test_refuses_what_is_no_game():
    with pytest.raises(ValueError, match="give 2\\*\\*n of them"):
        shapley(np.zeros(5))
    with pytest.raises(ValueError, match="n_players = 17"):
        coalition_weights(17)
    with pytest.raises(ValueError, match="player = 4"):
        weights_without(4, 4)
