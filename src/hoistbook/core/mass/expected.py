"""What a vehicle is expected to have, and what of it was not found in the part tree."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
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
    expected: Iterable[ExpectedItem], found: Sequence[tuple[str, NodeKind]]
) -> tuple[AbsentItem, ...]:
    """Expected things for which no node was found.

    Parameters
    ----------
    expected : iterable of ExpectedItem
        Usually the packaged list for electric vehicles.
    found : sequence of (str, NodeKind)
        Effective subsystem code (empty when none) and kind of every node.

    Returns
    -------
    tuple of AbsentItem
        In the order of `expected`.

    Notes
    -----
    A node answers for an item when its code and kind fit; names are not compared, so one door lock listed under the
    code of latches answers for "latches". The list finds forgotten *groups* (a harness branch, the fluids, the
    fasteners of a system), not a single forgotten clip. That the vehicle does without is a finding too: record it as
    an approach with "present: no", or in the note of the system.

    Source
    ------
    common practice (completeness is checked against a list of functions, not row by row).
    """
    pairs = set(found)
    absent = []
    for item in expected:
        if not any(_answers(item, code, kind) for code, kind in pairs):
            where = " or ".join(item.subsystems) if item.subsystems else f"anywhere in {item.system}"
            kinds = f" as {' or '.join(kind.value for kind in item.kinds)}" if item.kinds else ""
            message = (
                f"{item.what}: nothing listed under {where}{kinds}; look for it, or record that the vehicle does "
                "without."
            )
            absent.append(AbsentItem(item, message))
    return tuple(absent)


def _answers(item: ExpectedItem, code: str, kind: NodeKind) -> bool:
    if item.kinds and kind not in item.kinds:
        return False
    if item.subsystems:
        return code in item.subsystems
    return code.startswith(item.system)
