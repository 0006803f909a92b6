"""Masses and counts a claim speaks of, from the mass book and the part tree."""

from __future__ import annotations

from hoistbook.core.compare.claim_figures import Figure
from hoistbook.core.compare.claims import FASTENER_COUNT, Claim, claim_words
from hoistbook.core.mass.book import MassBook
from hoistbook.core.mass.ledger import Observation
from hoistbook.core.quantities.quantity import Origin, Quantity, total
from hoistbook.core.vehicle.records import NodeKind
from hoistbook.core.vehicle.tree import PartTree
from hoistbook.services.claim_bench import Bench

_NAMED = 6
"""Readings or parts named in one line; the rest is counted."""

_SHARED = "instrument "  # every reading of an instrument carries its calibration

_NOT_RECORDED = "no part is recorded for it; record its parts, or that the vehicle does without"

DOES_WITHOUT = "the vehicle does without it"


def mass_of(bench: Bench, claim: Claim, vehicle: str) -> Figure:
    """Mass of a part (one piece), of a function, or of the vehicle as it stood on the scale. [kg]

    Raises
    ------
    LookupError
        The figure is missing; the message says what to do.
    """
    if claim.part:
        return _part(bench, claim, vehicle)
    if claim.function:
        return _function(bench, claim.function, vehicle)
    return _vehicle(bench, vehicle)


def _part(bench: Bench, claim: Claim, vehicle: str) -> Figure:
    bench.part(vehicle, claim.part)
    book = bench.book(vehicle)
    node = book.node(claim.part)
    words = f"mass of {_called(book, claim.part)}"
    whose = bench.called(vehicle)
    if node.unknown_below:
        where = f" (it lies in the weighing of {node.held_by})" if node.held_by else ""
        msg = f"{words} at {whose}: {_pieces(node.unknown_below)} of it without a mass{where}; weigh it by itself"
        raise LookupError(msg)
    below = frozenset(each.tag for each in book.roll.tree.tree.subtree(claim.part))
    mass = book.mass(claim.part)
    return _figure(vehicle, words, mass, _readings(book, mass, below))


def _function(bench: Bench, function: str, vehicle: str) -> Figure:
    book = bench.book(vehicle)
    words = f"mass of {bench.function_words(function)}"
    lines = [
        line
        for line in book.functions.lines
        if line.key in bench.functions and bench.inside(line.key, function)
    ]
    ours = _tags_of(bench, function, book)
    lacking = sum(line.missing_count for line in lines)
    # Weighed with something else's assembly the mass lies there, not here; weighed inside our own it counts.
    held = [tag for line in lines for tag in line.held if book.node(tag).held_by not in ours]
    foreign = [tag for own in ours for tag in book.node(own).holds if tag not in ours]
    if lacking or held or foreign:
        what = [f"{_pieces(lacking)} without any mass"] if lacking else []
        if held:
            what.append(f"{_listed(held)} weighed only inside an assembly of another function")
        if foreign:
            what.append(f"{_listed(foreign)} of another function weighed inside its assembly")
        msg = f"{words} at {bench.called(vehicle)}: {' and '.join(what)}; weigh by itself what belongs to it"
        raise LookupError(msg)
    if not lines:
        if bench.does_without(vehicle, function):
            return _figure(vehicle, words, Quantity(0.0, "kg"), (DOES_WITHOUT,))
        msg = f"{words} at {bench.called(vehicle)}: {_NOT_RECORDED}"
        raise LookupError(msg)
    mass = total([line.total for line in lines])
    return _figure(vehicle, words, mass, _readings(book, mass, ours))


def _tags_of(bench: Bench, function: str, book: MassBook) -> frozenset[str]:
    """Tags of the nodes that serve a function first."""
    tree = book.roll.tree
    found = []
    for node in tree.nodes:
        serves = bench.functions.find(tree.tree.function(node.tag))
        if serves is not None and bench.inside(serves.code, function):
            found.append(node.tag)
    return frozenset(found)


def _vehicle(bench: Bench, vehicle: str) -> Figure:
    book = bench.book(vehicle)
    if book.closure is not None:
        stated = [text for text in book.assumptions if text.startswith("compared with")]
        return _figure(vehicle, "mass of the vehicle", book.closure.scale, tuple(stated))
    if book.missing:
        lacking = f"{_pieces(len(book.missing))} without a mass"
        msg = f"mass of {bench.called(vehicle)}: it was not on a scale, and {lacking}"
        raise LookupError(msg)
    return _figure(vehicle, "mass of the vehicle", book.total, ("sum of its parts: it was not on a scale",))


def _figure(vehicle: str, words: str, mass: Quantity, grounds: tuple[str, ...]) -> Figure:
    assumed = (f"{words}: part of it is only estimated",) if mass.origin is Origin.ASSUMED else ()
    return Figure(vehicle, words, "kg", mass, grounds=grounds, assumed=assumed)


def _called(book: MassBook, tag: str) -> str:
    node = book.roll.tree.nodes[book.roll.tree.index[tag]]
    return f"{node.name} ({tag})" if node.name else tag


def observations_in(book: MassBook, mass: Quantity) -> tuple[Observation, ...]:
    """Readings whose own errors are in a mass, the one with the largest share first; exact ones leave no trace."""
    share = {source.name: c * c for source, c in mass.terms if not source.name.startswith(_SHARED)}
    weighed = [
        (sum(share.get(source.name, 0.0) for source, _ in observation.value.terms), observation)
        for observation in book.roll.solution.observations
    ]
    found = sorted((one for one in weighed if one[0] > 0.0), key=lambda one: (-one[0], one[1].readings))
    return tuple(observation for _, observation in found)


def _readings(book: MassBook, mass: Quantity, tags: frozenset[str]) -> tuple[str, ...]:
    """Weighings of these nodes, in one line. Others enter only through what they say of a scale, and are not listed."""
    ids = [
        reading
        for observation in observations_in(book, mass)
        if any(tag in tags for tag, _ in observation.on_scale)
        for reading in observation.readings
    ]
    return (f"weighings {_listed(ids)}",) if ids else ()


def _listed(names: list[str]) -> str:
    rest = len(names) - _NAMED
    return ", ".join(names[:_NAMED]) + (f" and {rest} more" if rest > 0 else "")


def _pieces(count: int) -> str:
    return "1 part is" if count == 1 else f"{count} parts are"


def count_of(bench: Bench, claim: Claim, vehicle: str) -> Figure:
    """Pieces of parts or of fasteners in the whole vehicle, exact.

    Raises
    ------
    LookupError
        The figure is missing; the message says what to do.

    Notes
    -----
    Part count: nodes that are parts. Fastener count: nodes that are fasteners; where the tree lists none, the counts
    stated with the joints of the parts concerned. A part counts for its primary function.
    """
    nodes = bench.teardown(vehicle).nodes
    if not nodes:
        msg = f"{claim_words(claim.quantity)} of {bench.called(vehicle)}: it has no part tree; list its parts"
        raise LookupError(msg)
    tree = bench.part(vehicle, claim.part) if claim.part else PartTree(nodes)
    below = tree.subtree(claim.part) if claim.part else tuple(tree)
    functions = bench.functions
    ours = [
        node
        for node in below
        if not claim.function
        or (
            (found := functions.find(tree.function(node.tag))) is not None
            and bench.inside(found.code, claim.function)
        )
    ]
    of = (
        f" of {bench.function_words(claim.function)}"
        if claim.function
        else f" of {claim.part}" * bool(claim.part)
    )
    words = f"{claim_words(claim.quantity)}{of}"
    if not ours:
        if bench.does_without(vehicle, claim.function):
            return Figure(vehicle, words, "1", Quantity(0.0, "1"), grounds=(DOES_WITHOUT,))
        msg = f"{words} at {bench.called(vehicle)}: {_NOT_RECORDED}"
        raise LookupError(msg)
    kind = NodeKind.FASTENER if claim.quantity == FASTENER_COUNT else NodeKind.PART
    listed = [node for node in ours if node.kind is kind]
    grounds = f"{len(listed)} lines of the part tree"
    count = sum(tree.pieces(node.tag) for node in listed)
    if kind is NodeKind.FASTENER and not listed:
        tags = {node.tag for node in ours}
        joints = [joint for joint in bench.teardown(vehicle).joints if tags & set(joint.parts)]
        count = float(sum(joint.fastener_count for joint in joints))
        grounds = f"{len(joints)} joints: the part tree lists no fasteners there"
        if not joints:
            msg = f"{words} at {bench.called(vehicle)}: neither fasteners nor joints are recorded; list them"
            raise LookupError(msg)
    return Figure(vehicle, words, "1", Quantity(count, "1"), grounds=(grounds,))
