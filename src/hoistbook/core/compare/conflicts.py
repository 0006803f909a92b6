"""Claims that cannot all hold, found from the sentences alone, whatever the record says."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from scipy.optimize import linprog

from hoistbook.core.compare.claim_verdict import State
from hoistbook.core.compare.claims import EFFECTS, Claim, Relation, ThresholdIs, is_signed

MOST_CHECKS = 2_000
"""Sets of claims looked at in one group before the search stops and says so: a setting of speed only."""

_TOLERANCE = 1e-9  # in units of the largest threshold of a group; the solver is asked for ten times better
_INFEASIBLE, _SOLVED = 2, 0

Variable = tuple[str, ...]
"""One figure claims speak of: quantity, function, part, duty and vehicle (of an effect: from, to)."""


@dataclass(frozen=True, slots=True)
class Conflict:
    """Claims that cannot all hold; without any one of them the others can.

    Attributes
    ----------
    claims : tuple of str
        Codes, in the order of the study.
    alarm : bool
        The record confirms every one of them: then the record contradicts itself.
    """

    claims: tuple[str, ...]
    alarm: bool = False


@dataclass(frozen=True, slots=True)
class Conflicts:
    """Every smallest set of claims that cannot all hold, smallest sets first.

    Attributes
    ----------
    found : tuple of Conflict
    unchecked : tuple of str
        Codes of claims that could not be compared: a share of a figure that may be below zero.
    complete : bool
        False when the search stopped at `MOST_CHECKS`: settle the conflicts found and look again.
    """

    found: tuple[Conflict, ...] = ()
    unchecked: tuple[str, ...] = ()
    complete: bool = True


@dataclass(frozen=True, slots=True)
class _Row:
    """One inequality of a claim: sum of coefficient · figure < or ≤ bound."""

    claim: str
    terms: Mapping[Variable, float]
    bound: float
    strict: bool


def conflicts(claims: Sequence[Claim], states: Mapping[str, State] | None = None) -> Conflicts:
    """Find the claims that cannot all hold.

    Parameters
    ----------
    claims : sequence of Claim
        Functions by code, duties filled in: two names of one thing count as two things.
    states : mapping of claim code to State, optional
        What the record says, for the alarm.

    Returns
    -------
    Conflicts

    Raises
    ------
    ValueError
        Two claims with one code.

    Notes
    -----
    Every claim is one linear inequality, or two, between the figures it speaks of; figures that cannot be below zero
    are bounded there. A set of claims can hold when max ε subject to A x + ε ≤ b (ε in the strict rows only) has ε > 0.
    Smallest sets are found by leaving out claim after claim, and all of them by looking again without one claim of
    every set found (hitting sets). Uncertain thresholds count with their values. An effect from X to Y is taken as the
    opposite of that from Y to X.

    Source
    ------
    from memory: R. Reiter, A theory of diagnosis from first principles, 1987 (all smallest conflicts by hitting sets);
    J. Chinneck and E. Dravnieks, 1991 (deletion filter).

    Examples
    --------
    >>> from hoistbook.core.quantities.quantity import Quantity
    >>> none = Quantity(0.0, "kg")
    >>> cycle = [
    ...     Claim(f"C{v}", "lighter", "mass", v, Relation.LESS_THAN, none, other=o)
    ...     for v, o in ("AB", "BC", "CA")
    ... ]
    >>> conflicts(cycle).found[0].claims, conflicts(cycle[:2]).found
    (('CA', 'CB', 'CC'), ())
    """
    codes = [claim.code for claim in claims]
    if len(set(codes)) != len(codes):
        twice = next(code for code in codes if codes.count(code) > 1)
        msg = f"two claims have the code {twice!r}; give each its own."
        raise ValueError(msg)
    known = states or {}
    rows: list[_Row] = []
    unchecked: list[str] = []
    for claim in claims:
        if _share_of_signed(claim):
            unchecked.append(claim.code)
        else:
            rows.extend(_rows(claim))
    sets: set[frozenset[str]] = set()
    complete = True
    for group in _groups(rows):
        found, whole = _smallest(group)
        sets |= found
        complete = complete and whole
    place = {code: index for index, code in enumerate(codes)}
    ordered = sorted(
        (tuple(sorted(one, key=place.__getitem__)) for one in sets),
        key=lambda one: (len(one), [place[code] for code in one]),
    )
    return Conflicts(
        tuple(Conflict(one, all(known.get(c) is State.CONFIRMED for c in one)) for one in ordered),
        tuple(unchecked),
        complete,
    )


def _share_of_signed(claim: Claim) -> bool:
    # |o| of a figure of either sign is no linear bound; the range a share of an effect is taken of has one sign.
    return claim.threshold_is is ThresholdIs.SHARE and not claim.is_effect and is_signed(claim.quantity)


def _figure(claim: Claim, vehicle: str, quantity: str = "") -> Variable:
    if quantity:
        return (quantity, "", "", claim.duty, vehicle)
    return (claim.quantity, claim.function, claim.part, claim.duty, vehicle)


def _rows(claim: Claim) -> Iterator[_Row]:
    """Inequalities of a claim: d + m < 0, m − d < 0, or d − m ≤ 0 and −d − m ≤ 0 (see `claim_limits`)."""
    share = claim.threshold_is is ThresholdIs.SHARE
    t = claim.threshold.value
    bound = 0.0 if share else t
    gap: dict[Variable, float]
    if claim.is_effect:
        first, last = sorted((claim.other, claim.vehicle))
        sign = 1.0 if claim.vehicle == last else -1.0
        gap = {(claim.quantity, claim.function, "", claim.duty, first, last): sign}
        base = _figure(claim, claim.other, EFFECTS[claim.quantity])
    else:
        gap = {_figure(claim, claim.vehicle): 1.0}
        base = _figure(claim, claim.other)
        if claim.other:
            gap[base] = -1.0

    def row(side: float, by: float, limit: float, *, strict: bool) -> _Row:
        """Make the row side · d + by · o < or ≤ limit."""
        terms: dict[Variable, float] = {name: side * c for name, c in gap.items()}
        if by:
            terms[base] = terms.get(base, 0.0) + by
        return _Row(claim.code, terms, limit, strict)

    if claim.relation is Relation.ABOUT:
        if not claim.threshold_is_figure:
            for side in (1.0, -1.0):
                yield row(side, -t if share else 0.0, bound, strict=False)
            return
        reach = claim.threshold.expanded()
        for side in (1.0, -1.0):
            limit = 0.0 if share else side * t + reach
            yield row(side, -(side * t + reach) if share else 0.0, limit, strict=False)
        return
    side = 1.0 if claim.relation is Relation.LESS_THAN else -1.0
    if claim.threshold_is_figure:
        yield row(side, -side * t if share else 0.0, side * bound, strict=True)
    else:
        yield row(side, t if share else 0.0, -bound, strict=True)


@dataclass(slots=True)
class _Group:
    """Rows that share figures, directly or through others."""

    rows: list[_Row] = field(default_factory=list)

    def claims(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(row.claim for row in self.rows))

    def can_hold(self, claims: Iterable[str]) -> bool:
        """Whether figures exist that make all these claims true."""
        wanted = set(claims)
        rows = [row for row in self.rows if row.claim in wanted]
        if not rows:
            return True
        names = list(dict.fromkeys(name for row in rows for name in row.terms))
        column = {name: index for index, name in enumerate(names)}
        scale = max((abs(row.bound) for row in rows), default=0.0) or 1.0
        table = np.zeros((len(rows), len(names) + 1))
        for index, row in enumerate(rows):
            for name, coefficient in row.terms.items():
                table[index, column[name]] += coefficient
            table[index, -1] = float(row.strict)
        bounds: list[tuple[float | None, float | None]] = [
            (None if is_signed(name[0]) else 0.0, None) for name in names
        ]
        solved = linprog(
            np.append(np.zeros(len(names)), -1.0),
            A_ub=table,
            b_ub=np.array([row.bound / scale for row in rows]),
            bounds=[*bounds, (0.0, 1.0)],
            method="highs",
            options={"primal_feasibility_tolerance": _TOLERANCE / 10.0},
        )
        if solved.status == _INFEASIBLE:
            return False
        if solved.status != _SOLVED or solved.x is None:
            msg = f"the claims {', '.join(sorted(wanted))} could not be compared: {solved.message}"
            raise ValueError(msg)
        return bool(solved.x[-1] > _TOLERANCE)


def _groups(rows: Sequence[_Row]) -> list[_Group]:
    """Rows by the figures they share; claims about different figures cannot conflict."""
    leader: dict[Variable, Variable] = {}

    def find(name: Variable) -> Variable:
        while leader.setdefault(name, name) != name:
            name = leader[name]
        return name

    for row in rows:
        first, *others = row.terms
        for other in others:
            leader[find(other)] = find(first)
    groups: dict[Variable, _Group] = {}
    for row in rows:
        groups.setdefault(find(next(iter(row.terms))), _Group()).rows.append(row)
    return list(groups.values())


def _smallest(group: _Group) -> tuple[set[frozenset[str]], bool]:
    """Return every smallest set of claims of a group that cannot all hold, and whether the search was completed."""
    everything = group.claims()
    verdicts: dict[frozenset[str], bool] = {}

    def can_hold(claims: Iterable[str]) -> bool:
        wanted = frozenset(claims)
        if wanted not in verdicts:
            verdicts[wanted] = group.can_hold(wanted)
        return verdicts[wanted]

    found: set[frozenset[str]] = set()
    waiting: list[frozenset[str]] = [frozenset()]
    seen = {frozenset[str]()}
    while waiting:
        if len(verdicts) > MOST_CHECKS:
            return found, False
        without = waiting.pop(0)
        left = [code for code in everything if code not in without]
        known = next((one for one in found if not one & without), None)
        if known is None:
            if can_hold(left):
                continue
            for code in tuple(left):
                fewer = [one for one in left if one != code]
                if not can_hold(fewer):
                    left = fewer
            known = frozenset(left)
            found.add(known)
        for code in sorted(known):
            more = without | {code}
            if more not in seen:
                seen.add(more)
                waiting.append(more)
    return found, True
