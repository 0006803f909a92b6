"""Ranges, consumptions, energy parameters and effects of decisions a claim speaks of, draw by draw."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np

from hoistbook.core.compare.causes import CAUSE_OF_FIELD, CAUSES
from hoistbook.core.compare.claim_figures import Figure, Figures
from hoistbook.core.compare.claims import EFFECTS, RANGE, Claim, ThresholdIs, claim_unit, claim_words
from hoistbook.core.compare.next_measurement import Candidate
from hoistbook.core.quantities.quantity import Origin, weakest
from hoistbook.core.vehicle.kinds import QUANTITY_KINDS, field_words
from hoistbook.services.claim_bench import Bench
from hoistbook.services.gap_draws import Reconciled

_MODELLED = "worked out by the model, nothing is stated"

_SEPARATE_BY = {cause.name: cause.separate_by for cause in CAUSES}


def effect_figures(bench: Bench, claim: Claim, other: str) -> Figures:
    """What a function's approach at one vehicle, in place of the other's, does to range or consumption.

    Raises
    ------
    LookupError
        The gap cannot be worked out, or one side states nothing of the function.
    """
    quantity = EFFECTS[claim.quantity]
    made, sign = bench.gap(other, claim.vehicle, _engine_word(quantity), claim.duty or bench.settings.duty)
    names = {
        decision.name: decision
        for decision in made.decided
        if (code := bench.functions.find(decision.name)) is not None
        and bench.inside(code.code, claim.function)
    }
    function = bench.function_words(claim.function)
    if not names:
        both = f"{bench.called(claim.vehicle)} and {bench.called(other)}"
        msg = (
            f"what {function} does at {both}; weigh its parts or state its effects at both, or record that one does "
            "without"
        )
        raise LookupError(msg)
    split = [sign * values for (_, name), values in made.found.decisions.items() if name in names]
    acting = sorted({field_words(field) for decision in names.values() for field in decision.change})
    known_as = weakest(origin for decision in names.values() for origin in decision.origins)
    parameters = weakest(made.sides[0].origins.values()), weakest(made.sides[1].origins.values())
    words = f"effect of {function} on {quantity}, against {bench.called(other)}"
    of = Figure(
        claim.vehicle,
        words,
        claim_unit(claim.quantity),
        drawn=np.sum(split, axis=0),
        weight=made.found.draws.weight,
        known_as=weakest((known_as, Origin.INFERRED)),
        grounds=(f"gap in {quantity} on {made.asked.duty.name}: {', '.join(acting)}",),
        assumed=(f"{words}: part of what it does is only assumed",) if known_as is Origin.ASSUMED else (),
    )
    remarks: tuple[str, ...] = ()
    if Origin.ASSUMED in parameters:
        remarks = ("what a kilogram or a newton is worth there rests in part on assumed energy parameters",)
    base = None
    if claim.threshold_is is ThresholdIs.SHARE:
        base = _value_of(made, other, quantity)
    candidates = [*_of_decision(bench, made, claim.function), *_of_parameters(bench, made)]
    return Figures(of, base, candidates=candidates, remarks=remarks)


def modelled_figures(bench: Bench, claim: Claim) -> Figures:
    """Range or consumption where not every vehicle states it: stated or modelled, from one gap.

    Raises
    ------
    LookupError
        The gap cannot be worked out, or there is no vehicle to compare with.
    """
    partner = claim.other or next((c for c in bench.order if c != claim.vehicle and bench.has(c)), "")
    if not partner:
        whose = bench.called(claim.vehicle)
        msg = f"{claim_words(claim.quantity)} of {whose}; state it for {claim.duty or bench.settings.duty}"
        raise LookupError(msg)
    made, _ = bench.gap(
        partner, claim.vehicle, _engine_word(claim.quantity), claim.duty or bench.settings.duty
    )
    of = _value_of(made, claim.vehicle, claim.quantity)
    other = _value_of(made, claim.other, claim.quantity) if claim.other else None
    return Figures(of, other, candidates=list(_of_parameters(bench, made)))


def parameter_figure(bench: Bench, claim: Claim, vehicle: str) -> Figure:
    """An energy parameter nobody stated, as the model takes it.

    Raises
    ------
    LookupError
        The quantity is no energy parameter, or the model lacks what it needs.
    """
    kind = QUANTITY_KINDS[claim.quantity]
    missing = f"{kind.words} of {bench.called(vehicle)}; measure it or state it with its source"
    partner = next((c for c in bench.order if c != vehicle and bench.has(c)), "")
    if not kind.field or not partner:
        raise LookupError(missing)
    try:
        made, _ = bench.gap(partner, vehicle, "range", claim.duty or bench.settings.duty)
    except LookupError:
        raise LookupError(missing) from None
    one = next(subject for subject in made.subjects if subject.code == vehicle)
    value = one.resolved.values[kind.field]
    said = [a.sentence for a in one.resolved.assumed if kind.field in (a.field,)]
    assumed = tuple(said) or (
        (f"{kind.words} is worked out from other figures",) if value.origin is Origin.ASSUMED else ()
    )
    return Figure(
        vehicle, kind.words, kind.unit, value, grounds=("as the energy model takes it",), assumed=assumed
    )


def _engine_word(quantity: str) -> str:
    return "range" if quantity == RANGE else "energy"


def _value_of(made: Reconciled, vehicle: str, quantity: str) -> Figure:
    place = next(index for index, side in enumerate(made.sides) if side.code == vehicle)
    side, stated = made.sides[place], made.stated.facts[place]
    words = f"{QUANTITY_KINDS[quantity].words} on {made.asked.duty.name}"
    return Figure(
        vehicle,
        words,
        claim_unit(quantity),
        drawn=(made.found.value_x, made.found.value_y)[place],
        weight=made.found.draws.weight,
        known_as=side.stated_origin or Origin.INFERRED,
        grounds=(f"fact of the {made.stated.basis.value}",) if stated is not None else (_MODELLED,),
    )


def _of_decision(bench: Bench, made: Reconciled, function: str) -> Iterable[Candidate]:
    """What could be measured anew of the function itself, at each vehicle."""
    for one, own in zip(made.subjects, made.contributions, strict=True):
        for (name, field), value in own.amounts.items():
            found = bench.functions.find(name)
            if found is None or not bench.inside(found.code, function) or not value.terms:
                continue
            what = "mass" if field == "test_mass_kg" else field_words(field)
            words = f"{what} of {bench.function_words(found.code)} at {bench.called(one.code)}"
            yield Candidate(
                f"{one.code} {found.code} {field}", words, one.drawn(value), 0.0, f"measure {words} better"
            )


def _of_parameters(bench: Bench, made: Reconciled) -> Iterable[Candidate]:
    """Energy parameters that could be measured anew, in the draws of the gap."""
    for one in made.subjects:
        fields: Sequence[str] = [name for name, drawn in one.fields.items() if np.ptp(drawn) > 0.0]
        for name in fields:
            words = f"{field_words(name)} of {bench.called(one.code)}"
            how = f"measure {words} ({_SEPARATE_BY[CAUSE_OF_FIELD[name]]})"
            yield Candidate(f"{one.code} {name}", words, one.fields[name], 0.0, how)
