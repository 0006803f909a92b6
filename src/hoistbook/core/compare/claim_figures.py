"""What a claim is judged from: its figures, where they come from, and the readings that could be taken anew."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.compare.bars import WeightedDraws
from hoistbook.core.compare.next_measurement import Candidate
from hoistbook.core.quantities.quantity import Origin, Quantity


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure of a claim: known by its named sources of error, by draws, or missing with what to measure.

    Attributes
    ----------
    vehicle, words : str
        Whose figure, and of what: "mass of the rear subframe".
    unit : str
        SI symbol.
    quantity : Quantity or None
    drawn : array, shape (n_draws,), or None
        In place of `quantity`, for figures that only a model knows.
    weight : array, shape (n_draws,), or None
        Of `drawn`; None when all draws weigh the same.
    known_as : Origin or None
        None when the figure is missing.
    grounds : tuple of str
        Readings, facts and rules it comes from.
    assumed : tuple of str
        What of it nobody measured or published.
    missing : str
        What to measure, where the figure is missing.
    called : str
        Name and code of the vehicle, as sentences say it; the code where left out.
    """

    vehicle: str
    words: str
    unit: str
    quantity: Quantity | None = None
    drawn: Array | None = field(default=None, compare=False)
    weight: Array | None = field(default=None, compare=False)
    known_as: Origin | None = None
    grounds: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()
    missing: str = ""
    called: str = ""

    def __post_init__(self) -> None:
        ways = [self.quantity is not None, self.drawn is not None, bool(self.missing)]
        if sum(ways) != 1:
            msg = f"{self.words} of {self.vehicle}: give one of a quantity, draws, or what is missing, not {sum(ways)}."
            raise ValueError(msg)
        if self.quantity is not None and self.quantity.unit != self.unit:
            object.__setattr__(self, "quantity", self.quantity.in_unit(self.unit))
        if not self.called:
            object.__setattr__(self, "called", self.vehicle)
        if self.known_as is None and not self.missing:
            origin = Origin.INFERRED if self.quantity is None else self.quantity.origin
            object.__setattr__(self, "known_as", origin)

    @property
    def value(self) -> float | None:
        """Best estimate, in `unit`."""
        if self.quantity is not None:
            return self.quantity.value
        return None if self.drawn is None else self._draws(self.drawn).mean(self.drawn)

    @property
    def band(self) -> tuple[float, float] | None:
        """The 2.5–97.5 % band, in `unit`."""
        if self.quantity is not None:
            return self.quantity.band()
        if self.drawn is None:
            return None
        found = self._draws(self.drawn).interval(self.drawn)
        return found.low, found.high

    @property
    def origin(self) -> str:
        """How it is known, in a word; empty when it is missing."""
        return "" if self.known_as is None else self.known_as.value

    def _draws(self, drawn: Array) -> WeightedDraws:
        return WeightedDraws.equal(drawn.shape[0]) if self.weight is None else WeightedDraws(self.weight)


@dataclass(frozen=True, slots=True)
class Retake:
    """A reading that could be taken (again).

    Attributes
    ----------
    name, words : str
        Id of the reading or fact, and what would be measured.
    how : str
        What is done, with which instrument.
    outcome : Quantity
        What the instrument will show, as far as it can be foreseen: what is known of the thing, and the errors of the
        new reading as sources. A source the new reading shares with another figure (its instrument's calibration)
        keeps its name.
    at_best : bool
        The error of the new reading is not known and taken as nothing: no more than this can come of it.
    """

    name: str
    words: str
    how: str
    outcome: Quantity
    at_best: bool = False


@dataclass(frozen=True, slots=True)
class Figures:
    """Everything one claim is judged from.

    Attributes
    ----------
    of : Figure
        Of the vehicle spoken of.
    other : Figure or None
        Of the vehicle it is compared with; for an effect the range or consumption a share is taken of.
    retakes : sequence of Retake
        For figures with named sources.
    candidates : sequence of Candidate
        For figures known by draws.
    remarks : tuple of str
        To be read with the result.
    """

    of: Figure
    other: Figure | None = None
    retakes: Sequence[Retake] = ()
    candidates: Sequence[Candidate] = ()
    remarks: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        drawn = [f.drawn for f in (self.of, self.other) if f is not None and f.drawn is not None]
        if len({d.shape for d in drawn}) > 1:
            msg = f"{self.of.words}: both figures need the same number of draws, taken together."
            raise ValueError(msg)

    @property
    def by_draws(self) -> bool:
        """Whether a figure is known by draws only, so that all of them are compared draw by draw."""
        return any(f is not None and f.drawn is not None for f in (self.of, self.other))

    @property
    def weight(self) -> Array | None:
        """Weights of the draws; None when all weigh the same."""
        for figure in (self.of, self.other):
            if figure is not None and figure.weight is not None:
                return np.asarray(figure.weight)
        return None
