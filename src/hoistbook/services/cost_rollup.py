"""Sums of cost over the part tree, systems and functions: draw by draw, so that every level adds up with its band."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.cost.drawn import SharedDraws
from hoistbook.core.cost.result import Money, PartCost, bands
from hoistbook.core.cost.scenario import Scenario
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.vehicle.tree import PartTree
from hoistbook.services.cost_inputs import PRICE_NAME, PricedFastener

KINDS = ("parts", "fasteners", "assembly")
"""What a cost is made of: pieces by their routes, fasteners bought by their size, and putting them together."""


@dataclass(frozen=True, slots=True)
class Sum:
    """A sum of cost per vehicle.

    Attributes
    ----------
    key, words : str
        Tag or code, and name.
    parts, fasteners, assembly : float
        They add up to `total.value`. [money]
    total : Money
    middle_money : float
        Median of the draws, to be set beside the value: best estimates are means. [money]
    tooling : float
        All tools of the programme, apart from the sum where the scenario pays them apart. [money]
    assembly_s : float
        Standard time. [s]
    part_count : int
        Parts and fasteners that have a cost. [1]
    parent : str
        Tag above; empty for the root and for groups.
    depth : int
    """

    key: str
    words: str
    parts: float
    fasteners: float
    assembly: float
    total: Money
    middle_money: float
    tooling: float
    assembly_s: float
    part_count: int
    parent: str = ""
    depth: int = 0


@dataclass(frozen=True, slots=True)
class Ledger:
    """Own cost of every node of a vehicle, best estimate and draws.

    Attributes
    ----------
    row : mapping of tag to int
        Place in the arrays: that of the tree.
    own : array, shape (n_kinds, n_nodes, n_draws + 1)
        Per vehicle. [money]
    tooling, seconds, counts : array, shape (n_nodes,)
    """

    row: Mapping[str, int]
    own: Array
    tooling: Array
    seconds: Array
    counts: Array

    def sum_of(self, key: str, words: str, weights: Mapping[str, float]) -> Sum:
        """Sum over nodes with weights."""
        places = [self.row[tag] for tag in weights]
        factors = np.array(list(weights.values()))
        kinds = np.einsum("kpd,p->kd", self.own[:, places, :], factors) if places else self.own[:, 0, :] * 0.0
        return self._sum(
            key,
            words,
            kinds,
            float(self.tooling[places] @ factors) if places else 0.0,
            float(self.seconds[places] @ factors) if places else 0.0,
            int(np.sum(self.counts[places] * (factors > 0.0))) if places else 0,
        )

    def _sum(
        self,
        key: str,
        words: str,
        kinds: Array,
        tooling: float,
        seconds: float,
        count: int,
        parent: str = "",
        depth: int = 0,
    ) -> Sum:
        parts, fasteners, assembly = (float(one) for one in kinds[:, 0])
        money = bands(kinds.sum(axis=0)[None, :])[0]
        best = parts + fasteners + assembly
        drawn = kinds.sum(axis=0)[1:]
        middle = float(np.median(drawn)) if drawn.size else best
        if not drawn.size:
            money = Money(best, best, best)
        return Sum(
            key,
            words,
            parts,
            fasteners,
            assembly,
            Money(best, money.low, money.high),
            middle,
            tooling,
            seconds,
            count,
            parent,
            depth,
        )

    def tree_sums(self, tree: PartTree) -> tuple[Sum, ...]:
        """Sum of every node with all below it, in the order of the tree."""
        money, tooling, seconds, counts = (
            np.array(one) for one in (self.own, self.tooling, self.seconds, self.counts)
        )
        depth: dict[str, int] = {}
        for tag in tree.order:
            above = tree[tag].parent
            depth[tag] = 0 if above is None else depth[above] + 1
        for tag in reversed(tree.order):
            above = tree[tag].parent
            if above is not None:
                here, there = self.row[tag], self.row[above]
                money[:, there] += money[:, here]
                for one in (tooling, seconds, counts):
                    one[there] += one[here]
        return tuple(
            self._sum(
                tag,
                tree[tag].name,
                money[:, place],
                float(tooling[place]),
                float(seconds[place]),
                int(counts[place]),
                tree[tag].parent or "",
                depth[tag],
            )
            for tag, place in self.row.items()
        )


def ledger(
    tree: PartTree,
    costs: Mapping[str, PartCost],
    fasteners: Mapping[str, PricedFastener],
    seconds: Mapping[str, Quantity],
    scenario: Scenario,
    n_draws: int,
    seed: int,
) -> Ledger:
    """Own cost of every node of a vehicle.

    Parameters
    ----------
    tree : PartTree
    costs : mapping of tag to PartCost
        With `n_draws` draws of `seed`.
    fasteners : mapping of tag to PricedFastener
    seconds : mapping of tag to Quantity
        Standard time each node answers for, in the whole vehicle. [s]
    scenario : Scenario
        Its region pays the assembly.
    n_draws, seed : int
        What costs of parts and of assembly share is drawn once.
    """
    row = {tag: place for place, tag in enumerate(tree.order)}
    own = np.zeros((len(KINDS), len(row), n_draws + 1))
    tooling, time, counts = np.zeros(len(row)), np.zeros(len(row)), np.zeros(len(row))
    shared = SharedDraws(n_draws, seed)
    for tag, cost in costs.items():
        own[0, row[tag]] = tree.pieces(tag) * np.concatenate([[cost.piece.value], cost.draws])
        tooling[row[tag]] = cost.tooling.value
        counts[row[tag]] = 1
    for tag, fastener in fasteners.items():
        price = shared.figure(f"fastener/{PRICE_NAME}", fastener.price)[0]
        own[1, row[tag]] = tree.pieces(tag) * price
        counts[row[tag]] = 1
    region = scenario.regions[scenario.region]
    wage, overhead = (
        shared.figure(f"region/{region.code}/{name}", scenario.money(region.figures[name]))[0]
        for name in ("wage_money_per_s", "overhead_frac")
    )
    for tag, drawn in zip(seconds, shared.quantities(list(seconds.values())), strict=True):
        own[2, row[tag]] = drawn * wage * (1.0 + overhead)
        time[row[tag]] = drawn[0]
    return Ledger(row, own, tooling, time, counts)
