"""What drives the difference of two costs: figures and readings taken from their low to their high ends, one by one."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.compare.cost_sides import LABOUR, CostSide, check_sides, with_error_names
from hoistbook.core.cost.drawn import SharedDraws
from hoistbook.core.cost.engine import cost_parts
from hoistbook.core.cost.figure import Figure
from hoistbook.core.cost.model_error import Miss
from hoistbook.core.cost.process import Process
from hoistbook.core.cost.scenario import TOOLING
from hoistbook.core.quantities.quantity import Source

_Z = 1.959963984540054


@dataclass(frozen=True, slots=True)
class Swing:
    """Difference, second side less first, with one source at its low and at its high end. [money]"""

    source: str
    low_money: float
    high_money: float

    @property
    def width_money(self) -> float:
        """How far it moves the difference."""
        return abs(self.high_money - self.low_money)


@dataclass(frozen=True, slots=True)
class Switch:
    """Difference, second side less first, with a switch of both scenarios turned; no band is laid over switches.

    Attributes
    ----------
    switch, turned : str
        What it says, and how it was turned.
    difference_money : float or None
        None where a side cannot be costed that way. [money]
    first_money, second_money : float or None
        The sides that way. [money]
    """

    switch: str
    turned: str
    difference_money: float | None
    first_money: float | None
    second_money: float | None


@dataclass(frozen=True, slots=True)
class Tornado:
    """Swings, the widest first, about the best estimate of the difference, and what switches make of it. [money]"""

    difference_money: float
    swings: tuple[Swing, ...]
    sentence: str
    switches: tuple[Switch, ...] = ()


def tornado(a: CostSide, b: CostSide, processes: Mapping[str, Process]) -> Tornado:
    """Which figure or reading moves the difference most.

    Parameters
    ----------
    a, b : CostSide
    processes : mapping of str to Process

    Raises
    ------
    ValueError
        A part that has no cost, or sides that cannot be compared.

    Notes
    -----
    One at a time, all others at their best estimate: figures from the lower to the upper limit, errors of readings and
    of models from -1.96 to +1.96 standard uncertainties. What acts only together with another source does not show.
    All ends are worked out in one run, as columns of the arrays that else hold draws. Switches are choices and not
    uncertain figures, so they stand beside the swings: machines shared or dedicated, which moves a cost more than any
    figure does, and how tools are paid.
    """
    check_sides(a, b)
    seen = _Ends([])
    _difference(a, b, processes, seen)
    ends = _Ends(list(seen.met))
    values = _difference(a, b, processes, ends)
    best = float(values[0])
    swings = [
        Swing(name, float(values[1 + 2 * place]), float(values[2 + 2 * place]))
        for place, name in enumerate(ends.names)
    ]
    moving = [one for one in swings if one.width_money > 1e-12 * max(abs(best), 1e-300)]
    return Tornado(
        best,
        tuple(sorted(moving, key=lambda one: (-one.width_money, one.source))),
        "one at a time, all others at their best estimate: figures between their limits, errors of readings and models "
        "1.96 standard uncertainties to either side",
        tuple(_turned(a, b, processes)),
    )


def _turned(a: CostSide, b: CostSide, processes: Mapping[str, Process]) -> Iterator[Switch]:
    """Both sides with one switch of their scenarios turned to each other position."""
    both = [side.scenario for side in (a, b)]
    if len({one.dedicated for one in both}) == 1:
        dedicated = not both[0].dedicated
        words = "dedicated to each part" if dedicated else "shared"
        yield _switched(a, b, processes, "machines", words, {"dedicated": dedicated})
    if len({one.tooling for one in both}) == 1:
        for tooling in TOOLING:
            if tooling != both[0].tooling:
                yield _switched(a, b, processes, "tools", tooling, {"tooling": tooling})


def _switched(
    a: CostSide,
    b: CostSide,
    processes: Mapping[str, Process],
    switch: str,
    turned: str,
    changed: Mapping[str, Any],
) -> Switch:
    sides = [replace(side, scenario=replace(side.scenario, **changed)) for side in (a, b)]
    try:
        first, second = (float(one[0]) for one in _sides(sides[0], sides[1], processes, SharedDraws(0, 0)))
    except ValueError:
        return Switch(switch, turned, None, None, None)
    return Switch(switch, turned, second - first, first, second)


def _difference(a: CostSide, b: CostSide, processes: Mapping[str, Process], shared: SharedDraws) -> Array:
    first, second = _sides(a, b, processes, shared)
    return second - first


def _sides(a: CostSide, b: CostSide, processes: Mapping[str, Process], shared: SharedDraws) -> list[Array]:
    whole = []
    for place, (side, other) in enumerate(((a, b), (b, a))):
        context = [replace(part, tag=f"{place}\x00{part.tag}") for part in other.parts.values()]
        costed = cost_parts(
            [with_error_names(part, side) for part in side.parts.values()],
            side.scenario,
            processes,
            threads=1,
            context=context,
            shared=shared,
        )
        if costed.refused:
            raise ValueError(next(iter(costed.refused.values())))
        total: Array = np.zeros(shared.n_draws + 1)
        for part in costed.parts.values():
            total = total + part.pieces_per_vehicle * np.concatenate([[part.piece.value], part.draws])
        for one in side.fasteners:
            total = (
                total + one.count * shared.figure(f"fastener/{one.name}", side.scenario.money(one.price))[0]
            )
        if side.assembly_s is not None:
            region = side.scenario.regions[side.scenario.region]
            wage, overhead = (
                shared.figure(f"region/{region.code}/{name}", side.scenario.money(region.figures[name]))[0]
                for name in LABOUR
            )
            total = total + shared.quantities([side.assembly_s])[0] * wage * (1.0 + overhead)
        whole.append(total)
    return whole


class _Ends(SharedDraws):
    """In place of draws: two columns for each source, where it stands at its low and at its high end."""

    one_figure_per_name = False  # what both sides name moves on both, each between its own ends
    mean_is_best = False

    def __init__(self, names: Sequence[str]) -> None:
        super().__init__(max(2 * len(names), 1), 0)
        self.names = tuple(names)
        self.met: dict[str, None] = {}
        self._column = {name: 2 * place for place, name in enumerate(names)}

    def _at(self, name: str, ends: tuple[float, float], else_at: float) -> Array:
        self.met.setdefault(name)
        row = np.full(self.n_draws, else_at)
        place = self._column.get(name)
        if place is not None:
            row[place : place + 2] = ends
        return row

    def _spread(self, name: str, figure: Figure) -> Array:
        row = self._at(name, (figure.low, figure.high), figure.value)
        return np.concatenate([[figure.value], row])[None, :]

    def own_errors(self, names: Sequence[str]) -> Array:
        return np.array([self._at(name.replace("\x00", " and "), (-_Z, _Z), 0.0) for name in names])

    def spread_of_t(self, name: str, dof: float) -> Array:
        return np.ones((1, self.n_draws))

    def model_factor(self, miss: Miss, process: str, names: Sequence[str]) -> Array:
        found = super().model_factor(miss, process, names)
        # Without an error a draw stands at the median of the factor, which is not the best estimate.
        ends = found[:, 1:]
        ends[ends == miss.factor(np.zeros(1))[0]] = miss.best
        return found

    def common_error(self, source: Source) -> Array:
        return self._at(source.name, (-_Z, _Z), 0.0)
