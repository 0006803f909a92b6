"""The part tree as arrays, in an order in which every subtree is one slice."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_array

from hoistbook.core.arrays import Array
from hoistbook.core.mass.gls import IntArray
from hoistbook.core.mass.ledger import RANK, Observation
from hoistbook.core.vehicle.records import Node, NodeKind, Scope
from hoistbook.core.vehicle.tree import PartTree

BoolArray = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Layout:
    """Nodes from the root down, parents before children; the subtree of node i is the slice i … end[i].

    Attributes
    ----------
    tree : PartTree
    nodes : tuple of Node
    index : mapping of str to int
        Place of each tag.
    parent : array of int, shape (n,)
        Place of the parent; −1 for the root.
    end : array of int, shape (n,)
        One past the last node of the subtree.
    pieces : array, shape (n,)
        Pieces of the node in the whole vehicle: the product of the counts up to the root.
    is_group : array of bool, shape (n,)
        Assemblies with listed children, the vehicle itself, and surplus lines. They have no mass of their own unless a
        weighing speaks of it.
    surplus_line : mapping of int to int
        Place of the surplus line of the nodes that have one.
    """

    tree: PartTree
    nodes: tuple[Node, ...]
    index: Mapping[str, int]
    parent: IntArray
    end: IntArray
    pieces: Array
    is_group: BoolArray
    surplus_line: Mapping[int, int]

    def subtree_sums(self) -> csr_array:
        """Matrix, shape (n, n): row i adds up what is in one piece of node i, pieces counted."""
        sizes = self.end - np.arange(len(self.nodes))
        starts = np.concatenate([[0], np.cumsum(sizes)])
        rows = np.repeat(np.arange(len(self.nodes)), sizes)
        columns = np.arange(starts[-1]) - starts[rows] + rows
        data = self.pieces[columns] / self.pieces[rows]
        return csr_array((data, columns, starts), shape=(len(self.nodes), len(self.nodes)))


def with_surplus_lines(
    nodes: Sequence[Node], observations: Sequence[Observation]
) -> tuple[tuple[Node, ...], frozenset[str]]:
    """Add a line for what is in none of the listed pieces to nodes that were weighed both alone and as a whole.

    Parameters
    ----------
    nodes : sequence of Node
    observations : sequence of Observation

    Returns
    -------
    nodes, tags
        The nodes with the added lines, and the tags of these.

    Notes
    -----
    An assembly has no mass of its own, so its surplus is its own unknown. A housing that was weighed bare has one; its
    surplus when weighed with its bushes (grease, adhesive) needs a line of its own, or it would look like a
    contradiction.
    """
    parents = {node.parent for node in nodes if node.parent is not None}
    alone: set[str] = set()
    whole: set[str] = set()
    for observation in observations:
        if RANK[observation.method] == 0:
            tags = {tag for tag, _ in observation.on_scale}
            if observation.scope is Scope.SUBTREE:
                whole |= tags
            elif len(tags) == 1:
                alone |= tags & parents
    added = tuple(
        Node(f"{tag} (unallocated)", tag, "in none of the listed pieces", NodeKind.ASSEMBLY)
        for tag in sorted(alone & whole)
    )
    return (*nodes, *added), frozenset(node.tag for node in added)


def layout(tree: PartTree, surplus_lines: frozenset[str] = frozenset()) -> Layout:
    """Arrays of a part tree.

    Parameters
    ----------
    tree : PartTree
    surplus_lines : frozenset of str
        Tags of the added lines (`with_surplus_lines`).

    Returns
    -------
    Layout
        In the order of the tree.
    """
    order = tree.order
    nodes = tuple(tree)
    index = {tag: place for place, tag in enumerate(order)}
    parent = [-1 if node.parent is None else index[node.parent] for node in nodes]
    end = list(range(1, len(order) + 1))
    for place in range(len(order) - 1, 0, -1):
        above = parent[place]
        end[above] = max(end[above], end[place])
    return Layout(
        tree=tree,
        nodes=nodes,
        index=index,
        parent=np.array(parent, dtype=np.intp),
        end=np.array(end, dtype=np.intp),
        pieces=np.array([tree.pieces(tag) for tag in order]),
        is_group=np.array(
            [
                node.parent is None
                or node.tag in surplus_lines
                or (node.kind is NodeKind.ASSEMBLY and stop > place + 1)
                for place, (node, stop) in enumerate(zip(nodes, end, strict=True))
            ]
        ),
        surplus_line={parent[index[tag]]: index[tag] for tag in surplus_lines},
    )
