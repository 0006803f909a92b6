"""Confirmed, refuted or open: what the figures of the record say of a claim."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum

from hoistbook.core.compare.bars import Interval
from hoistbook.core.compare.chance import DRAWS, EXACT_FRAC, SEED, Spread
from hoistbook.core.compare.claim_figures import Figure, Figures
from hoistbook.core.compare.claim_limits import limits_of
from hoistbook.core.compare.claim_next import NextMeasurement, next_measurements
from hoistbook.core.compare.claims import Claim, Relation, ThresholdIs

SURE_ENOUGH_FRAC = 0.95
"""project rule: from this probability on a claim counts as confirmed, from its complement down as refuted."""


class State(StrEnum):
    """What the record says of a claim."""

    CONFIRMED = "confirmed"
    REFUTED = "refuted"
    OPEN = "open"


@dataclass(frozen=True, slots=True)
class ClaimResult:
    """A claim held against the record.

    Attributes
    ----------
    claim : Claim
    state : State
    probability : float or None
        That the claim holds; None when a figure is missing or a share of it means nothing.
    figures : tuple of Figure
        Of the vehicle, then of the other.
    difference : Interval or None
        The figure less the other's, or the figure less the threshold where that is the figure itself; in SI.
    detection_limit : float or None
        How far beyond the threshold the figures must lie to be confirmed, with bands as they are; for "about" the
        smallest threshold that equal figures could confirm. In SI.
    sure_enough_frac : float
    next_measurements : tuple of NextMeasurement
        Of an open claim, most likely to decide it first.
    to_measure : tuple of str
        What is not measured at all.
    remarks : tuple of str
    """

    claim: Claim
    state: State
    probability: float | None
    figures: tuple[Figure, ...]
    difference: Interval | None
    detection_limit: float | None
    sure_enough_frac: float
    next_measurements: tuple[NextMeasurement, ...] = ()
    to_measure: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()


def evaluate(
    claim: Claim,
    figures: Figures,
    *,
    sure_enough_frac: float = SURE_ENOUGH_FRAC,
    n_draws: int = DRAWS,
    seed: int = SEED,
) -> ClaimResult:
    """Hold a claim against its figures.

    Parameters
    ----------
    claim : Claim
    figures : Figures
    sure_enough_frac : float
        From this probability on the claim is confirmed, from its complement down refuted. [1]
    n_draws, seed : int
        Of errors that are not normal; figures known by draws keep their own number.

    Returns
    -------
    ClaimResult
        A missing figure, or a share of a figure that is not told from nothing, leaves the claim open.

    Raises
    ------
    ValueError
        `sure_enough_frac` is not between 0.5 and 1, or a comparison lacks the other figure.

    Notes
    -----
    The claim is written as one limit that must not be passed (see `claim_limits`), or two for "about":
    P = 1 − P(above) − P(below). Errors that both figures share are in the difference once, with its sensitivity.
    P is exact where the errors are normal, else by draws.

    Source
    ------
    from memory: JCGM 106:2012 (conformance probability; the detection limit is its guard band). first principles for
    the rest.
    """
    if not 0.5 <= sure_enough_frac < 1.0:
        msg = f"sure_enough_frac = {sure_enough_frac!r}: give a probability from 0.5 to below 1, e.g. 0.95."
        raise ValueError(msg)
    used = tuple(f for f in (figures.of, figures.other) if f is not None)
    _check_figures(claim, figures)
    open_ = ClaimResult(claim, State.OPEN, None, used, None, None, sure_enough_frac, remarks=figures.remarks)
    missing = tuple(f.missing for f in used if f.missing)
    if missing:
        return replace(open_, to_measure=missing)
    if claim.threshold_is is ThresholdIs.SHARE and (doubt := _share_of_nothing(used[-1])):
        return replace(open_, remarks=(*figures.remarks, doubt))
    limits = limits_of(claim, figures, n_draws, seed)
    about = claim.relation is Relation.ABOUT
    probability = _holds(limits.spreads, about)
    quantile = Spread.absolute_error_quantile if about else Spread.error_quantile
    state = _state(probability, sure_enough_frac)
    return replace(
        open_,
        state=state,
        probability=probability,
        difference=limits.difference,
        detection_limit=quantile(limits.spreads[0], sure_enough_frac),
        next_measurements=next_measurements(limits, figures, sure_enough_frac) if state is State.OPEN else (),
    )


def _check_figures(claim: Claim, figures: Figures) -> None:
    needs_other = claim.threshold_is is ThresholdIs.SHARE or not claim.threshold_is_figure
    if needs_other and figures.other is None:
        msg = f"claim {claim.code}: the figure of {claim.other or 'the other vehicle'} was not handed over."
        raise ValueError(msg)


def _share_of_nothing(other: Figure) -> str:
    """Why a share of this figure means nothing; empty when it does."""
    low, high = other.band or (0.0, 0.0)
    if low > 0.0 or high < 0.0:
        return ""
    return (
        f"{other.words} of {other.vehicle} is not told from nothing, so a share of it says nothing; state the "
        f"threshold in {other.unit} instead"
    )


def _state(probability: float, sure_enough_frac: float) -> State:
    if probability >= sure_enough_frac:
        return State.CONFIRMED
    # A level such as 0.9 has no exact complement.
    return State.REFUTED if probability <= 1.0 - sure_enough_frac + EXACT_FRAC else State.OPEN


def _holds(limits: tuple[Spread, ...], about: bool) -> float:
    """Probability that no limit is passed; the two of "about" cannot both be."""
    passed = sum(1.0 - limit.chance_below(0.0, or_equal=about) for limit in limits)
    return float(min(max(1.0 - passed, 0.0), 1.0))
