"""What a vehicle is expected to have, and what of it was not found in the part tree."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass

from hoistbook.core.vehicle.records import NodeKind


@dataclass(frozen=True, slots=True)
class ExpectedItem:
    """One thing a complete teardown of a system should list.

    Attributes
    ----------
    system : str
        System code of the taxonomy, e.g. ``SU``.
    what : str
        The thing in the words of the trade, e.g. ``front lower control arms``.
    subsystems : tuple of str
        Subsystem codes it may be listed under; empty: anywhere in the system.
    kinds : tuple of NodeKind
        Kinds of node that would be it; empty: any kind.
    """

    system: str
    what: str
    subsystems: tuple[str, ...] = ()
    kinds: tuple[NodeKind, ...] = ()


@dataclass(frozen=True, slots=True)
class AbsentItem:
    """One expected thing that no node of the tree can be, with the sentence to print."""

    item: ExpectedItem
    message: str


def expected_absent(
    expected: Iterable[ExpectedItem],
    found: Sequence[tuple[str, NodeKind]],
    done_without: Collection[str] = (),
    names: Callable[[str], str] = str,
) -> tuple[AbsentItem, ...]:
    """Expected things for which no node was found.

    Parameters
    ----------
    expected : iterable of ExpectedItem
        Usually the packaged list for electric vehicles.
    found : sequence of (str, NodeKind)
        Effective subsystem code (empty when none) and kind of every node.
    done_without : collection of str
        Codes, names and aliases of the functions that the vehicle does without (approach with present = no).
    names : callable
        Words of a system or subsystem code.

    Returns
    -------
    tuple of AbsentItem
        In the order of `expected`.

    Notes
    -----
    A node answers for an item when its code and kind fit; names are not compared, so one door lock listed under the
    code of latches answers for "latches". The list finds forgotten *groups* (a harness branch, the fluids, the
    fasteners of a system), not a single forgotten clip. That the vehicle does without is a finding too: a function with
    present = no answers for an item when its code, name or an alias is the item's own words, or when these hold every
    subsystem code of the item. Nothing else links a function that has no parts here to a place in the taxonomy.

    Source
    ------
    common practice (completeness is checked against a list of functions, not row by row).
    """
    pairs = set(found)
    words = {_folded(word) for word in done_without}
    absent = []
    for item in expected:
        if not (_done_without(item, words) or any(_answers(item, code, kind) for code, kind in pairs)):
            absent.append(AbsentItem(item, _message(item, names)))
    return tuple(absent)


def _message(item: ExpectedItem, names: Callable[[str], str]) -> str:
    def named(code: str) -> str:
        return code if names(code) == code else f"{code} {names(code)}"

    kinds = " or ".join(kind.value for kind in item.kinds) or "node"
    if item.subsystems:
        where = f"under {' or '.join(named(code) for code in item.subsystems)}"
    else:
        where = f"anywhere in the system {named(item.system)}"
    alias = " and ".join(item.subsystems) or item.what
    return (
        f"{item.what}: no {kinds} is listed {where}. Look for it, or record that the vehicle does without: an approach "
        f"with present = no to a function with the alias {alias}."
    )


def _done_without(item: ExpectedItem, words: Collection[str]) -> bool:
    codes = [_folded(code) for code in item.subsystems]
    return _folded(item.what) in words or (bool(codes) and all(code in words for code in codes))


def _folded(text: str) -> str:
    return " ".join(text.split()).casefold()


def _answers(item: ExpectedItem, code: str, kind: NodeKind) -> bool:
    if item.kinds and kind not in item.kinds:
        return False
    if item.subsystems:
        return code in item.subsystems
    return code.startswith(item.system)
