"""Cost of a part whose making is in doubt: each draw takes one candidate, so that the band carries the doubt."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from hoistbook.core.arrays import Array
from hoistbook.core.cost.keyed import keys, uniforms
from hoistbook.core.cost.result import Money, PartCost


@dataclass(frozen=True, slots=True)
class Mixed:
    """Cost over candidates.

    Attributes
    ----------
    likeliest : str
    piece : Money
        Best estimate of the likeliest candidate, with the 95 % band of the mixture.
    mean_money : float
        Mean of the best estimates, weighted by the probabilities. [money]
    probability : mapping of str to float
    draws : array, shape (n_draws,)
    sentence : str
    """

    likeliest: str
    piece: Money
    mean_money: float
    probability: Mapping[str, float]
    draws: Array
    sentence: str


def drawn_candidates(tag: str, probability: Mapping[str, float], n_draws: int, seed: int) -> NDArray[np.intp]:
    """Place of the candidate that each draw takes: the same for one tag and seed, whoever asks.

    Raises
    ------
    ValueError
        Probabilities that do not add up to 1.
    """
    share = np.array(list(probability.values()))
    if not (np.all(share >= 0.0) and abs(float(share.sum()) - 1.0) < 1e-9):
        msg = f"{tag}: probabilities of the candidates add up to {float(share.sum()):g}; they must make 1."
        raise ValueError(msg)
    uniform = uniforms(keys([f"candidate/{tag}"], seed), n_draws)[0]
    place: NDArray[np.intp] = np.searchsorted(np.cumsum(share), uniform, side="right").astype(np.intp)
    return np.minimum(place, share.size - 1)  # the sum may end just below 1


def mixed(tag: str, costs: Mapping[str, PartCost], probability: Mapping[str, float], seed: int) -> Mixed:
    """Cost of a part over its candidates.

    Parameters
    ----------
    tag : str
    costs : mapping of str to PartCost
        By candidate, all with one seed and count of draws: what the candidates share is then one error.
    probability : mapping of str to float
        Of each candidate that has a cost, 1 in all.
    seed : int

    Raises
    ------
    ValueError
        A candidate without a cost, money of two bases, no draws, or probabilities that do not add up to 1.

    Source
    ------
    first principles: the distribution is the mixture of those of the candidates.
    """
    missing = [name for name in probability if name not in costs]
    if missing:
        msg = f"{tag}: candidate {missing[0]!r} has no cost; cost it, or spread its probability over the others."
        raise ValueError(msg)
    bases = {(costs[name].currency, costs[name].year) for name in probability}
    if len(bases) > 1:
        msg = f"{tag}: candidates are in {len(bases)} kinds of money; cost them in one scenario."
        raise ValueError(msg)
    rows = np.array([costs[name].draws for name in probability])
    if rows.shape[1] == 0:
        msg = f"{tag}: the costs hold no draws; cost the candidates with draws."
        raise ValueError(msg)
    place = drawn_candidates(tag, probability, rows.shape[1], seed)
    draws: Array = rows[place, np.arange(rows.shape[1])]
    likeliest = max(probability, key=lambda name: probability[name])
    low, high = np.percentile(draws, (2.5, 97.5))
    mean = sum(share * costs[name].piece.value for name, share in probability.items())
    words = ", ".join(f"{name} {share:.0%}" for name, share in probability.items() if share >= 0.005)
    return Mixed(
        likeliest,
        Money(costs[likeliest].piece.value, float(low), float(high)),
        float(mean),
        dict(probability),
        draws,
        f"the band carries the doubt between candidates: {words}; the value is that of the likeliest",
    )
