"""Repeating the test behind a stated range or consumption: what would shrink of its band, and what would stay."""

from __future__ import annotations

from collections.abc import Iterable

from hoistbook.core.arrays import Array
from hoistbook.core.compare.inference import RepeatKind
from hoistbook.core.compare.next_measurement import Candidate, repeated
from hoistbook.core.quantities.printing import NARROW_SPACE
from hoistbook.core.quantities.quantity import Origin, Quantity
from hoistbook.core.quantities.units import from_si
from hoistbook.core.vehicle.kinds import unit_text
from hoistbook.core.vehicle.records import Basis, Fact, Teardown
from hoistbook.report.figures import to_place
from hoistbook.services.gap_draws import Reconciled
from hoistbook.services.wording import usual_unit

REPEAT = "repeat"
"""Name of the candidates, before the code of the vehicle."""


def repeats(made: Reconciled, kind: RepeatKind | None) -> dict[str, tuple[str, Candidate]]:
    """Tests of a gap that could be repeated: code of the vehicle and the candidate, by its name.

    Parameters
    ----------
    made : Reconciled
    kind : RepeatKind or None
        How many tests there would be in all; None proposes none.

    Notes
    -----
    Only a figure measured on the specimen comes from a test that can be repeated. Of its band the errors that stand in
    no other figure of either vehicle and bear this vehicle's name are taken as the repeatability of the test; an
    instrument, a bench or whatever else was named as shared is the same in every repeat. Where part of the own band is
    a constant error that nobody named, the repeat will narrow less than said.
    """
    if kind is None:
        return {}
    found: dict[str, tuple[str, Candidate]] = {}
    for (teardown, _), fact, subject in zip(made.chosen, made.stated.facts, made.subjects, strict=True):
        if fact is None or fact.basis is not Basis.SPECIMEN or fact.value.origin is not Origin.MEASURED:
            continue
        own = own_part(fact, (one for one, _ in made.chosen), teardown.vehicle.code)
        if own.standard_uncertainty == 0.0:
            continue
        code = teardown.vehicle.code
        found[f"{REPEAT}/{code}"] = (code, _candidate(code, fact, own, subject.drawn(own), kind))
    return found


def own_part(fact: Fact, teardowns: Iterable[Teardown], code: str) -> Quantity:
    """The error of a figure that a repeat of its test would draw anew, as a quantity around 0."""
    elsewhere: set[str] = set()
    for one in teardowns:
        figures = [other.value for other in one.facts if other is not fact]
        figures += [effect.value for effect in one.effects] + [item.value for item in one.content]
        elsewhere |= {source.name for value in figures for source, _ in value.terms}
    terms = tuple(
        (source, size)
        for source, size in fact.value.terms
        if source.name not in elsewhere and source.name.startswith((f"{code}/", f"{code} "))
    )
    return Quantity(0.0, fact.value.unit, terms, fact.value.origin)


def _candidate(code: str, fact: Fact, own: Quantity, drawn: Array, kind: RepeatKind) -> Candidate:
    names = {source.name for source, _ in own.terms}
    shared = Quantity(0.0, own.unit, tuple(term for term in fact.value.terms if term[0].name not in names))
    now, then = own.expanded(), own.expanded() / kind.tests**0.5
    unit = usual_unit(fact.quantity, own.unit)

    def half(si: float) -> str:
        return NARROW_SPACE.join(("±", to_place(from_si(si, unit), 1), unit_text(unit)))

    more = kind.tests - 1
    again = {1: "once", 2: "twice"}.get(more, f"{more} times")
    how = (
        f"test it {again} more as before and take the mean of all {kind.tests}: its own part, {half(now)} and "
        f"taken as its scatter, becomes {half(then)}"
    )
    if shared.terms:
        how += f"; what it shares with other figures, {half(shared.expanded())}, stays"
    words = f"{fact.quantity} test repeated, {kind.tests} in all"
    return repeated(
        f"{REPEAT}/{code}",
        words,
        drawn,
        own.standard_uncertainty,
        more,
        how,
        None if kind.minutes_each is None else kind.minutes_each * more,
    )
