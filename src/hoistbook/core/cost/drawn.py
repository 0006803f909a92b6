"""Values and draws side by side: column 0 of every array is the best estimate, the others are draws.

Figures of scenario, materials, machines and processes are drawn once per name and shared by whoever uses them, so that
the difference of two parts of one shop is sharper than either. Readings are drawn per part.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr, stdtrit

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

    one_figure_per_name = True
    """Whether two different figures under one name are refused; two scenarios side by side have them."""

    def __init__(self, n_draws: int, seed: int) -> None:
        if n_draws < 0:
            msg = f"n_draws = {n_draws!r}: it cannot be negative."
            raise ValueError(msg)
        self.n_draws = n_draws
        self.seed = seed
        self._figures: dict[tuple[str, Figure], Array] = {}
        self._named: dict[str, Figure] = {}

    def figure(self, name: str, figure: Figure) -> Array:
        """Return a figure: best estimate first, then its draws; shape (1, n_draws + 1), or (1, 1) when it is exact.

        Raises
        ------
        ValueError
            Two different figures under one name.
        """
        known = self._figures.get((name, figure))
        if known is not None:
            return known
        first = self._named.setdefault(name, figure)
        # Figures that stand in for others may differ under one name: they are drawn at the same place of the triangle.
        if self.one_figure_per_name and not (first == figure or figure.drawn_as or first.drawn_as):
            msg = f"two different figures are both named {name!r}; a name means one figure."
            raise ValueError(msg)
        found = (
            np.full((1, 1), figure.value) if figure.exact or not self.n_draws else self._spread(name, figure)
        )
        self._figures[(name, figure)] = found
        return found

    def _spread(self, name: str, figure: Figure) -> Array:
        uniform = uniforms(keys([name], self.seed), self.n_draws)
        drawn = triangle(uniform, figure.value, figure.low, figure.high)
        return np.concatenate([np.full((1, 1), figure.value), drawn], axis=1)

    def model_error(self, process: str, low_frac: float, high_frac: float) -> Array:
        """Factor by which a process model misses, its 95 % band from 1 + low_frac to 1 + high_frac; shape (1, n + 1).

        Notes
        -----
        exp(s z) with s = ln(1 + high)/1.96 above and -ln(1 + low)/1.96 below: median 1, never negative, and as far out
        on each side as stated.
        """
        if not self.n_draws:
            return np.ones((1, 1))
        z = self.own_errors([f"model/{process}"])
        above, below = math.log1p(high_frac) / _NORMAL_95, -math.log1p(low_frac) / _NORMAL_95
        drawn = np.exp(np.where(z > 0.0, above * z, below * z))
        return np.concatenate([np.ones((1, 1)), drawn], axis=1)

    def calibrated_error(self, process: str, bias_ln: float, scale_ln: float, dof: float) -> Array:
        """Factor by which a calibrated model misses, exp(bias + scale t): best estimate exp(bias); shape (1, n + 1).

        Notes
        -----
        t is Student's with `dof`, normal where that is infinite, of the same draws as `model_error`: costs
        before and after a calibration go together.
        """
        best = np.full((1, 1), math.exp(bias_ln))
        if not self.n_draws:
            return best
        z = self.own_errors([f"model/{process}"])
        t = z if math.isinf(dof) else stdtrit(dof, ndtr(z))
        return np.concatenate([best, np.exp(bias_ln + scale_ln * t)], axis=1)

    def own_errors(self, names: Sequence[str]) -> Array:
        """Return standard normal draws, one row per name, shape (n_names, n_draws)."""
        return normals(keys(names, self.seed), self.n_draws)

    def common_error(self, source: Source) -> Array:
        """Draws of a source of error that several readings name, shape (n_draws,)."""
        return draw_source(source, self.n_draws, self.seed)


_NORMAL_95 = 1.959963984540054


@dataclass(frozen=True, slots=True)
class _Terms:
    """Relative errors of one reading: its own with the name it is drawn by, and those it shares with other readings."""

    own: float
    own_name: str
    shared: tuple[tuple[str, float], ...]


def _readings(parts: Sequence[PartToCost]) -> Iterator[Quantity]:
    for part in parts:
        yield from part.readings.values()
        for step in part.steps:
            if step.readings:
                yield from step.readings.values()


class ReadingDraws:
    """Draws of what was read off many parts.

    Parameters
    ----------
    parts : sequence of PartToCost
        All parts of one evaluation: a source of error that two readings name is drawn once for both. A reading that two
        parts hold (the same object) is one reading.
    shared : SharedDraws

    Notes
    -----
    A reading is drawn as value x exp(sum c_i z_i / value): no size is ever negative, and for small errors it is the
    usual first-order form. The errors that only one reading has are drawn as one normal error of their combined
    standard uncertainty, keyed by the names of those errors.
    """

    def __init__(self, parts: Sequence[PartToCost], shared: SharedDraws) -> None:
        self.n_draws = shared.n_draws
        self._shared = shared
        users: dict[str, int] = {}
        sources: dict[str, Source] = {}
        if self.n_draws:
            seen: set[int] = set()
            for reading in _readings(parts):
                if not reading.terms or id(reading) in seen:
                    continue
                seen.add(id(reading))
                for source, _ in reading.terms:
                    name = source.name
                    if name in users:
                        users[name] += 1
                    else:
                        users[name] = 1
                        sources[name] = source
        self._common = {
            name: shared.common_error(sources[name]) for name, count in users.items() if count > 1
        }

    def block(self, parts: Sequence[PartToCost]) -> BlockDraws:
        """Return the draws of some of the parts, to be asked for step by step."""
        return BlockDraws(self, parts)

    def drawn(self, found: Sequence[Quantity]) -> Array:
        """Draw readings of one name: (n, n_draws + 1), or (n, 1) without bands."""
        values = np.array([[one.value] for one in found])
        if not self.n_draws or not any(one.terms for one in found):
            return values
        terms = [self._terms(one) for one in found]
        drawn = np.empty((len(found), self.n_draws + 1))
        exponent = drawn[:, 1:]
        own = np.array([[one.own] for one in terms])
        if own.any():
            np.multiply(self._shared.own_errors([one.own_name for one in terms]), own, out=exponent)
        else:
            exponent[:] = 0.0
        for row, one in zip(exponent, terms, strict=True):
            for source, relative in one.shared:
                row += relative * self._common[source]
        np.exp(exponent, out=exponent)
        exponent *= values
        drawn[:, :1] = values
        return drawn

    def _terms(self, reading: Quantity) -> _Terms:
        own = 0.0
        names = []
        shared = []
        for source, c in reading.terms:
            if source.name in self._common:
                shared.append((source.name, c / reading.value))
            else:
                own += (c / reading.value) ** 2
                names.append(source.name)
        return _Terms(math.sqrt(own), "\x00".join(names), tuple(shared))


class BlockDraws:
    """Draws of the readings of some parts; a reading that holds for the whole part is drawn once for all its steps."""

    __slots__ = ("_all", "_kept", "_own", "_parts")

    def __init__(self, readings: ReadingDraws, parts: Sequence[PartToCost]) -> None:
        self._all = readings
        self._parts = parts
        self._kept: dict[str, Array] = {}
        # Steps of which some part states readings of its own; there are few.
        count = len(parts[0].steps) if parts else 0
        self._own = [any(part.steps[step].readings for part in parts) for step in range(count)]

    def rows(self, step: int, name: str) -> Array:
        """Return a reading in one of the steps: (n_parts, n_draws + 1), or (n_parts, 1) without bands."""
        if self._own[step]:
            own = [part.steps[step].readings.get(name) for part in self._parts]
            if any(one is not None for one in own):
                return self._all.drawn(
                    [one or part.readings[name] for one, part in zip(own, self._parts, strict=True)]
                )
        if name not in self._kept:
            self._kept[name] = self._all.drawn([part.readings[name] for part in self._parts])
        return self._kept[name]
