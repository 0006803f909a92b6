"""What is known of every node: how its mass was come by, and in which line of coverage it counts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from hoistbook.core.mass.layout import Layout
from hoistbook.core.mass.ledger import RANK
from hoistbook.core.mass.reconcile import Solution
from hoistbook.core.mass.rollup import RollUp
from hoistbook.core.quantities.quantity import Origin
from hoistbook.core.vehicle.records import Method


class MassBasis(StrEnum):
    """How the own mass of a node was come by."""

    WEIGHED = "weighed"
    COMPUTED = "computed from geometry"
    ESTIMATED = "estimated"
    LITERATURE = "literature"
    DIFFERENCE = "by difference"
    UNALLOCATED = "unallocated"
    NOT_BROKEN_DOWN = "not broken down"
    INSIDE = "inside a weighed assembly"
    PARTS = "sum of its parts"
    MISSING = "missing"


class Cover(StrEnum):
    """Lines of the coverage table."""

    WEIGHED = "weighed"
    INSIDE = "inside a weighed assembly"
    COMPUTED = "computed from geometry"
    ESTIMATED = "estimated"
    LITERATURE = "literature"
    MISSING = "missing"


_OF_METHOD = {
    Method.WEIGHED: MassBasis.WEIGHED,
    Method.MEASURED: MassBasis.WEIGHED,
    Method.COMPUTED: MassBasis.COMPUTED,
    Method.ESTIMATED: MassBasis.ESTIMATED,
    Method.LITERATURE: MassBasis.LITERATURE,
}
_COVER = {
    MassBasis.WEIGHED: Cover.WEIGHED,
    MassBasis.COMPUTED: Cover.COMPUTED,
    MassBasis.ESTIMATED: Cover.ESTIMATED,
    MassBasis.LITERATURE: Cover.LITERATURE,
}


@dataclass(frozen=True, slots=True)
class NodeMass:
    """One line of the mass book, everything per piece unless it says otherwise.

    Attributes
    ----------
    tag : str
    basis : MassBasis
    cover : Cover or None
        Line of the coverage table; None for an assembly that is just the sum of its parts.
    pieces : float
        In the whole vehicle.
    own_kg, own_low_kg, own_high_kg : float or None
        Without its listed children, with 95 % band; None when it is not known by itself.
    subtree_kg, subtree_low_kg, subtree_high_kg : float
        With everything below it that has a mass. Read `unknown_below` with it.
    unknown_below : int
        Nodes in the subtree (itself included) without a mass here: missing, or held by an assembly further up.
    held_by : str
        Tag of the assembly whose weighing holds its mass; empty when none does.
    holds : tuple of str
        Tags whose mass is held in this node's own mass.
    origin : Origin
        Weakest origin among the readings of the subtree.
    """

    tag: str
    basis: MassBasis
    cover: Cover | None
    pieces: float
    own_kg: float | None
    own_low_kg: float | None
    own_high_kg: float | None
    subtree_kg: float
    subtree_low_kg: float
    subtree_high_kg: float
    unknown_below: int
    held_by: str
    holds: tuple[str, ...]
    origin: Origin


def bases(
    tree: Layout, solution: Solution, direct: Sequence[Method | None], active: Sequence[bool]
) -> tuple[MassBasis, ...]:
    """How the own mass of every node was come by, in the order of the tree."""
    solved = solution.pivot >= 0
    for block in solution.blocks:
        solved[block.nodes] = True
    holders = {int(h) for h in solution.holder if h >= 0}
    held_pieces = {int(h) for place, h in enumerate(solution.holder) if h >= 0 and not tree.is_group[place]}
    found: list[MassBasis] = []
    for place in range(len(tree.nodes)):
        method = direct[place]
        if solution.holder[place] >= 0 and not tree.is_group[place]:
            basis = MassBasis.INSIDE
        elif not active[place] or solution.holder[place] >= 0:
            basis = MassBasis.PARTS
        elif not solved[place]:
            basis = MassBasis.MISSING
        elif method is not None:
            basis = _OF_METHOD[method]
        elif place in held_pieces or (place in holders and not tree.is_group[place]):
            basis = MassBasis.NOT_BROKEN_DOWN
        elif tree.is_group[place]:
            basis = MassBasis.UNALLOCATED
        else:
            basis = MassBasis.DIFFERENCE
        found.append(basis)
    return tuple(found)


def covers(tree: Layout, solution: Solution, basis: Sequence[MassBasis]) -> tuple[Cover | None, ...]:
    """Line of the coverage table of every node, in the order of the tree."""
    weighed_rows = np.array([RANK[o.method] == 0 for o in solution.observations], dtype=np.float64)
    on_scale = (
        np.asarray(abs(solution.design).T @ weighed_rows) > 0.0
        if weighed_rows.size
        else np.zeros(len(tree.nodes))
    )
    lines: list[Cover | None] = []
    for place, how in enumerate(basis):
        if how is MassBasis.PARTS:
            lines.append(None)
        elif how is MassBasis.MISSING:
            lines.append(Cover.MISSING)
        elif how is MassBasis.WEIGHED:
            lines.append(Cover.WEIGHED)
        elif on_scale[place]:
            alone = how in (MassBasis.DIFFERENCE, MassBasis.UNALLOCATED)
            lines.append(Cover.WEIGHED if alone else Cover.INSIDE)
        elif how in _COVER:
            lines.append(_COVER[how])
        else:
            lines.append(_COVER[_OF_METHOD[_method_of(solution, place)]])
    return tuple(lines)


def _method_of(solution: Solution, place: int) -> Method:
    """Method of the reading a node's mass was taken from, for one that has no reading of its own."""
    holder = int(solution.holder[place])
    keeper = holder if holder >= 0 else place
    row = int(solution.pivot[keeper])
    if row < 0:
        row = int(next(block.observations[0] for block in solution.blocks if keeper in block.nodes))
    return solution.observations[row].method


def node_masses(
    roll: RollUp, basis: Sequence[MassBasis], cover: Sequence[Cover | None]
) -> tuple[NodeMass, ...]:
    """One line per node, in the order of the tree."""
    tree, solution = roll.tree, roll.solution
    size = len(tree.nodes)
    identity = roll.rows([{place: 1.0} for place in range(size)])
    own, whole = roll.bands(identity), roll.bands(roll.subtree_rows)
    unknown = np.array([how in (MassBasis.MISSING, MassBasis.INSIDE) for how in basis], dtype=np.intp)
    before = np.concatenate([[0], np.cumsum(unknown)])
    unknown_below = before[tree.end] - before[np.arange(size)]
    holds: dict[int, list[str]] = {}
    for place, holder in enumerate(solution.holder.tolist()):
        if holder >= 0:
            holds.setdefault(holder, []).append(tree.nodes[place].tag)
    # A mass held further up is not unknown for a subtree that includes its holder.
    for holder, tags in holds.items():
        inside = holder
        while inside >= 0:
            unknown_below[inside] -= sum(
                inside <= tree.index[tag] < tree.end[inside] and not tree.is_group[tree.index[tag]]
                for tag in tags
            )
            inside = int(tree.parent[inside])
    columns = zip(
        tree.nodes,
        basis,
        cover,
        tree.pieces.tolist(),
        own.value_kg.tolist(),
        own.half_kg.tolist(),
        whole.value_kg.tolist(),
        whole.half_kg.tolist(),
        unknown_below.tolist(),
        solution.holder.tolist(),
        whole.origins(),
        strict=True,
    )
    lines = []
    for place, (node, how, line, pieces, value, half, sum_kg, sum_half, missing, holder, origin) in enumerate(
        columns
    ):
        known = how not in (MassBasis.MISSING, MassBasis.INSIDE)
        lines.append(
            NodeMass(
                tag=node.tag,
                basis=how,
                cover=line,
                pieces=pieces,
                own_kg=value if known else None,
                own_low_kg=value - half if known else None,
                own_high_kg=value + half if known else None,
                subtree_kg=sum_kg,
                subtree_low_kg=sum_kg - sum_half,
                subtree_high_kg=sum_kg + sum_half,
                unknown_below=missing,
                held_by=tree.nodes[holder].tag if holder >= 0 else "",
                holds=tuple(holds.get(place, ())),
                origin=origin,
            )
        )
    return tuple(lines)
