"""Checks of the part tree, the joints and the readings."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from hoistbook.core.vehicle.problem import Place, Problem, listed_twice
from hoistbook.core.vehicle.records import Measurement, Node, SubjectKind, Teardown
from hoistbook.core.vehicle.tree import parents_in_a_ring
from hoistbook.core.vehicle.validate_shared import Names, figure_problems

_SHOWN_IN_RING = 6


def part_problems(teardown: Teardown, names: Names, systems: Collection[str] | None) -> Iterator[Problem]:
    """Judge tags, parents, roots, rings, counts and codes of the part tree."""
    nodes = teardown.nodes
    advice = "a tag names one line; give the other its own tag, or raise the count of the first."
    yield from listed_twice("parts", "tag", nodes, lambda n: n.tag, advice)
    roots = [index for index, node in enumerate(nodes) if node.parent is None]
    if nodes and not roots:
        message = "no line has an empty parent; the vehicle itself needs a line, at the top of the tree."
        yield Problem("parts", -1, "", "parent", "", message)
    for index in roots[1:]:
        message = (
            f"has no parent, but only the vehicle itself ({nodes[roots[0]].tag}) may stand without one; "
            "give the tag of the assembly it came out of."
        )
        yield Problem("parts", index, nodes[index].tag, "parent", "", message)
    for index, node in enumerate(nodes):
        yield from _node_problems(Place("parts", index, node.tag), node, names, systems)
    at = {node.tag: index for index, node in reversed(list(enumerate(nodes)))}
    for ring in parents_in_a_ring(nodes):
        whole = len(ring) <= _SHOWN_IN_RING
        shown = " → ".join((*ring[:_SHOWN_IN_RING], ring[0] if whole else "…"))
        message = "these parts hang in a ring, each below the next; correct the parent of one of them."
        yield Problem("parts", at[ring[0]], ring[0], "parent", shown, message)


def _node_problems(
    place: Place, node: Node, names: Names, systems: Collection[str] | None
) -> Iterator[Problem]:
    if node.parent is not None:
        yield from names.unknown_part(place, "parent", node.parent)
    if not node.count > 0.0:
        message = "the count is the number of pieces in one piece of the parent, above 0."
        yield place.problem("count", f"{node.count:g}", message)
    if node.function:
        yield from names.unknown_function(place, node.function)
    if systems is not None and node.system and node.system not in systems:
        hint = names.hints(node.system, systems)
        yield place.problem("system", node.system, f"no such code in the taxonomy; {hint}")


def joint_problems(teardown: Teardown, names: Names) -> Iterator[Problem]:
    """Judge ids and references of the joints."""
    yield from listed_twice("joints", "joint", teardown.joints, lambda j: j.id, "give each its own tag.")
    for index, joint in enumerate(teardown.joints):
        place = Place("joints", index, joint.id)
        for tag in joint.parts:
            yield from names.unknown_part(place, "parts", tag)
        if joint.fastener:
            yield from names.unknown_part(place, "fastener", joint.fastener)
        if joint.fastener_count < 0:
            yield place.problem("fastener count", str(joint.fastener_count), "a count cannot be negative.")


def measurement_problems(teardown: Teardown, names: Names) -> Iterator[Problem]:
    """Judge subjects, figures, slots and corrections of the readings."""
    readings = teardown.measurements
    yield from listed_twice("measurements", "reading", readings, lambda m: m.id, "give each its own id.")
    corrected = {m.supersedes for m in readings if m.supersedes and m.supersedes != m.id}
    live: dict[tuple[object, ...], str] = {}
    for index, reading in enumerate(readings):
        place = Place("measurements", index, reading.id)
        yield from _reading_problems(place, reading, names)
        if reading.id in corrected:
            continue
        slot = (
            reading.subject_kind,
            reading.subject,
            reading.quantity,
            reading.scope,
            reading.covers,
            reading.replicate,
        )
        if slot in live and live[slot] != reading.id:
            message = (
                f"the same reading as {live[slot]}: same subject, quantity, scope and replicate; count the "
                "replicate up for a repeat reading, or name the corrected reading in 'supersedes'."
            )
            yield place.problem("replicate", str(reading.replicate), message)
        live.setdefault(slot, reading.id)
    yield from _correction_problems(readings, names)


def _reading_problems(place: Place, reading: Measurement, names: Names) -> Iterator[Problem]:
    subjects: dict[SubjectKind, Collection[str]] = {
        SubjectKind.PART: names.nodes,
        SubjectKind.JOINT: names.joints,
        SubjectKind.APPROACH: names.approaches,
        SubjectKind.CONFIGURATION: names.configurations,
    }
    known = subjects[reading.subject_kind]
    if reading.subject not in known:
        message = (
            f"there is no {reading.subject_kind.value} of this name; {names.hints(reading.subject, known)}"
        )
        yield place.problem("of", reading.subject, message)
    for tag, _ in reading.covers:
        yield from names.unknown_part(place, "covers", tag)
    yield from names.unknown_instrument(place, reading.instrument)
    if not reading.pieces > 0.0:
        message = "the number of pieces on the scale must be above 0."
        yield place.problem("pieces", f"{reading.pieces:g}", message)
    if reading.replicate < 1:
        yield place.problem("replicate", str(reading.replicate), "replicates count 1, 2, 3 …")
    yield from figure_problems(place, reading.quantity, reading.value, names)


def _correction_problems(readings: Sequence[Measurement], names: Names) -> Iterator[Problem]:
    corrected_by: dict[str, str] = {}
    for index, reading in enumerate(readings):
        if not reading.supersedes:
            continue
        place = Place("measurements", index, reading.id)
        old = names.readings.get(reading.supersedes)
        if old is None:
            hint = names.hints(reading.supersedes, names.readings)
            yield place.problem("supersedes", reading.supersedes, f"there is no such reading; {hint}")
            continue
        if _slot(old) != _slot(reading):
            message = (
                "a correction stays with its subject, quantity and replicate; "
                f"{old.id} is of {old.subject}, {old.quantity}, replicate {old.replicate}."
            )
            yield place.problem("supersedes", old.id, message)
        by = corrected_by.setdefault(old.id, reading.id)
        if by != reading.id:
            yield place.problem(
                "supersedes", old.id, f"{by} supersedes {old.id} already; supersede {by} instead."
            )
    at = {m.id: index for index, m in reversed(list(enumerate(readings)))}
    for ring in parents_in_a_ring([Node(m.id, m.supersedes or None, "") for m in readings]):
        message = "these readings supersede each other in a ring; one of them must be the first."
        shown = " → ".join((*ring, ring[0]))
        yield Problem("measurements", at[ring[0]], ring[0], "supersedes", shown, message)


def _slot(reading: Measurement) -> tuple[object, ...]:
    return reading.subject_kind, reading.subject, reading.quantity, reading.replicate
