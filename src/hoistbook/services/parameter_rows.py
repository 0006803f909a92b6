"""Parameters of the energy model as rows: what pages, tables and scripts show of a vehicle's figures."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from hoistbook.core.compare.bars import Interval
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.vehicle.kinds import field_words


@dataclass(frozen=True, slots=True)
class ParameterRow:
    """One parameter of the energy model: SI value with its 95 % band, and how it is known."""

    field: str
    words: str
    unit: str
    value: float
    low: float
    high: float
    origin: str

    @property
    def interval(self) -> Interval:
        """Value and ends of the band."""
        return Interval(self.value, self.low, self.high)


def parameter_rows(values: Mapping[str, Quantity]) -> tuple[ParameterRow, ...]:
    """Rows of energy parameters, in the order given.

    Parameters
    ----------
    values : mapping of field name to Quantity

    Returns
    -------
    tuple of ParameterRow
    """
    return tuple(
        ParameterRow(name, field_words(name), q.unit, q.value, *q.band(), q.origin.value)
        for name, q in values.items()
    )
