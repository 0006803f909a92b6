"""A row of the instruments sheet becomes an Instrument in SI."""

from __future__ import annotations

import math

from hoistbook.capture.fields import RowReader
from hoistbook.core.quantities.instrument_limits import instrument_kind
from hoistbook.core.quantities.instruments import Instrument
from hoistbook.core.quantities.units import to_si

_IN_UNIT = ("step", "capacity", "limit", "certificate U")


def read_instrument(row: RowReader) -> tuple[Instrument, bool] | None:
    """Read an instrument.

    Parameters
    ----------
    row : RowReader

    Returns
    -------
    (Instrument, bool) or None
        The instrument, and whether it is sound; an unsound one only holds the place of its id. None without an id.
    """
    name, kind_text, unit_text = row.name("instrument"), row.short("kind"), row.short("unit")
    figures = {
        header: row.bounded(header, least=0.0, why=f"{header} cannot be negative.") for header in _IN_UNIT
    }
    factor = row.bounded("coverage factor", above=0.0, why="the coverage factor k is above 0, usually 2.")
    relative = row.word("limit is") == "percent"
    expected, unit = "", ""
    if kind_text:
        try:
            expected = instrument_kind(kind_text).unit
        except ValueError as error:
            row.fault("kind", f"{error}", kind_text)
    if unit_text:
        try:
            _, unit = to_si(1.0, unit_text, expected=expected or None)
        except ValueError as error:
            row.fault("unit", f"{error}", unit_text)
    elif any(value for header, value in figures.items() if not (header == "limit" and relative)):
        row.fault(
            "unit", "step, capacity, limit and certificate U need their unit; write it, e.g. g, kg, mm, N·m."
        )
    if not name:
        return None
    sound = not any(
        row.is_faulty(header) for header in ("kind", "unit", "limit is", "coverage factor", *_IN_UNIT)
    )
    if sound:
        in_si = {
            header: None if value is None or (header == "limit" and relative) else _scaled(value, unit_text)
            for header, value in figures.items()
        }
        limit = figures["limit"]
        try:
            return (
                Instrument(
                    name,
                    kind_text,
                    unit=unit,
                    accuracy_class=row.short("class"),
                    step_si=in_si["step"],
                    capacity_si=in_si["capacity"],
                    limit_si=in_si["limit"],
                    limit_frac=limit / 100.0 if relative and limit is not None else None,
                    certificate_expanded_si=in_si["certificate U"],
                    certificate_factor=2.0 if factor is None else factor,
                    calibrated=row.text("calibrated"),
                    due=row.text("due"),
                    note=row.text("note"),
                ),
                True,
            )
        except ValueError as error:
            row.fault("instrument", f"{error}", name)
    return Instrument(name, "other", unit=unit or expected or "1", step_si=0.0, limit_si=0.0), False


def _scaled(value: float, unit_text: str) -> float:
    """Convert a figure of an instrument to SI; a step or limit is an interval, so an offset (°C) drops out."""
    at, _ = to_si(value, unit_text)
    zero, _ = to_si(0.0, unit_text)
    return math.fabs(at - zero)
