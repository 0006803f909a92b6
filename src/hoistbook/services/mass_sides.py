"""The mass side of a vehicle: what its functions and systems weigh, for every service that compares masses.

One mass of a function: its line of the mass book, parts and surplus. Gap, coverage, claims and effects on range all
start here, so they cannot tell two masses of one thing.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from hoistbook.core.compare.mass_walk import MassSide
from hoistbook.core.mass.book import MassBook
from hoistbook.core.quantities.quantity import Quantity, total
from hoistbook.core.vehicle.records import Rule, Teardown
from hoistbook.services.mass import MassFigures, mass_figures, mass_report

CONTENT_SYSTEM, CONTENT_WORDS = "content", "content added or taken off on paper"
"""System of content whose function has no parts in the tree."""


def figures_of(teardown: Teardown, configuration: str) -> MassFigures:
    """Work out the mass book of a vehicle and take the figures of a comparison from it.

    Raises
    ------
    ValueError, LookupError
        As `mass.mass_report`.
    """
    return mass_figures(mass_report(teardown, configuration, proposals=0))


def function_masses(teardown: Teardown, configuration: str) -> Mapping[str, Quantity]:
    """Mass of each function, parts and surplus; none for a vehicle known by its facts alone. [kg]"""
    return masses_in(mass_report(teardown, configuration, proposals=0)) if teardown.nodes else {}


def masses_in(book: MassBook) -> Mapping[str, Quantity]:
    """Mass of each function of a mass book that is there already, parts and surplus. [kg]"""
    return mass_figures(book).functions


def mass_side(teardown: Teardown, configuration: str, figures: MassFigures | None = None) -> MassSide:
    """Build what comparisons of mass need of one vehicle, as found.

    Parameters
    ----------
    teardown : Teardown
    configuration : str
        Id of one that is there.
    figures : MassFigures, optional
        Worked out when left out.

    Raises
    ------
    ValueError, LookupError
        As `mass.mass_report`.
    """
    known = figures_of(teardown, configuration) if figures is None else figures
    return MassSide(
        teardown.vehicle.code,
        known.vehicle,
        known.systems,
        known.functions_by_system,
        known.system_origins,
        known.vehicle.origin,
        frozenset(
            approach.function
            for approach in teardown.approaches
            if approach.configuration == configuration and not approach.present
        ),
    )


def by_function(side: MassSide) -> dict[tuple[str, str], Quantity]:
    """Masses by (function, system). [kg]"""
    return {(function, system): mass for (system, function), mass in side.decisions.items()}


def alike_mass_side(teardown: Teardown, side: MassSide) -> MassSide:
    """Strip, add or scale mass content, in the systems the function's parts are in.

    Raises
    ------
    ValueError
        An item takes off more than the vehicle weighs.
    """
    stated = side.stated
    systems: dict[str, Quantity] = dict(side.systems)
    origins = dict(side.origins)
    cells: dict[tuple[str, str], Quantity] = dict(side.decisions)
    for item in teardown.content:
        if item.quantity != "mass":
            continue
        own = [mass for (_, function), mass in cells.items() if function == item.function and item.function]
        if item.rule is Rule.SCALE:
            # Scaling acts on what the function weighs (nothing, where it has no parts); without a function on the whole
            # vehicle, which no system holds.
            if item.function and not own:
                continue
            value = (total(own) if own else stated) * (item.value - 1.0)
        else:
            value = item.value * (-1.0 if item.rule is Rule.STRIP else 1.0)
        stated = stated + value
        if stated.value <= 0.0:
            msg = f"{side.code}: content {item.item} takes off more than the vehicle weighs; correct the content sheet."
            raise ValueError(msg)
        # Content whose parts are not in the tree (an option that is added on paper) is a line of its own.
        shares = _system_shares(cells, item.function) or {(CONTENT_SYSTEM, item.function or item.item): 1.0}
        for (system, function), share in shares.items():
            systems[system] = systems[system] + value * share if system in systems else value * share
            origins.setdefault(system, value.origin)
            key = (system, function)
            cells[key] = cells[key] + value * share if key in cells else value * share
    return replace(side, stated=stated, systems=systems, decisions=cells, origins=origins)


def _system_shares(cells: Mapping[tuple[str, str], Quantity], function: str) -> dict[tuple[str, str], float]:
    """How a function's mass is spread over systems."""
    own = {key: q.value for key, q in cells.items() if key[1] == function and function}
    whole = sum(own.values())
    return {key: value / whole for key, value in own.items()} if whole > 0.0 else {}
