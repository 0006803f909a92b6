"""How much of the vehicle was weighed: by number of nodes, of pieces, and by mass."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from hoistbook.core.mass.nodes import Cover
from hoistbook.core.mass.rollup import RollUp
from hoistbook.core.quantities.quantity import Quantity


@dataclass(frozen=True, slots=True)
class CoverLine:
    """One line of the coverage table.

    `mass` is None for what is missing: its mass is not known, not zero. Shares are of the nodes, and of the sum of the
    parts that have a mass (None when that is zero).
    """

    cover: Cover
    node_count: int
    piece_count: float
    node_share_frac: float
    mass: Quantity | None
    mass_share_frac: float | None


@dataclass(frozen=True, slots=True)
class Coverage:
    """The coverage table, every line always there.

    `of_scale_frac` is the sum of the parts over the mass on the vehicle scale; None without one.
    """

    lines: tuple[CoverLine, ...]
    node_count: int
    parts: Quantity
    of_scale_frac: float | None

    def line(self, cover: Cover) -> CoverLine:
        """Return one line."""
        return next(line for line in self.lines if line.cover == cover)


def coverage(
    roll: RollUp,
    cover: Sequence[Cover | None],
    places: Iterable[int] | None = None,
    scale_kg: float | None = None,
) -> Coverage:
    """Coverage table of the vehicle, or of some of its nodes.

    Parameters
    ----------
    roll : RollUp
    cover : sequence of Cover or None
        Line of every node; None for assemblies that are just the sum of their parts, which are not counted.
    places : iterable of int, optional
        Nodes to look at; all when left out.
    scale_kg : float, optional
        Mass of the vehicle by its scale. [kg]

    Returns
    -------
    Coverage

    Notes
    -----
    Pieces inside a weighed assembly count there as long as they have no weighed reading of their own; their mass is
    what was estimated for them, or the part of the assembly that was not broken down.
    """
    chosen = range(len(cover)) if places is None else sorted(set(places))
    members: dict[Cover, list[int]] = {line: [] for line in Cover}
    for place in chosen:
        line = cover[place]
        if line is not None:
            members[line].append(place)
    pieces = roll.tree.pieces
    rows = roll.rows([{place: pieces[place] for place in found} for found in members.values()])
    masses = dict(zip(members, roll.quantities(rows), strict=True))
    parts = roll.quantities(roll.rows([{place: pieces[place] for place in chosen}]))[0]
    # A surplus or a remainder booked to an assembly is mass, not one more piece.
    listed = {
        line: [place for place in found if not roll.tree.is_group[place]] for line, found in members.items()
    }
    count = sum(len(found) for found in listed.values())
    lines = tuple(
        CoverLine(
            line,
            len(listed[line]),
            float(sum(pieces[place] for place in listed[line])),
            len(listed[line]) / count if count else 0.0,
            None if line is Cover.MISSING else masses[line],
            None if line is Cover.MISSING or not parts.value else masses[line].value / parts.value,
        )
        for line in members
    )
    return Coverage(lines, count, parts, parts.value / scale_kg if scale_kg else None)
