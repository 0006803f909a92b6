"""Figures as cells of a table: values aligned at the decimal, the band in a column of its own."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from hoistbook.core.compare.bars import Interval
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.quantities.units import from_si, uncertainty_from_si
from hoistbook.core.vehicle.kinds import QUANTITY_KINDS, unit_text
from hoistbook.report.figures import Figure, aligned, figure


@dataclass(frozen=True, slots=True)
class Cell:
    """A figure in a table; empty where nothing is known."""

    value: str = ""
    band: str = ""

    def __bool__(self) -> bool:
        return bool(self.value)


def column(
    intervals: Sequence[Interval | None], unit: str = "kg", *, signed: bool = False
) -> tuple[Cell, ...]:
    """Write a column of intervals that are in its unit."""
    found = [None if one is None else figure(one, signed=signed, unit=unit) for one in intervals]
    values = aligned(["" if one is None else one.value for one in found])
    bands = _bands(["" if one is None else one.band for one in found])
    return tuple(
        Cell() if one is None else Cell(value, band)
        for one, value, band in zip(found, values, bands, strict=True)
    )


def _bands(bands: Sequence[str]) -> list[str]:
    """Align ± bands at the decimal; bands printed as two ends stay as they are."""
    lead = "±\u202f"
    numbers = aligned([band.removeprefix(lead) if band.startswith(lead) else "" for band in bands])
    return [
        f"{lead}{number}" if band.startswith(lead) else band
        for band, number in zip(bands, numbers, strict=True)
    ]


def interval_of(found: Mapping[str, Any] | None) -> Interval | None:
    """An interval from the JSON of a quantity or an interval."""
    return None if found is None else Interval(found["value"], found["low"], found["high"])


def single(found: Interval | None, unit: str = "kg", *, signed: bool = False) -> Figure | None:
    """One figure in running text."""
    return None if found is None else figure(found, unit=unit, signed=signed)


def of_quantity(found: Quantity, kind: str) -> tuple[Cell, str]:
    """A quantity of a kind in the unit people use for it: cell, and the unit as it is set in print."""
    known = QUANTITY_KINDS.get(kind)
    unit = (
        known.example_units[0]
        if known is not None and known.unit == found.unit and known.example_units
        else ""
    )
    if unit in ("", "1"):
        told = figure(Interval(found.value, *found.band()))
        return Cell(told.value, told.band), unit_text(found.unit)
    value = from_si(found.value, unit, expected=found.unit)
    half = uncertainty_from_si(found.expanded(), found.value, unit)
    told = figure(Interval(value, value - half, value + half), unit=unit)
    return Cell(told.value, told.band), unit_text(unit)
