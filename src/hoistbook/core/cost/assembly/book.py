"""Assembly of a torn-down vehicle: every joint and part to seconds, per approach and for the whole."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType

from hoistbook.core.cost.assembly.fastening import (
    Fastening,
    Station,
    fastening_steps,
    line_rule,
    placing_steps,
)
from hoistbook.core.cost.assembly.plans import Kind
from hoistbook.core.cost.assembly.reading import NOT_STATED, JointReading, read_joint
from hoistbook.core.cost.assembly.tally import JointWork, PartWork, Rates, Tally, tally
from hoistbook.core.cost.assembly.work import Counts, Step, Workshop, normal_time, sums, worked_time
from hoistbook.core.cost.money import MoneyBasis
from hoistbook.core.quantities.assumption import Assumption, aside, definition
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.vehicle.approaches import approach_parts
from hoistbook.core.vehicle.records import Joint, NodeKind, Teardown
from hoistbook.core.vehicle.tree import PartTree

_NOTHING = Quantity(0.0, "s")
_NOT_PLACED = frozenset({NodeKind.FASTENER, NodeKind.FLUID, NodeKind.LOOSE})


@dataclass(frozen=True, slots=True)
class AssemblyBook:
    """Assembly of one vehicle.

    Attributes
    ----------
    vehicle : str
    joints : tuple of JointWork
        By joint id.
    parts : tuple of PartWork
        By tag.
    whole : Tally
    approaches : mapping of str to Tally
        By approach id; shared parts count by their share.
    unassigned : mapping of str to Tally
        By configuration: what no approach of it claims. With the approaches of that configuration it is the whole.
    assumed : tuple of Assumption
    """

    vehicle: str
    joints: tuple[JointWork, ...]
    parts: tuple[PartWork, ...]
    whole: Tally
    approaches: Mapping[str, Tally]
    unassigned: Mapping[str, Tally]
    assumed: tuple[Assumption, ...]


@dataclass(frozen=True, slots=True)
class KnownParts:
    """What is known of the parts besides the record: mass of one piece and largest size, by tag."""

    masses: Mapping[str, Quantity] = field(default_factory=lambda: MappingProxyType({}))
    largest_m: Mapping[str, float] = field(default_factory=lambda: MappingProxyType({}))


def assembly_book(
    teardown: Teardown,
    workshop: Workshop,
    *,
    station: Station | None = None,
    known: KnownParts | None = None,
    money_per_s: Quantity | None = None,
    basis: MoneyBasis | None = None,
) -> AssemblyBook:
    """Assembly time and cost of a torn-down vehicle.

    Parameters
    ----------
    teardown : Teardown
        Free of problems (see `validate.problems`).
    workshop : Workshop
        Tables, plans and figures.
    station : Station, optional
        Equipment of the line and form of the allowance.
    known : KnownParts, optional
        Masses and sizes of parts; a part without a mass is carried as a light one, which is listed.
    money_per_s : Quantity, optional
        Labour rate, loaded as the caller wants it. ["1/s"]
    basis : MoneyBasis, optional
        Its currency and year.

    Returns
    -------
    AssemblyBook
        A joint whose record does not suffice has no time and is listed; it is never counted as zero seconds.

    Raises
    ------
    ValueError
        The part tree is no tree, or a rate without a currency.

    Notes
    -----
    The base of a joint is the part in whose subtree the others lie, else the heaviest, else the one listed last. The
    joint is made once for each piece of its base in the vehicle. The others are brought to their place once, for the
    first joint by id that is made by hand. Joints of one base are one station: each further access direction costs one
    change of side, each further drive one change of bit where drives have no tool of their own. Nothing depends on the
    order in which joints are listed.

    Source
    ------
    first principles (sums); published and from memory: MTM-1 tables; common practice: plans and figures.
    """
    station = station or Station()
    known = known or KnownParts()
    workshop = workshop.fresh()  # so that what is asked for here is what this book rests on
    tree = PartTree(teardown.nodes)
    joints = sorted(teardown.joints, key=lambda joint: joint.id)
    made = _joint_works(teardown.vehicle.code, joints, tree, workshop, station, known)
    placed = _part_works(teardown.vehicle.code, made, tree, workshop, known)
    rates = Rates(workshop.figure("allowance_frac"), station.allowance_form, money_per_s, basis)
    claims = _claims(teardown)
    approaches = {
        approach.id: tally(
            ((w, _share(w.claimants, claims, approach.id)) for w in made),
            ((w, _share(w.claimants, claims, approach.id)) for w in placed),
            rates,
        )
        for approach in teardown.approaches
    }
    unassigned = {}
    for configuration in dict.fromkeys(a.configuration for a in teardown.approaches):
        ids = [a.id for a in teardown.approaches if a.configuration == configuration]

        def rest(claimants: tuple[str, ...], ids: Sequence[str] = ids) -> float:
            left = 1.0 - sum(_share(claimants, claims, each) for each in ids)
            return 0.0 if abs(left) < 1e-12 else left

        unassigned[configuration] = tally(
            ((w, rest(w.claimants)) for w in made), ((w, rest(w.claimants)) for w in placed), rates
        )
    return AssemblyBook(
        teardown.vehicle.code,
        made,
        placed,
        tally(((w, 1.0) for w in made), ((w, 1.0) for w in placed), rates),
        approaches,
        unassigned,
        _assumed(made, placed, workshop, station),
    )


def _joint_works(
    code: str,
    joints: Sequence[Joint],
    tree: PartTree,
    workshop: Workshop,
    station: Station,
    known: KnownParts,
) -> tuple[JointWork, ...]:
    works = []
    seen: dict[str, tuple[set[str], set[str]]] = {}
    kept: dict[Fastening, tuple[tuple[Step, ...], tuple[Quantity, Quantity]]] = {}
    for joint in joints:
        base = base_of(joint, tree, known.masses)
        parts = tuple(tag for tag in joint.parts if tag != base)
        names = " ".join(tree[tag].name for tag in joint.parts)
        reading = read_joint(joint, fastener_words(joint, tree), names)
        fastening, notes = _fastening(joint, reading, parts, base, tree)
        steps: tuple[Step, ...] = ()
        normal = rule = None
        occurrences = tree.pieces(base)
        if not fastening.lacking:
            directions, drives = seen.setdefault(base, (set(), set()))
            if fastening not in kept:
                made = fastening_steps(fastening, workshop, station)
                kept[fastening] = (made, sums(made))
            steps, (free, slowed) = kept[fastening]
            around = _around(reading, directions, drives, workshop, station)
            more_free, more_slowed = sums(around) if around else (_NOTHING, _NOTHING)
            steps += around
            normal = worked_time(
                free + more_free,
                slowed + more_slowed,
                workshop,
                fastening.kind,
                f"assembly joint/{code}/{joint.id}",
                occurrences,
                obstructed=reading.obstructed,
            )
            rule = line_rule(fastening, workshop)
        works.append(
            JointWork(
                joint.id,
                base,
                parts,
                reading,
                occurrences,
                fastening.count,
                steps,
                normal,
                None if rule is None else rule * occurrences,
                notes,
                fastening.lacking,
            )
        )
    return tuple(works)


def _fastening(
    joint: Joint, reading: JointReading, parts: Sequence[str], base: str, tree: PartTree
) -> tuple[Fastening, tuple[str, ...]]:
    count = float(joint.fastener_count)
    notes = [reading.note] if reading.note else []
    if not count and reading.kind in (Kind.PRESS_FIT, Kind.CONNECTOR, Kind.MOULDED_CLIP):
        count = sum(tree.pieces(tag) for tag in parts) / tree.pieces(base) if parts else 1.0
        notes.append(f"no count recorded: one per part joined, {count:g}")
    fastening = Fastening(
        reading.kind,
        count,
        reading.diameter_m,
        reading.pitch_m,
        prestarted=reading.prestarted,
        bead_m=reading.bead_m,
    )
    return fastening, tuple(notes)


def _around(
    reading: JointReading, directions: set[str], drives: set[str], workshop: Workshop, station: Station
) -> tuple[Step, ...]:
    """Changes of side and of bit that a joint brings to its station, and bending for work inside."""
    steps: tuple[Step, ...] = ()
    if reading.kind is Kind.ELSEWHERE:
        return steps
    if reading.direction != NOT_STATED:
        if directions and reading.direction not in directions:
            steps += workshop.steps("change side", Counts())
        directions.add(reading.direction)
    if reading.direction == "inside":
        steps += workshop.steps("bend", Counts())
    if reading.drive:
        if drives and reading.drive not in drives and not station.own_tool_per_drive:
            steps += workshop.steps("change bit", Counts())
        drives.add(reading.drive)
    return steps


def _part_works(
    code: str, made: Sequence[JointWork], tree: PartTree, workshop: Workshop, known: KnownParts
) -> tuple[PartWork, ...]:
    first: dict[str, str] = {}
    for work in made:
        if work.reading.kind is not Kind.ELSEWHERE:
            for tag in work.parts:
                if tree[tag].kind not in _NOT_PLACED:
                    first.setdefault(tag, work.joint)
    works = []
    for tag in sorted(first):
        mass = known.masses.get(tag)
        steps, note = placing_steps(
            None if mass is None else max(mass.value, 0.0), known.largest_m.get(tag), workshop
        )
        if mass is not None and mass.value < 0.0:
            note = f"mass {mass.value:g} kg is negative: carried as a light part"
        pieces = tree.pieces(tag)
        normal = normal_time(
            steps, workshop, "place part", f"assembly part/{code}/{tag}", pieces, obstructed=False
        )
        works.append(PartWork(tag, first[tag], pieces, steps, normal, note))
    return tuple(works)


def base_of(joint: Joint, tree: PartTree, masses: Mapping[str, Quantity]) -> str:
    """Tag of the part the others are joined to.

    Parameters
    ----------
    joint : Joint
    tree : PartTree
    masses : mapping of str to Quantity
        Mass of one piece, by tag.

    Raises
    ------
    ValueError
        The joint names no part.

    Notes
    -----
    The part under which all others lie; else the heaviest where all masses are known; else the one listed last.
    """
    if not joint.parts:
        msg = f"joint {joint.id}: it names no part; list at least the part it holds."
        raise ValueError(msg)
    lineages = [{tag, *(node.tag for node in tree.ancestors(tag))} for tag in joint.parts]
    for tag in joint.parts:
        if all(tag in lineage for lineage in lineages):
            return tag
    if all(tag in masses for tag in joint.parts):
        return max(joint.parts, key=lambda tag: (masses[tag].value, tag))
    return joint.parts[-1]


def fastener_words(joint: Joint, tree: PartTree) -> str:
    """Words of a joint's fastener: the name of the node it points to, or its own text."""
    return tree[joint.fastener].name if joint.fastener in tree else joint.fastener


def _claims(teardown: Teardown) -> dict[str, dict[str, float]]:
    claims: dict[str, dict[str, float]] = {}
    for approach, parts in approach_parts(teardown).items():
        for tag, fraction in parts:
            claims.setdefault(tag, {})[approach] = fraction
    return claims


def _share(claimants: Iterable[str], claims: Mapping[str, Mapping[str, float]], approach: str) -> float:
    tags = tuple(claimants)
    return sum(claims.get(tag, {}).get(approach, 0.0) for tag in tags) / len(tags)


def _assumed(
    made: Sequence[JointWork], placed: Sequence[PartWork], workshop: Workshop, station: Station
) -> tuple[Assumption, ...]:
    found = list(workshop.figures.assumed(*sorted(workshop.figures.asked)))
    found.append(definition(f"the allowance is a {station.allowance_form}"))
    found.append(definition("a joint is made once for each piece of the part the others are joined to"))
    found.append(
        definition("line rules are standard times; they stand beside the motions and are not added to them")
    )
    if station.own_tool_per_drive:
        found.append(
            definition("each drive has its own tool hanging ready, so another drive costs no change of bit")
        )
    elsewhere = sum(work.reading.kind is Kind.ELSEWHERE for work in made)
    if elsewhere:
        found.append(
            aside(f"{elsewhere} joints are welded, hemmed or the like: no time here, their process has it")
        )
    no_access = sum(
        work.reading.direction == NOT_STATED and work.reading.kind is not Kind.ELSEWHERE for work in made
    )
    if no_access:
        found.append(
            aside(f"{no_access} joints state no access: taken as reached in the open, without change of side")
        )
    light = [work.tag for work in placed if work.note.startswith("mass")]
    if light:
        found.append(
            aside(f"{len(light)} parts have no mass: carried as light parts ({', '.join(light[:4])} …)")
        )
    return tuple(found)
