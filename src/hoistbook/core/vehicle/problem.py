"""How a problem among records is stated, and the words that help with an unknown name."""

from __future__ import annotations

import difflib
from collections.abc import Callable, Collection, Hashable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import TypeVar

Record = TypeVar("Record")
_LIKENESS = 0.6  # difflib's usual cutoff: one or two slips in a short name
_LISTED = 12  # so many known names are listed in full


@dataclass(frozen=True, slots=True)
class Problem:
    """One problem: sheet and place among its records, key of the record, field (its column heading), value, advice.

    `index` is the place of the record in its tuple, −1 when the problem is that of the whole sheet.
    """

    sheet: str
    index: int
    key: str
    field: str
    value: str
    message: str


@dataclass(frozen=True, slots=True)
class Place:
    """The record a problem is about."""

    sheet: str
    index: int
    key: str

    def problem(self, field: str, value: str, message: str) -> Problem:
        """State a problem of one field of this record."""
        return Problem(self.sheet, self.index, self.key, field, value, message)


def closest(word: str, known: Iterable[str]) -> str:
    """Return the sentence that helps after an unknown word: the closest known ones, or all of a short list."""
    by_fold = {name.casefold(): name for name in known}
    if not by_fold:
        return "none is listed."
    near = difflib.get_close_matches(word.casefold(), by_fold, n=3, cutoff=_LIKENESS)
    if near:
        return f"did you mean {' or '.join(repr(by_fold[n]) for n in near)}?"
    if len(by_fold) <= _LISTED:
        return f"known: {', '.join(by_fold.values())}."
    return f"none of the {len(by_fold)} listed is like it."


class Hints:
    """Hints for unknown names. Comparing with thousands takes time, so beyond a budget they are only counted."""

    __slots__ = ("_known", "_left")

    def __init__(self, budget: int = 100_000) -> None:
        self._left = budget  # comparisons of two names
        self._known: dict[tuple[str, int], str] = {}

    def __call__(self, word: str, known: Collection[str]) -> str:
        """Return the hint for a word among the known ones, which must live as long as these hints."""
        key = (word, id(known))
        if key not in self._known:
            if self._left < len(known):
                return f"none of the {len(known)} listed has this name."
            self._left -= len(known)
            self._known[key] = closest(word, known)
        return self._known[key]


def listed_twice(
    sheet: str, field: str, records: Sequence[Record], key: Callable[[Record], Hashable], advice: str
) -> Iterator[Problem]:
    """State a problem for every record whose key an earlier one has."""
    seen: set[Hashable] = set()
    for index, record in enumerate(records):
        name = key(record)
        if name in seen:
            shown = " / ".join(str(p) for p in name if p) if isinstance(name, tuple) else str(name)
            yield Problem(sheet, index, shown, field, shown, f"{shown!r} is listed twice; {advice}")
        seen.add(name)
