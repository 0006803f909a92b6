"""How a part was made and what of, as probabilities: each mark seen or reading taken weighs the candidates.

Candidates are pairs of process and material, so that a density also speaks about the process and a flash line about the
material. Given the pair, observations are taken as independent (naive Bayes); the result says so.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.cost.witness import (
    Candidate,
    Look,
    Measure,
    Observation,
    Seen,
    WitnessTable,
    name_of,
    side_of,
)

About = Literal["process", "material", "both"]
INDEPENDENCE = (
    "observations are taken as independent once process and material are given; marks of one cause seen together "
    "count for more than they should"
)


@dataclass(frozen=True, slots=True)
class Belief:
    """Probabilities after looking.

    Attributes
    ----------
    candidates : tuple of Candidate
    probability : array, shape (n_candidates,)
    observed : tuple of Observation
    sentences : tuple of str
        What was seen, what the engineer stated, what is assumed.
    """

    candidates: tuple[Candidate, ...]
    probability: Array
    observed: tuple[Observation, ...]
    sentences: tuple[str, ...]

    def processes(self) -> dict[str, float]:
        """Probability of each process, likeliest first."""
        return _margin(self, "process")

    def materials(self) -> dict[str, float]:
        """Probability of each material, likeliest first."""
        return _margin(self, "material")

    def likeliest(self, least: float = 0.01) -> tuple[tuple[Candidate, float], ...]:
        """Return the candidates worth costing, likeliest first, with probabilities that add up to 1.

        Parameters
        ----------
        least : float
            Candidates below it are left out, and the others scaled up. [1]

        Raises
        ------
        ValueError
            No candidate is as likely as `least`.
        """
        pairs = zip(self.candidates, map(float, self.probability), strict=True)
        kept = [pair for pair in pairs if pair[1] >= least and pair[1] > 0.0]
        if not kept:
            msg = f"no candidate has a probability of {least!r} or more; take a smaller least share."
            raise ValueError(msg)
        total = sum(share for _, share in kept)
        ordered = sorted(kept, key=lambda pair: (-pair[1], pair[0].process, pair[0].material))
        return tuple((one, share / total) for one, share in ordered)

    def entropy_bits(self, about: About = "both") -> float:
        """How much doubt is left: sum of -p log2 p. [bit]"""
        shares = _group(self.candidates, about) @ self.probability
        return float(_entropy(shares[:, None])[0])


def believe(
    table: WitnessTable,
    observations: Iterable[Observation],
    stated_process: str = "",
    stated_material: str = "",
) -> Belief:
    """Weigh the candidates by what was observed.

    Parameters
    ----------
    table : WitnessTable
    observations : iterable of Seen or Measured
        One of each kind: looking twice at one mark is not a second witness.
    stated_process, stated_material : str
        What the engineer says; it overrides the marks.

    Raises
    ------
    LookupError
        An observation, process or material the table does not know.
    ValueError
        One observation given twice, an outcome or a value it cannot have, or observations that exclude every candidate.

    Source
    ------
    first principles: Bayes' theorem, P(c | o) ~ P(c) prod P(o_i | c).
    """
    done = tuple(observations)
    log_weight = np.log([one.prior for one in table.candidates])
    sentences = []
    named = [name_of(one) for one in done]
    for name in named:
        if named.count(name) > 1:
            msg = f"{name!r} is given twice; state its outcome once."
            raise ValueError(msg)
    with np.errstate(divide="ignore"):
        for one in done:
            likelihood, words = _likelihood(table, one)
            log_weight = log_weight + np.log(likelihood)
            sentences.append(words)
    for by, code, known in (
        ("process", stated_process, table.processes),
        ("material", stated_material, table.materials),
    ):
        if not code:
            continue
        if code not in known:
            msg = f"no {by} named {code!r} among the candidates; known: {', '.join(known)}."
            raise LookupError(msg)
        kept = np.array([side_of(one, by) == code for one in table.candidates])
        log_weight = np.where(kept, log_weight, -np.inf)
        sentences.append(f"{by} stated by the engineer: {known[code]}")
    top = float(np.max(log_weight))
    if not math.isfinite(top):
        msg = (
            "no candidate is possible with all of this: "
            + "; ".join(sentences)
            + ". Look again, or add the pair of "
            "process and material to the table."
        )
        raise ValueError(msg)
    weight = np.exp(log_weight - top)
    probability: Array = weight / weight.sum()
    if done:
        sentences.append(INDEPENDENCE)
    return Belief(table.candidates, probability, done, tuple(sentences))


@dataclass(frozen=True, slots=True)
class NextLook:
    """One further observation: what it takes, and what it is expected to take away from the doubt. [s], [bit]

    `bits_per_money` is there where prices were stated.
    """

    name: str
    words: str
    how: str
    time_s: float
    expected_bits: float
    bits_per_minute: float
    bits_per_money: float | None = None


_GRID = 4_001


def next_looks(
    table: WitnessTable,
    belief: Belief,
    about: About = "process",
    prices: Mapping[str, float] | None = None,
) -> tuple[NextLook, ...]:
    """Further observations, the one that decides most per minute first, or per money where prices are stated.

    Parameters
    ----------
    table : WitnessTable
    belief : Belief
    about : str
        Which doubt is to fall.
    prices : mapping of str to float, optional
        What each observation costs, by name; those without a price are left out. [money]

    Raises
    ------
    ValueError
        A price that is not above 0.

    Notes
    -----
    Expected drop H(now) - sum over outcomes P(o) H(after o): never negative. For a measure the outcomes are a grid of
    4,001 values over its span, with the usual uncertainty of the instrument.

    Source
    ------
    published: D. V. Lindley, On a measure of the information provided by an experiment, 1956 (second hand).
    """
    done = {name_of(one) for one in belief.observed}
    groups = _group(belief.candidates, about)
    now = float(_entropy((groups @ belief.probability)[:, None])[0])
    found = []
    further: list[Look | Measure] = [*table.looks.values(), *table.measures.values()]
    for one in further:
        if one.name in done or (prices is not None and one.name not in prices):
            continue
        price = None if prices is None else prices[one.name]
        if price is not None and not price > 0.0:
            msg = (
                f"{one.words}: price {price!r}; an observation costs more than 0, if only the time it takes."
            )
            raise ValueError(msg)
        if isinstance(one, Look):
            likelihood = np.array([one.likelihood(belief.candidates, state) for state in one.states]).T
        else:
            grid = np.linspace(one.low, one.high, _GRID)
            likelihood = one.likelihood(belief.candidates, grid, one.usual_u(grid))
            likelihood = likelihood / likelihood.sum(axis=1, keepdims=True)
        joint = belief.probability[:, None] * likelihood
        chance = joint.sum(axis=0)
        seen = chance > 0.0
        after = _entropy(groups @ (joint[:, seen] / chance[seen]))
        drop = max(now - float(chance[seen] @ after), 0.0)  # rounding may leave it just below 0
        rates = drop * 60.0 / one.time_s, None if price is None else drop / price
        found.append(NextLook(one.name, one.words, one.how, one.time_s, drop, *rates))
    return tuple(sorted(found, key=lambda one: (-_worth(one), one.name)))


def _worth(one: NextLook) -> float:
    return one.bits_per_minute if one.bits_per_money is None else one.bits_per_money


def _likelihood(table: WitnessTable, one: Observation) -> tuple[Array, str]:
    if isinstance(one, Seen):
        look = table.looks.get(one.look)
        if look is None:
            msg = f"no look named {one.look!r}; known: {', '.join(table.looks)}."
            raise LookupError(msg)
        return look.likelihood(table.candidates, one.state), f"{look.words}: {one.state}"
    measure = table.measures.get(one.measure)
    if measure is None:
        msg = f"no measure named {one.measure!r}; known: {', '.join(table.measures)}."
        raise LookupError(msg)
    if not measure.low <= one.value <= measure.high:
        msg = (
            f"{measure.words} = {one.value!r} {measure.unit} is outside {measure.low:g}–{measure.high:g} "
            f"{measure.unit}; check the reading and its unit."
        )
        raise ValueError(msg)
    value = np.array([one.value])
    u = measure.usual_u(value) if one.u is None else np.array([one.u])
    if not u[0] > 0.0:
        msg = f"{measure.words}: standard uncertainty {u[0]!r} {measure.unit}; it must be above 0."
        raise ValueError(msg)
    words = f"{measure.words}: {one.value:g} {measure.unit} (u = {u[0]:.2g})"
    return measure.likelihood(table.candidates, value, u)[:, 0], words


def _margin(belief: Belief, by: str) -> dict[str, float]:
    found: dict[str, float] = {}
    for one, probability in zip(belief.candidates, belief.probability, strict=True):
        found[side_of(one, by)] = found.get(side_of(one, by), 0.0) + float(probability)
    return dict(sorted(found.items(), key=lambda row: (-row[1], row[0])))


def _group(candidates: Sequence[Candidate], about: About) -> Array:
    """Matrix of ones that adds candidates up to what the doubt is about, shape (n_groups, n_candidates)."""
    if about == "both":
        return np.eye(len(candidates))
    codes = [side_of(one, about) for one in candidates]
    known = list(dict.fromkeys(codes))
    return np.array([[float(code == one) for code in codes] for one in known])


def _entropy(probability: Array) -> Array:
    """Entropy of each column. [bit]"""
    safe = np.where(probability > 0.0, probability, 1.0)
    total: Array = -np.sum(safe * np.log2(safe), axis=0)
    return total
