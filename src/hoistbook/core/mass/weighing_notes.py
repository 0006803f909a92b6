"""Words beside the list of what to weigh next: which band it starts from, and what no scale can take."""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence

from hoistbook.core.mass.nodes import MassBasis
from hoistbook.core.mass.priors import sibling_priors
from hoistbook.core.mass.rollup import RollUp
from hoistbook.core.quantities.printing import NARROW_SPACE, text
from hoistbook.core.vehicle.records import NodeKind

APPLIED_CODES = ("BS06",)
"""common practice: subsystems whose mass is taken by difference, as welds, adhesive, sealer and coatings do not come
off as pieces that lie on a scale (their boundary rule in the packaged taxonomy)."""

_SOLID = (MassBasis.PARTS, MassBasis.INSIDE)
_NAMED = 4  # spelled out; the rest is counted


def is_applied(roll: RollUp, place: int, codes: Collection[str] = APPLIED_CODES) -> bool:
    """Whether a node is something put on (sealer, paint …): no piece that could lie on a scale by itself.

    Notes
    -----
    By its own or inherited taxonomy code. Fasteners listed there are pieces all the same.
    """
    node = roll.tree.nodes[place]
    return node.kind is not NodeKind.FASTENER and roll.tree.tree.system(node.tag) in codes


def weighing_notes(
    roll: RollUp, basis: Sequence[MassBasis], applied: Collection[str] = APPLIED_CODES
) -> tuple[str, ...]:
    """Sentences to print beside the list of what to weigh next.

    Parameters
    ----------
    roll : RollUp
    basis : sequence of MassBasis
        How the own mass of every node was come by.
    applied : collection of str
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


def _applied(roll: RollUp, basis: Sequence[MassBasis], codes: Collection[str]) -> list[str]:
    places = [p for p, how in enumerate(basis) if how not in _SOLID and is_applied(roll, p, codes)]
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
