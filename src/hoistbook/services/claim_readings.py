"""Readings and facts a claim speaks of, and the readings that could be taken anew."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import chain

from hoistbook.core.compare.claim_figures import Figure, Retake
from hoistbook.core.compare.claims import Claim, claim_words
from hoistbook.core.mass.book import MassBook
from hoistbook.core.quantities.instruments import Instrument, reading
from hoistbook.core.quantities.quantity import Origin, Quantity, total
from hoistbook.core.quantities.repeats import repeats
from hoistbook.core.vehicle.kinds import QUANTITY_KINDS
from hoistbook.core.vehicle.records import Basis, Fact, Measurement, Scope, SubjectKind
from hoistbook.services.claim_bench import Bench
from hoistbook.services.claim_masses import observations_in

_LOOKED_AT = 12
"""Readings of a mass that are judged for a retake, those with the largest share of its band."""


def reading_of(bench: Bench, claim: Claim, vehicle: str) -> Figure:
    """Figure read at a part or at the approach to a function, repeats taken together.

    Raises
    ------
    LookupError
        Nothing was read; the message says what to measure.
    """
    words = f"{claim_words(claim.quantity)} of {_subject_words(bench, claim)}"
    found = _readings(bench, claim, vehicle)
    if found:
        taken = repeats([one.value * (1.0 / one.pieces) for one in found], [one.id for one in found], words)
        grounds = [f"readings {', '.join(one.id for one in found)}"]
        if taken.contradicted:
            grounds.append(taken.message)
        return _known(vehicle, words, taken.quantity, tuple(grounds), claim)
    if claim.function:
        stated = [
            effect
            for effect in bench.teardown(vehicle).effects
            if effect.quantity == claim.quantity
            and (code := bench.functions.find(effect.function)) is not None
            and bench.inside(code.code, claim.function)
        ]
        if stated:
            value = total([effect.value for effect in stated])
            grounds = ["effects sheet", *(effect.evidence for effect in stated if effect.evidence)]
            return _known(vehicle, words, value, tuple(grounds), claim)
        if bench.does_without(vehicle, claim.function):
            msg = f"{words} at {bench.called(vehicle)}: the vehicle does without it, so there is nothing to compare"
            raise LookupError(msg)
    msg = f"{words} at {bench.called(vehicle)}; measure it"
    raise LookupError(msg)


def _subject_words(bench: Bench, claim: Claim) -> str:
    return bench.function_words(claim.function) if claim.function else claim.part


def _readings(bench: Bench, claim: Claim, vehicle: str) -> list[Measurement]:
    """Readings in force: of the part, or of the approaches to the function."""
    if claim.part:
        bench.part(vehicle, claim.part)
        subjects = {(SubjectKind.PART, claim.part)}
    else:
        approaches = bench.approaches(vehicle, claim.function)
        subjects = {(SubjectKind.APPROACH, approach.id) for approach in approaches}
    measurements = bench.teardown(vehicle).measurements
    gone = {one.supersedes for one in measurements}
    return [
        one
        for one in measurements
        if (one.subject_kind, one.subject) in subjects
        and one.quantity == claim.quantity
        and one.id not in gone
    ]


def _known(vehicle: str, words: str, value: Quantity, grounds: tuple[str, ...], claim: Claim) -> Figure:
    unit = QUANTITY_KINDS[claim.quantity].unit
    assumed = (f"{words} was assumed, not measured",) if value.origin is Origin.ASSUMED else ()
    return Figure(vehicle, words, unit, value, grounds=grounds, assumed=assumed)


def stated_facts(bench: Bench, claim: Claim, vehicle: str) -> dict[Basis, Fact]:
    """Facts of a vehicle a claim may use: the strongest of each basis, of its duty where the quantity has one."""
    configuration = bench.configuration(vehicle).id
    duty = (claim.duty or bench.settings.duty).strip().casefold()
    with_duty = "duty" in QUANTITY_KINDS[claim.quantity].needs
    chosen: dict[Basis, Fact] = {}
    for fact in bench.teardown(vehicle).facts:
        if (fact.configuration, fact.quantity) != (configuration, claim.quantity):
            continue
        if with_duty and fact.duty.strip().casefold() != duty:
            continue
        best = chosen.get(fact.basis)
        if best is None or fact.value.origin.rank < best.value.origin.rank:
            chosen[fact.basis] = fact
    return chosen


def fact_figure(claim: Claim, vehicle: str, fact: Fact) -> Figure:
    """A fact as the figure of a claim."""
    whose = "of the specimen" if fact.basis is Basis.SPECIMEN else "of the label"
    of_duty = f" on {fact.duty}" if fact.duty else ""
    words = f"{claim_words(claim.quantity)}{of_duty}"
    grounds = (f"fact {whose}", *((fact.evidence,) if fact.evidence else ()))
    return _known(vehicle, words, fact.value, grounds, claim)


def mass_retakes(bench: Bench, book: MassBook, figure: Figure) -> Iterable[Retake]:
    """Weighings of a mass that could be repeated, each with every scale at hand that can take it."""
    if figure.quantity is None:
        return
    whose = bench.called(figure.vehicle)
    for observation in observations_in(book, figure.quantity)[:_LOOKED_AT]:
        masses = [
            book.roll.subtree(tag) if observation.scope is Scope.SUBTREE else book.roll.own(tag)
            for tag, _ in observation.on_scale
        ]
        belief = total(masses, [pieces for _, pieces in observation.on_scale], "kg")
        tags = ", ".join(tag for tag, _ in observation.on_scale)
        name = f"{figure.vehicle} {'+'.join(observation.readings)}"
        yield from _anew(bench, name, f"mass of {tags} at {whose}", belief, f"weigh {tags} at {whose}")


def reading_retakes(bench: Bench, claim: Claim, figure: Figure) -> Iterable[Retake]:
    """Readings of a part, an approach or the vehicle that could be repeated, with every instrument that can."""
    if figure.quantity is None or not figure.quantity.terms:
        return
    words = f"{figure.words} at {bench.called(figure.vehicle)}"
    name = f"{figure.vehicle} {claim.quantity}"
    found = (
        list(_anew(bench, name, words, figure.quantity, f"measure {words}"))
        if claim.part or claim.function
        else []
    )
    if found:
        yield from found
        return
    yield Retake(name, words, f"measure {words}", figure.quantity, at_best=True)


def _anew(bench: Bench, name: str, words: str, belief: Quantity, how: str) -> Iterable[Retake]:
    """What each instrument would show of a thing of which `belief` is known.

    An instrument shows the thing less its own errors. Its calibration is a source other readings may share, so it
    cancels against what is known by the same instrument.
    """
    for instrument in _instruments(bench, belief.unit):
        try:
            new = reading(instrument, belief.value, f"new {name}")
        except ValueError:  # below its smallest load, above capacity or outside its table
            continue
        errors = Quantity(0.0, belief.unit, tuple((source, -c) for source, c in new.terms))
        yield Retake(name, words, f"{how} with {instrument.kind} {instrument.id}", belief + errors)


def _instruments(bench: Bench, unit: str) -> Sequence[Instrument]:
    known: dict[str, Instrument] = {}
    vehicles = (bench.teardown(code) for code in bench.order if bench.has(code))
    for instrument in chain.from_iterable(teardown.instruments.values() for teardown in vehicles):
        if instrument.unit == unit and instrument.kind != "corner pad":
            known.setdefault(instrument.id, instrument)
    return list(known.values())
