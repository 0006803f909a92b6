"""From the records of one vehicle to what the comparison engine takes: parameters, stated value, decisions, content."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.compare.causes import CAUSE_OF_FIELD
from hoistbook.core.compare.engine import Surroundings
from hoistbook.core.compare.gap import Decision, Question, ResidualPrior, Side
from hoistbook.core.energy.defaults import EnergyDefaults
from hoistbook.core.energy.duty import drive
from hoistbook.core.energy.parameters import SIGNED, EnergyParameters
from hoistbook.core.energy.resolve import resolve
from hoistbook.core.energy.resolved import Resolved
from hoistbook.core.energy.spin import MOVED_TO, as_wheel_force, spin_into_road_load
from hoistbook.core.quantities.assumption import Assumption, AssumptionKind, aside
from hoistbook.core.quantities.quantity import Origin, Quantity
from hoistbook.core.quantities.sampling import draws
from hoistbook.core.vehicle.kinds import QUANTITY_KINDS, field_words, unit_text
from hoistbook.core.vehicle.records import Basis, Configuration, ContentItem, Fact, Rule, Teardown
from hoistbook.reference.energy import energy_defaults
from hoistbook.services.duties import NamedDuty
from hoistbook.services.loading import chosen_configuration

STATED_QUANTITY = {"range": "range", "energy": "consumption"}


@dataclass(frozen=True, slots=True)
class Subject:
    """One vehicle, resolved for a duty, with its draws."""

    teardown: Teardown
    configuration: Configuration
    resolved: Resolved
    fields: Mapping[str, Array]
    n_draws: int
    seed: int
    spin_in_road_load: bool = False

    @property
    def code(self) -> str:
        """Code of the vehicle."""
        return self.teardown.vehicle.code

    @property
    def wheel_radius(self) -> Quantity:
        """Rolling radius that turns torque at the wheels into force. [m]"""
        return self.resolved.values["wheel_radius_m"]

    def drawn(self, quantity: Quantity) -> Array:
        """Draws of a quantity, its sources shared with every other quantity of this and the other vehicle."""
        return draws(quantity, self.n_draws, self.seed)


def subject(
    teardown: Teardown,
    duty: NamedDuty,
    n_draws: int,
    seed: int,
    configuration: str | None = None,
    basis: Basis = Basis.SPECIMEN,
    defaults: EnergyDefaults | None = None,
) -> Subject:
    """Resolve one vehicle for a duty and draw its parameters.

    Parameters
    ----------
    teardown : Teardown
    duty : NamedDuty
    n_draws, seed : int
    configuration : str, optional
        Needed when the vehicle has several.
    basis : Basis
        Whether the specimen or the label is spoken of.
    defaults : EnergyDefaults, optional
        What is taken for figures nobody stated; the packaged ones when left out.

    Raises
    ------
    ValueError, LookupError
        A figure the model cannot do without is missing or impossible, or the configuration is unknown.
    """
    chosen = chosen_configuration(teardown, configuration)
    resolved = resolve(
        [fact for fact in teardown.facts if fact.configuration == chosen.id],
        defaults or energy_defaults(),
        duty.duty,
        owner=f"{teardown.vehicle.code}/{chosen.id}",
        surroundings=duty.surroundings,
        basis=basis,
    )
    try:
        # At the best estimates first: a figure out of reach is named with its vehicle.
        drive(duty.duty, resolved.central())
    except ValueError as error:
        msg = f"{resolved.owner}: {error}{_out_of_the_usual(resolved)}"
        raise ValueError(msg) from error
    return Subject(teardown, chosen, resolved, _drawn_fields(resolved, n_draws, seed), n_draws, seed)


def _out_of_the_usual(resolved: Resolved) -> str:
    """Figures outside their usual reach, in words; nothing when all are within."""
    found = []
    for kind in QUANTITY_KINDS.values():
        value = resolved.values[kind.field].value if kind.field in resolved.values else None
        if value is not None and kind.usual is not None and not kind.usual[0] <= value <= kind.usual[1]:
            unit = unit_text(kind.unit)
            found.append(
                f"{kind.words} {value:.4g} {unit} (usual {kind.usual[0]:.4g} to {kind.usual[1]:.4g} {unit})"
            )
    return f" Unusual here: {'; '.join(found)}." if found else ""


def alike(one: Subject, other: Subject) -> tuple[Subject, Subject]:
    """Make two vehicles keep the spin loss of the driveline in one place.

    Where the road load of one is known by its coefficients alone, which hold the spin loss, that of the other moves
    from its loss map into its drag force. Otherwise both stay as they are.
    """
    if one.resolved.road_load_from_coefficients == other.resolved.road_load_from_coefficients:
        return one, other
    return _spin_moved(one), _spin_moved(other)


def _spin_moved(one: Subject) -> Subject:
    if one.resolved.road_load_from_coefficients:
        return one
    moved = spin_into_road_load(one.resolved)
    fields = _drawn_fields(moved, one.n_draws, one.seed)
    return replace(one, resolved=moved, fields=fields, spin_in_road_load=True)


def _drawn_fields(resolved: Resolved, n_draws: int, seed: int) -> dict[str, Array]:
    drawn = resolved.draws(n_draws, seed)
    try:
        # Refuses impossible draws with field and draw in the message.
        EnergyParameters(**drawn)
    except ValueError as error:
        msg = f"{resolved.owner}: {error}"
        raise ValueError(msg) from error
    return {name: drawn[name] for name in CAUSE_OF_FIELD}


def surroundings(resolved: Resolved) -> Surroundings:
    """Gravity and air density of the duty, the same for every vehicle in it."""
    return Surroundings(
        resolved.values["gravity_m_per_s2"].value, resolved.values["air_density_kg_per_m3"].value
    )


def question(
    quantity: str, asked: NamedDuty, resolved: Resolved, known: EnergyDefaults, seed: int
) -> Question:
    """What is asked of the engine, with the prior of the residual that goes with the defaults.

    Parameters
    ----------
    quantity : str
        "range" or "energy".
    asked : NamedDuty
    resolved : Resolved
        Gives the surroundings of the duty.
    known : EnergyDefaults
    seed : int
    """
    prior = known.residual
    return Question(
        quantity="range" if quantity == "range" else "energy",
        duty=asked.duty,
        surroundings=surroundings(resolved),
        residual=ResidualPrior(prior.sd_ln, prior.family_correlation),
        seed=seed,
    )


@dataclass(frozen=True, slots=True)
class Stated:
    """The stated figure of each vehicle, all of one basis; None where a vehicle states none."""

    facts: tuple[Fact | None, ...]
    basis: Basis
    remark: str


def stated_figures(vehicles: Sequence[tuple[Teardown, Configuration]], quantity: str, duty: str) -> Stated:
    """Return the stated range or consumption of each vehicle.

    Specimens are preferred to labels, and the two are never mixed: a basis counts only when every vehicle states a
    figure on it. When none does, the basis most vehicles use is taken and the others are left to the model.

    Parameters
    ----------
    vehicles : sequence of (Teardown, Configuration)
    quantity : str
        "range" or "energy".
    duty : str
        Name of the duty the figure must be of.

    Raises
    ------
    ValueError
        A vehicle states the figure twice on one basis.
    """
    key = STATED_QUANTITY[quantity]
    found = {
        basis: tuple(
            _stated(teardown, configuration, key, duty, basis) for teardown, configuration in vehicles
        )
        for basis in (Basis.SPECIMEN, Basis.LABEL)
    }
    basis = max(found, key=lambda b: sum(fact is not None for fact in found[b]))
    known = sum(fact is not None for fact in found[basis])
    whose = "the specimens" if basis is Basis.SPECIMEN else "the labels"
    remark = f"stated {key} on {duty}: of {whose}" if known == len(vehicles) else ""
    return Stated(found[basis], basis, remark)


def _stated(
    teardown: Teardown, configuration: Configuration, key: str, duty: str, basis: Basis
) -> Fact | None:
    found = [
        fact
        for fact in teardown.facts
        if (fact.configuration, fact.quantity, fact.duty, fact.basis) == (configuration.id, key, duty, basis)
    ]
    if len(found) > 1:
        msg = (
            f"{teardown.vehicle.code} states {key} on {duty} {len(found)} times for {configuration.id} "
            f"({basis.value}); keep one, or state the others under a configuration of their own."
        )
        raise ValueError(msg)
    return found[0] if found else None


def side(one: Subject, stated: Fact | None) -> Side:
    """Build what the engine needs of one vehicle."""
    return Side(
        code=one.code,
        family=one.teardown.vehicle.family,
        fields=one.fields,
        origins={name: one.resolved.values[name].origin for name in one.fields},
        stated=None if stated is None else one.drawn(stated.value),
        stated_origin=None if stated is None else stated.value.origin,
        worked_out=one.resolved.worked_out,
    )


def field_of(quantity: str) -> str:
    """Energy parameter a quantity acts on, or nothing. Drag torque acts on drag force."""
    return "drag_force_n" if quantity == "drag_torque" else QUANTITY_KINDS[quantity].field


def in_field_units(one: Subject, quantity: str, value: Quantity) -> Quantity:
    """Turn a drag torque at the wheels into a force; everything else passes."""
    return value / one.wheel_radius if quantity == "drag_torque" else value


@dataclass(frozen=True, slots=True)
class Contributions:
    """What each function of one vehicle contributes to each energy parameter; 0 where it does without."""

    amounts: Mapping[tuple[str, str], Quantity]
    absent: frozenset[str]
    functions: frozenset[str]


def contributions(one: Subject, function_masses: Mapping[str, Quantity]) -> Contributions:
    """Collect effects and function masses of one vehicle, by (function, energy parameter)."""
    amounts: dict[tuple[str, str], Quantity] = {}
    for function, mass in function_masses.items():
        amounts[function, "test_mass_kg"] = mass
    for effect in one.teardown.effects:
        name = field_of(effect.quantity)
        if not name:
            continue
        value = in_field_units(one, effect.quantity, effect.value)
        if one.spin_in_road_load and name in MOVED_TO:
            value, name = as_wheel_force(one.resolved, name, value), MOVED_TO[name]
        key = (effect.function, name)
        amounts[key] = amounts[key] + value if key in amounts else value
    approaches = [a for a in one.teardown.approaches if a.configuration == one.configuration.id]
    return Contributions(
        MappingProxyType(amounts),
        frozenset(a.function for a in approaches if not a.present),
        frozenset(a.function for a in approaches),
    )


def decisions(
    x: Subject, y: Subject, of_x: Contributions, of_y: Contributions, words: Mapping[str, str]
) -> tuple[tuple[Decision, ...], tuple[Assumption, ...]]:
    """Differences of the functions recorded at both vehicles, and what was left out.

    A function enters when both vehicles record an approach to it, or that they do without it. A parameter of it enters
    when both state a figure, or the one that does not does without the function.
    """
    changes: dict[str, dict[str, Array]] = {}
    origins: dict[str, list[Origin]] = {}
    left_out: dict[tuple[str, ...], list[tuple[str, str]]] = {}
    for key in sorted({*of_x.amounts, *of_y.amounts}):
        function, name = key
        missing = tuple(
            one.code
            for one, own in ((x, of_x), (y, of_y))
            if key not in own.amounts and function not in own.absent
        )
        if missing:
            left_out.setdefault(missing, []).append((words.get(function, function), name))
            continue
        before, after = of_x.amounts.get(key), of_y.amounts.get(key)
        change = (y.drawn(after) if after is not None else 0.0) - (
            x.drawn(before) if before is not None else 0.0
        )
        changes.setdefault(function, {})[name] = np.broadcast_to(change, (x.n_draws,))
        origins.setdefault(function, []).extend(q.origin for q in (before, after) if q is not None)
    made = tuple(
        Decision(function, words.get(function, function), change, tuple(origins[function]))
        for function, change in changes.items()
    )
    remarks = tuple(_silent(codes, lacking) for codes, lacking in left_out.items())
    return made, remarks


def _silent(codes: tuple[str, ...], lacking: Sequence[tuple[str, str]]) -> Assumption:
    lines = ", ".join(f"{function} ({field_words(name)})" for function, name in lacking)
    told = f"nothing stated, so no decision yet, for {lines}"
    return Assumption(AssumptionKind.ASIDE, told, codes, about=tuple(lacking))


def normalised(
    one: Subject, own: Contributions
) -> tuple[dict[str, Array], Contributions, tuple[Assumption, ...]]:
    """Parameters and contributions of one vehicle with its unlike content stripped, added or scaled.

    Returns
    -------
    fields : dict of field name to array
    own : Contributions
        Those of the functions the content belongs to move with it, so that nothing is counted twice.
    remarks : tuple of Assumption
        Content that acts on no energy parameter.
    """
    changed = dict(one.fields)
    amounts = dict(own.amounts)
    remarks: list[Assumption] = []
    for item in one.teardown.content:
        name = field_of(item.quantity)
        if not name:
            told = f"content {item.item} acts on {QUANTITY_KINDS[item.quantity].words}, which has no part in range"
            remarks.append(aside(told, one.code))
            continue
        value = in_field_units(one, item.quantity, item.value)
        drawn = one.drawn(value)
        key = (item.function, name)
        before = changed[name]
        if item.rule is not Rule.SCALE:
            changed[name] = before + _sign(item) * drawn
        elif item.quantity == "mass" and item.function:
            # As in the mass gap: scaling the mass of a function acts on what it weighs, not on the vehicle.
            own_mass = amounts.get(key)
            changed[name] = before if own_mass is None else before + one.drawn(own_mass * (value - 1.0))
        else:
            changed[name] = before * drawn
        if name not in SIGNED and np.mean(changed[name]) <= 0.0 < np.mean(before):
            msg = (
                f"{one.code}: content {item.item} leaves nothing of {field_words(name)}: {item.rule.value} "
                f"{item.value.value:g} {unit_text(item.value.unit)}; correct the content sheet."
            )
            raise ValueError(msg)
        if item.function and (key in amounts or item.function in own.absent):
            moved = _moved(amounts.get(key), item, value)
            if moved is not None:
                amounts[key] = moved
    return changed, Contributions(MappingProxyType(amounts), own.absent, own.functions), tuple(remarks)


def _sign(item: ContentItem) -> float:
    return -1.0 if item.rule is Rule.STRIP else 1.0


def _moved(before: Quantity | None, item: ContentItem, value: Quantity) -> Quantity | None:
    """Contribution of a function after content moved it; scaling nothing leaves nothing."""
    if item.rule is Rule.SCALE:
        return None if before is None else before * value
    return value * _sign(item) if before is None else before + value * _sign(item)
