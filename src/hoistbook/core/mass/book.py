"""The mass book of one vehicle: everything its weighings say, with bands, and what is still open."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from hoistbook.core.mass.admission import admit
from hoistbook.core.mass.breakdown import UNASSIGNED, Breakdown, breakdown, function_weights, system_weights
from hoistbook.core.mass.centre_of_gravity import CentreOfGravity
from hoistbook.core.mass.closure import THRESHOLD_FRAC, Closure, closure
from hoistbook.core.mass.coverage import Coverage, coverage
from hoistbook.core.mass.expected import AbsentItem, ExpectedItem, expected_absent
from hoistbook.core.mass.findings import findings
from hoistbook.core.mass.layout import layout, with_surplus_lines
from hoistbook.core.mass.ledger import Flag, SetAside, ledger
from hoistbook.core.mass.next_to_weigh import Weighing, next_to_weigh
from hoistbook.core.mass.nodes import Cover, MassBasis, NodeMass, bases, covers, node_masses
from hoistbook.core.mass.reconcile import reconcile
from hoistbook.core.mass.rollup import RollUp
from hoistbook.core.mass.vehicle_scale import (
    VehicleMass,
    comparable_mass,
    measured_centre_of_gravity,
    vehicle_figures,
    vehicle_masses,
)
from hoistbook.core.mass.weighing_notes import APPLIED, AppliedMaterials, weighing_notes
from hoistbook.core.quantities.assumption import Assumption, caution, definition, sentences
from hoistbook.core.quantities.instruments import Instrument
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.vehicle.approaches import FunctionTree, approach_parts
from hoistbook.core.vehicle.mass_state import Allowances, stated_allowances
from hoistbook.core.vehicle.records import NodeKind, Teardown
from hoistbook.core.vehicle.taxonomy import Taxonomy
from hoistbook.core.vehicle.tree import PartTree

RESIDUAL_BOUND = 2.0
"""project rule: a difference beyond two standard uncertainties is flagged (about 5 % of sound readings are)."""


@dataclass(frozen=True, slots=True)
class Surplus:
    """One assembly with mass that is in none of its listed pieces, in the whole vehicle. [kg]

    `holds` lists pieces whose mass lies in it because they were not weighed by themselves; empty for a true surplus.
    """

    tag: str
    name: str
    mass: Quantity
    holds: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class MassBook:
    """What the weighings of one vehicle say.

    Attributes
    ----------
    vehicle, configuration : str
    total : Quantity
        Sum of the parts of the vehicle. [kg] A lower bound while `missing` is not empty.
    nodes : tuple of NodeMass
        One line per node, in tree order.
    systems, subsystems, functions, sides, kinds : Breakdown
    system_functions : mapping of (system code, function code) to Quantity
        Parts and surplus that serve a function within a system, `UNASSIGNED` where they name none; over all systems
        they add up to the line of the function. [kg]
    approaches : mapping of approach id to Quantity
        Parts and surplus of each approach of the configuration. [kg]
    coverage : Coverage
    system_coverage : mapping of system code to Coverage
    unallocated : tuple of Surplus
        Assemblies heavier or lighter than their listed pieces, largest first; their sum is `systems.unallocated`.
    not_broken_down : tuple of Surplus
        Weighed assemblies with pieces that have no mass of their own.
    missing : tuple of str
        Tags without any mass.
    flags : tuple of Flag
    set_aside : tuple of SetAside
        Readings that do not count, and why.
    closure : Closure or None
        None without a mass of the vehicle that can be compared; `unchecked` says why.
    unchecked : tuple of Assumption
        Why parts and scale are not compared; empty where they are.
    expected_absent : tuple of AbsentItem
    next_to_weigh : tuple of Weighing
    weighing_notes : tuple of str
        To be printed beside that list.
    centre_of_gravity : CentreOfGravity or None
        None without four corner masses.
    assumed : tuple of Assumption
        Those of the closure, or why there is none, among them.
    roll : RollUp
        Any other total, with its named sources.
    """

    vehicle: str
    configuration: str
    total: Quantity
    nodes: tuple[NodeMass, ...]
    systems: Breakdown
    subsystems: Breakdown
    functions: Breakdown
    sides: Breakdown
    kinds: Breakdown
    system_functions: Mapping[tuple[str, str], Quantity]
    approaches: Mapping[str, Quantity]
    coverage: Coverage
    system_coverage: Mapping[str, Coverage]
    unallocated: tuple[Surplus, ...]
    not_broken_down: tuple[Surplus, ...]
    missing: tuple[str, ...]
    flags: tuple[Flag, ...]
    set_aside: tuple[SetAside, ...]
    closure: Closure | None
    unchecked: tuple[Assumption, ...]
    expected_absent: tuple[AbsentItem, ...]
    next_to_weigh: tuple[Weighing, ...]
    weighing_notes: tuple[str, ...]
    centre_of_gravity: CentreOfGravity | None
    assumed: tuple[Assumption, ...]
    roll: RollUp

    @property
    def assumptions(self) -> tuple[str, ...]:
        """What was assumed, as sentences."""
        return sentences(self.assumed)

    def mass(self, tag: str) -> Quantity:
        """One piece of a node with everything below it. [kg]"""
        return self.roll.subtree(tag)

    def node(self, tag: str) -> NodeMass:
        """Return the line of a node."""
        return self.nodes[self.roll.tree.index[tag]]


def mass_book(
    teardown: Teardown,
    taxonomy: Taxonomy | None = None,
    expected: Sequence[ExpectedItem] = (),
    *,
    configuration: str | None = None,
    allowances: Allowances | None = None,
    scales: Sequence[Instrument] = (),
    against: Quantity | None = None,
    closure_threshold_frac: float = THRESHOLD_FRAC,
    residual_bound: float = RESIDUAL_BOUND,
    proposals: int = 20,
    applied: AppliedMaterials = APPLIED,
) -> MassBook:
    """Build the mass book of a vehicle.

    Parameters
    ----------
    teardown : Teardown
        Free of problems (`vehicle.validate`).
    taxonomy : Taxonomy, optional
        Systems and their names; without it the letters of a code stand for its system.
    expected : sequence of ExpectedItem
        What a complete teardown lists.
    configuration : str, optional
        Whose facts and approaches are used; the first one when left out.
    allowances : Allowances, optional
        Figures for the conversion between mass states; those the facts state when left out.
    scales : sequence of Instrument
        Typical scales to propose besides those of the teardown.
    against : Quantity, optional
        Mass whose gap to the sum of the parts `next_to_weigh` judges; the mass on the vehicle scale when left out. [kg]
    closure_threshold_frac : float
        See `closure.closure`. [1]
    residual_bound : float
        Differences beyond this many standard uncertainties are flagged, and blocks with them counted as
        contradictory. [1]
    proposals : int
        Longest list of what to weigh next.
    applied : AppliedMaterials
        What no scale can take by itself and is not proposed.

    Returns
    -------
    MassBook

    Raises
    ------
    ValueError
        No part tree, an unknown configuration, or records that contradict the tree.
    """
    if not teardown.nodes:
        msg = f"vehicle {teardown.vehicle.code} has no part tree; list at least the vehicle itself in the parts sheet."
        raise ValueError(msg)
    chosen = _configuration(teardown, configuration)
    code = teardown.vehicle.code
    entries = ledger(teardown.measurements, PartTree(teardown.nodes).root.tag, code)
    nodes, surplus_lines = with_surplus_lines(teardown.nodes, entries.observations)
    # Sorted, so that the order of the rows of a sheet cannot decide anything.
    tree = layout(PartTree(sorted(nodes, key=lambda node: node.tag)), surplus_lines)
    admission = admit(tree, entries.observations, residual_bound)
    balances = [instrument for _, instrument in sorted(teardown.instruments.items())]
    watched = {instrument.calibration_source.name for instrument in (*balances, *scales)}
    solution = reconcile(tree, admission.observations, admission.active, code, residual_bound, watched)
    roll = RollUp(tree, solution)
    basis = bases(tree, solution, admission.direct, admission.active.tolist())
    cover = covers(tree, solution, basis)
    missing = tuple(node.tag for node, how in zip(tree.nodes, basis, strict=True) if how is MassBasis.MISSING)
    system_of, system_flags = system_weights(roll, taxonomy, subsystems=False)
    subsystem_of, _ = system_weights(roll, taxonomy, subsystems=True)
    functions = FunctionTree(teardown.functions)
    claims = _claims(teardown, chosen)
    approach_function = {
        a.id: _function_code(functions, a.function) for a in teardown.approaches if a.id in claims
    }
    function_of, function_flags = function_weights(roll, claims, approach_function)
    systems = breakdown(roll, basis, "system", system_of, _Names(taxonomy), system_flags)
    figures = vehicle_figures(teardown, chosen)
    own_facts = [fact for fact in teardown.facts if fact.configuration == chosen]
    masses = vehicle_masses(teardown, chosen, figures, entries.of_vehicle)
    closed, unchecked = _closed(
        masses, allowances or stated_allowances(own_facts), roll, len(missing), closure_threshold_frac
    )
    scale = None if closed is None else closed.scale
    return MassBook(
        vehicle=code,
        configuration=chosen,
        total=roll.total(),
        nodes=node_masses(roll, basis, cover),
        systems=systems,
        subsystems=breakdown(roll, basis, "subsystem", subsystem_of, _Names(taxonomy)),
        functions=breakdown(
            roll, basis, "function", function_of,
            lambda key: functions[key].name if key in functions else key, function_flags,
        ),
        sides=breakdown(roll, basis, "side", [{node.side: 1.0} if node.side else {} for node in tree.nodes]),
        kinds=breakdown(roll, basis, "kind", [{node.kind.value: 1.0} for node in tree.nodes]),
        system_functions=_crossed(roll, system_of, function_of),
        approaches=_approach_masses(roll, claims),
        coverage=coverage(roll, cover, scale_kg=None if scale is None else scale.value),
        system_coverage=_by_system(roll, cover, system_of),
        unallocated=_surplus(roll, basis, MassBasis.UNALLOCATED),
        not_broken_down=_surplus(roll, basis, MassBasis.NOT_BROKEN_DOWN),
        missing=missing,
        flags=(
            *entries.flags, *findings(roll, basis, residual_bound), *admission.flags, *system_flags, *function_flags,
        ),
        set_aside=(*entries.set_aside, *admission.set_aside),
        closure=closed,
        unchecked=unchecked,
        expected_absent=expected_absent(
            expected,
            [(tree.tree.system(node.tag), node.kind) for node in tree.nodes],
            _done_without(teardown, chosen, functions),
            _Names(taxonomy),
        ),
        next_to_weigh=next_to_weigh(
            roll, basis, [*balances, *scales], against=scale if against is None else against, limit=proposals,
            applied=applied,
        ),
        weighing_notes=weighing_notes(roll, basis, applied),
        centre_of_gravity=measured_centre_of_gravity(figures),
        assumed=(*_stated(roll, basis), *unchecked, *(closed.assumed if closed else ())),
        roll=roll,
    )  # fmt: skip


def _configuration(teardown: Teardown, wanted: str | None) -> str:
    known = [configuration.id for configuration in teardown.configurations]
    if wanted is None and known:
        return known[0]
    if wanted not in known:
        msg = f"vehicle {teardown.vehicle.code} has no configuration {wanted!r}; it has: {', '.join(known) or 'none'}."
        raise ValueError(msg)
    return wanted


def _function_code(functions: FunctionTree, text: str) -> str:
    found = functions.find(text)
    return text if found is None else found.code


def _done_without(teardown: Teardown, configuration: str, functions: FunctionTree) -> list[str]:
    """Every word for the functions that an approach of the configuration says are not there."""
    absent = [a.function for a in teardown.approaches if a.configuration == configuration and not a.present]
    found = [f for text in absent if (f := functions.find(text)) is not None]
    return [word for f in found for word in (f.code, f.name, *f.aliases)]


def _claims(teardown: Teardown, configuration: str) -> dict[str, list[tuple[str, float]]]:
    ours = {approach.id for approach in teardown.approaches if approach.configuration == configuration}
    return {approach: parts for approach, parts in approach_parts(teardown).items() if approach in ours}


@dataclass(frozen=True, slots=True)
class _Names:
    """Words of a taxonomy code; the code itself where there are none."""

    taxonomy: Taxonomy | None

    def __call__(self, code: str) -> str:
        if self.taxonomy is None or code not in self.taxonomy:
            return code
        system = self.taxonomy.system(code)
        return system.name if code == system.code else self.taxonomy.subsystem(code).name


def _crossed(
    roll: RollUp, systems: Sequence[Mapping[str, float]], functions: Sequence[Mapping[str, float]]
) -> dict[tuple[str, str], Quantity]:
    rows: dict[tuple[str, str], dict[int, float]] = {}
    for place, (of_system, of_function) in enumerate(zip(systems, functions, strict=True)):
        # A part without a system still serves its function: what a function weighs is the same over all systems.
        for system, part in (of_system or {UNASSIGNED: 1.0}).items():
            for function, share in of_function.items():
                rows.setdefault((system, function), {})[place] = part * share * float(roll.tree.pieces[place])
    keys = sorted(rows)
    return dict(zip(keys, roll.quantities(roll.rows([rows[key] for key in keys])), strict=True))


def _approach_masses(roll: RollUp, claims: Mapping[str, Sequence[tuple[str, float]]]) -> dict[str, Quantity]:
    index, pieces = roll.tree.index, roll.tree.pieces
    rows = [
        {index[tag]: share * float(pieces[index[tag]]) for tag, share in parts} for parts in claims.values()
    ]
    return dict(zip(claims, roll.quantities(roll.rows(rows)), strict=True))


def _by_system(
    roll: RollUp, cover: Sequence[Cover | None], systems: Sequence[Mapping[str, float]]
) -> dict[str, Coverage]:
    places: dict[str, list[int]] = {}
    for place, of_system in enumerate(systems):
        for system in of_system:
            places.setdefault(system, []).append(place)
    return {system: coverage(roll, cover, found) for system, found in sorted(places.items())}


def _surplus(roll: RollUp, basis: Sequence[MassBasis], wanted: MassBasis) -> tuple[Surplus, ...]:
    tree = roll.tree
    holds: dict[int, list[str]] = {}
    for place, holder in enumerate(roll.solution.holder.tolist()):
        if holder >= 0:
            holds.setdefault(holder, []).append(tree.nodes[place].tag)
    places = [place for place, how in enumerate(basis) if how is wanted]
    masses = roll.quantities(roll.rows([{place: float(tree.pieces[place])} for place in places]))
    found = [
        Surplus(tree.nodes[p].tag, tree.nodes[p].name, mass, tuple(holds.get(p, ())))
        for p, mass in zip(places, masses, strict=True)
    ]
    return tuple(sorted(found, key=lambda surplus: (-abs(surplus.mass.value), surplus.tag)))


def _closed(
    masses: Sequence[VehicleMass],
    allowances: Allowances,
    roll: RollUp,
    missing_count: int,
    threshold_frac: float,
) -> tuple[Closure | None, tuple[Assumption, ...]]:
    tree = roll.tree
    fluid_row = {p: float(tree.pieces[p]) for p, node in enumerate(tree.nodes) if node.kind is NodeKind.FLUID}
    fluids = roll.quantities(roll.rows([fluid_row]))[0]
    scale, remarks = comparable_mass(masses, allowances, with_fluids=bool(fluid_row))
    if scale is None:
        why = remarks or (
            definition(
                "no corner masses, weighing of the vehicle or mass fact: the sum of the parts is not checked"
            ),
        )
        return None, why
    notes = (definition(f"compared with: {scale.words}"), *scale.assumed)
    return closure(
        roll.total(),
        scale.mass,
        missing_count=missing_count,
        threshold_frac=threshold_frac,
        fluids=fluids,
        assumed=notes,
    ), ()


def _stated(roll: RollUp, basis: Sequence[MassBasis]) -> tuple[Assumption, ...]:
    count = Counter(basis)
    sums = count[MassBasis.PARTS] - (basis[0] is MassBasis.PARTS)
    missing, inside = count[MassBasis.MISSING], count[MassBasis.INSIDE]
    notes: list[Assumption] = []
    if sums:
        notes.append(
            definition(
                f"assemblies that no weighing speaks of ({sums}) have no mass beyond their listed parts"
            )
        )
    if missing:
        noun = "1 part has" if missing == 1 else f"{missing} parts have"
        notes.append(caution(f"{noun} no mass; every total that includes it is a lower bound"))
    if inside:
        noun = "1 part has" if inside == 1 else f"{inside} parts have"
        notes.append(
            definition(f"{noun} no mass of its own; it is counted in the weighed assembly that holds it")
        )
    return tuple(notes)
