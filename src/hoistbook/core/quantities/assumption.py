"""What was taken, defined or left aside to get a result: one record each, with the sentence that is printed."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from enum import StrEnum

from hoistbook.core.quantities.quantity import Quantity


class AssumptionKind(StrEnum):
    """What an assumption does to a result."""

    DEFAULT = "default"
    """A figure nobody stated, taken from the defaults."""
    DEFINITION = "definition"
    """A convention, or a figure worked out from others."""
    ASIDE = "aside"
    """Something stated or listed that had no say."""
    CAUTION = "caution"
    """A limit to what may be made of the result."""


@dataclass(frozen=True, slots=True)
class Assumption:
    """One thing assumed.

    Attributes
    ----------
    kind : AssumptionKind
    text : str
        The sentence, without whose it is.
    owners : tuple of str
        Codes of the vehicles it is said of; empty where that goes without saying, or it concerns the comparison.
    field : str
        Energy parameter a default stands for; empty otherwise.
    value : Quantity or None
        The default, in SI.
    half_width : float
        Half width of its band as its source states it, in the unit of `value`: of the 95 % interval, or of the limits
        of a bounded figure; 0 for an exact one.
    mark, source : str
        Who says so.
    about : tuple of (str, str)
        What nothing was stated for: words of the function, and the energy parameter.
    """

    kind: AssumptionKind
    text: str
    owners: tuple[str, ...] = ()
    field: str = ""
    value: Quantity | None = None
    half_width: float = 0.0
    mark: str = ""
    source: str = ""
    about: tuple[tuple[str, str], ...] = ()

    @property
    def sentence(self) -> str:
        """The sentence with whose it is: "W1: drag force = drag torque/wheel radius"."""
        return f"{' and '.join(self.owners)}: {self.text}" if self.owners else self.text

    def of(self, *owners: str) -> Assumption:
        """The same, said of these vehicles."""
        return replace(self, owners=owners)


def definition(text: str, *owners: str) -> Assumption:
    """A convention, or a figure worked out from others."""
    return Assumption(AssumptionKind.DEFINITION, text, owners)


def aside(text: str, *owners: str) -> Assumption:
    """Something stated or listed that had no say."""
    return Assumption(AssumptionKind.ASIDE, text, owners)


def caution(text: str, *owners: str) -> Assumption:
    """A limit to what may be made of the result."""
    return Assumption(AssumptionKind.CAUTION, text, owners)


def sentences(assumed: Iterable[Assumption]) -> tuple[str, ...]:
    """The sentences of assumptions, in their order."""
    return tuple(one.sentence for one in assumed)
