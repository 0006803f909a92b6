"""The two comparisons of one gap side by side: which bar of one belongs to which of the other, and in what order."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from hoistbook.core.compare.bars import Bar
from hoistbook.core.compare.walk import NOT_EXPLAINED, Walk


@dataclass(frozen=True, slots=True)
class Pair:
    """One bar of the comparison that is spoken of, and the other comparison's bar of the same causes, if it has one.

    `apart` holds the other comparison's bars when it could tell these causes apart, or had to join them with others.
    """

    bar: Bar
    other: Bar | None
    apart: tuple[Bar, ...] = ()


def paired(main: Walk, other: Walk, first: Walk) -> tuple[Pair, ...]:
    """Pair the bars of two comparisons.

    Parameters
    ----------
    main, other : Walk
        The comparison spoken of, and the one beside it.
    first : Walk
        The one whose order of bars is kept: as found, so that a reader can compare two printouts line by line.

    Returns
    -------
    tuple of Pair
        The unexplained rest last.
    """
    members = {name: bar for bar in other.bars for name in bar.merged or (bar.name,)}
    place = {name: index for index, bar in enumerate(first.bars) for name in bar.merged or (bar.name,)}
    pairs: list[Pair] = []
    for bar in main.bars:
        names = bar.merged or (bar.name,)
        found = list(dict.fromkeys(members[name].name for name in names if name in members))
        bars = tuple(next(b for b in other.bars if b.name == name) for name in found)
        same = len(bars) == 1 and set(bars[0].merged or (bars[0].name,)) == set(names)
        pairs.append(Pair(bar, bars[0], ()) if same else Pair(bar, None, bars))
    return tuple(sorted(pairs, key=lambda pair: _order(pair.bar, place)))


def _order(bar: Bar, place: dict[str, int]) -> tuple[bool, int]:
    names: Sequence[str] = bar.merged or (bar.name,)
    return bar.origin == NOT_EXPLAINED, min(
        (place[name] for name in names if name in place), default=len(place)
    )
