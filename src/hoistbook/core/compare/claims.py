"""Claims: sentences somebody wants to say about vehicles, tied to the figures that decide them."""

from __future__ import annotations

import difflib
from dataclasses import dataclass
from enum import StrEnum

from hoistbook.core.compare.claim_checks import check_figure
from hoistbook.core.quantities.dimension import dimension
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.vehicle.kinds import QUANTITY_KINDS, QuantityKind, quantity_kind


class Relation(StrEnum):
    """How the figure of a claim is said to stand to what it is compared with."""

    LESS_THAN = "less than"
    MORE_THAN = "more than"
    ABOUT = "about"


class ThresholdIs(StrEnum):
    """What the threshold of a claim is a figure of: the quantity itself, or a share of the other vehicle's."""

    ABSOLUTE = "absolute"
    SHARE = "share"


@dataclass(frozen=True, slots=True)
class DerivedKind:
    """A quantity that is worked out from the record and that nobody types: its words, unit and sign."""

    key: str
    words: str
    unit: str
    signed: bool = False


PART_COUNT, FASTENER_COUNT = "part count", "fastener count"
RANGE, CONSUMPTION = "range", "consumption"
EFFECT_ON_RANGE, EFFECT_ON_CONSUMPTION = "effect on range", "effect on consumption"

DERIVED: dict[str, DerivedKind] = {
    kind.key: kind
    for kind in (
        DerivedKind(PART_COUNT, "number of parts", "1"),
        DerivedKind(FASTENER_COUNT, "number of fasteners", "1"),
        DerivedKind(EFFECT_ON_RANGE, "effect on range", "m", signed=True),
        DerivedKind(EFFECT_ON_CONSUMPTION, "effect on consumption at the wall", "J/m", signed=True),
    )
}
"""What a claim may speak of besides the quantities of facts and measurements."""

EFFECTS = {EFFECT_ON_RANGE: RANGE, EFFECT_ON_CONSUMPTION: CONSUMPTION}
"""Effects of a decision, and the quantity of the vehicle each of them acts on."""

_OF_THE_VEHICLE = frozenset({RANGE, CONSUMPTION})
"""Quantities that no part and no function has."""


def claim_quantity(text: str) -> str:
    """Key of the quantity a claim names, by its key or its words.

    Raises
    ------
    LookupError
        No claim can speak of it; the closest names are listed.
    """
    of_check = check_figure(text)
    if of_check is not None:
        return of_check.key
    wanted = " ".join(text.replace("_", " ").split()).casefold()
    for kind in DERIVED.values():
        if wanted in (kind.key, kind.words):
            return kind.key
    try:
        return quantity_kind(text).key
    except LookupError:
        names = [*DERIVED, *(key.replace("_", " ") for key in QUANTITY_KINDS)]
        close = difflib.get_close_matches(wanted, names, n=3, cutoff=0.5)
        hint = f"did you mean {', '.join(close)}?" if close else f"known besides: {', '.join(DERIVED)}."
        msg = f"no claim can speak of {text!r}; {hint}"
        raise LookupError(msg) from None


def _kind(quantity: str) -> DerivedKind | QuantityKind:
    """What is known of a quantity (a key). A figure of a check may have either sign: no check declares one."""
    of_check = check_figure(quantity)
    if of_check is not None:
        return DerivedKind(of_check.key, of_check.words, of_check.outcome.unit, signed=True)
    return DERIVED[quantity] if quantity in DERIVED else QUANTITY_KINDS[quantity]


def claim_unit(quantity: str, threshold_is: ThresholdIs = ThresholdIs.ABSOLUTE) -> str:
    """SI symbol the threshold of a claim is in: "1" for a share, else that of the quantity (a key)."""
    if threshold_is is ThresholdIs.SHARE:
        return "1"
    return _kind(quantity).unit


def claim_words(quantity: str) -> str:
    """Words of the trade for the quantity (a key) of a claim."""
    return _kind(quantity).words


def is_signed(quantity: str) -> bool:
    """Whether the quantity (a key) of a claim may be below zero."""
    return _kind(quantity).signed


@dataclass(frozen=True, slots=True)
class Claim:
    """A sentence tied to function or part, quantity, comparison and threshold.

    Parameters
    ----------
    code : str
        Short name, unique within the study.
    sentence : str
        As somebody wants to say it.
    quantity : str
        A key of `QUANTITY_KINDS` or of `DERIVED`, or its words; or a figure of a check, see `claim_checks`.
    vehicle : str
        Code of the vehicle spoken of.
    relation : Relation
    threshold : Quantity
        With `other`: the margin, how far apart at least (about: at most). Without `other`, and for an effect: the
        figure itself, signed where the quantity is.
    other : str
        Code of the vehicle it is compared with; empty: with the threshold alone. An effect always compares two
        vehicles: without `other` the one the study starts from.
    function, part : str
        What of the vehicle is spoken of: a function, or the tag of a part; both empty: the vehicle.
    threshold_is : ThresholdIs
        share: of the figure of the other vehicle (for an effect: of its range or consumption).
    duty : str
        Duty of a range, consumption or effect; empty: that of the study.
    person, evidence, note : str
        Who says so, from what.

    Raises
    ------
    ValueError
        Something is missing, contradicts itself, or the threshold is in a unit of another kind.

    Notes
    -----
    v the figure, o the other's, t the threshold. "less than": v < o − t, with a share v < (1 − t) o, without `other`
    v < t. "more than" likewise. "about": |v − o| ≤ t, with a share |v − o| ≤ t |o|; where the threshold is the figure
    itself, |v − t| ≤ the half width stated with it.
    """

    code: str
    sentence: str
    quantity: str
    vehicle: str
    relation: Relation
    threshold: Quantity
    other: str = ""
    function: str = ""
    part: str = ""
    threshold_is: ThresholdIs = ThresholdIs.ABSOLUTE
    duty: str = ""
    person: str = ""
    evidence: str = ""
    note: str = ""

    def __post_init__(self) -> None:
        for name in ("code", "sentence", "vehicle"):
            if not str(getattr(self, name)).strip():
                msg = f"a claim without {name}: every claim has a code, a sentence and the vehicle it speaks of."
                raise ValueError(msg)
        try:
            object.__setattr__(self, "quantity", claim_quantity(self.quantity))
            object.__setattr__(self, "relation", Relation(self.relation))
            object.__setattr__(self, "threshold_is", ThresholdIs(self.threshold_is))
        except (LookupError, ValueError) as error:
            msg = f"claim {self.code}: {error.args[0]}"
            raise ValueError(msg) from None
        self._check_subject()
        self._check_threshold()

    @property
    def is_effect(self) -> bool:
        """Whether it speaks of what a decision does to range or consumption."""
        return self.quantity in EFFECTS

    @property
    def threshold_is_figure(self) -> bool:
        """Whether the threshold is the figure itself, not a margin to the other vehicle's."""
        return self.is_effect or not self.other

    def _check_subject(self) -> None:
        words = claim_words(self.quantity)
        if self.function and self.part:
            msg = (
                f"claim {self.code} names function {self.function!r} and part {self.part!r}; keep the one it "
                "speaks of."
            )
            raise ValueError(msg)
        if self.other == self.vehicle:
            msg = (
                f"claim {self.code} compares {self.vehicle} with itself; name another vehicle, or none to hold its "
                "figure against the threshold."
            )
            raise ValueError(msg)
        if check_figure(self.quantity) is not None and (self.function or self.part):
            msg = (
                f"claim {self.code}: {words} is worked out for a vehicle; leave function and part empty, and name "
                "which of several in brackets behind the figure."
            )
            raise ValueError(msg)
        if self.is_effect and not self.function:
            msg = f"claim {self.code}: {words} is that of a decision; name the function it was taken for."
            raise ValueError(msg)
        if self.quantity in _OF_THE_VEHICLE and (self.function or self.part):
            msg = (
                f"claim {self.code}: {words} is that of a vehicle, not of {self.function or self.part}; leave function "
                f"and part empty, or claim an effect on {self.quantity}."
            )
            raise ValueError(msg)

    def _check_threshold(self) -> None:
        if self.threshold_is is ThresholdIs.SHARE and not self.other and not self.is_effect:
            msg = (
                f"claim {self.code}: its threshold is a share, but of whose figure? Name the other vehicle, or give "
                f"the threshold in {claim_unit(self.quantity)}."
            )
            raise ValueError(msg)
        unit = claim_unit(self.quantity, self.threshold_is)
        if dimension(self.threshold.unit) != dimension(unit):
            kind = "a share" if self.threshold_is is ThresholdIs.SHARE else claim_words(self.quantity)
            msg = f"claim {self.code}: its threshold is in {self.threshold.unit}, but {kind} is in {unit}."
            raise ValueError(msg)
        if self.threshold.unit != unit:
            object.__setattr__(self, "threshold", self.threshold.in_unit(unit))
        if self.relation is not Relation.ABOUT:
            return
        if self.threshold_is_figure:
            if not self.threshold.terms:
                msg = (
                    f"claim {self.code}: about {self.threshold.value:g} {unit}, but how near? State the threshold with "
                    "the half width within which it counts as about the same."
                )
                raise ValueError(msg)
        elif not self.threshold.value > 0.0:
            msg = (
                f"claim {self.code}: about equal within {self.threshold.value:g} {unit} holds for no pair of "
                "measured figures; give the largest difference that counts as about the same, above 0."
            )
            raise ValueError(msg)
