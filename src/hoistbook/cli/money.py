"""Amounts on a page: rounded so that they add up, bands beside them, currency and year of the money said once."""

from __future__ import annotations

from collections.abc import Sequence

from hoistbook.core.cost.result import Money
from hoistbook.core.quantities.printing import ends_text
from hoistbook.report.figures import aligned, to_place

CENTS, TENTHS_OF_CENTS = 2, 4
SMALL = 1.0
"""Money below which a piece is printed to a hundredth of a cent, so that its lines can still be told apart."""


def places_for(value: float) -> int:
    """Decimals of an amount and of the lines that add up to it."""
    return CENTS if abs(value) >= SMALL else TENTHS_OF_CENTS


def adding_up(values: Sequence[float], places: int, *, signed: bool = False) -> list[str]:
    """Amounts that add up as printed to the sum of them as printed: each is a difference of rounded running sums."""
    numbers, total, before = [], 0.0, 0.0
    for value in values:
        total += value
        after = round(total, places)
        numbers.append(to_place(after - before, places, signed=signed))
        before = after
    return aligned(numbers, pad=" ")


def band(money: Money, *, signed: bool = False, places: int | None = None) -> str:
    """The ends of a 95 % band, no finer than it is wide and rounded outwards: "5,820 to 7,220".

    Where the amounts beside it have so many `places`, a band that lies within one step of them is said to be that
    small, since its ends would be finer than the amounts.
    """
    if not money.high > money.low:
        return ""
    if places is not None and max(abs(money.low), abs(money.high)) < 10.0**-places:
        return f"below {to_place(10.0**-places, places)}"
    ends = list(ends_text(money.low, money.high))
    if signed:
        ends = [
            f"+{end}" if value > 0.0 else end
            for end, value in zip(ends, (money.low, money.high), strict=True)
        ]
    return " to ".join(ends)


def money_words(currency: str, year: int) -> str:
    """Say which money it is: "USD of 2023"."""
    return f"{currency} of {year}"
