"""The mass book of a vehicle with our taxonomy and expected content, and the figures the mass gap takes from it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from hoistbook.core.mass.book import MassBook, mass_book
from hoistbook.core.mass.coverage import Coverage
from hoistbook.core.mass.nodes import Cover
from hoistbook.core.quantities.assumption import Assumption, definition
from hoistbook.core.quantities.quantity import Origin, Quantity, weakest
from hoistbook.core.vehicle.records import Teardown
from hoistbook.reference.taxonomy import expected_content, taxonomy
from hoistbook.services.loading import chosen_configuration

CARRIES_FRAC = 0.05
"""A way of coming by mass names a system's origin from this share of its mass on; project rule."""

_ORIGIN_OF_COVER = {
    Cover.WEIGHED: Origin.MEASURED,
    Cover.INSIDE: Origin.MEASURED,
    Cover.COMPUTED: Origin.INFERRED,
    Cover.LITERATURE: Origin.PUBLISHED,
    Cover.ESTIMATED: Origin.ASSUMED,
}

PROPOSALS = 20
UNASSIGNED_SYSTEM, UNASSIGNED_WORDS = "unassigned", "parts without a system"


def mass_report(
    teardown: Teardown, configuration: str | None = None, *, proposals: int = PROPOSALS
) -> MassBook:
    """Build the mass book of one vehicle.

    Parameters
    ----------
    teardown : Teardown
    configuration : str, optional
        Needed when the vehicle has several.
    proposals : int
        Longest list of what to weigh next; 0 leaves out the work for it.

    Raises
    ------
    ValueError
        No part tree.
    LookupError
        There are several configurations and none was named, or the named one is unknown.
    """
    chosen = chosen_configuration(teardown, configuration)
    return mass_book(teardown, taxonomy(), expected_content(), configuration=chosen.id, proposals=proposals)


@dataclass(frozen=True, slots=True)
class MassFigures:
    """What comparisons need of a mass book. All masses in kg.

    `vehicle` is the mass on the scale in the state the sum of the parts stands for, or the sum of the parts where
    nothing was on the scale (then there is no rest, and `assumed` says so).
    """

    vehicle: Quantity
    systems: Mapping[str, Quantity]
    functions: Mapping[str, Quantity]
    functions_by_system: Mapping[tuple[str, str], Quantity]
    system_words: Mapping[str, str]
    system_origins: Mapping[str, Origin]
    assumed: tuple[Assumption, ...]


def mass_figures(book: MassBook) -> MassFigures:
    """Take the figures of a comparison from a mass book."""
    systems = {line.key: line.total for line in book.systems.lines}
    unassigned = book.systems.unassigned.total
    if unassigned.value != 0.0 or unassigned.terms:
        systems[UNASSIGNED_SYSTEM] = unassigned
    notes = [one.of(book.vehicle) for one in book.assumed]
    if book.closure is None:
        notes.append(
            definition("no mass of the whole vehicle, so its parts are taken as all there is", book.vehicle)
        )
    return MassFigures(
        vehicle=book.total if book.closure is None else book.closure.scale,
        systems=systems,
        functions={line.key: line.total for line in book.functions.lines},
        functions_by_system={
            (system or UNASSIGNED_SYSTEM, function): mass
            for (system, function), mass in book.system_functions.items()
        },
        system_words={line.key: line.name for line in book.systems.lines}
        | {UNASSIGNED_SYSTEM: UNASSIGNED_WORDS},
        system_origins={
            code: _main_origin(book.system_coverage[code])
            if code in book.system_coverage
            else Origin.MEASURED
            for code in systems
        },
        assumed=tuple(notes),
    )


def _main_origin(covered: Coverage) -> Origin:
    """Weakest origin among the ways that make a real share of a system's mass."""
    found = [
        _ORIGIN_OF_COVER[line.cover]
        for line in covered.lines
        if line.mass_share_frac is not None
        and line.mass_share_frac >= CARRIES_FRAC
        and line.cover in _ORIGIN_OF_COVER
    ]
    return weakest(found)
