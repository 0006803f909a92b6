"""What a figure rests on: the rows of the record whose errors are in it, and the errors it shares.

A quantity carries named errors, and an error that belongs to one row of the record names that row. So what a figure
rests on needs no book-keeping of its own: `Sources` reads it off the figure.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable
from dataclasses import dataclass

from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.vehicle.records import Fact, Teardown
from hoistbook.store.vehicles import models
from hoistbook.store.vehicles.mapping import KIND_OF

SHARED = "shared error"
LEAST_SHARE_FRAC = 0.001
"""Errors below this share of a figure's variance are counted, not named; project rule: no print shows them."""


@dataclass(frozen=True, slots=True)
class Ground:
    """One row of the record that a figure rests on, or an error that it shares with other figures.

    Attributes
    ----------
    sheet : str
        Of the row; `SHARED` for an error that belongs to no single row: a calibration, a correlation.
    name : str
        Slot of the row, or name of the error.
    share_frac : float
        Of the figure's variance. [1]
    """

    sheet: str
    name: str
    share_frac: float


@dataclass(frozen=True, slots=True)
class Grounds:
    """What a figure rests on, the largest error first; `more` errors too small to name hold `more_frac` together."""

    named: tuple[Ground, ...]
    more: int = 0
    more_frac: float = 0.0


class Sources:
    """Which row of a vehicle each named error belongs to."""

    __slots__ = ("_row_of", "_stated")

    def __init__(self, teardown: Teardown) -> None:
        rows: dict[str, set[tuple[str, str]]] = defaultdict(set)
        self._stated: dict[tuple[str, str], list[tuple[tuple[str, str], float]]] = defaultdict(list)
        for model, held in (
            (models.Fact, teardown.facts),
            (models.Measurement, teardown.measurements),
            (models.Effect, teardown.effects),
            (models.ContentItem, teardown.content),
        ):
            kind = KIND_OF[model]
            for record in held:
                slot = kind.slot(record)
                for source, _ in record.value.terms:
                    rows[source.name].add((kind.sheet, slot))
                if isinstance(record, Fact):
                    stated = ((kind.sheet, slot), record.value.value)
                    self._stated[record.configuration, record.quantity].append(stated)
        self._row_of = {name: next(iter(found)) for name, found in rows.items() if len(found) == 1}

    def behind(self, figure: Quantity, exact: Collection[str] = (), configuration: str = "") -> Grounds:
        """Say what a figure rests on.

        Parameters
        ----------
        figure : Quantity
        exact : collection of str
            Quantities of facts that may state the figure itself: one without a band, or whose errors are all shared, is
            found by its value.
        configuration : str
            Whose facts those are.

        Returns
        -------
        Grounds
            A row is named once, with the sum of its errors.
        """
        shares: dict[tuple[str, str], float] = defaultdict(float)
        variance = sum(c * c for _, c in figure.terms)
        for source, c in figure.terms:
            shares[self._row_of.get(source.name, (SHARED, source.name))] += c * c / variance
        for quantity in exact:
            for place, value in self._stated.get((configuration, quantity), ()):
                if value == figure.value:
                    shares.setdefault(place, 0.0)
        return named_grounds(Ground(sheet, name, share) for (sheet, name), share in shares.items())


def named_grounds(found: Iterable[Ground]) -> Grounds:
    """Part what is worth naming from what is only counted; exact rows are named."""
    ordered = sorted(found, key=lambda one: (-one.share_frac, one.sheet, one.name))
    named = [one for one in ordered if one.share_frac >= LEAST_SHARE_FRAC or one.share_frac == 0.0]
    small = [one for one in ordered if 0.0 < one.share_frac < LEAST_SHARE_FRAC]
    return Grounds(tuple(named), len(small), sum(one.share_frac for one in small))
