"""Does the sum of the parts agree with the vehicle scale, and how much does an agreement say?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from scipy.special import ndtr

from hoistbook.core.quantities.agreement import normalised_error, probability_greater
from hoistbook.core.quantities.assumption import Assumption, sentences
from hoistbook.core.quantities.printing import quantity_text, text
from hoistbook.core.quantities.quantity import Quantity

THRESHOLD_FRAC = 0.005
"""common practice: a bill of parts closes within 0.5 % of the vehicle mass."""


class Verdict(StrEnum):
    """What the comparison allows to be said."""

    AGREE = "agree"
    DISAGREE = "do not agree"
    SAYS_LITTLE = "agreement says little"


@dataclass(frozen=True, slots=True)
class Closure:
    """Parts against scale.

    Attributes
    ----------
    verdict : Verdict
    statement : str
        The sentence to print.
    scale, parts : Quantity
        In the same mass state. [kg]
    difference : Quantity
        Scale less parts: positive when something is on the scale that is not among the parts. [kg]
    normalised_error : float
        E_n; above 1 the bands do not explain the difference. [1]
    probability : float
        That the bands alone make a difference at least this large. [1]
    probability_scale_heavier : float
        That the scale truly reads more than the sum of the parts. [1]
    threshold_frac : float
        Share of the vehicle mass the band has to stay below for an agreement to mean something. [1]
    band_frac : float
        Half width of the band of the difference as share of the vehicle mass. [1]
    missing_count : int
        Nodes without a mass.
    fluids : Quantity or None
        Fluids within the parts. [kg]
    assumed : tuple of Assumption
    """

    verdict: Verdict
    statement: str
    scale: Quantity
    parts: Quantity
    difference: Quantity
    normalised_error: float
    probability: float
    probability_scale_heavier: float
    threshold_frac: float
    band_frac: float
    missing_count: int
    fluids: Quantity | None = None
    assumed: tuple[Assumption, ...] = ()

    @property
    def assumptions(self) -> tuple[str, ...]:
        """What was assumed, as sentences."""
        return sentences(self.assumed)


def closure(
    parts: Quantity,
    scale: Quantity,
    *,
    missing_count: int = 0,
    threshold_frac: float = THRESHOLD_FRAC,
    fluids: Quantity | None = None,
    assumed: Sequence[Assumption] = (),
) -> Closure:
    """Compare the sum of the parts with the mass on the vehicle scale.

    Parameters
    ----------
    parts, scale : Quantity
        In the same mass state. [kg]
    missing_count : int
        Nodes without a mass: while there are any, the sum of the parts is a lower bound.
    threshold_frac : float
        Agreement is claimed only when the band of the difference is at most this share of the scale's mass. [1]
    fluids : Quantity, optional
        Fluids within the parts, for the record. [kg]
    assumed : sequence of Assumption
        Carried along.

    Returns
    -------
    Closure

    Raises
    ------
    ValueError
        The scale's mass is not positive.

    Notes
    -----
    E_n = |a − b| / U(a − b), shared sources taken once. E_n > 1: do not agree. E_n ≤ 1 with a wide band, or with
    parts that have no mass, says little, and the sentence gives the reason: whatever agrees within a wide band has
    not been tested.

    Source
    ------
    from memory: ISO 13528, ISO/IEC 17043 (E_n). common practice: the threshold of 0.5 %.
    """
    if not scale.value > 0.0:
        msg = f"vehicle mass on the scale = {scale.value!r} kg; give the mass of the whole vehicle, above 0."
        raise ValueError(msg)
    difference = scale - parts
    half = difference.expanded()
    error = normalised_error(scale, parts)
    u = difference.standard_uncertainty
    chance = 2.0 * float(ndtr(-abs(difference.value) / u)) if u > 0.0 else float(difference.value == 0.0)
    band_frac = half / scale.value
    sums = f"{quantity_text(scale)} on the scale, {quantity_text(parts)} in the parts"
    reasons = []
    if missing_count:
        noun = "part has" if missing_count == 1 else "parts have"
        reasons.append(f"{missing_count} {noun} no mass yet")
    if band_frac > threshold_frac:
        reasons.append(
            f"the band of the difference ({text(difference.value, half, 'kg')}) is {_percent(band_frac)} of the "
            "vehicle, "
            f"wider than {_percent(threshold_frac)}"
        )
    if error > 1.0:
        verdict = Verdict.DISAGREE
        statement = _disagreement(difference, sums, missing_count, threshold_frac * scale.value)
    elif reasons:
        verdict = Verdict.SAYS_LITTLE
        statement = (
            f"parts and scale do not contradict each other ({sums}), but this says little: "
            f"{' and '.join(reasons)}."
        )
    else:
        verdict = Verdict.AGREE
        statement = (
            f"parts and scale agree: {sums}; the difference is {quantity_text(difference)}, a band of "
            f"{_percent(band_frac)} of the vehicle."
        )
    return Closure(
        verdict,
        statement,
        scale,
        parts,
        difference,
        error,
        chance,
        probability_greater(scale, parts),
        threshold_frac,
        band_frac,
        missing_count,
        fluids,
        tuple(assumed),
    )


def _disagreement(difference: Quantity, sums: str, missing_count: int, threshold_kg: float) -> str:
    amount = text(abs(difference.value), difference.expanded(), "kg")
    noun = "part has" if missing_count == 1 else "parts have"
    if difference.value > 0.0:
        sentence = f"parts and scale do not agree: {amount} more on the scale than in the parts ({sums})"
        cause = (
            f"{missing_count} {noun} no mass yet, look there first"
            if missing_count
            else "look for parts, fluids, adhesive and coatings that were not listed, and check the counts"
        )
    else:
        sentence = f"parts and scale do not agree: {amount} more in the parts than on the scale ({sums})"
        cause = "look for parts counted twice, wrong counts, and what was off the vehicle when it stood on the scale"
        if missing_count:
            cause = f"and {missing_count} {noun} no mass yet; {cause}"
    within = (
        f"; it is within {threshold_kg:.3g} kg, the usual allowance, but the bands do not explain it"
        if abs(difference.value) <= threshold_kg
        else ""
    )
    return f"{sentence}{within}; {cause}."


def _percent(share: float) -> str:
    return f"{100.0 * share:.2f} %" if share < 0.01 else f"{100.0 * share:.1f} %"
