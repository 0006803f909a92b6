"""Values and draws side by side: column 0 of every array is the best estimate, the others are draws.

Figures of scenario, materials, machines and processes are drawn once per name and shared by whoever uses them, so that
the difference of two parts of one shop is sharper than either. Readings are drawn per part, and so is the share of a
model's error that each part has for itself. Draws are laid out so that their mean is the best estimate: costs at the
best estimates then add up at every level and stay inside the bands of the sums.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import chdtri

from hoistbook.core.arrays import Array
from hoistbook.core.cost.figure import Figure
from hoistbook.core.cost.keyed import between_limits, keys, normals, uniforms
from hoistbook.core.cost.model_error import Miss
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
    mean_is_best = True
    """Whether draws of readings are moved so that their mean is the best estimate; ends of a band are not."""

    def __init__(self, n_draws: int, seed: int) -> None:
        if n_draws < 0:
            msg = f"n_draws = {n_draws!r}: it cannot be negative."
            raise ValueError(msg)
        self.n_draws = n_draws
        self.seed = seed
        self._figures: dict[tuple[str, Figure], Array] = {}
        self._named: dict[str, Figure] = {}
        self._latest: dict[str, tuple[Figure, Array]] = {}

    def figure(self, name: str, figure: Figure) -> Array:
        """Return a figure: best estimate first, then its draws; shape (1, n_draws + 1), or (1, 1) when it is exact.

        Raises
        ------
        ValueError
            Two different figures under one name.
        """
        # Most names mean one figure; hashing a whole figure takes longer than all else here.
        latest = self._latest.get(name)
        if latest is not None and latest[0] is figure:
            return latest[1]
        known = self._figures.get((name, figure))
        if known is not None:
            self._latest[name] = figure, known
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
        self._latest[name] = figure, found
        return found

    def _spread(self, name: str, figure: Figure) -> Array:
        uniform = uniforms(keys([name], self.seed), self.n_draws)
        drawn = between_limits(uniform, figure.value, figure.low, figure.high)
        return np.concatenate([np.full((1, 1), figure.value), drawn], axis=1)

    def model_factor(self, miss: Miss, process: str, names: Sequence[str]) -> Array:
        """Factor by which a process model misses on each of some parts; shape (n_parts, n_draws + 1).

        Parameters
        ----------
        miss : Miss
        process : str
            One error of the process is shared by all its parts.
        names : sequence of str
            What the own errors of the parts are drawn by; parts of one name have one error.

        Notes
        -----
        z = sqrt(1 - w) z_process + sqrt(w) z_part with the own share w of the variance: any two parts are correlated by
        1 - w, and each alone has the whole band. Calibrated models divide by one chi of the process (multivariate t,
        which a normal-inverse-gamma update leads to).
        """
        best = np.full((len(names), 1), miss.best)
        if not self.n_draws or miss.exact:
            return best
        shared = math.sqrt(1.0 - miss.own_share_frac) * self.own_errors([f"model/{process}"])
        if miss.own_share_frac:
            own = self.own_errors([f"model/{process}/{name}" for name in names])
            own *= math.sqrt(miss.own_share_frac)
            own += shared
        else:
            own = np.repeat(shared, len(names), axis=0)
        if not math.isinf(miss.dof):
            own *= self.spread_of_t(f"model/{process}/scatter", miss.dof)
        drawn = np.empty((len(names), self.n_draws + 1))
        drawn[:, :1] = best
        drawn[:, 1:] = miss.factor(own)
        return drawn

    def calibration(self, process: str, best: float) -> Array:
        """Best estimate of what quotes make of the model of a process, shape (1, 1)."""
        return np.full((1, 1), best)

    def spread_of_t(self, name: str, dof: float) -> Array:
        """What makes normal draws those of Student's t: sqrt(dof/chi2), shape (1, n_draws)."""
        upper: Array = np.sqrt(dof / chdtri(dof, uniforms(keys([name], self.seed), self.n_draws)))
        return upper

    def own_errors(self, names: Sequence[str]) -> Array:
        """Return standard normal draws, one row per name, shape (n_names, n_draws)."""
        return normals(keys(names, self.seed), self.n_draws)

    def is_figure(self, name: str) -> bool:
        """Whether a figure of that name was asked for so far."""
        return name in self._named

    def common_error(self, source: Source) -> Array:
        """Draws of a source of error that several readings name, shape (n_draws,).

        Notes
        -----
        A source that is named like a figure *is* that figure: its errors are the figure's draws, in units of their
        standard deviation, so that a wage is the same wage in a part, in the assembly and in an hourly rate.
        """
        figure = self._named.get(source.name)
        if figure is None or figure.exact:
            return draw_source(source, self.n_draws, self.seed)
        drawn = self.figure(source.name, figure)[0, 1:]
        return (drawn - figure.value) / figure.standard_deviation

    def quantities(self, found: Sequence[Quantity]) -> Array:
        """Draw quantities that were not read off parts, by their errors: shape (n, n_draws + 1)."""
        rows = np.empty((len(found), self.n_draws + 1))
        errors: dict[str, Array] = {}
        for row, one in zip(rows, found, strict=True):
            row[:] = one.value
            if self.n_draws:
                for source, c in one.terms:
                    if source.name not in errors:
                        errors[source.name] = self.common_error(source)
                    row[1:] += c * errors[source.name]
        return rows


@dataclass(frozen=True, slots=True)
class _Terms:
    """Relative errors of one reading: its own with the name it is drawn by, and those it shares with other readings."""

    own: float
    own_name: str
    shared: tuple[tuple[str, float], ...]

    @property
    def variance(self) -> float:
        """Relative variance of the reading. [1]"""
        return self.own**2 + sum(relative**2 for _, relative in self.shared)


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
    A reading is drawn as value x exp(sum c_i z_i / value - s^2/2), s its relative standard uncertainty: no size is ever
    negative, the mean is the value (exactly for normal errors), and for small errors it is the usual first-order form.
    The errors that only one reading has are drawn as one normal error of their combined standard uncertainty, keyed by
    the names of those errors.
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
            name: shared.common_error(sources[name])
            for name, count in users.items()
            if count > 1 or shared.is_figure(name)
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
        if self._shared.mean_is_best:
            exponent *= values * np.exp(-0.5 * np.array([[one.variance] for one in terms]))
        else:
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
