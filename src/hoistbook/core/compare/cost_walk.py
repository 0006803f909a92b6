"""The difference of two costs: band, chance that the first is cheaper, and the walk from one to the other."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import product

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.compare.cost_sides import FACTORS, LABOUR, Between, CostSide, Picks, check_sides, differs
from hoistbook.core.compare.shapley import shapley
from hoistbook.core.cost.drawn import SharedDraws
from hoistbook.core.cost.engine import cost_parts
from hoistbook.core.cost.process import Process
from hoistbook.core.cost.result import Money, PartCost, band_ends

_PRICED = ("volume", "region", "material price", "mass", "machines", "process", "labour", "mark-up")
"""Factors on which the cost of the parts depends; tools are those of another process, fasteners are added."""


@dataclass(frozen=True, slots=True)
class WalkStep:
    """What one factor makes of the difference, second side less first, with its draws. [money]"""

    factor: str
    words: str
    money: Money
    draws: Array


@dataclass(frozen=True, slots=True)
class CostWalk:
    """From the first side to the second.

    Attributes
    ----------
    a, b : str
        Codes of the sides.
    currency : str
    year : int
    first, second, difference : Money
        Per vehicle; difference is second less first.
    probability_a_cheaper : float
    steps : tuple of WalkStep
        They add up to `difference.value`, and so do their draws.
    sentences : tuple of str
        What was taken together or left aside.
    draws : array, shape (n_draws,)
        Of the difference.
    """

    a: str
    b: str
    currency: str
    year: int
    first: Money
    second: Money
    difference: Money
    probability_a_cheaper: float
    steps: tuple[WalkStep, ...]
    sentences: tuple[str, ...]
    draws: Array


class SideRefusedError(ValueError):
    """A way in between has no cost; the message says why."""


def cost_walk(
    a: CostSide, b: CostSide, processes: Mapping[str, Process], n_draws: int = 1_000, seed: int = 1
) -> CostWalk:
    """Compare two sides and share their difference among `FACTORS`.

    Parameters
    ----------
    a, b : CostSide
    processes : mapping of str to Process
    n_draws, seed : int
        Both sides use the same draws of what they share.

    Raises
    ------
    ValueError
        A part that has no cost, sides that cannot be compared, or less than 2 draws.

    Notes
    -----
    Every factor is switched from the first side to the second in every order, and its share is the mean of what it
    makes (Shapley); a factor in which the sides do not differ gets 0 and takes part in no order. The cost of a way in
    between is its parts without tools by its own process, plus tools by the process that "tooling" names. Where a
    process cannot make the sizes of the other side, mass and process are switched together and the result says so.

    Source
    ------
    published: L. S. Shapley, A value for n-person games, 1953 (second hand).
    """
    check_sides(a, b)
    if n_draws < 2:
        msg = f"n_draws = {n_draws!r}: a band needs at least 2 draws."
        raise ValueError(msg)
    work = _Walk(a, b, processes, n_draws, seed)
    try:
        values, players = work.values(())
    except SideRefusedError:
        values, players = work.values((("mass", "process"),))
    shares = dict(zip(players, shapley(values), strict=True)) if players else {}
    difference: Array = values[-1] - values[0]
    nothing = np.zeros(n_draws + 1)
    steps = []
    for factor, words in FACTORS.items():
        group = next((one for one in players if factor in one), None)
        if group is not None and group[0] != factor:
            continue
        name = factor if group is None else " and ".join(group)
        said = words if group is None else "; ".join(FACTORS[one] for one in group)
        share = nothing if group is None else shares[group]
        steps.append(WalkStep(name, said, _money(share), share[1:]))
    return CostWalk(
        a.code,
        b.code,
        a.scenario.currency,
        a.scenario.year,
        _money(values[0]),
        _money(values[-1]),
        _money(difference),
        probability_below(-difference[1:]),
        tuple(steps),
        tuple(work.sentences),
        difference[1:],
    )


def probability_below(draws_of: Array) -> float:
    """Chance that a figure known by draws lies below 0. [1]

    Notes
    -----
    (k + 1/2)/(n + 1) with k of n draws below 0: some thousand draws cannot tell 0.9999 from certainty, so it is never
    quite 0 or 1. Draws that are exactly 0 count half: neither side is the cheaper one then.

    Source
    ------
    from memory: mean of a share after Jeffreys' prior.
    """
    below = np.count_nonzero(draws_of < 0.0) + 0.5 * np.count_nonzero(draws_of == 0.0)
    return float((below + 0.5) / (draws_of.size + 1.0))


def _money(values: Array) -> Money:
    low, high = band_ends(values[None, 1:])
    return Money(float(values[0]), float(low[0]), float(high[0]))


class _Walk:
    """Costs of all ways in between."""

    def __init__(
        self, a: CostSide, b: CostSide, processes: Mapping[str, Process], n_draws: int, seed: int
    ) -> None:
        self._sides = (a, b)
        self._processes = processes
        self._n = n_draws
        self._seed = seed
        self.sentences: list[str] = []

    def values(self, together: Sequence[tuple[str, ...]]) -> tuple[Array, list[tuple[str, ...]]]:
        """Cost of each coalition, shape (2**n_players, n_draws + 1), and its players: factors that differ."""
        groups = [*together, *((one,) for one in FACTORS if not any(one in group for group in together))]
        players = [group for group in groups if any(differs(*self._sides, factor) for factor in group)]
        if together:
            self.sentences.append(
                "mass and process are switched together: one side's process cannot make the other's sizes"
            )
        made = next((group for group in groups if "process" in group), ("process",))
        priced = self._priced(players, made)
        rows = []
        for mask in range(2 ** len(players)):
            picks = dict.fromkeys(FACTORS, 0)
            for place, group in enumerate(players):
                picks |= dict.fromkeys(group, mask >> place & 1)
            body, _ = priced[_key(picks)]
            _, tools = priced[_key({**picks, **dict.fromkeys(made, picks["tooling"])})]
            rows.append(body + tools + self._assembly(picks))
        if not players:
            rows.append(rows[0])
        return np.array(rows), players

    def _priced(
        self, players: Sequence[tuple[str, ...]], made: tuple[str, ...]
    ) -> dict[tuple[int, ...], tuple[Array, Array]]:
        """Cost without tools, and of the tools, of every way the parts can be made."""
        between = Between(self._sides)
        free = [group for group in players if set(group) & set(_PRICED)]
        ways: set[tuple[int, ...]] = set()
        batches: dict[tuple[int, ...], list[tuple[tuple[int, ...], Picks]]] = {}
        for bits in product((0, 1), repeat=len(free)):
            picks = dict.fromkeys(FACTORS, 0)
            for group, bit in zip(free, bits, strict=True):
                picks |= dict.fromkeys(group, bit)
            # Tools may be wanted of a process that is switched on by "tooling" alone.
            for process in {picks["process"], *((0, 1) if ("tooling",) in players else ())}:
                whole = {**picks, **dict.fromkeys(made, process)}
                if _key(whole) not in ways:
                    ways.add(_key(whole))
                    batches.setdefault(between.key(whole), []).append((_key(whole), whole))
        context = [
            replace(part, tag=f"{place}\x00{part.tag}")
            for place, side in enumerate(self._sides)
            for part in side.parts.values()
        ]
        found: dict[tuple[int, ...], tuple[Array, Array]] = {}
        for scenario_key, members in batches.items():
            parts = {key: between.parts(picks, f"{key}\x00") for key, picks in members}
            costed = cost_parts(
                [part for several in parts.values() for part in several],
                between.scenario(scenario_key),
                self._processes,
                self._n,
                self._seed,
                context=context,
            )
            if costed.refused:
                raise SideRefusedError(next(iter(costed.refused.values())).replace("\x00", " "))
            for key, several in parts.items():
                found[key] = self._added([costed.parts[part.tag] for part in several])
        return found

    def _added(self, costs: Sequence[PartCost]) -> tuple[Array, Array]:
        body, tools = np.zeros(self._n + 1), np.zeros(self._n + 1)
        for one in costs:
            pieces = one.pieces_per_vehicle
            best = one.by_name().get("tools", 0.0)
            tools += pieces * np.concatenate([[best], one.tool_draws])
            body += pieces * np.concatenate([[one.piece.value - best], one.draws - one.tool_draws])
        return body, tools

    def _assembly(self, picks: Picks) -> Array:
        """Bought fasteners, and assembly at the wage of the region. [money]"""
        side, pays = self._sides[picks["fasteners"]], self._sides[picks["labour"]].scenario
        shared = SharedDraws(self._n, self._seed)
        total: Array = np.zeros(self._n + 1)
        for one in side.fasteners:
            price = shared.figure(f"fastener/{one.name}", side.scenario.money(one.price))
            total = total + one.count * price[0]
        if side.assembly_s is not None:
            region = pays.regions[pays.region]
            wage, overhead = (
                shared.figure(f"region/{region.code}/{name}", pays.money(region.figures[name]))[0]
                for name in LABOUR
            )
            total = total + shared.quantities([side.assembly_s])[0] * wage * (1.0 + overhead)
        return total


def _key(picks: Picks) -> tuple[int, ...]:
    return tuple(picks[factor] for factor in _PRICED)
