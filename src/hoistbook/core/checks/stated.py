"""What is stated for a check, and its figures as people read them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from hoistbook.core.checks.declared import Check, Outcome, Reading
from hoistbook.core.quantities.evaluation import exact, rectangular
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.quantities.units import from_si, uncertainty_from_si
from hoistbook.core.vehicle.kinds import unit_text


@dataclass(frozen=True, slots=True)
class Stated:
    """What is stated for a check.

    Attributes
    ----------
    values : mapping of str to Quantity or sequence of Quantity
        By reading; as many as there are things where there are several.
    choices : mapping of str to str
    names : mapping of str to sequence of str
        Names of the things there are several of, by what they are ("mount"); not stated they are numbered.
    whose : str
        Of which vehicle. Usual values of two vehicles are off each in its own way, so that their errors have names of
        their own; empty: no other vehicle is compared.
    """

    values: Mapping[str, Quantity | Sequence[Quantity]] = field(default_factory=dict)
    choices: Mapping[str, str] = field(default_factory=dict)
    names: Mapping[str, Sequence[str]] = field(default_factory=dict)
    whose: str = ""


def with_band(reading: Reading, value: float, name: str) -> Quantity:
    """A bare number as a quantity with the band of its reading.

    Parameters
    ----------
    reading : Reading
    value : float
        [unit of the reading]
    name : str
        Of the source of error.

    Returns
    -------
    Quantity
        Rectangular within the half width; exact where the reading has none.
    """
    if reading.half_width == 0.0:
        return exact(value, reading.unit)
    return rectangular(value, reading.half_width, reading.unit, name)


def in_reach(check: Check, reading: Reading, value: float) -> None:
    """Refuse a reading outside the range of the equation.

    Raises
    ------
    ValueError
        The message says the range and why it holds.
    """
    if not reading.least <= value <= reading.most:
        msg = (
            f"{check.title}: {reading.words} = {shown(value, reading)} is outside {shown(reading.least, reading)} to "
            f"{shown(reading.most, reading)}, where the check holds ({reading.reach}); check the reading and its unit."
        )
        raise ValueError(msg)


def shown(value: float, one: Reading | Outcome) -> str:
    """A figure in the unit people read it in."""
    unit = one.show or one.unit
    number = f"{from_si(value, unit, one.unit):.6g}" if np.isfinite(value) else ("∞" if value > 0 else "−∞")
    return number if unit == "1" else f"{number} {unit_text(unit)}"


def shown_band(half_width: float, one: Reading | Outcome) -> str:
    """The half width of a band in the unit people read; a band of 5 K is one of 5 °C."""
    unit = one.show or one.unit
    number = f"{uncertainty_from_si(half_width, 1.0, unit):.6g}"
    return number if unit == "1" else f"{number} {unit_text(unit)}"
