"""What a check declares: what it reads, what it gives, what it is held against, and the drawing of what to measure.

The command, the form, the docs page and the page of a check are made from this and from nothing else.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import TYPE_CHECKING, Literal, NoReturn

import numpy as np
from numpy.typing import NDArray

from hoistbook.core.arrays import Array
from hoistbook.core.checks.sketch import Sketch
from hoistbook.core.quantities.dimension import dimension
from hoistbook.core.quantities.units import from_si
from hoistbook.core.vehicle.kinds import ACTING, QUANTITY_KINDS

if TYPE_CHECKING:
    from hoistbook.core.checks.found import CheckResult

MARKS = ("published", "computed", "first principles", "common practice", "from memory")
Side = Literal["at most", "at least"]


def _marked(mark: str, source: str, place: str) -> None:
    if mark not in MARKS:
        msg = f"{place}: no mark named {mark!r}; known marks: {', '.join(MARKS)}."
        raise ValueError(msg)
    if not source:
        msg = f"{place}: say where it comes from; 'none' with the mark common practice is an answer."
        raise ValueError(msg)


@dataclass(frozen=True, slots=True)
class Usual:
    """What is taken where nobody measured: a value, the half width of its band, and who says so."""

    value: float
    half_width: float
    mark: str
    source: str

    def __post_init__(self) -> None:
        _marked(self.mark, self.source, f"usual value {self.value!r}")
        if not (math.isfinite(self.value) and 0.0 <= self.half_width < math.inf):
            msg = f"usual value {self.value!r} ± {self.half_width!r}: both must be numbers, the band not negative."
            raise ValueError(msg)


@dataclass(frozen=True, slots=True)
class Reading:
    """A figure that a check reads.

    Attributes
    ----------
    name : str
        Ends with its unit, as fields of the core do.
    words : str
        As people say it.
    unit : str
        SI.
    how : str
        With what it is measured, and where.
    least, most : float
        Between them the equation holds; outside, the check refuses. [unit]
    reach : str
        Why: the source of that range.
    half_width : float
        Of the band that is taken where only a number is given. [unit]
    band : str
        What that band is: mark and source.
    usual : Usual or None
        Taken where nobody stated it; None: it must be stated.
    each : str
        What there are several of ("mount"); empty: one figure.
    fact : str
        Fact of a configuration that states it (a key of the quantity kinds); empty: none does.
    show : str
        Unit in which people read it ("mm"); empty: the SI unit.
    state : str
        State in which a mass of the vehicle is meant ("curb"); empty: it is no such mass.
    """

    name: str
    words: str
    unit: str
    how: str
    least: float
    most: float
    reach: str
    half_width: float = 0.0
    band: str = "exact"
    usual: Usual | None = None
    each: str = ""
    fact: str = ""
    show: str = ""
    state: str = ""

    def __post_init__(self) -> None:
        dimension(self.unit)
        if self.show:
            from_si(1.0, self.show, self.unit)
        if not self.least < self.most:
            msg = f"reading {self.name!r}: the range {self.least!r}–{self.most!r} is empty."
            raise ValueError(msg)
        if self.usual is not None and not self.least <= self.usual.value <= self.most:
            msg = f"reading {self.name!r}: usual value {self.usual.value!r} is outside {self.least!r}–{self.most!r}."
            raise ValueError(msg)


@dataclass(frozen=True, slots=True)
class Names:
    """Names of the things a check reads several figures of: parts under the body, mounts, fluids."""

    name: str
    words: str
    each: str


@dataclass(frozen=True, slots=True)
class Choice:
    """A switch: options with what they mean, the first being taken where nobody chose."""

    name: str
    words: str
    options: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Outcome:
    """A figure that a check gives.

    Attributes
    ----------
    name, words, unit, show
        As for a `Reading`.
    each : str
        What there is one of it for; empty: one figure.
    effect : str
        Quantity of the vehicle that it adds to (one that content acts on), so that a decision can carry it; empty:
        none. Never mass, which comes from the part tree.
    """

    name: str
    words: str
    unit: str
    each: str = ""
    effect: str = ""
    show: str = ""

    def __post_init__(self) -> None:
        dimension(self.unit)
        if self.show:
            from_si(1.0, self.show, self.unit)
        if self.effect == "mass":
            msg = f"outcome {self.name!r}: a mass is no effect; it comes from the part tree."
            raise ValueError(msg)
        if self.effect and self.effect not in ACTING:
            msg = (
                f"outcome {self.name!r}: content acts on no {self.effect!r}; it acts on {', '.join(ACTING)}."
            )
            raise ValueError(msg)
        if self.effect and QUANTITY_KINDS[self.effect].unit != self.unit:
            msg = f"outcome {self.name!r}: {self.effect} is in {QUANTITY_KINDS[self.effect].unit}, not in {self.unit}."
            raise ValueError(msg)


@dataclass(frozen=True, slots=True)
class Limit:
    """What an outcome is held against.

    Attributes
    ----------
    outcome : str
    side : str
        "at most" or "at least".
    bound : float or callable
        In the unit of the outcome; a callable takes the `Given` and returns one value per draw.
    words : str
        What the limit is.
    mark, source : str
    safety : bool
        Somebody can be hurt beyond it: then no verdict reads as permission.
    """

    outcome: str
    side: Side
    bound: float | Callable[[Given], Array]
    words: str
    mark: str
    source: str
    safety: bool = False

    def __post_init__(self) -> None:
        _marked(self.mark, self.source, f"limit of {self.outcome}")


@dataclass(frozen=True, slots=True)
class Rule:
    """Readings that do not go together, or leave the range of an equation: `breaks` says for which draws."""

    words: str
    breaks: Callable[[Given], NDArray[np.bool_]]


@dataclass(frozen=True, slots=True)
class Spread:
    """What several formulas of the literature give for one outcome; the first is the one whose value is shown."""

    by_formula: Mapping[str, Array]


Found = Mapping[str, "Array | Spread"]


class Given:
    """What `evaluate` reads: `given.span_m`, of shape (n,), or (items, n) where there are several.

    Column 0 holds the best estimates, the others the draws.
    """

    __slots__ = ("_choices", "_names", "_values", "_where")

    def __init__(
        self,
        values: Mapping[str, Array],
        choices: Mapping[str, str],
        names: Mapping[str, Sequence[str]],
        where: str,
    ) -> None:
        self._values = values
        self._choices = choices
        self._names = names
        self._where = where

    def __getattr__(self, name: str) -> Array:
        """Return a reading by its name."""
        try:
            return self._values[name]
        except KeyError:
            self._unknown(name)

    def _unknown(self, name: str) -> NoReturn:
        msg = f"{self._where}: the check declares no reading named {name}."
        raise AttributeError(msg)

    def choice(self, name: str) -> str:
        """Return the option that was chosen."""
        return self._choices[name]

    def names(self, each: str) -> Sequence[str]:
        """Names of the things there are several of."""
        return self._names[each]


@dataclass(frozen=True, slots=True)
class Check:
    """An engineering consequence worked out from what is measured at the hoist.

    Attributes
    ----------
    name, title, question : str
        Name in files and commands; as people say it; the question it answers.
    family : str
        One of `FAMILIES`.
    readings : tuple of Reading
    outcomes : tuple of Outcome
        The first is the main one: of it the dominant reading is told, and the first limit is held against it.
    evaluate : callable
        `Given` to arrays by name of outcome, or `Spread` where formulas disagree; an outcome other than the first that
        does not apply to what was chosen is left out.
    verdict : callable
        What the result means, in words; takes the `CheckResult`, whose verdict is still empty, and the `Given`.
    sketch : Sketch
    cannot_say : tuple of str
        What it leaves out.
    references : tuple of str
        Each begins with its mark.
    method : str
        Equations for the docs page, as Markdown.
    limits, rules, choices, names, cautions
        Cautions are those of the measuring: lifting, high voltage, springs.
    """

    name: str
    title: str
    question: str
    family: str
    readings: tuple[Reading, ...]
    outcomes: tuple[Outcome, ...]
    evaluate: Callable[[Given], Found]
    verdict: Callable[[CheckResult, Given], str]
    sketch: Sketch
    cannot_say: tuple[str, ...]
    references: tuple[str, ...]
    method: str
    limits: tuple[Limit, ...] = ()
    rules: tuple[Rule, ...] = ()
    choices: tuple[Choice, ...] = ()
    names: tuple[Names, ...] = ()
    cautions: tuple[str, ...] = ()
    _readings: Mapping[str, Reading] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        place = f"check {self.name}"
        if self.family not in FAMILIES:
            msg = f"{place}: no family named {self.family!r}; known: {', '.join(FAMILIES)}."
            raise ValueError(msg)
        for reference in self.references:
            if not reference.startswith(MARKS):
                msg = f"{place}: reference {reference!r} must begin with its mark: {', '.join(MARKS)}."
                raise ValueError(msg)
        outcomes = {one.name for one in self.outcomes}
        for limit in self.limits:
            if limit.outcome not in outcomes:
                msg = f"{place}: a limit is held against {limit.outcome!r}, which the check does not give."
                raise ValueError(msg)
        known = {one.name: one for one in self.readings}
        for name in self.sketch.readings():
            if name not in known:
                msg = f"{place}: the sketch shows {name!r}, which the check does not read."
                raise ValueError(msg)
        object.__setattr__(self, "_readings", MappingProxyType(known))

    def reading(self, name: str) -> Reading:
        """Return a reading by its name.

        Raises
        ------
        ValueError
            The check reads no such figure; the message lists those it reads.
        """
        try:
            return self._readings[name]
        except KeyError:
            msg = f"{self.title} reads no {name!r}; it reads: {', '.join(self._readings)}."
            raise ValueError(msg) from None


FAMILIES: Mapping[str, str] = MappingProxyType(
    {
        "driveline": "Driveline",
        "mounts": "Mounts",
        "tones": "Tones",
        "wraps": "Wraps and shields against noise",
        "lines": "Refrigerant and coolant lines",
        "high_voltage": "High voltage",
        "heat": "Heat",
        "joints": "Joints",
        "links": "Links, arms, knuckles, brackets",
        "geometry": "Subframe and steering geometry",
        "underbody": "Underbody",
        "front": "Front structure",
        "weighing": "Weighing and balance on the hoist",
        "air_and_tyres": "Air and tyres",
    }
)
