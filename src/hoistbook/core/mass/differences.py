"""Two vehicles line by line: shared instruments make differences sharper than the totals."""

from __future__ import annotations

from dataclasses import dataclass

from hoistbook.core.mass.breakdown import Breakdown, Line
from hoistbook.core.quantities.agreement import probability_greater
from hoistbook.core.quantities.quantity import Quantity

_NOTHING = Quantity(0.0, "kg")


@dataclass(frozen=True, slots=True)
class LineDifference:
    """One line of two vehicles, second less first.

    Attributes
    ----------
    key, name : str
        Both empty for what is assigned to nothing.
    first, second : Quantity or None
        Parts and surplus of the line; None when the vehicle lists nothing there. [kg]
    difference : Quantity
        Second less first, a vehicle without the line taken as 0 there. [kg]
    of_which_unallocated : Quantity
        Difference of the surplus of assemblies over their listed pieces. [kg]
    probability_second_heavier : float
        [1]
    resolved : bool
        The band of the difference does not contain zero.
    missing_first, missing_second : int
        Nodes without a mass: while there are any, the line is a lower bound.
    """

    key: str
    name: str
    first: Quantity | None
    second: Quantity | None
    difference: Quantity
    of_which_unallocated: Quantity
    probability_second_heavier: float
    resolved: bool
    missing_first: int
    missing_second: int


@dataclass(frozen=True, slots=True)
class Differences:
    """All lines, largest difference first, the unassigned one always last; they add up to `total`."""

    by: str
    lines: tuple[LineDifference, ...]
    total: LineDifference


def differences(first: Breakdown, second: Breakdown) -> Differences:
    """Compare two vehicles line by line.

    Parameters
    ----------
    first, second : Breakdown
        Of the same kind.

    Returns
    -------
    Differences
        Second less first.

    Raises
    ------
    ValueError
        The breakdowns are of different kinds.

    Notes
    -----
    Each line counts parts and surplus: one bench may have taken an assembly to pieces that another weighed as a whole.

    Source
    ------
    first principles: an error shared by both vehicles cancels in the difference as far as the masses are alike.
    """
    if first.by != second.by:
        msg = f"cannot compare a breakdown by {first.by} with one by {second.by}; give two of the same kind."
        raise ValueError(msg)
    a = {line.key: line for line in first.lines}
    b = {line.key: line for line in second.lines}
    lines = [_difference(key, a.get(key), b.get(key)) for key in a.keys() | b.keys()]
    lines.sort(key=lambda line: (-abs(line.difference.value), line.key))
    lines.append(_difference("", first.unassigned, second.unassigned))
    missing = [sum(line.missing_count for line in (*each.lines, each.unassigned)) for each in (first, second)]
    total = _compared(
        "", "vehicle", first.total, second.total, second.unallocated - first.unallocated, missing
    )
    return Differences(first.by, tuple(lines), total)


def _difference(key: str, first: Line | None, second: Line | None) -> LineDifference:
    named = first or second
    surplus = (second.unallocated if second else _NOTHING) - (first.unallocated if first else _NOTHING)
    return _compared(
        key,
        named.name if named else "",
        first.total if first else None,
        second.total if second else None,
        surplus,
        [line.missing_count if line else 0 for line in (first, second)],
    )


def _compared(
    key: str,
    name: str,
    first: Quantity | None,
    second: Quantity | None,
    surplus: Quantity,
    missing: list[int],
) -> LineDifference:
    a, b = first or _NOTHING, second or _NOTHING
    difference = b - a
    low, high = difference.band()
    return LineDifference(
        key,
        name,
        first,
        second,
        difference,
        surplus,
        probability_greater(b, a),
        not low <= 0.0 <= high,
        *missing,
    )
