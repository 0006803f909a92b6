"""AND/OR graph of sub-assemblies: cheapest way to take an assembly apart, or to get one part of it free."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache

Parts = frozenset[str]


@dataclass(frozen=True, slots=True)
class Cut:
    """One cut of a sub-assembly into two: `whole` is `one` and `other` together. `seconds` of work. [s]

    Raises
    ------
    ValueError
        The two sides are not a division of the whole, or the time is negative.
    """

    id: str
    one: Parts
    other: Parts
    seconds: float

    def __post_init__(self) -> None:
        if not self.one or not self.other or self.one & self.other:
            msg = f"cut {self.id}: each side needs parts, and none can be on both."
            raise ValueError(msg)
        if not self.seconds >= 0.0:
            msg = f"cut {self.id}: {self.seconds!r} s; a cut takes at least 0."
            raise ValueError(msg)

    @property
    def whole(self) -> Parts:
        """What is cut."""
        return self.one | self.other


@dataclass(frozen=True, slots=True)
class Dismantling:
    """Cuts to make, in an order that works, and their time. [s]"""

    cuts: tuple[str, ...]
    seconds: float


def full_dismantling(whole: Iterable[str], cuts: Sequence[Cut]) -> Dismantling:
    """Cheapest way to single parts.

    Raises
    ------
    ValueError
        Some sub-assembly has no cut that leads on.

    Notes
    -----
    f(s) = min over cuts of s of c + f(s1) + f(s2); f of a single part is 0.

    Source
    ------
    from memory: Homem de Mello and Sanderson 1990 (AND/OR graph).
    """
    by_whole = _by_whole(cuts)

    @cache
    def least(parts: Parts) -> tuple[float, tuple[str, ...]] | None:
        if len(parts) == 1:
            return 0.0, ()
        found = []
        for cut in by_whole.get(parts, ()):
            one, other = least(cut.one), least(cut.other)
            if one is not None and other is not None:
                found.append((cut.seconds + one[0] + other[0], (cut.id, *one[1], *other[1])))
        return min(found, default=None)

    return _answer(least(frozenset(whole)), whole, "single parts")


def dismantling_for(whole: Iterable[str], target: str, cuts: Sequence[Cut]) -> Dismantling:
    """Cheapest way to get one part free.

    Raises
    ------
    ValueError
        The target is no part of the whole, or no cuts lead to it.

    Notes
    -----
    g(s, k) = min over cuts of s of c + g(side with k, k). The best way to a target need not begin the best way to
    everything: targets are kept apart.
    """
    parts = frozenset(whole)
    if target not in parts:
        msg = f"target {target!r} is no part of {', '.join(sorted(parts))}."
        raise ValueError(msg)
    by_whole = _by_whole(cuts)

    @cache
    def least(here: Parts) -> tuple[float, tuple[str, ...]] | None:
        if here == frozenset({target}):
            return 0.0, ()
        found = []
        for cut in by_whole.get(here, ()):
            side = least(cut.one if target in cut.one else cut.other)
            if side is not None:
                found.append((cut.seconds + side[0], (cut.id, *side[1])))
        return min(found, default=None)

    return _answer(least(parts), parts, f"{target} alone")


def _by_whole(cuts: Sequence[Cut]) -> dict[Parts, list[Cut]]:
    found: dict[Parts, list[Cut]] = {}
    for cut in cuts:
        found.setdefault(cut.whole, []).append(cut)
    return found


def _answer(found: tuple[float, tuple[str, ...]] | None, whole: Iterable[str], what: str) -> Dismantling:
    if found is None:
        msg = f"no cuts lead from {', '.join(sorted(whole))} to {what}; add the missing one."
        raise ValueError(msg)
    return Dismantling(found[1], found[0])
