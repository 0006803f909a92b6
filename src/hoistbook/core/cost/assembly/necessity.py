"""Why a part is a part of its own: recorded reasons, and the count of parts with and without one."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from hoistbook.core.vehicle.approaches import approach_parts
from hoistbook.core.vehicle.records import NodeKind, Reason, Teardown
from hoistbook.core.vehicle.tree import PartTree


@dataclass(frozen=True, slots=True)
class Necessity:
    """Counts of parts by the reasons recorded for them.

    Attributes
    ----------
    physical, economic, none : tuple of str
        Tags with at least one physical reason; with only an economic one; with none recorded, which are candidates
        for merging.
    pieces_physical, pieces_economic, pieces_none : float
        The same in pieces of the vehicle. [1]
    """

    physical: tuple[str, ...]
    economic: tuple[str, ...]
    none: tuple[str, ...]
    pieces_physical: float
    pieces_economic: float
    pieces_none: float

    @property
    def physical_frac(self) -> float | None:
        """Share of the parts with a physical reason: a metric of the function, no score of its engineer. [1]

        None where there is no part.
        """
        count = len(self.physical) + len(self.economic) + len(self.none)
        return len(self.physical) / count if count else None


def necessity(teardown: Teardown, reasons: Sequence[Reason] | None = None) -> dict[str, Necessity]:
    """Count parts by reason, for each approach and, under "", for the vehicle.

    Parameters
    ----------
    teardown : Teardown
    reasons : sequence of Reason, optional
        Those of the record when left out.

    Returns
    -------
    dict of str to Necessity
        A part counts for every approach that claims a share of it.

    Raises
    ------
    ValueError
        A reason for an unknown tag or for a fastener: a fastener is never a reason by itself, and needs none.

    Notes
    -----
    Only parts are counted. Assemblies are their parts; fasteners, fluids and loose items are no parts here.
    """
    tree = PartTree(teardown.nodes)
    found_reasons: dict[str, list[Reason]] = {}
    for reason in teardown.reasons if reasons is None else reasons:
        tag = reason.tag
        found_reasons.setdefault(tag, []).append(reason)
        if tag not in tree:
            msg = f"reason for {tag!r}: no such tag in the part tree of {teardown.vehicle.code}."
            raise ValueError(msg)
        if tree[tag].kind is not NodeKind.PART:
            msg = f"reason for {tag!r}: it is a {tree[tag].kind}; reasons are recorded for parts only."
            raise ValueError(msg)
    found = {"": counted((node.tag for node in tree), tree, found_reasons)}
    for approach, parts in approach_parts(teardown).items():
        found[approach] = counted((tag for tag, share in parts if share > 0.0), tree, found_reasons)
    return found


def counted(tags: Iterable[str], tree: PartTree, reasons: Mapping[str, Sequence[Reason]]) -> Necessity:
    """Count those of some nodes that are parts by the reasons recorded for them."""
    groups: tuple[list[str], list[str], list[str]] = ([], [], [])
    for tag in tags:
        if tree[tag].kind is NodeKind.PART:
            recorded = reasons.get(tag, ())
            place = 0 if any(r.kind.physical for r in recorded) else 1 if recorded else 2
            groups[place].append(tag)
    pieces = [sum(tree.pieces(tag) for tag in group) for group in groups]
    return Necessity(tuple(groups[0]), tuple(groups[1]), tuple(groups[2]), pieces[0], pieces[1], pieces[2])
