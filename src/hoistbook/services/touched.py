"""Which figures a gap rests on: what is remarked on beside it is what touches these."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from hoistbook.core.energy.facts import USED_BESIDE_FIELDS
from hoistbook.core.vehicle.kinds import QUANTITY_KINDS
from hoistbook.core.vehicle.records import Basis, Fact, MassState, Teardown
from hoistbook.services.sides import STATED_QUANTITY

TEST_MASS = "test_mass_kg"
"""Stands for the mass that the energy model takes: the test mass, or that it is converted from."""

_MASSES = frozenset(kind.key for kind in QUANTITY_KINDS.values() if kind.unit == "kg")
_ENERGY = frozenset(
    {kind.key for kind in QUANTITY_KINDS.values() if kind.field and kind.key != "mass"}
    | USED_BESIDE_FIELDS
    | {TEST_MASS}
)
_SHEETS = {
    "mass": frozenset(
        {"facts", "parts", "measurements", "shares", "approaches", "functions", "content", "instruments"}
    ),
    "energy": frozenset({"facts", "effects", "content", "approaches", "instruments", "configurations"}),
}
"""Sheets of which a vanished row touches a gap."""


def about(quantities: Iterable[str]) -> frozenset[str]:
    """What readings of these quantities are about."""
    return frozenset(quantities)


def about_facts(facts: Sequence[Fact], among: Sequence[Fact]) -> frozenset[str]:
    """What facts are about: their quantities, and the test mass where the energy model takes it from one of them.

    Parameters
    ----------
    facts : sequence of Fact
    among : sequence of Fact
        All facts of the vehicle: a curb mass makes the test mass where none is stated.
    """
    has_test_mass = any(
        fact.quantity == "mass" and fact.mass_state is MassState.TEST and fact.basis is Basis.SPECIMEN
        for fact in among
    )
    masses = [fact for fact in facts if fact.quantity == "mass"]
    taken = any(not has_test_mass or fact.mass_state is MassState.TEST for fact in masses)
    return about(fact.quantity for fact in facts) | (frozenset({TEST_MASS}) if taken else frozenset())


def touches(gap_in: str, figures: Iterable[str]) -> bool:
    """Whether a gap in range, energy or mass rests on any of these figures (`about`)."""
    if gap_in == "mass":
        return not _MASSES.isdisjoint(figures)
    return any(one in _ENERGY or one == STATED_QUANTITY[gap_in] for one in figures)


def touching_remarks(teardown: Teardown, gap_in: str) -> tuple[str, ...]:
    """Remarks on the record that touch a gap: unusual figures, readings that contradict each other, vanished rows.

    Notes
    -----
    What was met on loading beside that (columns of one's own, encodings, a VIN) says nothing of a gap; the page of the
    vehicle has it.
    """
    sheets = _SHEETS["mass" if gap_in == "mass" else "energy"]
    of_words = {kind.words: kind.key for kind in QUANTITY_KINDS.values()}
    found = []
    for sentence in teardown.reported:
        head = sentence.partition(": ")[0]
        of_a_reading = re.match(r"(\w+) of ", head)
        of_a_fact = re.match(r"unusual: facts row \d+: (.+?) = ", sentence)
        key = of_a_reading[1] if of_a_reading else of_words.get(of_a_fact[1], "") if of_a_fact else ""
        # An unusual mass may be that of the test.
        figures = {key, TEST_MASS} if of_a_fact and key == "mass" else {key}
        if touches(gap_in, figures) or head in sheets:
            found.append(sentence)
    return tuple(found)
