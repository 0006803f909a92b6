"""Why a part is a part of its own: recorded reasons, and the count of parts with and without one."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from hoistbook.core.vehicle.approaches import approach_parts
from hoistbook.core.vehicle.records import NodeKind, Teardown
from hoistbook.core.vehicle.tree import PartTree


class ReasonKind(StrEnum):
    """Why a part is not one piece with its neighbour. All but the last are physical.

    Source
    ------
    common practice: list of this project, after general design literature (from memory: Pahl and Beitz, Engineering
    Design; VDI 2223, VDI 2243).
    """

    MOVES = "moves against it in use"
    MATERIAL = "must be another material, or insulated from it"
    COMES_OFF = "must come off for service or assembly"
    MAKING = "could not be made in one piece by an affordable process"
    ADJUSTED = "is adjusted, matched or sealed there"
    BOUGHT = "is carried over or bought as a unit"

    @property
    def physical(self) -> bool:
        """Whether it is a physical reason; being bought as a unit is an economic one, said apart."""
        return self is not ReasonKind.BOUGHT


@dataclass(frozen=True, slots=True)
class PartReason:
    """One recorded reason.

    Attributes
    ----------
    kind : ReasonKind
    text : str
        In the engineer's words: what it moves against, which current, which service.
    policy : str
        The service policy assumed; a part that must come off says for whom and when.

    Raises
    ------
    ValueError
        A part that must come off for service without the policy, or a reason without words.
    """

    kind: ReasonKind
    text: str
    policy: str = ""

    def __post_init__(self) -> None:
        if not self.text.strip():
            msg = f"reason {self.kind.value!r}: say it in words, e.g. what it moves against."
            raise ValueError(msg)
        if self.kind is ReasonKind.COMES_OFF and not self.policy.strip():
            msg = f"reason {self.kind.value!r}: the service or assembly it comes off for depends on a policy; state it."
            raise ValueError(msg)


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


def necessity(teardown: Teardown, reasons: Mapping[str, Sequence[PartReason]]) -> dict[str, Necessity]:
    """Count parts by reason, for each approach and, under "", for the vehicle.

    Parameters
    ----------
    teardown : Teardown
    reasons : mapping of tag to sequence of PartReason

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
    for tag in reasons:
        if tag not in tree:
            msg = f"reason for {tag!r}: no such tag in the part tree of {teardown.vehicle.code}."
            raise ValueError(msg)
        if tree[tag].kind is not NodeKind.PART:
            msg = f"reason for {tag!r}: it is a {tree[tag].kind}; reasons are recorded for parts only."
            raise ValueError(msg)
    found = {"": _count((node.tag for node in tree), tree, reasons)}
    for approach, parts in approach_parts(teardown).items():
        found[approach] = _count((tag for tag, share in parts if share > 0.0), tree, reasons)
    return found


def _count(tags: Iterable[str], tree: PartTree, reasons: Mapping[str, Sequence[PartReason]]) -> Necessity:
    groups: tuple[list[str], list[str], list[str]] = ([], [], [])
    for tag in tags:
        if tree[tag].kind is NodeKind.PART:
            recorded = reasons.get(tag, ())
            place = 0 if any(r.kind.physical for r in recorded) else 1 if recorded else 2
            groups[place].append(tag)
    pieces = [sum(tree.pieces(tag) for tag in group) for group in groups]
    return Necessity(tuple(groups[0]), tuple(groups[1]), tuple(groups[2]), pieces[0], pieces[1], pieces[2])
