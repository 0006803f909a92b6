"""What a sum of money is stated in: a currency and the year whose prices it speaks of."""

from __future__ import annotations

from dataclasses import dataclass

FIRST_YEAR, LAST_YEAR = 1900, 2200
"""project rule: years that money may speak of."""


@dataclass(frozen=True, slots=True)
class MoneyBasis:
    """Currency and price year of a sum.

    Sums are `Quantity` objects in unit ``"1"``: the number of currency units. Two sums are compared on one basis only;
    converting between years or currencies is the scenario's business, done once.

    Raises
    ------
    ValueError
        The currency is no code of three letters, or the year is not of four digits.
    """

    currency: str
    year: int

    def __post_init__(self) -> None:
        if len(self.currency) != 3 or not self.currency.isascii() or not self.currency.isupper():
            msg = f"currency = {self.currency!r}; give the code of three capital letters, e.g. EUR or USD."
            raise ValueError(msg)
        if not FIRST_YEAR <= self.year <= LAST_YEAR:
            msg = f"price year = {self.year!r}; give the year the prices speak of, e.g. 2024."
            raise ValueError(msg)

    @property
    def words(self) -> str:
        """As printed beside a sum: "EUR of 2024"."""
        return f"{self.currency} of {self.year}"


def same_basis(a: MoneyBasis, b: MoneyBasis, what: str) -> MoneyBasis:
    """Return the basis two sums have in common.

    Raises
    ------
    ValueError
        They differ; nothing is converted here.
    """
    if a != b:
        msg = f"{what}: one sum is in {a.words}, the other in {b.words}; convert one of them first."
        raise ValueError(msg)
    return a
