"""The claims of a study held against its vehicles."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from hoistbook.core.compare.claim_checks import check_figure
from hoistbook.core.compare.claim_figures import Figure, Figures, Retake
from hoistbook.core.compare.claim_verdict import ClaimResult, State, evaluate
from hoistbook.core.compare.claim_words import conflict_sentences, sentence
from hoistbook.core.compare.claims import (
    CONSUMPTION,
    FASTENER_COUNT,
    PART_COUNT,
    RANGE,
    Claim,
    claim_unit,
    claim_words,
)
from hoistbook.core.compare.conflicts import Conflicts, conflicts
from hoistbook.core.vehicle.records import Basis, Fact, Teardown
from hoistbook.services.claim_bench import Bench, Settings
from hoistbook.services.claim_checks import check_figures
from hoistbook.services.claim_effects import effect_figures, modelled_figures, parameter_figure
from hoistbook.services.claim_masses import count_of, mass_of
from hoistbook.services.claim_readings import (
    fact_figure,
    mass_retakes,
    reading_of,
    reading_retakes,
    stated_facts,
)

_MODELLED = (RANGE, CONSUMPTION)


@dataclass(frozen=True, slots=True)
class JudgedClaim:
    """A claim, what the record says of it, and the sentence for it."""

    result: ClaimResult
    sentence: str

    @property
    def claim(self) -> Claim:
        """The claim, as it was stated."""
        return self.result.claim


@dataclass(frozen=True, slots=True)
class ClaimsReport:
    """All claims of a study.

    Attributes
    ----------
    claims : tuple of JudgedClaim
        In the order of the study.
    conflicts : Conflicts
    conflict_sentences : tuple of str
    sure_enough_frac : float
        The study's own level. [1]
    duty : str
        Where a claim names none.
    remarks : tuple of str
    """

    claims: tuple[JudgedClaim, ...]
    conflicts: Conflicts
    conflict_sentences: tuple[str, ...]
    sure_enough_frac: float
    duty: str
    remarks: tuple[str, ...] = ()

    def count(self, state: State) -> int:
        """How many claims are in a state."""
        return sum(one.result.state is state for one in self.claims)


def judge_claims(
    claims: Sequence[Claim],
    order: Sequence[str],
    teardowns: Mapping[str, Teardown],
    configurations: Mapping[str, str],
    settings: Settings,
    progress: Callable[[int, int, str], None] | None = None,
    remarks: tuple[str, ...] = (),
) -> ClaimsReport:
    """Hold claims against the records of the vehicles they speak of.

    Parameters
    ----------
    claims : sequence of Claim
    order : sequence of str
        Codes of the vehicles, the one the study starts from first.
    teardowns : mapping of vehicle code to Teardown
        Of the vehicles that are there; a claim about another one stays open.
    configurations : mapping of vehicle code to configuration
        Empty where the vehicle has only one.
    settings : Settings
    progress : callable, optional
        Called with claims done, claims in all, and what is being looked at.
    remarks : tuple of str
        Carried along.

    Returns
    -------
    ClaimsReport

    Notes
    -----
    Every mass book and every gap is worked out once, whatever the number of claims. A figure that is missing leaves its
    claim open with what to measure; it is never an error.
    """
    bench = Bench(order, teardowns, configurations, settings)
    judged: list[JudgedClaim] = []
    resolved: list[Claim] = []
    for index, stated in enumerate(claims):
        if progress is not None:
            progress(index, len(claims), stated.code)
        claim, figures = _figures(bench, stated)
        figures = _called(bench, figures)
        resolved.append(claim)
        result = evaluate(claim, figures, sure_enough_frac=settings.sure_enough_frac, seed=settings.seed)
        judged.append(JudgedClaim(replace(result, claim=stated), sentence(result)))
    if progress is not None:
        progress(len(claims), len(claims), "")
    states = {one.claim.code: one.result.state for one in judged}
    found = conflicts(resolved, states)
    told = conflict_sentences(found, {claim.code: claim for claim in claims})
    return ClaimsReport(tuple(judged), found, told, settings.sure_enough_frac, settings.duty, remarks)


def _figures(bench: Bench, stated: Claim) -> tuple[Claim, Figures]:
    """The claim with its function by code and its duty and other vehicle filled in, and its figures."""
    claim = _filled_in(bench, stated)
    try:
        if claim.function:
            claim = replace(claim, function=bench.function(claim.function))
        return claim, _found(bench, claim)
    except LookupError as error:
        missing = str(error.args[0]).rstrip(".")
        unit = claim_unit(claim.quantity)
        of = Figure(claim.vehicle, claim_words(claim.quantity), unit, missing=missing)
        return claim, Figures(of, of if claim.other and not claim.is_effect else None)


def _called(bench: Bench, figures: Figures) -> Figures:
    """The same figures, each with the name of its vehicle."""
    of, other = (
        None if one is None else replace(one, called=bench.called(one.vehicle))
        for one in (figures.of, figures.other)
    )
    return figures if of is None else replace(figures, of=of, other=other)


def _filled_in(bench: Bench, claim: Claim) -> Claim:
    """Fill in what the study says where the claim says nothing."""
    filled = claim
    needs_duty = claim.is_effect or claim.quantity in _MODELLED
    if needs_duty and not claim.duty:
        filled = replace(filled, duty=bench.settings.duty)
    if claim.is_effect and not claim.other:
        start = next((code for code in bench.order if code != claim.vehicle), "")
        filled = replace(filled, other=start)
    return filled


def _found(bench: Bench, claim: Claim) -> Figures:
    of_check = check_figure(claim.quantity)
    if of_check is not None:
        return check_figures(bench, claim, of_check)
    if claim.is_effect:
        if not claim.other:
            msg = f"an effect of {claim.function} needs two vehicles; name the other one"
            raise LookupError(msg)
        return effect_figures(bench, claim, claim.other)
    if claim.quantity in (PART_COUNT, FASTENER_COUNT):
        return _each(claim, lambda vehicle: count_of(bench, claim, vehicle))
    if claim.quantity == "mass":
        figures = _each(claim, lambda vehicle: mass_of(bench, claim, vehicle))
        retakes = [
            retake
            for figure in _known(figures)
            for retake in mass_retakes(bench, bench.book(figure.vehicle), figure)
        ]
        return replace(figures, retakes=retakes)
    if claim.function or claim.part:
        figures = _each(claim, lambda vehicle: reading_of(bench, claim, vehicle))
        return replace(figures, retakes=_retakes(bench, claim, figures))
    return _of_facts(bench, claim)


def _each(claim: Claim, find: Callable[[str], Figure]) -> Figures:
    """The figure of each vehicle; a missing one with what to do, so that all that is missing is named at once."""

    def figure(vehicle: str) -> Figure:
        try:
            return find(vehicle)
        except LookupError as error:
            missing = str(error.args[0]).rstrip(".")
            return Figure(vehicle, claim_words(claim.quantity), claim_unit(claim.quantity), missing=missing)

    return Figures(figure(claim.vehicle), figure(claim.other) if claim.other else None)


def _known(figures: Figures) -> list[Figure]:
    return [f for f in (figures.of, figures.other) if f is not None and not f.missing]


def _retakes(bench: Bench, claim: Claim, figures: Figures) -> list[Retake]:
    return [retake for figure in _known(figures) for retake in reading_retakes(bench, claim, figure)]


def _of_facts(bench: Bench, claim: Claim) -> Figures:
    """Facts of the vehicles on one basis; else what the model makes of them."""
    vehicles = [claim.vehicle, *((claim.other,) if claim.other else ())]
    stated = {vehicle: stated_facts(bench, claim, vehicle) for vehicle in vehicles}
    basis = next(
        (b for b in (Basis.SPECIMEN, Basis.LABEL) if all(b in facts for facts in stated.values())), None
    )
    if basis is None and claim.quantity in _MODELLED:
        return modelled_figures(bench, claim)

    def figure(vehicle: str) -> Figure:
        fact = _one_basis(stated[vehicle], basis)
        return parameter_figure(bench, claim, vehicle) if fact is None else fact_figure(claim, vehicle, fact)

    figures = _each(claim, figure)
    remarks = figures.remarks
    bases = {fact.basis for facts in stated.values() if (fact := _one_basis(facts, basis)) is not None}
    if len(bases) > 1:
        remarks = (*remarks, "one figure is of the specimen, the other of the label")
    return replace(figures, retakes=_retakes(bench, claim, figures), remarks=remarks)


def _one_basis(facts: Mapping[Basis, Fact], basis: Basis | None) -> Fact | None:
    if basis is not None:
        return facts[basis]
    return facts.get(Basis.SPECIMEN, facts.get(Basis.LABEL))
