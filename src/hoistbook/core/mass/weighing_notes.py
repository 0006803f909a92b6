"""Words beside the list of what to weigh next: which band it starts from, and what no scale can take."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass

from hoistbook.core.mass.nodes import MassBasis
from hoistbook.core.mass.priors import sibling_priors
from hoistbook.core.mass.rollup import RollUp
from hoistbook.core.quantities.printing import NARROW_SPACE, text
from hoistbook.core.vehicle.records import NodeKind

_SOLID = (MassBasis.PARTS, MassBasis.INSIDE)
_NAMED = 4  # spelled out; the rest is counted


@dataclass(frozen=True, slots=True)
class AppliedMaterials:
    """What was put on and does not come off as a piece that lies on a scale: by taxonomy code, or by words of its name.

    Source
    ------
    common practice: the boundary rule of BS06 in the packaged taxonomy (mass by difference); the words are those of the
    trade for what is poured, sprayed or beaded on elsewhere. Both are there to be replaced.
    """

    codes: tuple[str, ...] = ("BS06",)
    words: tuple[str, ...] = (
        "adhesive", "sealer", "sealant", "underseal", "paint", "primer", "cavity wax", "gap filler", "potting",
        "damping spray",
    )  # fmt: skip

    def holds(self, roll: RollUp, place: int, how: MassBasis) -> bool:
        """Whether a node is such a material. What was weighed once, and fasteners, can be weighed again."""
        node = roll.tree.nodes[place]
        if how is MassBasis.WEIGHED or node.kind is NodeKind.FASTENER:
            return False
        if roll.tree.tree.system(node.tag) in self.codes:
            return True
        name = " ".join(re.findall(r"\w+", node.name.casefold()))
        return not roll.tree.is_group[place] and any(f" {word} " in f" {name} " for word in self.words)


APPLIED = AppliedMaterials()


def weighing_notes(
    roll: RollUp, basis: Sequence[MassBasis], applied: AppliedMaterials = APPLIED
) -> tuple[str, ...]:
    """Sentences to print beside the list of what to weigh next.

    Parameters
    ----------
    roll : RollUp
    basis : sequence of MassBasis
        How the own mass of every node was come by.
    applied : AppliedMaterials
        See `next_to_weigh.next_to_weigh`.

    Returns
    -------
    tuple of str
        Why the band of the list differs from that of the sum of the parts, while parts without a mass are assumed like
        their siblings; and what cannot be put on a scale, while it widens the printed band or has no mass.

    Source
    ------
    common practice (applied materials are taken by difference or by sample and area).
    """
    return (*_assumed(roll, basis), *_applied(roll, basis, applied))


def _assumed(roll: RollUp, basis: Sequence[MassBasis]) -> list[str]:
    priors = sibling_priors(roll, basis)
    if not priors:
        return []
    total = roll.total()
    more_u = math.sqrt(
        math.fsum((float(roll.tree.pieces[p]) * prior.u_kg) ** 2 for p, prior in priors.items())
    )
    half = total.expanded()
    now = (
        half * math.hypot(total.standard_uncertainty, more_u) / total.standard_uncertainty
        if half
        else 1.96 * more_u
    )
    one = len(priors) == 1
    what = "1 part without a mass" if one else f"{len(priors)} parts without a mass"
    sentence = (
        f"This list starts from a wider band ({_band(now)}) than the sum of the parts ({_band(half)}): here "
        f"{what} may weigh anything from nothing to twice as much as {'its' if one else 'their'} weighed siblings, "
        f"while the sum leaves {'it' if one else 'them'} out."
    )
    return [sentence]


def _applied(roll: RollUp, basis: Sequence[MassBasis], applied: AppliedMaterials) -> list[str]:
    places = [p for p, how in enumerate(basis) if how not in _SOLID and applied.holds(roll, p, how)]
    missing = [p for p in places if basis[p] is MassBasis.MISSING]
    own = roll.quantities(roll.rows([{p: float(roll.tree.pieces[p]) for p in places}]))[0]
    total = roll.total()
    half, left = total.expanded(), (total - own).expanded()
    if not missing and (not places or text(0.0, half) == text(0.0, left)):
        return []
    names = [f"{roll.tree.nodes[p].tag} {roll.tree.nodes[p].name}" for p in places]
    more = f" and {len(names) - _NAMED} more" if len(names) > _NAMED else ""
    without = f"; {len(missing)} of them without a mass" if missing else ""
    sentence = (
        f"Not proposed, as it cannot be put on a scale by itself: {'; '.join(names[:_NAMED])}{more} "
        f"({_band(own.expanded())} together{without}). Take it by difference (the assembly before and after "
        "stripping), or scrape a sample off a measured area."
    )
    return [sentence]


def _band(half_kg: float) -> str:
    return (
        text(0.0, half_kg, "kg").partition(" ")[2] if half_kg > 0.0 else f"±{NARROW_SPACE}0{NARROW_SPACE}kg"
    )
