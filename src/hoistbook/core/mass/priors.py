"""What may be assumed of a part without a mass, for ranking only: that it is like its weighed siblings."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from hoistbook.core.mass.nodes import MassBasis
from hoistbook.core.mass.rollup import RollUp
from hoistbook.core.vehicle.records import NodeKind

_READ = (MassBasis.WEIGHED, MassBasis.COMPUTED, MassBasis.ESTIMATED, MassBasis.LITERATURE)


@dataclass(frozen=True, slots=True)
class Prior:
    """Mass of one piece of a part without a mass, as assumed: middle, standard uncertainty [kg], and the words."""

    mass_kg: float
    u_kg: float
    words: str


def sibling_priors(roll: RollUp, basis: Sequence[MassBasis]) -> Mapping[int, Prior]:
    """Assume every part without a mass like its siblings of the same kind that have one.

    Parameters
    ----------
    roll : RollUp
    basis : sequence of MassBasis
        How the own mass of every node was come by.

    Returns
    -------
    mapping of int to Prior
        By place in the tree; parts without such siblings are not in it.

    Notes
    -----
    Anywhere between zero and twice the mean m̄ of the siblings, rectangular: u = m̄/√3.

    Source
    ------
    common practice (project rule): a wide assumption that is said, and that enters no total.
    """
    tree = roll.tree
    parent = tree.parent.tolist()
    families = [(above, node.kind) for above, node in zip(parent, tree.nodes, strict=True)]
    wanted = {families[place] for place, how in enumerate(basis) if how is MassBasis.MISSING}
    masses: dict[tuple[int, NodeKind], list[float]] = {}
    for place, how in enumerate(basis):
        if how in _READ and families[place] in wanted and tree.end[place] == place + 1:
            masses.setdefault(families[place], []).append(float(roll.own_kg[place]))
    priors: dict[int, Prior] = {}
    for place, how in enumerate(basis):
        siblings = masses.get(families[place], [])
        mean = math.fsum(siblings) / len(siblings) if siblings else 0.0
        if how is MassBasis.MISSING and mean > 0.0:
            words = (
                f"assumed between 0 and {2.0 * mean:.3g} kg, twice the mean of {len(siblings)} "
                f"{'sibling' if len(siblings) == 1 else 'siblings'} of its kind"
            )
            priors[place] = Prior(mean, mean / math.sqrt(3.0), words)
    return priors
