"""Totals by system, function, side and kind. Lines, unassigned mass and unallocated surplus add up to the vehicle."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from hoistbook.core.mass.ledger import Flag, FlagKind
from hoistbook.core.mass.nodes import MassBasis
from hoistbook.core.mass.rollup import RollUp
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.vehicle.taxonomy import Taxonomy

UNASSIGNED = ""
"""Key of the line of nodes that carry no code."""

Weights = Sequence[Mapping[str, float]]
"""For every node the lines its own mass goes to, with the fraction of it."""

_SHARE_TOLERANCE = 1e-6  # shares are kept in parts per million


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a breakdown.

    Attributes
    ----------
    key, name : str
        Code and words; both empty for what is assigned to nothing.
    mass : Quantity
        Of the parts. [kg]
    unallocated : Quantity
        Surplus of the assemblies of this line over their listed pieces. [kg]
    share_frac : float or None
        Of `total` in the sum of the parts of the vehicle; None when that is zero. [1]
    node_count, missing_count : int
        Nodes of this line (assemblies that are their parts not counted), and those of them without a mass.
    held : tuple of str
        Tags whose mass lies in the line of the assembly it was weighed with: here it is lacking.
    """

    key: str
    name: str
    mass: Quantity
    unallocated: Quantity
    share_frac: float | None
    node_count: int
    missing_count: int
    held: tuple[str, ...]

    @property
    def total(self) -> Quantity:
        """Parts and surplus. [kg]"""
        return self.mass + self.unallocated


@dataclass(frozen=True, slots=True)
class Breakdown:
    """All lines of one kind, the unassigned one last and always there.

    Sum of `mass` over all lines + `unallocated` = `total`.
    """

    by: str
    lines: tuple[Line, ...]
    unassigned: Line
    unallocated: Quantity
    total: Quantity
    flags: tuple[Flag, ...] = field(default=())

    def line(self, key: str) -> Line | None:
        """Return the line of a code; None when the vehicle has nothing there."""
        return next((line for line in (*self.lines, self.unassigned) if line.key == key), None)


def breakdown(
    roll: RollUp,
    basis: Sequence[MassBasis],
    by: str,
    weights: Weights,
    names: Callable[[str], str] = str,
    flags: Sequence[Flag] = (),
) -> Breakdown:
    """Totals of the lines named in `weights`.

    Parameters
    ----------
    roll : RollUp
    basis : sequence of MassBasis
        How the own mass of every node was come by.
    by : str
        What the lines are, in words.
    weights : sequence of mapping of str to float
        For every node the lines its own mass goes to; what is left of 1 is unassigned.
    names : callable
        Words of a key.
    flags : sequence of Flag
        Carried along.

    Returns
    -------
    Breakdown
        Lines sorted by total, heaviest first.

    Notes
    -----
    Own masses are added, never subtrees, so a weighed assembly and its pieces cannot both count.
    """
    parts: dict[str, dict[int, float]] = {UNASSIGNED: {}}
    surplus: dict[str, dict[int, float]] = {}
    counts: dict[str, list[int]] = {}
    held: dict[str, list[str]] = {}
    pieces = roll.tree.pieces.tolist()
    for place, shares in enumerate(weights):
        how = basis[place]
        left = 1.0 - sum(shares.values())
        entries = [*shares.items(), (UNASSIGNED, left)] if abs(left) > _SHARE_TOLERANCE else [*shares.items()]
        target = surplus if how is MassBasis.UNALLOCATED else parts
        for key, fraction in entries:
            row = target.setdefault(key, {})
            row[place] = row.get(place, 0.0) + fraction * pieces[place]
            if not roll.tree.is_group[place]:
                count = counts.setdefault(key, [0, 0])
                count[0] += 1
                count[1] += how is MassBasis.MISSING
                if how is MassBasis.INSIDE:
                    held.setdefault(key, []).append(roll.tree.nodes[place].tag)
    keys = sorted(parts.keys() | surplus.keys())
    total = roll.total()
    masses = roll.quantities(roll.rows([parts.get(key, {}) for key in keys]))
    surpluses = roll.quantities(roll.rows([surplus.get(key, {}) for key in keys]))
    lines: dict[str, Line] = {}
    for key, mass, unallocated in zip(keys, masses, surpluses, strict=True):
        nodes, missing = counts.get(key, (0, 0))
        lines[key] = Line(
            key,
            names(key) if key else "",
            mass,
            unallocated,
            (mass.value + unallocated.value) / total.value if total.value else None,
            nodes,
            missing,
            tuple(held.get(key, ())),
        )
    unassigned = lines.pop(UNASSIGNED)
    found = (line for line in lines.values() if line.node_count or line.mass.terms or line.unallocated.terms)
    everything = {
        place: roll.tree.pieces[place] for place, how in enumerate(basis) if how is MassBasis.UNALLOCATED
    }
    return Breakdown(
        by,
        tuple(sorted(found, key=lambda line: (-(line.mass.value + line.unallocated.value), line.key))),
        unassigned,
        roll.quantities(roll.rows([everything]))[0],
        total,
        tuple(flags),
    )


def system_weights(
    roll: RollUp, taxonomy: Taxonomy | None, *, subsystems: bool
) -> tuple[Weights, tuple[Flag, ...]]:
    """Line of every node by taxonomy code, inherited from the parent where a node states none.

    Parameters
    ----------
    roll : RollUp
    taxonomy : Taxonomy or None
        Without it the letters before the digits of a code are taken as its system.
    subsystems : bool
        Lines by subsystem instead of by system.

    Returns
    -------
    weights, flags
        Codes that are not in the taxonomy go to the unassigned line and are flagged.
    """
    tree = roll.tree.tree
    unknown: dict[str, list[str]] = {}
    lines: dict[str, str] = {}

    def line(code: str, tag: str) -> str:
        if code in lines:
            return lines[code]
        if taxonomy is None:
            return lines.setdefault(code, code if subsystems else code.rstrip("0123456789"))
        if code in taxonomy:
            return lines.setdefault(code, code if subsystems else taxonomy.system(code).code)
        unknown.setdefault(code, []).append(tag)
        return UNASSIGNED

    weights: list[Mapping[str, float]] = []
    for node in roll.tree.nodes:
        code = tree.system(node.tag)
        key = line(code, node.tag) if code else UNASSIGNED
        weights.append({key: 1.0} if key else {})
    flags = tuple(
        Flag(
            FlagKind.CODE,
            f"system code {code!r} of {', '.join(tags[:6])}{' …' if len(tags) > 6 else ''} is not in the "
            "taxonomy; the mass stands "
            "under 'unassigned'.",
            "Correct the code in the parts sheet.",
            tuple(tags),
        )
        for code, tags in unknown.items()
    )
    return weights, flags


def function_weights(
    roll: RollUp, claims: Mapping[str, Sequence[tuple[str, float]]], functions: Mapping[str, str]
) -> tuple[Weights, tuple[Flag, ...]]:
    """Line of every node by function.

    Parameters
    ----------
    roll : RollUp
    claims : mapping of str to sequence of (str, float)
        Approach → (tag, share as a fraction), own masses only (`approaches.approach_parts`), of one configuration.
    functions : mapping of str to str
        Function code of each of these approaches.

    Returns
    -------
    weights, flags
        A node no approach claims goes to its primary function, own or inherited. Shares that do not add up to 1 are
        flagged and the rest is unassigned.
    """
    shares: dict[str, dict[str, float]] = {}
    for approach, parts in claims.items():
        code = functions[approach]
        for tag, fraction in parts:
            row = shares.setdefault(tag, {})
            row[code] = row.get(code, 0.0) + fraction
    weights: list[Mapping[str, float]] = []
    flags: list[Flag] = []
    for node in roll.tree.nodes:
        row = shares.get(node.tag, {})
        if not row:
            primary = roll.tree.tree.function(node.tag)
            row = {primary: 1.0} if primary else {}
        elif abs(sum(row.values()) - 1.0) > _SHARE_TOLERANCE:
            flags.append(
                Flag(
                    FlagKind.SHARES,
                    f"{node.tag} {node.name}: its shares add up to {100.0 * sum(row.values()):.6g} %, not 100 "
                    "%; the rest is unassigned.",
                    "Correct the shares of this part.",
                    (node.tag,),
                )
            )
        weights.append(row)
    return weights, tuple(flags)
