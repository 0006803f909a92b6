"""Operations of a removal from the joints of a teardown: which joints hold the part, and what stands in the way."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from hoistbook.core.cost.assembly.book import AssemblyBook
from hoistbook.core.cost.assembly.plans import Kind
from hoistbook.core.cost.assembly.reading import NOT_STATED
from hoistbook.core.cost.assembly.tally import JointWork
from hoistbook.core.cost.figure_set import FigureSet
from hoistbook.core.cost.service.cautions import service_care
from hoistbook.core.cost.service.operations import Operation, OperationGraph
from hoistbook.core.cost.service.removal import Once, ServiceTime, service_time
from hoistbook.core.quantities.assumption import Assumption, definition
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.vehicle.records import Joint, Teardown
from hoistbook.core.vehicle.tree import PartTree

# Tools of joints whose record names no drive (common practice).
_TOOL = {
    Kind.HOSE_AND_CLAMP: "pliers",
    Kind.CABLE_TIE: "cutters",
    Kind.RIVET: "drill",
    Kind.PRESS_FIT: "pry bar",
}


@dataclass(frozen=True, slots=True)
class Obstacle:
    """What stands in the way: `blocked` (a joint id, or the tag of a part that comes off) needs `by` off before.

    `by` holds joint ids and tags. With `any_of` one of them is enough.
    """

    blocked: str
    by: tuple[str, ...]
    any_of: bool = False
    note: str = ""

    def __post_init__(self) -> None:
        if not self.by:
            msg = f"obstacle of {self.blocked!r}: say what must come off before, by joint or tag."
            raise ValueError(msg)


@dataclass(frozen=True, slots=True)
class Removal:
    """Operations that free a part, with what was taken and left aside."""

    graph: OperationGraph
    target: str
    tags: tuple[str, ...]
    assumed: tuple[Assumption, ...]


def take_off(tag: str) -> str:
    """Id of the operation that takes a part off once its joints are undone."""
    return f"take off {tag}"


def removal_from_joints(
    teardown: Teardown,
    book: AssemblyBook,
    target: str,
    figures: FigureSet,
    *,
    obstacles: Sequence[Obstacle] = (),
    stated: Mapping[str, Quantity] | None = None,
) -> Removal:
    """Operations that take a part off the vehicle.

    Parameters
    ----------
    teardown : Teardown
    book : AssemblyBook
        Of the same vehicle: times of its joints.
    target : str
        Tag of the part or assembly.
    figures : FigureSet
        `service_frac`: undoing a joint in a workshop over making it on the line.
    obstacles : sequence of Obstacle
        What stands in the way. The joints alone do not say it, and nothing is guessed.
    stated : mapping of str to Quantity, optional
        Removal times by joint id or tag, where they were taken on the vehicle or nothing can be worked out. [s]

    Returns
    -------
    Removal

    Raises
    ------
    ValueError
        An unknown tag or joint, a part that no joint holds, or a joint that cannot be undone or has no time and none is
        stated; the message names it.

    Notes
    -----
    A joint holds a part when it names something of its subtree and something outside. Each such joint is one operation;
    taking the part off comes after all of them.
    """
    tree = PartTree(teardown.nodes)
    joints = {joint.id: joint for joint in teardown.joints}
    works = {work.joint: work for work in book.joints}
    given = dict(stated or {})
    after: dict[str, list[str]] = {}
    after_any: dict[str, list[tuple[str, ...]]] = {}
    tags: list[str] = []
    waiting = [target]
    holding: dict[str, tuple[str, ...]] = {}
    wanted: list[str] = []
    blocked = {obstacle.blocked for obstacle in obstacles}
    for name in blocked - set(joints):
        _known(name, tree)
    while waiting:
        name = waiting.pop()
        if name in tags or name in wanted:
            continue
        if name in joints:
            wanted.append(name)
        else:
            _known(name, tree)
            tags.append(name)
            holding[name] = _holding(name, teardown.joints, tree)
            if not holding[name]:
                msg = f"part {name}: no joint holds it; record how it is joined, or name the part that carries it."
                raise ValueError(msg)
            waiting += holding[name]
        for obstacle in obstacles:
            if obstacle.blocked == name:
                waiting += obstacle.by
                ids = tuple(take_off(by) if by not in joints else by for by in obstacle.by)
                key = name if name in joints else take_off(name)
                if obstacle.any_of:
                    after_any.setdefault(key, []).append(ids)
                else:
                    after.setdefault(key, []).extend(ids)
    operations = [
        Operation(
            name,
            _joint_words(joints[name], tree),
            _joint_seconds(joints[name], works[name], given, figures),
            _tool(works[name]),
            "" if works[name].reading.direction == NOT_STATED else works[name].reading.direction,
            tuple(dict.fromkeys(after.get(name, ()))),
            tuple(after_any.get(name, ())),
        )
        for name in sorted(wanted)
    ] + [
        Operation(
            take_off(tag),
            f"take off {tree[tag].name}",
            _off_seconds(tag, book, given, figures),
            "",
            "",
            tuple(dict.fromkeys((*holding[tag], *after.get(take_off(tag), ())))),
            tuple(after_any.get(take_off(tag), ())),
        )
        for tag in sorted(tags)
    ]
    found = (
        definition(
            f"joints that hold what comes off: {len(wanted)}; obstacles stated: {len(obstacles)}, none is guessed"
        ),
        *figures.assumed("service_frac"),
    )
    return Removal(OperationGraph(operations), take_off(target), tuple(tags), found)


def service_of_part(
    teardown: Teardown,
    book: AssemblyBook,
    target: str,
    figures: FigureSet,
    *,
    obstacles: Sequence[Obstacle] = (),
    stated: Mapping[str, Quantity] | None = None,
    masses: Mapping[str, Quantity] | None = None,
    person_count: int = 1,
    worst: bool = False,
) -> ServiceTime:
    """Remove-and-replace time of a recorded part, with what its hazards make necessary once and its cautions.

    Parameters
    ----------
    teardown, book, target, figures, obstacles, stated
        As in `removal_from_joints`.
    masses : mapping of str to Quantity, optional
        Mass of one piece, by tag. [kg]
    person_count, worst
        As in `service_time`.

    Returns
    -------
    ServiceTime
        High-voltage isolation, refrigerant, coolant and brakes are added where a code or name speaks of them; each
        is listed in `once` and can be stated.
    """
    removal = removal_from_joints(teardown, book, target, figures, obstacles=obstacles, stated=stated)
    tree = PartTree(teardown.nodes)
    concerned = [node.tag for tag in removal.tags for node in tree.subtree(tag)]
    held = {work.joint: work for work in book.joints}
    for operation in removal.graph.operations:
        if operation.id in held:
            concerned += [held[operation.id].base, *held[operation.id].parts]
    care = service_care(teardown, concerned, figures, masses)
    once = tuple(Once(figures.figure(name).words, figures[name]) for name in care.once)
    return service_time(
        removal.graph,
        removal.target,
        figures,
        once=once,
        person_count=person_count,
        worst=worst,
        cautions=(*care.cautions, *removal.assumed, *(figures.assumed(*care.once) if care.once else ())),
    )


def _known(tag: str, tree: PartTree) -> None:
    if tag not in tree:
        msg = f"{tag!r} is neither a joint nor a tag of this vehicle."
        raise ValueError(msg)


def _holding(tag: str, joints: Sequence[Joint], tree: PartTree) -> tuple[str, ...]:
    inside = {node.tag for node in tree.subtree(tag)}
    return tuple(
        joint.id
        for joint in joints
        if any(part in inside for part in joint.parts) and any(part not in inside for part in joint.parts)
    )


def _joint_words(joint: Joint, tree: PartTree) -> str:
    count = f"{joint.fastener_count} × " if joint.fastener_count else ""
    what = tree[joint.fastener].name if joint.fastener in tree else joint.fastener or joint.process
    return f"undo {count}{what}"


def _joint_seconds(
    joint: Joint, work: JointWork, stated: Mapping[str, Quantity], figures: FigureSet
) -> Quantity:
    if joint.id in stated:
        return stated[joint.id]
    if work.reading.kind is Kind.ELSEWHERE or joint.removable is False:
        msg = (
            f"joint {joint.id} ({joint.process}) is not made to be undone; state how long it takes to open it "
            "(stated), or take off the assembly around it."
        )
        raise ValueError(msg)
    if work.normal_s is None:
        msg = f"joint {joint.id}: {work.missing}; complete its record or state its removal time."
        raise ValueError(msg)
    return (work.normal_s * (1.0 / work.occurrences) * figures["service_frac"]).in_unit("s")


def _off_seconds(
    tag: str, book: AssemblyBook, stated: Mapping[str, Quantity], figures: FigureSet
) -> Quantity:
    if tag in stated:
        return stated[tag]
    work = next((part for part in book.parts if part.tag == tag), None)
    if work is None:
        msg = f"part {tag}: nothing says how it is brought to its place, so not how it comes off; state it (stated)."
        raise ValueError(msg)
    return (work.normal_s * (1.0 / work.pieces) * figures["service_frac"]).in_unit("s")


def _tool(work: JointWork) -> str:
    return work.reading.drive or _TOOL.get(work.reading.kind, "")
