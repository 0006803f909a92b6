"""Sharing a gap among its causes so that the shares add up whatever the order.

Coalitions are bit masks: bit i of the index is set when cause i has been switched from vehicle X to vehicle Y.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from hoistbook.core.arrays import Array

MOST_PLAYERS = 16


def coalition_weights(n_players: int) -> Array:
    """Weight of each coalition in the share of each player.

    Parameters
    ----------
    n_players : int
        Number of players, 1 to 16.

    Returns
    -------
    array, shape (n_players, 2**n_players)
        Matrix W with shares = W @ values, so that shares[i] = Σ_S∌i w(|S|) (v(S ∪ i) − v(S)).

    Raises
    ------
    ValueError
        Fewer than 1 or more than 16 players.

    Source
    ------
    published: L. S. Shapley, A value for n-person games, 1953 (second hand: encyclopaedia text);
    w(s) = s! (n − s − 1)! / n!.
    """
    if not 1 <= n_players <= MOST_PLAYERS:
        msg = f"n_players = {n_players}: give 1 to {MOST_PLAYERS}; merge causes that belong together."
        raise ValueError(msg)
    index = np.arange(2**n_players)
    size = _bit_count(index, n_players)
    by_size = np.array(
        [
            math.factorial(s) * math.factorial(n_players - s - 1) / math.factorial(n_players)
            for s in range(n_players)
        ]
    )
    weights = np.empty((n_players, index.size))
    for player in range(n_players):
        inside = (index >> player) & 1 == 1
        # v(S ∪ i) enters with the weight of S, which has one member fewer.
        weights[player] = np.where(
            inside, by_size[np.maximum(size - 1, 0)], -by_size[np.minimum(size, n_players - 1)]
        )
    return weights


def weights_without(n_players: int, player: int) -> Array:
    """Weights w(|S|) of the coalitions S of the other players, in the order of their bit masks.

    Parameters
    ----------
    n_players, player : int
        All players, and the one left out (its bit is removed from the mask).

    Returns
    -------
    array, shape (2**(n_players − 1),)
        They add up to 1.

    Source
    ------
    published: as `coalition_weights`.
    """
    if not 0 <= player < n_players:
        msg = f"player = {player}: give 0 to {n_players - 1}."
        raise ValueError(msg)
    size = _bit_count(np.arange(2 ** (n_players - 1)), n_players - 1)
    by_size = [
        math.factorial(s) * math.factorial(n_players - s - 1) / math.factorial(n_players)
        for s in range(n_players)
    ]
    return np.asarray(by_size)[size]


def shapley(values: Array) -> Array:
    """Shapley shares of a game given by the value of each coalition.

    Parameters
    ----------
    values : array, shape (2**n,) or (2**n, n_draws)
        Value of each coalition, any unit; the empty coalition comes first.

    Returns
    -------
    array, shape (n,) or (n, n_draws)
        One share per player in the same unit; they add up to values[-1] − values[0].

    Raises
    ------
    ValueError
        The number of coalitions is not a power of two.

    Source
    ------
    published: L. S. Shapley, 1953, as `coalition_weights`.

    Examples
    --------
    >>> import numpy as np
    >>> shapley(np.array([0.0, 1.0, 2.0, 4.0])).tolist()
    [1.5, 2.5]
    """
    n_coalitions = values.shape[0]
    n_players = n_coalitions.bit_length() - 1
    if n_coalitions != 2**n_players or n_players < 1:
        msg = f"{n_coalitions} coalition values: give 2**n of them, one per subset of the n players."
        raise ValueError(msg)
    return coalition_weights(n_players) @ values


def _bit_count(index: NDArray[np.int64], n_bits: int) -> NDArray[np.int64]:
    count = np.zeros_like(index)
    for bit in range(n_bits):
        count += (index >> bit) & 1
    return count
