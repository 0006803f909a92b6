"""What is said of a claim, in plain words of the trade."""

from __future__ import annotations

from hoistbook.core.compare.bars import Interval
from hoistbook.core.compare.claim_checks import check_figure
from hoistbook.core.compare.claim_figures import Figure
from hoistbook.core.compare.claim_next import NextMeasurement
from hoistbook.core.compare.claim_verdict import ClaimResult, State
from hoistbook.core.compare.claims import (
    CONSUMPTION,
    EFFECT_ON_CONSUMPTION,
    EFFECT_ON_RANGE,
    RANGE,
    Claim,
    Relation,
    ThresholdIs,
)
from hoistbook.core.compare.conflicts import Conflict, Conflicts
from hoistbook.core.quantities.printing import MINUS, text
from hoistbook.core.quantities.unit_table import UNITS
from hoistbook.core.quantities.units import from_si
from hoistbook.core.vehicle.kinds import QUANTITY_KINDS, unit_text

_SHOWN_UNITS = {RANGE: "km", EFFECT_ON_RANGE: "km", CONSUMPTION: "Wh/km", EFFECT_ON_CONSUMPTION: "Wh/km"}
_NEAR_CERTAIN = 0.999


def shown_unit(quantity: str) -> str:
    """Unit in which people read the quantity (a key) of a claim; empty for a pure number."""
    if quantity in _SHOWN_UNITS:
        return _SHOWN_UNITS[quantity]
    of_check = check_figure(quantity)
    if of_check is not None:
        unit = of_check.outcome.show or of_check.outcome.unit
        return "" if unit == "1" else unit if _is_plain(unit) else of_check.outcome.unit
    kind = QUANTITY_KINDS.get(quantity)
    if kind is None:
        return ""
    # A difference has no place on a scale with an offset or a curve: there the SI unit is shown.
    first = next((u for u in kind.example_units if _is_plain(u)), kind.unit)
    return "" if first == "1" else first


def _is_plain(unit: str) -> bool:
    found = UNITS.get(unit.replace("·", "."))
    return found is not None and found.form == "linear" and found.offset == 0.0


def percent(probability: float) -> str:
    """Probability as people read it: never 0 or 100 %, as bands never say so."""
    if probability > _NEAR_CERTAIN:
        return "over 99.9 %"
    if probability < 1.0 - _NEAR_CERTAIN:
        return "under 0.1 %"
    return f"{100.0 * probability:.3g} %" if 0.1 <= probability <= 0.99 else f"{100.0 * probability:.1f} %"


def _in_shown(quantity: str, value: float) -> float:
    unit = shown_unit(quantity)
    return from_si(value, unit) if unit else value


def shown(quantity: str, value: float, band: tuple[float, float] | None = None) -> str:
    """A figure of a claim in the unit people read it in, with its band."""
    ends = None if band is None else (_in_shown(quantity, band[0]), _in_shown(quantity, band[1]))
    return text(_in_shown(quantity, value), ends, unit_text(shown_unit(quantity)))


def sentence(result: ClaimResult) -> str:
    """Say in one or a few sentences what the record says of a claim, from which figures, and what would decide it."""
    claim = result.claim
    said = [_verdict(result)]
    if result.to_measure:
        said.append(f"Not measured: {'; '.join(result.to_measure)}.")
    elif result.difference is not None:
        said.append(_figures(result, result.difference))
    assumed = [f"{line} ({f.called})" for f in result.figures for line in f.assumed]
    if assumed:
        said.append(f"It rests on what was only assumed: {'; '.join(assumed)}.")
    if result.state is State.OPEN and result.detection_limit is not None:
        said.append(_limit(claim, result.detection_limit))
        said.append(_next(result.next_measurements))
    said.extend(f"{_capital(remark)}." for remark in result.remarks)
    return " ".join(said)


def _verdict(result: ClaimResult) -> str:
    level = f"{100.0 * result.sure_enough_frac:.4g} %"
    if result.probability is None:
        return "Open."
    chance = percent(result.probability)
    match result.state:
        case State.CONFIRMED:
            return f"Confirmed: it holds with a probability of {chance} ({level} asked)."
        case State.REFUTED:
            return f"Refuted: it holds with a probability of {chance}."
        case _:
            return f"Open: it holds with a probability of {chance}; {level} is asked to confirm it."


def _figures(result: ClaimResult, difference: Interval) -> str:
    claim = result.claim
    said = _capital(_said(claim, result.figures[0]))
    asked = asked_for(claim)
    if claim.threshold_is_figure:
        return f"{said}; {asked} is claimed."
    parts = f"{said} against {_said(claim, result.figures[1], short=True)}"
    if difference.value == 0.0 and difference.low == difference.high:
        return f"{parts}: no difference; {asked} is claimed."
    apart = shown(claim.quantity, abs(difference.value), _turned(difference))
    word = "more" if difference.value > 0.0 else "less"
    return f"{parts}: {apart} {word}; {asked} is claimed."


def asked_for(claim: Claim) -> str:
    """What the claim asks for: "at least 15 kg less"."""
    t = claim.threshold.value
    share = claim.threshold_is is ThresholdIs.SHARE
    size = f"{100.0 * t:.4g} %" if share else shown(claim.quantity, t)
    word = "less" if claim.relation is Relation.LESS_THAN else "more"
    if claim.relation is Relation.ABOUT:
        if not claim.threshold_is_figure:
            return f"no more than {size} apart"
        near = claim.threshold.expanded()
        within = f"{100.0 * near:.2g} %" if share else _size(claim, near)
        return f"{size} within {within}"
    if claim.threshold_is_figure:
        return f"{word} than {size}"
    if t == 0.0:
        return word
    if t < 0.0:
        other = "more" if word == "less" else "less"
        return f"no more than {size.lstrip(MINUS + '-')} {other}"
    return f"at least {size} {word}"


def _said(claim: Claim, figure: Figure, *, short: bool = False) -> str:
    value = text(None) if figure.value is None else shown(claim.quantity, figure.value, figure.band)
    if short:
        return f"{value} at {figure.called} ({figure.origin})"
    return f"{figure.words} is {value} at {figure.called} ({figure.origin})"


def _turned(difference: Interval) -> tuple[float, float]:
    """The band of a difference that is said as a size."""
    if difference.value >= 0.0:
        return difference.low, difference.high
    return -difference.high, -difference.low


def _size(claim: Claim, size: float) -> str:
    return f"{_in_shown(claim.quantity, size):.2g} {unit_text(shown_unit(claim.quantity))}".strip()


def _limit(claim: Claim, limit: float) -> str:
    size = _size(claim, limit)
    if claim.relation is Relation.ABOUT:
        return f"With these bands no figures could be confirmed to be about the same within less than {size}."
    return f"With these bands the threshold must be passed by {size} to be confirmed."


def _next(found: tuple[NextMeasurement, ...]) -> str:
    if not found:
        return "No reading at hand would decide it."
    best = found[0]
    at_best = " at best (the error of that reading is not known)" if best.at_best else ""
    return (
        f"To decide it: {best.how}. The probability is then expected between {percent(best.low)} and "
        f"{percent(best.high)}, and decides in {100.0 * best.decides_frac:.0f} of 100 cases{at_best}."
    )


def conflict_sentences(found: Conflicts, claims: dict[str, Claim]) -> tuple[str, ...]:
    """Say which claims cannot all hold."""
    said = [_conflict(one, claims) for one in found.found]
    if found.unchecked:
        said.append(
            f"Not held against the others: {', '.join(found.unchecked)}: a share of a figure that may be below zero."
        )
    if not found.complete:
        said.append("There may be more: settle these first, then look again.")
    return tuple(said)


def _conflict(one: Conflict, claims: dict[str, Claim]) -> str:
    quoted = [f"{code} “{claims[code].sentence}”" for code in one.claims]
    if len(quoted) == 1:
        return f"{quoted[0]} cannot hold: its figure cannot be below zero."
    what = "cannot both hold" if len(quoted) == 2 else "cannot all hold"
    alarm = " The record confirms every one of them: it contradicts itself, look at their readings."
    return f"{', '.join(quoted[:-1])} and {quoted[-1]} {what}.{alarm if one.alarm else ''}"


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
