"""Parts that a sister vehicle may carry, too: found by where they stand in the tree, weighed by mass and sizes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from hoistbook.core.cost.carried_over import CarriedOver, Sister, carried_over, pooled
from hoistbook.core.cost.route import PartToCost
from hoistbook.core.mass.book import MassBook
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.vehicle.records import Teardown
from hoistbook.core.vehicle.tree import PartTree
from hoistbook.services.cost_inputs import MASS, own_masses, part_readings


@dataclass(frozen=True, slots=True)
class SisterPart:
    """The part of a sister vehicle that stands in the same place.

    Attributes
    ----------
    vehicle, tag : str
    found : CarriedOver
    pooled_volume : float
        Vehicles of the sister that count for this part. [1/year]
    sentences : tuple of str
    """

    vehicle: str
    tag: str
    found: CarriedOver
    pooled_volume: float
    sentences: tuple[str, ...]


def same_places(one: PartTree, other: PartTree) -> dict[str, str]:
    """Tags of nodes that stand in the same place of two trees, first to second.

    Notes
    -----
    The same place is the same chain of names below the vehicle; where that leaves a node alone, the same name and side,
    if it is the only one of that name left on either tree.
    """
    found = _matched(_chains(one), _chains(other))
    taken = set(found.values())
    left = {tag: _name(one, tag) for tag in one.order[1:] if tag not in found}
    right = {tag: _name(other, tag) for tag in other.order[1:] if tag not in taken}
    return found | _matched(left, right)


def _chains(tree: PartTree) -> dict[str, tuple[str, ...]]:
    return {
        tag: (*(_name(tree, node.tag)[0] for node in reversed(tree.ancestors(tag)[:-1])), *_name(tree, tag))
        for tag in tree.order[1:]
    }


def _name(tree: PartTree, tag: str) -> tuple[str, ...]:
    return " ".join(tree[tag].name.casefold().split()), tree[tag].side


def _matched(one: Mapping[str, tuple[str, ...]], other: Mapping[str, tuple[str, ...]]) -> dict[str, str]:
    """Tags whose words occur once on either side."""
    lists: list[dict[tuple[str, ...], list[str]]] = []
    for side in (one, other):
        words: dict[tuple[str, ...], list[str]] = {}
        for tag, said in side.items():
            words.setdefault(said, []).append(tag)
        lists.append(words)
    return {
        tags[0]: lists[1][said][0]
        for said, tags in lists[0].items()
        if len(tags) == 1 and len(lists[1].get(said, ())) == 1
    }


@dataclass(frozen=True, slots=True)
class Known:
    """A vehicle with its tree and mass book."""

    teardown: Teardown
    tree: PartTree
    masses: MassBook

    def sizes(self) -> dict[str, dict[str, Quantity]]:
        """Everything read off each part that is above 0, its own mass included; estimates are not among it."""
        found = part_readings(self.teardown.measurements)
        for tag, mass in own_masses(self.masses).items():
            found.setdefault(tag, {})[MASS] = mass
        return {tag: {n: q for n, q in one.items() if q.value > 0.0} for tag, one in found.items()}


def with_sister(
    parts: Sequence[PartToCost], one: Known, sister: Known, volume_per_year: float
) -> tuple[tuple[PartToCost, ...], dict[str, SisterPart]]:
    """Pool the volume of parts with that of a sister vehicle.

    Parameters
    ----------
    parts : sequence of PartToCost
    one, sister : Known
        Their vehicle, and the sister.
    volume_per_year : float
        Sisters built. [1/year]

    Returns
    -------
    tuple of PartToCost, dict of str to SisterPart
        The parts with their pooled volume, and what was found by tag.

    Raises
    ------
    ValueError
        A negative volume.
    """
    places = same_places(one.tree, sister.tree)
    mine, theirs = one.sizes(), sister.sizes()
    code = sister.teardown.vehicle.code
    found: dict[str, SisterPart] = {}
    whole = []
    for part in parts:
        tag = places.get(part.tag)
        if tag is None:
            whole.append(part)
            continue
        state = carried_over(
            Sister(part.tag, (), mine.get(part.tag, {})), Sister(tag, (), theirs.get(tag, {}))
        )
        with_volume, said = pooled(part, {code: (state, volume_per_year)})
        whole.append(with_volume)
        found[part.tag] = SisterPart(code, tag, state, with_volume.pooled_volume, (*said, *state.sentences))
    return tuple(whole), found
