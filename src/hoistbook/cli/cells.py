"""Cells of tables: values aligned at the decimal, their bands beside them, a lopsided band below."""

from __future__ import annotations

from collections.abc import Sequence

from hoistbook.core.compare.bars import Interval
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.report.figures import aligned, figure


def interval_cells(
    intervals: Sequence[Interval | None],
    *,
    signed: bool = False,
    unit: str = "",
    missing: str = "",
    before: Sequence[str] = (),
) -> tuple[str, ...]:
    """Write a column of intervals.

    Parameters
    ----------
    intervals : sequence of Interval or None
        In the unit of the column.
    unit : str
        That unit: it sets the smallest step that is printed.
    signed : bool
        A plus before positive values: for differences.
    missing : str
        What stands for None.
    before : sequence of str
        Words to print instead of an interval, by place; an empty one prints the interval.

    Returns
    -------
    tuple of str
        "−9.4 ± 2.0", or two lines when the band is lopsided.
    """
    figures = [
        None if interval is None else figure(interval, signed=signed, unit=unit) for interval in intervals
    ]
    values = aligned(["" if found is None else found.value for found in figures], pad=" ")
    cells = []
    for place, (value, found) in enumerate(zip(values, figures, strict=True)):
        if place < len(before) and before[place]:
            cells.append(before[place])
        elif found is None:
            cells.append(missing)
        else:
            cells.append(f"{value}\n{found.band}" if found.lopsided else f"{value} {found.band}".rstrip())
    return tuple(cells)


def band_of(quantity: Quantity) -> Interval:
    """A quantity with its 95 % band, in its own unit."""
    return Interval(quantity.value, *quantity.band())
