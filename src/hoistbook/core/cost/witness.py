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
from scipy.special import ndtr

from hoistbook.core.arrays import Array

About = Literal["process", "material", "both"]
INDEPENDENCE = (
    "observations are taken as independent once process and material are given; marks of one cause seen together "
    "count for more than they should"
)


@dataclass(frozen=True, slots=True)
class Candidate:
    """A pair of process and material with its share before anything was looked at."""

    process: str
    material: str
    prior: float


@dataclass(frozen=True, slots=True)
class Look:
    """Something with a few outcomes that is looked for.

    Attributes
    ----------
    name, words, how : str
    time_s : float
        What it takes. [s]
    by : str
        "process" or "material": what the outcome depends on.
    states : tuple of str
        Outcomes.
    rows : mapping of str to tuple of float
        Probability of each outcome, by process or material. [1]
    otherwise : tuple of float
        For those without a row.
    mark, source : str

    Raises
    ------
    ValueError
        Probabilities that do not add up to 1.
    """

    name: str
    words: str
    how: str
    time_s: float
    by: Literal["process", "material"]
    states: tuple[str, ...]
    rows: Mapping[str, tuple[float, ...]]
    otherwise: tuple[float, ...]
    mark: str
    source: str

    def __post_init__(self) -> None:
        for code, row in {**self.rows, "otherwise": self.otherwise}.items():
            sound = len(row) == len(self.states) and min(row) >= 0.0 and abs(sum(row) - 1.0) < 1e-9
            if not sound:
                msg = (
                    f"look {self.name!r}, {code}: {len(row)} probabilities that add up to {sum(row):g}; give one per "
                    f"outcome ({', '.join(self.states)}), none negative, 1 in all."
                )
                raise ValueError(msg)

    def likelihood(self, candidates: Sequence[Candidate], state: str) -> Array:
        """Probability of an outcome for each candidate; `ValueError` for an outcome it does not have."""
        if state not in self.states:
            msg = f"{self.words}: no outcome {state!r}; known: {', '.join(self.states)}."
            raise ValueError(msg)
        place = self.states.index(state)
        return np.array([self.rows.get(_of(one, self.by), self.otherwise)[place] for one in candidates])


@dataclass(frozen=True, slots=True)
class Measure:
    """Something that is measured: each candidate has a range.

    Attributes
    ----------
    name, words, unit, how : str
    time_s : float
    by : str
    low, high : float
        Between them a reading may lie at all. [unit]
    ranges : mapping of str to (float, float)
        By process or material. [unit]
    u_abs, u_frac : float
        Usual standard uncertainty of the instrument: absolute, and as a share of the reading; the larger holds.
    slip_frac : float
        Share of readings that speak of something else (a coat, another place), evenly between low and high. [1]
    mark, source : str
    """

    name: str
    words: str
    unit: str
    how: str
    time_s: float
    by: Literal["process", "material"]
    low: float
    high: float
    ranges: Mapping[str, tuple[float, float]]
    u_abs: float
    u_frac: float
    slip_frac: float
    mark: str
    source: str

    def __post_init__(self) -> None:
        if not (self.low < self.high and 0.0 <= self.slip_frac < 1.0 and max(self.u_abs, self.u_frac) > 0.0):
            msg = f"measure {self.name!r}: it needs low < high, a slip from 0 to below 1 and an uncertainty above 0."
            raise ValueError(msg)

    def likelihood(self, candidates: Sequence[Candidate], value: Array, u: Array) -> Array:
        """Density of readings for each candidate, shape (n_candidates, n_values). [1/unit]

        Notes
        -----
        A value even between the ends of the range plus a normal instrument error has the density
        (Phi((x - low)/u) - Phi((x - high)/u))/(high - low); with the share s of slips (1 - s) times that + s/(span).
        A candidate without a range may read anything within the span.

        Source
        ------
        first principles (convolution of a rectangle and a normal).
        """
        span = 1.0 / (self.high - self.low)
        rows = []
        for one in candidates:
            found = self.ranges.get(_of(one, self.by))
            if found is None:
                rows.append(np.full(value.shape, span))
                continue
            low, high = found
            if high > low:
                inside = (ndtr((value - low) / u) - ndtr((value - high) / u)) / (high - low)
            else:
                inside = np.exp(-0.5 * ((value - low) / u) ** 2) / (u * math.sqrt(2.0 * math.pi))
            rows.append((1.0 - self.slip_frac) * inside + self.slip_frac * span)
        return np.array(rows)

    def usual_u(self, value: Array) -> Array:
        """Return the standard uncertainty the instrument usually has at a value. [unit]"""
        return np.maximum(self.u_abs, self.u_frac * np.abs(value))


@dataclass(frozen=True, slots=True)
class WitnessTable:
    """Everything that is known about marks: candidates with priors, looks, measures, words by name."""

    processes: Mapping[str, str]
    materials: Mapping[str, str]
    candidates: tuple[Candidate, ...]
    looks: Mapping[str, Look]
    measures: Mapping[str, Measure]

    def __post_init__(self) -> None:
        total = sum(one.prior for one in self.candidates)
        if abs(total - 1.0) > 1e-9:
            msg = f"the shares of the candidates add up to {total:g}; scale them to 1."
            raise ValueError(msg)


@dataclass(frozen=True, slots=True)
class Seen:
    """Outcome of a look."""

    look: str
    state: str


@dataclass(frozen=True, slots=True)
class Measured:
    """A reading of a measure; without an uncertainty the instrument's usual one holds. [unit of the measure]"""

    measure: str
    value: float
    u: float | None = None


Observation = Seen | Measured


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
    named = [_name(one) for one in done]
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
        kept = np.array([_of(one, by) == code for one in table.candidates])
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
    """One further observation: what it takes, and what it is expected to take away from the doubt. [s], [bit]"""

    name: str
    words: str
    how: str
    time_s: float
    expected_bits: float
    bits_per_minute: float


_GRID = 4_001


def next_looks(table: WitnessTable, belief: Belief, about: About = "process") -> tuple[NextLook, ...]:
    """Further observations, the one that decides most per minute first.

    Parameters
    ----------
    table : WitnessTable
    belief : Belief
    about : str
        Which doubt is to fall.

    Notes
    -----
    Expected drop H(now) - sum over outcomes P(o) H(after o): never negative. For a measure the outcomes are a grid of
    4,001 values over its span, with the usual uncertainty of the instrument.

    Source
    ------
    published: D. V. Lindley, On a measure of the information provided by an experiment, 1956 (second hand).
    """
    done = {_name(one) for one in belief.observed}
    groups = _group(belief.candidates, about)
    now = float(_entropy((groups @ belief.probability)[:, None])[0])
    found = []
    further: list[Look | Measure] = [*table.looks.values(), *table.measures.values()]
    for one in further:
        if one.name in done:
            continue
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
        found.append(NextLook(one.name, one.words, one.how, one.time_s, drop, drop * 60.0 / one.time_s))
    return tuple(sorted(found, key=lambda one: (-one.bits_per_minute, one.name)))


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


def _name(one: Observation) -> str:
    return one.look if isinstance(one, Seen) else one.measure


def _of(one: Candidate, by: str) -> str:
    return one.process if by == "process" else one.material


def _margin(belief: Belief, by: str) -> dict[str, float]:
    found: dict[str, float] = {}
    for one, probability in zip(belief.candidates, belief.probability, strict=True):
        found[_of(one, by)] = found.get(_of(one, by), 0.0) + float(probability)
    return dict(sorted(found.items(), key=lambda row: (-row[1], row[0])))


def _group(candidates: Sequence[Candidate], about: About) -> Array:
    """Matrix of ones that adds candidates up to what the doubt is about, shape (n_groups, n_candidates)."""
    if about == "both":
        return np.eye(len(candidates))
    codes = [_of(one, about) for one in candidates]
    known = list(dict.fromkeys(codes))
    return np.array([[float(code == one) for code in codes] for one in known])


def _entropy(probability: Array) -> Array:
    """Entropy of each column. [bit]"""
    safe = np.where(probability > 0.0, probability, 1.0)
    total: Array = -np.sum(safe * np.log2(safe), axis=0)
    return total
