"""The part tree of one vehicle: order, inheritance of system and function, pieces in the whole vehicle."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from hoistbook.core.vehicle.records import Node


def parents_in_a_ring(nodes: Iterable[Node]) -> list[tuple[str, ...]]:
    """Rings among the parent links, each as the tags around it; empty for a proper tree.

    Parameters
    ----------
    nodes : iterable of Node
        Later lines of a doubled tag are left out; unknown parents end a chain.

    Returns
    -------
    list of tuple of str
        Each ring once, starting at the line that comes first.

    Source
    ------
    first principles: every node has one parent, so walking up either ends or comes back.
    """
    parent: dict[str, str | None] = {}
    for node in nodes:
        parent.setdefault(node.tag, node.parent)
    rings: list[tuple[str, ...]] = []
    settled: set[str] = set()
    for tag in parent:
        path: dict[str, None] = {}
        here: str | None = tag
        while here is not None and here in parent and here not in settled and here not in path:
            path[here] = None
            here = parent[here]
        if here is not None and here in path:
            walked = list(path)
            rings.append(tuple(walked[walked.index(here) :]))
        settled.update(path)
    return rings


class PartTree:
    """The nodes of one vehicle as a tree.

    Parameters
    ----------
    nodes : sequence of Node
        In any order; exactly one, the vehicle itself, has no parent.

    Raises
    ------
    ValueError
        A tag used twice, an unknown parent, a ring, not exactly one root, or a count that is not above 0.
    """

    __slots__ = ("_children", "_effective", "_nodes", "_order", "_pieces")

    def __init__(self, nodes: Sequence[Node]) -> None:
        self._nodes: dict[str, Node] = {}
        for node in nodes:
            if node.tag in self._nodes:
                msg = f"part {node.tag}: this tag is used twice; a tag names one line of the part tree."
                raise ValueError(msg)
            if not node.count > 0.0:
                msg = (
                    f"part {node.tag}: count = {node.count!r}; give the pieces in one {node.parent}, above 0."
                )
                raise ValueError(msg)
            self._nodes[node.tag] = node
        self._children: dict[str | None, list[str]] = {}
        for node in nodes:
            if node.parent is not None and node.parent not in self._nodes:
                msg = (
                    f"part {node.tag}: its parent {node.parent!r} is not in the part tree; add that "
                    "line or correct the tag."
                )
                raise ValueError(msg)
            self._children.setdefault(node.parent, []).append(node.tag)
        roots = self._children.get(None, [])
        if rings := parents_in_a_ring(nodes):
            msg = f"parts {' → '.join(rings[0][:6])} hang in a ring; correct the parent of one of them."
            raise ValueError(msg)
        if len(roots) != 1:
            msg = (
                f"nodes without a parent: {', '.join(roots[:6]) or 'none'}; exactly one, the "
                "vehicle itself, has none."
            )
            raise ValueError(msg)
        self._order: tuple[str, ...] = tuple(self._walk(roots[0]))
        self._pieces: dict[str, float] = {}
        self._effective: dict[str, tuple[str, str]] = {}
        for tag in self._order:
            node = self._nodes[tag]
            system, function = self._effective.get(node.parent or "", ("", ""))
            self._effective[tag] = (node.system or system, node.function or function)
            # There is one vehicle, whatever the root's own count says.
            self._pieces[tag] = 1.0 if node.parent is None else node.count * self._pieces[node.parent]

    def _walk(self, start: str) -> Iterator[str]:
        stack = [start]
        while stack:
            tag = stack.pop()
            yield tag
            stack.extend(reversed(self._children.get(tag, ())))

    def __len__(self) -> int:
        return len(self._nodes)

    def __contains__(self, tag: object) -> bool:
        return tag in self._nodes

    def __iter__(self) -> Iterator[Node]:
        """Yield the nodes from the root down, parents before children, siblings as given."""
        return (self._nodes[tag] for tag in self._order)

    def __getitem__(self, tag: str) -> Node:
        """Return the node of a tag; `KeyError` when there is none."""
        return self._nodes[tag]

    @property
    def root(self) -> Node:
        """The vehicle itself."""
        return self._nodes[self._order[0]]

    @property
    def order(self) -> tuple[str, ...]:
        """Tags from the root down, parents before children."""
        return self._order

    def parent(self, tag: str) -> Node | None:
        """Return the node it came out of; None for the root."""
        above = self._nodes[tag].parent
        return None if above is None else self._nodes[above]

    def children(self, tag: str) -> tuple[Node, ...]:
        """Return the nodes directly below, in the order given."""
        return tuple(self._nodes[child] for child in self._children.get(tag, ()))

    def is_leaf(self, tag: str) -> bool:
        """Whether nothing is listed below."""
        return tag not in self._children

    def ancestors(self, tag: str) -> tuple[Node, ...]:
        """Return the nodes above, nearest first."""
        above: list[Node] = []
        node = self.parent(tag)
        while node is not None:
            above.append(node)
            node = self.parent(node.tag)
        return tuple(above)

    def subtree(self, tag: str) -> tuple[Node, ...]:
        """Return the node and everything below it."""
        return tuple(self._nodes[each] for each in self._walk(self._nodes[tag].tag))

    def system(self, tag: str) -> str:
        """Taxonomy code of a node: its own, else that of the nearest node above that states one; else empty."""
        return self._effective[tag][0]

    def function(self, tag: str) -> str:
        """Primary function of a node: its own, else that of the nearest node above that states one; else empty."""
        return self._effective[tag][1]

    def pieces(self, tag: str) -> float:
        """Pieces of a node in the whole vehicle: the product of the counts up to the root.

        Notes
        -----
        N = n_tag · n_parent · … ; the root counts as one vehicle. first principles.
        """
        return self._pieces[tag]
