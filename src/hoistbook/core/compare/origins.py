"""Where a bar comes from: the weakest origin among the figures that carry it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.compare.bars import WeightedDraws
from hoistbook.core.compare.causes import CAUSES
from hoistbook.core.compare.gap import Question, Side
from hoistbook.core.energy.duty import drive
from hoistbook.core.energy.parameters import EnergyParameters
from hoistbook.core.quantities.quantity import Origin, weakest

CARRIES_FRAC = 0.05
"""A figure carries its bar when it makes at least this share of the squares of all its figures' effects.
Project rule, no source: an assumed figure that hardly moves the bar does not make the bar an assumption."""

SMALL_STEP_FRAC = 1e-3
"""Share of a move that its slope is taken from. A numerical setting: far above rounding, far below any kink's reach."""

_FIELDS = {cause.name: cause.fields for cause in CAUSES}


@dataclass(frozen=True, slots=True)
class _Stated:
    """A figure of one vehicle as far as a bar depends on it: what it moves, and by how much per unit of it."""

    value: float
    u: float
    origin: Origin
    moves: Mapping[str, float]


@dataclass(slots=True)
class _Figure:
    """A figure of both vehicles: the moves whose effects it answers for, and how it is known."""

    moves: list[dict[str, float]] = field(default_factory=list)
    origins: list[Origin] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class BarOrigins:
    """Origins of the bars of one gap.

    Attributes
    ----------
    question : Question
    x, y : Side
    draws : WeightedDraws
        With the weights the gap has.
    """

    question: Question
    x: Side
    y: Side
    draws: WeightedDraws

    def of(self, causes: Sequence[str]) -> str:
        """Origin word of a bar.

        Parameters
        ----------
        causes : sequence of str
            Names of the causes in it: one, or all that were merged.

        Returns
        -------
        str
            "measured", "published", "inferred" or "assumed".

        Notes
        -----
        The figures of a bar are those its parameters were stated or assumed by: a parameter that was worked out from
        others (drag force = A − m g c, usable energy = wall energy · charging efficiency) moves with each of them, all
        of the bar at once. What an assumed split only shifts between two merged causes so has no effect on their bar.
        The effect of a figure is what its difference between the vehicles does to the range or consumption of X, and
        what one standard deviation of either vehicle's figure does, at the means of the draws. Figures with
        `CARRIES_FRAC` of the squares of all effects carry the bar; it is as weak as the weakest of them. Where nothing
        has an effect the weakest of all figures is named. What acts through a parameter worked out from it is inferred
        at best, unless it was measured.

        Source
        ------
        common practice, no source: the project's own rule.
        """
        figures = self._figures([name for cause in causes for name in _FIELDS[cause]])
        effects = self._effects([move for one in figures for move in one.moves])
        squares = []
        for one in figures:
            mine, effects = effects[: len(one.moves)], effects[len(one.moves) :]
            squares.append(float(np.sum(mine**2)))
        whole = sum(squares)
        carrying = [
            one for one, size in zip(figures, squares, strict=True) if size > CARRIES_FRAC * whole
        ] or figures
        return weakest(origin for one in carrying for origin in one.origins).value

    def _figures(self, names: Sequence[str]) -> list[_Figure]:
        of_x, of_y = (self._stated(side, names) for side in (self.x, self.y))
        found: dict[str, _Figure] = {}
        left = {name: self._mean(self.y, name) - self._mean(self.x, name) for name in names}
        for key in dict.fromkeys([*of_x, *of_y]):
            one = found.setdefault(key, _Figure())
            for stated in (of_x.get(key), of_y.get(key)):
                if stated is not None:
                    one.moves.append({name: slope * stated.u for name, slope in stated.moves.items()})
                    one.origins.append(stated.origin)
            if key in of_x and key in of_y:
                change = of_y[key].value - of_x[key].value
                step = {name: slope * change for name, slope in of_x[key].moves.items()}
                one.moves.append(step)
                for name, moved in step.items():
                    left[name] -= moved
        for name, rest in left.items():
            # What no figure of both vehicles accounts for: content, or two ways of working the parameter out.
            if abs(rest) > 1e-9 * abs(self._mean(self.x, name)):
                one = found.setdefault(f"{name} itself", _Figure())
                one.moves.append({name: rest})
                one.origins += [side.origins[name] for side in (self.x, self.y)]
        return list(found.values())

    def _stated(self, side: Side, names: Sequence[str]) -> dict[str, _Stated]:
        """Figures behind parameters of one vehicle, with everything each of them moves."""
        found: dict[str, _Stated] = {}
        for name in names:
            for key, known, slope in self._behind(side, name):
                moves = dict(found[key].moves) if key in found else {}
                moves[name] = moves.get(name, 0.0) + slope
                origin = weakest((known.origin, found[key].origin)) if key in found else known.origin
                found[key] = _Stated(known.value, known.u, origin, moves)
        return found

    def _behind(self, side: Side, name: str) -> Iterator[tuple[str, _Stated, float]]:
        """The figures a parameter rests on in the end, each with what one unit of it does to the parameter."""
        inputs = side.worked_out.get(name, ())
        if not inputs:
            values = side.fields[name]
            mean = self.draws.mean(values)
            u = float(np.sqrt(self.draws.weight @ (values - mean) ** 2))
            yield name, _Stated(mean, u, side.origins[name], {}), 1.0
        for one in inputs:
            if one.name in side.fields:
                reached = self._behind(side, one.name)
            else:
                reached = iter([(one.name, _Stated(one.value, one.u, one.origin, {}), 1.0)])
            for key, known, slope in reached:
                origin = known.origin
                if origin is not Origin.MEASURED:
                    origin = weakest((origin, Origin.INFERRED))
                yield key, _Stated(known.value, known.u, origin, {}), slope * one.slope

    def _mean(self, side: Side, name: str) -> float:
        return self.draws.mean(side.fields[name])

    def _effects(self, moves: Sequence[Mapping[str, float]]) -> Array:
        """Change of range or consumption of X for each move of its parameters."""
        try:
            return self._changes(moves, 1.0)
        except ValueError:
            # One figure moved all the way by itself can leave what is possible (cut-in speeds that cross), although
            # both vehicles are sound: then its slope says what it does.
            return self._changes(moves, SMALL_STEP_FRAC)

    def _changes(self, moves: Sequence[Mapping[str, float]], scale: float) -> Array:
        """Changes for this share of each move, in proportion to the whole of it."""
        centre = {name: self._mean(self.x, name) for cause in CAUSES for name in cause.fields}
        columns = {name: np.full(len(moves) + 1, value) for name, value in centre.items()}
        for i, move in enumerate(moves):
            for name, step in move.items():
                columns[name][i] += scale * step
        surroundings = self.question.surroundings
        parameters = EnergyParameters(
            gravity_m_per_s2=surroundings.gravity_m_per_s2,
            air_density_kg_per_m3=surroundings.air_density_kg_per_m3,
            **columns,
        )
        driven = drive(self.question.duty, parameters)
        value = driven.range_m if self.question.quantity == "range" else driven.consumption_j_per_m
        return np.asarray((value[:-1] - value[-1]) / scale)
