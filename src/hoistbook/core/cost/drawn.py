"""Values and draws side by side: column 0 of every array is the best estimate, the others are draws.

Figures of scenario, materials, machines and processes are drawn once per name and shared by whoever uses them, so that
the difference of two parts of one shop is sharper than either. Readings are drawn per part.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.cost.figure import Figure
from hoistbook.core.cost.keyed import keys, normals, triangle, uniforms
from hoistbook.core.cost.route import PartToCost
from hoistbook.core.quantities.quantity import Quantity, Source
from hoistbook.core.quantities.sampling import draw_source


class SharedDraws:
    """Draws of figures by name, shape (n_draws + 1,); asked for twice they are the same numbers.

    Parameters
    ----------
    n_draws : int
        At least 0; with 0 there is only the best estimate.
    seed : int
    """

    def __init__(self, n_draws: int, seed: int) -> None:
        if n_draws < 0:
            msg = f"n_draws = {n_draws!r}: it cannot be negative."
            raise ValueError(msg)
        self.n_draws = n_draws
        self.seed = seed
        self._figures: dict[str, tuple[Figure, Array]] = {}

    def figure(self, name: str, figure: Figure) -> Array:
        """Return a figure: best estimate first, then its draws; shape (1, n_draws + 1), or (1, 1) when it is exact.

        Raises
        ------
        ValueError
            Two different figures under one name.
        """
        known = self._figures.get(name)
        if known is not None:
            if known[0] != figure:
                msg = f"two different figures are both named {name!r}; a name means one figure."
                raise ValueError(msg)
            return known[1]
        if figure.exact or not self.n_draws:
            found = np.full((1, 1), figure.value)
        else:
            uniform = uniforms(keys([name], self.seed), self.n_draws)
            drawn = triangle(uniform, figure.value, figure.low, figure.high)
            found = np.concatenate([np.full((1, 1), figure.value), drawn], axis=1)
        self._figures[name] = (figure, found)
        return found

    def model_error(self, process: str, low_frac: float, high_frac: float) -> Array:
        """Factor by which a process model misses, its 95 % band from 1 + low_frac to 1 + high_frac; shape (1, n + 1).

        Notes
        -----
        exp(s z) with s = ln(1 + high)/1.96 above and -ln(1 + low)/1.96 below: median 1, never negative, and as far out
        on each side as stated.
        """
        if not self.n_draws:
            return np.ones((1, 1))
        z = normals(keys([f"model/{process}"], self.seed), self.n_draws)
        above, below = math.log1p(high_frac) / _NORMAL_95, -math.log1p(low_frac) / _NORMAL_95
        drawn = np.exp(np.where(z > 0.0, above * z, below * z))
        return np.concatenate([np.ones((1, 1)), drawn], axis=1)

    def names(self) -> tuple[str, ...]:
        """Names of the figures that were asked for and have a band."""
        return tuple(name for name, (_, drawn) in self._figures.items() if drawn.shape[1] > 1)


_NORMAL_95 = 1.959963984540054


@dataclass(frozen=True, slots=True)
class _Terms:
    """Relative errors of one reading: its own, and those it shares with other readings."""

    own: float
    shared: tuple[tuple[str, float], ...]


class ReadingDraws:
    """Draws of what was read off many parts.

    Parameters
    ----------
    parts : sequence of PartToCost
        All parts of one evaluation: a source of error that two readings name is drawn once for both.
    shared : SharedDraws

    Notes
    -----
    A reading is drawn as value x exp(sum c_i z_i / value): no size is ever negative, and for small errors it is the
    usual first-order form. The errors that only one reading has are drawn as one normal error of their combined
    standard uncertainty.
    """

    def __init__(self, parts: Sequence[PartToCost], shared: SharedDraws) -> None:
        self._n = shared.n_draws
        self._seed = shared.seed
        users: dict[str, int] = {}
        sources: dict[str, Source] = {}
        if self._n:
            for part in parts:
                for reading in _all_readings(part).values():
                    for source, _ in reading.terms:
                        users[source.name] = users.get(source.name, 0) + 1
                        sources.setdefault(source.name, source)
        self._common = {
            name: draw_source(sources[name], self._n, self._seed)
            for name, count in users.items()
            if count > 1
        }

    def rows(self, parts: Sequence[PartToCost], step: int, name: str) -> Array:
        """Return a reading of some parts in one of their steps: (n_parts, n + 1), or (n_parts, 1) without bands."""
        found = [part.steps[step].readings.get(name) or part.readings[name] for part in parts]
        values = np.array([[one.value] for one in found])
        if not self._n or not any(one.terms for one in found):
            return values
        terms = [self._terms(one) for one in found]
        # A reading of the part is the same in every step; one of a step is that step's own.
        own_names = [
            f"{part.tag}/{step}/{name}" if name in part.steps[step].readings else f"{part.tag}/{name}"
            for part in parts
        ]
        exponent = np.zeros((len(parts), self._n + 1))
        own = np.array([one.own for one in terms])
        if own.any():
            exponent[:, 1:] = own[:, None] * normals(keys(own_names, self._seed), self._n)
        for row, one in enumerate(terms):
            for source, relative in one.shared:
                exponent[row, 1:] += relative * self._common[source]
        drawn: Array = values * np.exp(exponent)
        return drawn

    def _terms(self, reading: Quantity) -> _Terms:
        own = 0.0
        shared = []
        for source, c in reading.terms:
            if source.name in self._common:
                shared.append((source.name, c / reading.value))
            else:
                own += (c / reading.value) ** 2
        return _Terms(math.sqrt(own), tuple(shared))


def _all_readings(part: PartToCost) -> Mapping[str, Quantity]:
    found = dict(part.readings)
    for place, step in enumerate(part.steps):
        found |= {f"{place}/{name}": reading for name, reading in step.readings.items()}
    return found
