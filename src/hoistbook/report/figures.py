"""Results as text: units people read, values with their bands, signs and probabilities."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, log10

from hoistbook.core.compare.bars import Interval
from hoistbook.core.quantities.printing import MINUS, NARROW_SPACE, ends_text, quantity_text, text
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.quantities.units import from_si
from hoistbook.core.vehicle.kinds import unit_text

METRIC, US = "metric", "us"
DISPLAY_UNITS = {
    METRIC: {"range": "km", "energy": "Wh/km", "mass": "kg"},
    US: {"range": "mi", "energy": "kWh/100 mi", "mass": "lb"},
}
"""Units in which a gap is printed, by its quantity; scripts are always handed the metric ones."""

FINEST = {"km": 0.01, "mi": 0.01, "Wh/km": 0.01, "kWh/100 mi": 0.01, "kg": 0.001, "lb": 0.001, "%": 0.01}
"""Smallest step a unit is printed in, a power of ten; nobody measures a vehicle finer. Units not listed are printed as
fine as their band. Project rule."""

LOPSIDED = 1.25
"""A band with one side longer than the other by this factor is printed as its two ends instead of ±. Project rule:
sides of a band from a few thousand draws differ by some per cent by chance alone."""

CERTAIN = 0.99
_RAISED = {"2": "²", "3": "³"}
NO_BREAK_SPACE = "\u00a0"
FIGURE_SPACE = "\u2007"


def display_unit(quantity: str, units: str = METRIC) -> str:
    """Unit in which a quantity of a gap is shown, in metric or US units.

    Raises
    ------
    LookupError
        Unknown quantity; the message lists those known.
    """
    found = DISPLAY_UNITS[units].get(quantity)
    if found is None:
        msg = f"no gap in {quantity!r}; known quantities: {', '.join(DISPLAY_UNITS[units])}."
        raise LookupError(msg)
    return found


def shown(interval: Interval, unit: str) -> Interval:
    """The same interval in a unit of display."""
    return Interval(*(from_si(end, unit) for end in (interval.value, interval.low, interval.high)))


@dataclass(frozen=True, slots=True)
class Figure:
    """A value and its band as text, rounded together; `band` is "± 2.0" or, when lopsided, "−12.1 to −5.0"."""

    value: str
    band: str

    @property
    def lopsided(self) -> bool:
        """Whether the band is printed as its two ends."""
        return bool(self.band) and not self.band.startswith("±")

    def __str__(self) -> str:
        """Value and band in one piece that no line break parts."""
        if self.lopsided:
            return f"{self.value} ({self.band})"
        return f"{self.value}{NO_BREAK_SPACE}{self.band}" if self.band else self.value


def figure(interval: Interval, *, signed: bool = False, unit: str = "") -> Figure:
    """Write an interval, in the unit it is in.

    Parameters
    ----------
    interval : Interval
    signed : bool
        A plus before a positive value: for differences only.
    unit : str
        Sets the smallest step (`FINEST`); a band below it is printed as that step.

    Returns
    -------
    Figure
    """
    value, low, high = interval.value, interval.low, interval.high
    sides = (value - low, high - value)
    step = FINEST.get(unit, 0.0)
    if interval.half_width < 10.0 * step and (value or interval.half_width):
        number, band = _in_steps(interval, step)
    elif min(sides) > 0.0 and max(sides) > LOPSIDED * min(sides):
        number, _, band = text(value, (low, high)).partition(" (")
        band = band.removesuffix(")")
        if not band:  # the sides do not differ at the digits that are shown
            number, _, band = text(value, interval.half_width).partition(" ")
    elif min(sides) < 0.0:  # so skewed that the mean lies outside the band
        number = text(value, interval.half_width).partition(" ")[0]
        band = " to ".join(ends_text(low, high))
    else:
        number, _, band = text(value, interval.half_width or None).partition(" ")
    if not signed:
        return Figure(number, band)
    ends = band.split(" to ")
    return Figure(_with_sign(number), band if len(ends) == 1 else " to ".join(map(_with_sign, ends)))


def _in_steps(interval: Interval, step: float) -> tuple[str, str]:
    """Value and band in whole steps; the band is rounded up unless a tenth of a step or less is left; never 0."""
    places = round(-log10(step))
    value, low, high = interval.value, interval.low, interval.high
    if low == high:
        return text(round(value, places) or 0.0), ""  # no "−0"
    longer = max(high - value, value - low, step)
    shorter = min(high - value, value - low)
    if shorter > 0.0 and longer > LOPSIDED * shorter and interval.half_width >= 2.0 * step:
        return to_place(value, places), f"{to_place(low, places)} to {to_place(high, places)}"
    half = ceil(max(interval.half_width, step) / step - 0.1)
    return to_place(value, places), f"±{NARROW_SPACE}{to_place(half * step, places)}"


def _with_sign(number: str) -> str:
    nothing = not any(digit in number for digit in "123456789")
    return number if nothing or number.startswith(MINUS) else f"+{number}"


def amount(interval: Interval, unit: str = "") -> Figure:
    """Write the size of a difference whose direction is said in words: "20.4 ± 4.5"."""
    if interval.value < 0.0:
        interval = Interval(-interval.value, -interval.high, -interval.low)
    return figure(interval, unit=unit)


def as_fine(value: float, interval: Interval, *, signed: bool = True) -> str:
    """Write a number to the digits that the band of another one allows: a part beside its whole."""
    number = text(value, interval.half_width or None).partition(" ")[0]
    return _with_sign(number) if signed else number


def to_place(value: float, places: int, *, signed: bool = False) -> str:
    """Write a number that has no band of its own to a number of decimals."""
    # A band of ten units of the last place is printed to that place.
    number = text(value, 10.0 * 10.0**-places).partition(" ")[0]
    return _with_sign(number) if signed else number


def likely(p_sign: float) -> str:
    """The same in words: "90 % likely", ">99 % likely"."""
    whole = f">{round(100.0 * CERTAIN)}" if p_sign > CERTAIN else f"{round(100.0 * p_sign)}"
    return f"{whole}{NARROW_SPACE}% likely"


def certainty(p_sign: float) -> str:
    """Probability that the sign is the one printed, capped: "0.98", ">0.99"."""
    return f">{CERTAIN}" if p_sign > CERTAIN else f"{p_sign:.2f}"


def in_unit(found: Quantity, unit: str) -> str:
    """A quantity with its 95 % band in a unit, the unit set as in print."""
    if unit in FINEST:
        low, high = (from_si(end, unit, expected=found.unit) for end in found.band())
        number = str(figure(Interval(from_si(found.value, unit, expected=found.unit), low, high), unit=unit))
    else:
        number = quantity_text(found, unit).removesuffix(f"{NARROW_SPACE}{unit}")
    return f"{number}{NARROW_SPACE}{unit_text(unit)}".rstrip(NARROW_SPACE)


def per_cent(fraction: float) -> str:
    """A share as "24 %", with a true minus; what is something but rounds to nothing reads "<1 %"."""
    whole = round(100.0 * fraction)
    return f"{'<1' if whole == 0 < fraction else text(whole)}{NARROW_SPACE}%"


def worded(sentence: str) -> str:
    """A sentence of the core as it is set in print: "40 %" with a narrow space for "40%"."""
    return re.sub(r"(?<=\d)[ \u00a0]?%", f"{NARROW_SPACE}%", sentence)


def aligned(numbers: Sequence[str], *, pad: str = FIGURE_SPACE) -> list[str]:
    """Pad numbers so that their decimal points stand in one line.

    Parameters
    ----------
    numbers : sequence of str
        As printed; words such as "not measured" are left as they are.
    pad : str
        A figure space where digits are all of one width, a blank where everything is.

    Returns
    -------
    list of str
        All of one length, words excepted.
    """
    parts = [number.partition(".") if _is_number(number) else None for number in numbers]
    before = max((len(p[0]) for p in parts if p), default=0)
    after = max((len(p[1] + p[2]) for p in parts if p), default=0)
    return [
        number if part is None else part[0].rjust(before, pad) + (part[1] + part[2]).ljust(after, pad)
        for number, part in zip(numbers, parts, strict=True)
    ]


def _is_number(text_: str) -> bool:
    return bool(text_) and text_.lstrip(f"+{MINUS}").replace("\u202f", "").replace(".", "", 1).isdigit()
