"""Functions and how the vehicle does them: aliases, and which part serves which approach."""

from __future__ import annotations

from collections.abc import Iterable

from hoistbook.core.vehicle.records import Approach, Function, Share, Teardown
from hoistbook.core.vehicle.tree import PartTree


class FunctionTree:
    """Functions looked up by code, name or alias (subframe, cradle …); case and runs of blanks do not matter."""

    __slots__ = ("_by_code", "_by_word")

    def __init__(self, functions: Iterable[Function]) -> None:
        self._by_code: dict[str, Function] = {}
        self._by_word: dict[str, Function] = {}
        functions = tuple(functions)
        for function in functions:
            self._by_code.setdefault(function.code, function)
            self._by_word.setdefault(_folded(function.code), function)
        for function in functions:
            for word in (function.name, *function.aliases):
                self._by_word.setdefault(_folded(word), function)

    def __len__(self) -> int:
        return len(self._by_code)

    def __contains__(self, code: object) -> bool:
        return code in self._by_code

    def __getitem__(self, code: str) -> Function:
        return self._by_code[code]

    @property
    def words(self) -> tuple[str, ...]:
        """Every code, name and alias, as typed."""
        return tuple(word for f in self._by_code.values() for word in (f.code, f.name, *f.aliases) if word)

    def find(self, text: str) -> Function | None:
        """Return the function a code, name or alias stands for; None when there is none."""
        return self._by_code.get(text) or self._by_word.get(_folded(text))

    def lineage(self, code: str) -> tuple[str, ...]:
        """Return the code and those of the wider functions above it, nearest first."""
        codes: list[str] = []
        while code in self._by_code and code not in codes:
            codes.append(code)
            code = self._by_code[code].parent
        return tuple(codes)


def _folded(text: str) -> str:
    return " ".join(text.split()).casefold()


def approach_parts(teardown: Teardown) -> dict[str, list[tuple[str, float]]]:
    """Which nodes serve which approach, and with what share.

    Parameters
    ----------
    teardown : Teardown
        Free of problems (see `validate.problems`).

    Returns
    -------
    dict of str to list of (str, float)
        Approach id → (tag, share as a fraction) in tree order. A node stands for its own mass only, not for what is
        below it: what is below has an entry of its own. Approaches without parts have an empty list.

    Raises
    ------
    ValueError
        The part tree is not a tree.

    Notes
    -----
    A node that states shares is split by them. Else a node that states a function belongs to the approach of that
    function, or of the nearest wider function that has one. A node that states neither is as its parent. Per
    configuration, the fractions of a node add up to 1, or to 0 when nothing claims it (see `unclaimed`).
    """
    parts: dict[str, list[tuple[str, float]]] = {approach.id: [] for approach in teardown.approaches}
    for tag, claims in _claims(teardown):
        for approach, fraction in claims:
            parts[approach].append((tag, fraction))
    return parts


def unclaimed(teardown: Teardown) -> tuple[str, ...]:
    """Tags of the nodes that no approach claims, in tree order."""
    return tuple(tag for tag, claims in _claims(teardown) if not claims)


def _claims(teardown: Teardown) -> list[tuple[str, list[tuple[str, float]]]]:
    if not teardown.nodes:
        return []
    tree = PartTree(teardown.nodes)
    functions = FunctionTree(teardown.functions)
    approaches: dict[str, list[Approach]] = {}
    for approach in teardown.approaches:
        approaches.setdefault(approach.function, []).append(approach)
    shares: dict[str, list[Share]] = {}
    for share in teardown.shares:
        shares.setdefault(share.tag, []).append(share)

    def of_function(code: str) -> list[tuple[str, float]]:
        claims: dict[str, tuple[str, float]] = {}
        for each in functions.lineage(code):
            for approach in approaches.get(each, ()):
                claims.setdefault(approach.configuration, (approach.id, 1.0))
        return list(claims.values())

    found: dict[str, list[tuple[str, float]]] = {}
    for node in tree:
        if node.tag in shares:
            found[node.tag] = [(share.approach, share.share_frac) for share in shares[node.tag]]
        elif node.function:
            found[node.tag] = of_function(node.function)
        else:
            found[node.tag] = found.get(node.parent, []) if node.parent is not None else []
    return list(found.items())
