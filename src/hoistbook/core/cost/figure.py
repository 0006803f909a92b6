"""A figure of a scenario, a material or a process: a value with its limits, and who says so."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

MARKS = ("published", "computed", "first principles", "common practice", "from memory")
TRADE = ("common practice", "none: trade ranges")
"""Mark and source of what the trade takes without anybody having published it."""
MONEY = "money"
"""Unit of an amount; with it a figure names its currency, its year and the index that carries it to another year."""


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure with limits.

    Attributes
    ----------
    name : str
        Ends with its unit (`price_money_per_kg`).
    words : str
        As people read it.
    unit : str
        SI, where "money" stands for the currency: "1", "s", "money", "money/kg", "money/s".
    value, low, high : float
        Best estimate and limits; equal for an exact figure. Drawn as a triangle between the limits.
    mark, source : str
        One of the five marks, and who says so.
    when : tuple of (str, str) or None
        Choice and option for which it holds; None where it always does.
    currency : str
    year : int
        Of the money; 0 where the unit holds none.
    index : str
        Price index by which it is carried to the year of the scenario.
    reviewed : str
        Who looked at it for this scenario, and when; empty where nobody did.
    note : str
    drawn_as : str
        Name by which it is drawn where it stands in for another figure (in a what-if); empty: by its place.

    Raises
    ------
    ValueError
        Limits that do not hold the value, an unknown mark, no source, or money without currency and year.
    """

    name: str
    words: str
    unit: str
    value: float
    low: float
    high: float
    mark: str
    source: str
    when: tuple[str, str] | None = None
    currency: str = ""
    year: int = 0
    index: str = ""
    reviewed: str = ""
    note: str = ""
    drawn_as: str = ""

    def __post_init__(self) -> None:
        place = f"figure {self.name!r}"
        if not all(map(math.isfinite, (self.value, self.low, self.high))):
            msg = f"{place}: value and limits must be numbers; found {self.low!r}, {self.value!r}, {self.high!r}."
            raise ValueError(msg)
        if not self.low <= self.value <= self.high:
            msg = f"{place}: {self.value!r} is outside its limits {self.low!r}–{self.high!r} {self.unit}; widen them."
            raise ValueError(msg)
        if self.mark not in MARKS:
            msg = f"{place}: no mark named {self.mark!r}; known marks: {', '.join(MARKS)}."
            raise ValueError(msg)
        if not self.source:
            msg = f"{place}: say where it comes from; 'none' with the mark common practice is an answer."
            raise ValueError(msg)
        if self.is_money != bool(self.currency and self.year):
            msg = f"{place}: unit {self.unit!r}; an amount needs currency and year, and only an amount has them."
            raise ValueError(msg)

    @property
    def is_money(self) -> bool:
        """Whether it is an amount, or an amount per something."""
        return self.unit == MONEY or self.unit.startswith(f"{MONEY}/")

    @property
    def exact(self) -> bool:
        """Whether it has no band."""
        return self.low == self.high

    @property
    def standard_deviation(self) -> float:
        """Of its draws, see `keyed.between_limits`.

        Source
        ------
        first principles: a b/6 for the sides a and b of the value; (a + b)^2/18 for a value at one of its limits.
        """
        below, above = self.value - self.low, self.high - self.value
        variance = below * above / 6.0 if below and above else (below + above) ** 2 / 18.0
        return math.sqrt(variance)

    def scaled(self, factor: float) -> Figure:
        """The same figure, value and limits times a factor; used when money changes its basis."""
        return replace(self, value=self.value * factor, low=self.low * factor, high=self.high * factor)


def by_option(
    choice: str,
    name: str,
    words: str,
    unit: str,
    rows: Mapping[str, tuple[float, float, float]],
    mark: str,
    source: str,
    currency: str = "",
    year: int = 0,
    index: str = "",
) -> tuple[Figure, ...]:
    """One figure per option of a choice: value, low and high by option; amounts with currency, year and index."""
    return tuple(
        Figure(
            name,
            words,
            unit,
            *row,
            mark,
            source,
            when=(choice, option),
            currency=currency,
            year=year,
            index=index,
        )
        for option, row in rows.items()
    )
