"""How much of a mass gap has been looked at: decisions, findings "same" and "carried over", and what nobody compared.

Noticing only differences fools people: whatever nobody looked at looks equal. So what was compared and found equal
counts too, and the share that is left is stated with its largest pieces first.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.compare.bars import Interval, WeightedDraws
from hoistbook.core.compare.mass_walk import (
    UNALLOCATED_WORDS,
    MassSide,
    mass_difference,
    thinly_listed,
    without_rounding,
)
from hoistbook.core.compare.study import Finding, FindingKind
from hoistbook.core.quantities.quantity import Quantity, total
from hoistbook.core.quantities.sampling import draws as draw


class Standing(StrEnum):
    """What is known of one line of a mass gap besides its size."""

    DECIDED = "decision"  # both vehicles record how they do it
    SAME = "same"
    CARRIED_OVER = "carried over"
    CONTRADICTED = "contradicted"  # a finding says equal, the masses say otherwise
    OPEN = "not looked at"


LOOKED_AT = (Standing.DECIDED, Standing.SAME, Standing.CARRIED_OVER)
"""What counts as looked at. A contradicted finding does not: somebody has to look again."""

_FOUND = {FindingKind.SAME: Standing.SAME, FindingKind.CARRIED_OVER: Standing.CARRIED_OVER}


@dataclass(frozen=True, slots=True)
class Side:
    """One vehicle: its masses, and the functions it records an approach to (or that it does without)."""

    mass: MassSide
    recorded: frozenset[str]


@dataclass(frozen=True, slots=True)
class LookedLine:
    """One line of a mass gap.

    Attributes
    ----------
    kind : str
        "function"; "system" for the parts of a system that serve no function compared; "rest" for what is on the scale
        and not among the parts compared.
    code, words : str
    difference : Interval
        Y less X, with the band of the two mass books: the same figure as in a mass gap or a claim. [kg]
    size : Interval
        Its size without sign, mean and band over draws: what the share is a share of. [kg]
    share : Interval
        Of all sizes together. [1]
    standing : Standing
    finding : Finding or None
    allowed_kg : float or None
        Largest difference the finding can be true with; None without a finding.
    """

    kind: str
    code: str
    words: str
    difference: Interval
    size: Interval
    share: Interval
    standing: Standing
    finding: Finding | None = None
    allowed_kg: float | None = None


@dataclass(frozen=True, slots=True)
class LookedAt:
    """How much of the mass gap from X to Y has been looked at.

    Attributes
    ----------
    code_x, code_y : str
    differences : Interval
        Sum of the sizes of all lines. [kg]
    looked_at : Interval
        Share of it that has been looked at. [1]
    by_standing : mapping of Standing to Interval
        Shares of it; their values add up to 1.
    mass_looked_at : Interval
        Share of the mass of both vehicles in the lines that have been looked at. What was found equal weighs here,
        although it adds next to nothing to the differences. [1]
    lines : tuple of LookedLine
        Largest first.
    """

    code_x: str
    code_y: str
    differences: Interval
    looked_at: Interval
    by_standing: Mapping[Standing, Interval]
    mass_looked_at: Interval
    lines: tuple[LookedLine, ...]

    @property
    def open_lines(self) -> tuple[LookedLine, ...]:
        """What has not been looked at, largest first."""
        return tuple(line for line in self.lines if line.standing not in LOOKED_AT)

    @property
    def contradicted(self) -> tuple[LookedLine, ...]:
        """Lines whose finding the masses do not bear out."""
        return tuple(line for line in self.lines if line.standing is Standing.CONTRADICTED)


@dataclass(frozen=True, slots=True)
class _Piece:
    """One line before it is judged: its masses in both vehicles, and the systems its parts lie in."""

    kind: str
    code: str
    x: Quantity
    y: Quantity
    systems: frozenset[str]


def looked_at(
    x: Side,
    y: Side,
    findings: Sequence[Finding],
    words: Mapping[str, str],
    *,
    n_draws: int,
    seed: int,
    piece_spread_frac: float = 0.0,
) -> LookedAt:
    """Say how much of the mass gap Y − X has been looked at.

    Parameters
    ----------
    x, y : Side
    findings : sequence of Finding
        Their functions as codes: of a function, or of a system of the taxonomy. Those of other pairs are passed over.
    words : mapping of code to str
        The words of the trade for functions and systems.
    n_draws, seed : int
        Draws for the bands of the shares; shared instruments are drawn once for both vehicles.
    piece_spread_frac : float
        How far two sound pieces of one drawing may differ in mass, as a share of it. Nothing is granted unless
        stated. [1]

    Returns
    -------
    LookedAt

    Raises
    ------
    ValueError
        Fewer than 100 draws, or a negative spread.

    Notes
    -----
    The gap is cut into lines that add up to it: every function known at both vehicles; of every system the parts that
    serve no such function; and the rest, gap on the scale less all lines. With D_l the difference of line l in one
    draw, its share is |D_l| / Σ|D|; value = mean over draws, so the shares of the standings add up to 1; band =
    2.5–97.5 %. In a draw without any difference everything counts as not looked at.

    A line is looked at when both vehicles record an approach to its function (a decision), or a finding speaks of it
    and the masses do not contradict it. Contradicted: |m_y − m_x| > U(m_y − m_x) + s · max(m_x, m_y), with U the 95 %
    half width, in which shared instruments cancel, and s the stated spread of pieces. A finding of a function comes
    before its decision. A finding of a system speaks of its parts without a function of their own, and of the
    functions that lie in it wholly at both vehicles and have neither finding nor decision.

    Inside a line heavier and lighter parts cancel: the sizes are those of functions, not of parts. Systems that one
    vehicle lists next to nothing of are in the rest (see `mass_walk`).

    Source
    ------
    first principles (shares of a sum of sizes); the rule what counts as looked at is this project's own (design 2.3).
    """
    if n_draws < 100:
        msg = f"n_draws = {n_draws}: give at least 100 draws for a 95 % band."
        raise ValueError(msg)
    if not piece_spread_frac >= 0.0:
        msg = f"piece_spread_frac = {piece_spread_frac!r}: give a share from 0 on, e.g. 0.01 for 1 %."
        raise ValueError(msg)
    own = [f for f in findings if f.covers(x.mass.code, y.mass.code)]
    pieces = _pieces(x, y)
    drawn = [[np.asarray(draw(q, n_draws, seed)) for q in (piece.x, piece.y)] for piece in pieces]
    stated = [np.asarray(draw(side.mass.stated, n_draws, seed)) for side in (x, y)]
    rest = [stated[i] - sum((row[i] for row in drawn), start=np.zeros(n_draws)) for i in (0, 1)]
    changes = [row[1] - row[0] for row in drawn] + [rest[1] - rest[0]]
    masses = [np.abs(row[0]) + np.abs(row[1]) for row in drawn] + [np.abs(rest[0]) + np.abs(rest[1])]
    shares = _shares(np.stack([np.abs(change) for change in changes]))
    of_mass = _shares(np.stack(masses))
    equal = WeightedDraws.equal(n_draws)
    lines = []
    scale_kg = max(abs(side.mass.stated.value) for side in (x, y))
    differences = [mass_difference(piece.x, piece.y, scale_kg) for piece in pieces]
    left = mass_difference(x.mass.stated, y.mass.stated, scale_kg) - _sum(differences)
    for piece, difference, change, share in zip(pieces, differences, changes, shares, strict=False):
        judged = _judged(piece, difference, own, x, y, piece_spread_frac)
        lines.append(_line(piece.kind, piece.code, words, difference, change, share, equal, *judged))
    rest_left = without_rounding(left, scale_kg)
    lines.append(
        _line("rest", "", words, rest_left, changes[-1], shares[-1], equal, Standing.OPEN, None, None)
    )
    by_standing = {
        standing: _sum_of(shares, [line.standing is standing for line in lines]) for standing in Standing
    }
    # No difference at all in a draw leaves nothing that could have been looked at.
    by_standing[Standing.OPEN] = by_standing[Standing.OPEN] + (1.0 - np.sum(shares, axis=0))
    seen = [line.standing in LOOKED_AT for line in lines]
    return LookedAt(
        x.mass.code,
        y.mass.code,
        equal.interval(np.sum(np.abs(changes), axis=0)),
        equal.interval(_sum_of(shares, seen)),
        {standing: equal.interval(values) for standing, values in by_standing.items()},
        equal.interval(_sum_of(of_mass, seen)),
        tuple(sorted(lines, key=lambda line: (-line.size.value, line.kind, line.code))),
    )


def _shares(sizes: Array) -> Array:
    """Shares of each column's sum, shape as given; zero where the sum is."""
    whole = np.sum(sizes, axis=0)
    found: Array = np.divide(sizes, whole, out=np.zeros_like(sizes), where=whole > 0.0)
    return found


def _sum_of(rows: Array, wanted: Sequence[bool]) -> Array:
    found: Array = np.sum(rows[np.asarray(wanted, dtype=bool)], axis=0)
    return found


def _line(
    kind: str,
    code: str,
    words: Mapping[str, str],
    difference: Quantity,
    change: Array,
    share: Array,
    equal: WeightedDraws,
    standing: Standing,
    finding: Finding | None,
    allowed_kg: float | None,
) -> LookedLine:
    name = UNALLOCATED_WORDS if kind == "rest" else words.get(code, code)
    if kind == "system":
        name = f"{name}: parts in no function compared"
    return LookedLine(
        kind,
        code,
        name,
        Interval.of(difference),
        equal.interval(np.abs(change)),
        equal.interval(share),
        standing,
        finding,
        allowed_kg,
    )


def _pieces(x: Side, y: Side) -> list[_Piece]:
    """Cut both vehicles into the same lines."""
    left_out = thinly_listed(x.mass, y.mass)
    known = [{f for _, f in side.mass.decisions} | side.mass.absent for side in (x, y)]
    functions = {f for f in known[0] & known[1] if f}
    pieces = []
    for code in sorted(functions):
        cells = [_cells(side.mass, code, left_out) for side in (x, y)]
        if not any(cells):
            continue  # all of it lies in systems that are not compared, or both do without
        systems = frozenset(system for own in cells for system in own)
        pieces.append(_Piece("function", code, _sum(cells[0].values()), _sum(cells[1].values()), systems))
    for system in sorted({*x.mass.systems, *y.mass.systems} - left_out):
        x_left, y_left = (_left_over(side.mass, system, functions) for side in (x, y))
        if max(abs(q.value) + q.standard_uncertainty for q in (x_left, y_left)) <= _lost_digits_kg(x, y):
            continue  # all of the system serves functions
        pieces.append(_Piece("system", system, x_left, y_left, frozenset((system,))))
    return pieces


def _lost_digits_kg(x: Side, y: Side) -> float:
    """What the sums of two vehicles may be off by because floats are finite; no difference of parts is this small."""
    return 1e-10 * max(abs(side.mass.stated.value) for side in (x, y))


def _sum(quantities: Iterable[Quantity]) -> Quantity:
    return total(list(quantities), unit="kg")


def _cells(side: MassSide, function: str, left_out: set[str]) -> dict[str, Quantity]:
    return {s: mass for (s, f), mass in side.decisions.items() if f == function and s not in left_out}


def _left_over(side: MassSide, system: str, functions: set[str]) -> Quantity:
    """Mass of a system less that of the functions that are lines of their own."""
    own = [mass for (s, f), mass in side.decisions.items() if s == system and f in functions]
    return _sum([side.systems[system]] if system in side.systems else []) - _sum(own)


def _judged(
    piece: _Piece, difference: Quantity, findings: Sequence[Finding], x: Side, y: Side, spread_frac: float
) -> tuple[Standing, Finding | None, float | None]:
    """Standing of a line, the finding it rests on, and the largest difference that finding can be true with."""
    finding = next((f for f in findings if f.function == piece.code), None)
    if finding is None and piece.kind == "function":
        if piece.code in x.recorded and piece.code in y.recorded:
            return Standing.DECIDED, None, None
        if len(piece.systems) == 1:
            finding = next((f for f in findings if f.function in piece.systems), None)
    if finding is None:
        return Standing.OPEN, None, None
    allowed = difference.expanded() + spread_frac * max(abs(piece.x.value), abs(piece.y.value))
    if abs(difference.value) > allowed + _lost_digits_kg(x, y):
        return Standing.CONTRADICTED, finding, allowed
    return _FOUND[finding.kind], finding, allowed
