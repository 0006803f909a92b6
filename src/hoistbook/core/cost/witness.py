"""Witness marks: what can be seen or measured on a part, and how likely it is for each process and material."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from scipy.special import ndtr

from hoistbook.core.arrays import Array


@dataclass(frozen=True, slots=True)
class Candidate:
    """A pair of process and material with its share before anything was looked at.

    `code`: material of a scenario that stands for it, in the form that the process is fed with; `choices`: those of the
    process that this material asks for.
    """

    process: str
    material: str
    prior: float
    code: str = ""
    choices: Mapping[str, str] = field(default_factory=dict)


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
        return np.array([self.rows.get(side_of(one, self.by), self.otherwise)[place] for one in candidates])


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
            found = self.ranges.get(side_of(one, self.by))
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


def name_of(one: Observation) -> str:
    """Return the name of what was looked at or measured."""
    return one.look if isinstance(one, Seen) else one.measure


def side_of(one: Candidate, by: str) -> str:
    """Return the process or the material of a candidate."""
    return one.process if by == "process" else one.material
