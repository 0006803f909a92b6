"""Mass of the whole vehicle by its own scale, in the state that the sum of the parts stands for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from hoistbook.core.mass.centre_of_gravity import (
    AxleLift,
    CentreOfGravity,
    CornerMasses,
    centre_of_gravity,
)
from hoistbook.core.mass.ledger import Observation
from hoistbook.core.quantities.assumption import Assumption, aside, definition
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.vehicle.mass_state import Allowances, convert
from hoistbook.core.vehicle.records import Basis, Fact, MassState, SubjectKind, Teardown

_CORNERS = (
    "corner_mass_front_left",
    "corner_mass_front_right",
    "corner_mass_rear_left",
    "corner_mass_rear_right",
)


@dataclass(frozen=True, slots=True)
class VehicleMass:
    """One mass of the whole vehicle: what it is, the state it was stated in, and how much it is worth as a check."""

    mass: Quantity
    state: MassState
    words: str
    assumed: tuple[Assumption, ...] = ()


def vehicle_figures(teardown: Teardown, configuration: str) -> dict[str, Fact]:
    """Figures of one configuration by quantity: the strongest fact about the specimen, or a measurement of it.

    Notes
    -----
    A measurement of the configuration stands for a fact about the specimen when there is none.
    """
    figures: dict[str, Fact] = {}
    for fact in teardown.facts:
        if fact.configuration != configuration or fact.quantity == "mass":
            continue
        known = figures.get(fact.quantity)
        if known is None or _strength(fact) < _strength(known):
            figures[fact.quantity] = fact
    superseded = {m.supersedes for m in teardown.measurements if m.supersedes}
    for m in teardown.measurements:
        if (
            m.subject_kind is SubjectKind.CONFIGURATION
            and m.subject == configuration
            and m.id not in superseded
        ):
            figures.setdefault(m.quantity, Fact(configuration, m.quantity, m.value, instrument=m.instrument))
    return figures


def _strength(fact: Fact) -> tuple[bool, int]:
    return (fact.basis is not Basis.SPECIMEN, fact.value.origin.rank)


def corner_masses(figures: dict[str, Fact]) -> CornerMasses | None:
    """Readings of the four pads; None when one is lacking."""
    if any(key not in figures for key in _CORNERS):
        return None
    return CornerMasses(*(figures[key].value for key in _CORNERS))


def measured_centre_of_gravity(figures: dict[str, Fact]) -> CentreOfGravity | None:
    """Centre of gravity as far as the figures of a configuration reach; None without all four corner masses."""
    corners = corner_masses(figures)
    if corners is None:
        return None

    def value(key: str) -> Quantity | None:
        return figures[key].value if key in figures else None

    front, angle, radius = value("lifted_front_mass"), value("lift_angle"), value("wheel_radius")
    lift = None if front is None or angle is None or radius is None else AxleLift(front, angle, radius)
    found = centre_of_gravity(corners, value("wheelbase"), value("track"), lift)
    if lift is None:
        return found
    radius_note = "the height of the axles is taken as the rolling radius of the driven wheels"
    return replace(found, assumptions=(*found.assumptions, radius_note))


def vehicle_masses(
    teardown: Teardown, configuration: str, figures: dict[str, Fact], weighings: Sequence[Observation]
) -> tuple[VehicleMass, ...]:
    """Masses of the whole vehicle, best check first.

    Parameters
    ----------
    teardown : Teardown
    configuration : str
    figures : dict of str to Fact
        From `vehicle_figures`.
    weighings : sequence of Observation
        Weighings of the vehicle itself (`Ledger.of_vehicle`).

    Returns
    -------
    tuple of VehicleMass
        The sum of the corner masses, weighings of the vehicle, mass facts of the specimen by strength of origin, mass
        facts of the type.
    """
    found: list[VehicleMass] = []
    corners = corner_masses(figures)
    if corners is not None:
        state = figures[_CORNERS[0]].mass_state or MassState.AS_WEIGHED
        found.append(VehicleMass(corners.total, state, "sum of the four corner masses"))
    found.extend(
        VehicleMass(o.value, MassState.AS_WEIGHED, f"weighing of the vehicle ({', '.join(o.readings)})")
        for o in weighings
    )
    facts = [f for f in teardown.facts if f.configuration == configuration and f.quantity == "mass"]
    for fact in sorted(facts, key=_strength):
        own = fact.basis is Basis.SPECIMEN
        of_the_type = definition("the mass compared with is that of the type, not of this specimen")
        note = () if own else (of_the_type,)
        words = f"{fact.value.origin.value} mass of {'the specimen' if own else 'the type'}"
        found.append(VehicleMass(fact.value, fact.mass_state or MassState.AS_WEIGHED, words, note))
    return tuple(found)


def comparable_mass(
    masses: Sequence[VehicleMass], allowances: Allowances, *, with_fluids: bool
) -> tuple[VehicleMass | None, tuple[Assumption, ...]]:
    """Mass to compare the sum of the parts with, converted to its state.

    Parameters
    ----------
    masses : sequence of VehicleMass
        Best check first.
    allowances : Allowances
    with_fluids : bool
        The part tree lists fluids: the sum of the parts stands for the curb mass, otherwise for the dry mass.

    Returns
    -------
    mass, remarks
        The first mass that can be converted (None when there is none), and what was assumed or could not be used.

    Notes
    -----
    Where it is not stated what stood in a vehicle on the scale, that mass is not compared, and this is said. Where no
    fluid is listed and the fluids are not stated either, the curb mass is compared and the difference contains the
    fluids.
    """
    remarks: list[Assumption] = []
    want = MassState.CURB if with_fluids or allowances.fluids is None else MassState.DRY
    stands_for = (
        "the part tree lists fluids, so the sum of the parts stands for the curb mass"
        if with_fluids
        else "the part tree lists no fluid, so the sum of the parts stands for the dry mass"
    )
    for candidate in masses:
        notes = [*candidate.assumed, definition(stands_for)]
        try:
            converted = convert(candidate.mass, candidate.state, want, allowances)
        except ValueError as error:
            remarks.append(aside(f"{candidate.words} ({candidate.state.value}) not used: {error}"))
            continue
        if converted.assumed:
            notes.append(definition(converted.assumed))
        if not with_fluids and want is MassState.CURB:
            notes.append(definition("what the fluids weigh is not stated: the difference contains them"))
        return VehicleMass(converted.mass, want, candidate.words, (*notes, *remarks)), tuple(remarks)
    return None, tuple(remarks)
