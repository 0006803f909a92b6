"""What is wrong among the records of one vehicle: references, rings, sums, slots. Pure; every problem in one pass."""

from __future__ import annotations

import difflib
from collections.abc import Callable, Collection, Hashable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import TypeVar

from hoistbook.core.quantities.dimension import dimension
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.vehicle.approaches import FunctionTree
from hoistbook.core.vehicle.kinds import QUANTITY_KINDS
from hoistbook.core.vehicle.records import Measurement, Node, Rule, SubjectKind, Teardown
from hoistbook.core.vehicle.tree import parents_in_a_ring

# Shares typed as 33.33 + 33.33 + 33.34 must pass, a forgotten 0.1 % must not: half a part per million of the whole.
SHARE_SUM_TOLERANCE_FRAC = 5e-7

Record = TypeVar("Record")


@dataclass(frozen=True, slots=True)
class Problem:
    """One problem: sheet and place among its records, key of the record, field (its column heading), value, advice."""

    sheet: str
    index: int
    key: str
    field: str
    value: str
    message: str


def problems(teardown: Teardown, systems: Collection[str] | None = None) -> list[Problem]:
    """Everything wrong among the records of one vehicle.

    Parameters
    ----------
    teardown : Teardown
        May be as wrong as it likes; nothing is raised.
    systems : collection of str, optional
        Codes of the taxonomy; without them the codes of the nodes are not judged.

    Returns
    -------
    list of Problem
        Empty when an engine may trust the records. `Problem.index` is the place of the record in its tuple.

    Notes
    -----
    Judged are: names used twice, references to nothing (with the closest known names), rings of parents, functions and
    corrections, one root, counts above 0, units and signs of figures, mass without state, figures without their duty,
    two facts or readings in one slot, corrections that leave their slot, shares that do not add up, content and effects
    stated twice.
    """
    names = _Names(teardown)
    found: list[Problem] = []
    found.extend(_configurations(teardown))
    found.extend(_facts(teardown, names))
    found.extend(_parts(teardown, names, systems))
    found.extend(_joints(teardown, names))
    found.extend(_measurements(teardown, names))
    found.extend(_functions(teardown))
    found.extend(_approaches(teardown, names))
    found.extend(_shares(teardown, names))
    found.extend(_content(teardown, names))
    found.extend(_effects(teardown, names))
    return found


class _Names:
    """The names that references may point at."""

    def __init__(self, teardown: Teardown) -> None:
        self.configurations = {c.id: c for c in teardown.configurations}
        self.nodes = {node.tag: node for node in reversed(teardown.nodes)}
        self.joints = {joint.id for joint in teardown.joints}
        self.approaches = {a.id: a for a in teardown.approaches}
        self.functions = FunctionTree(teardown.functions)
        self.instruments = teardown.instruments
        self.readings = {m.id: m for m in teardown.measurements}


def closest(word: str, known: Iterable[str]) -> str:
    """Return the half sentence that helps after an unknown name: the closest known ones."""
    by_fold = {name.casefold(): name for name in known}
    if not by_fold:
        return "none is listed."
    near = difflib.get_close_matches(word.casefold(), by_fold, n=3, cutoff=0.6)
    if near:
        return f"did you mean {' or '.join(repr(by_fold[n]) for n in near)}?"
    if len(by_fold) <= 10:
        return f"known: {', '.join(by_fold.values())}."
    return f"none of the {len(by_fold)} listed is like it."


def _twice(
    sheet: str, field: str, records: Sequence[Record], key: Callable[[Record], Hashable], advice: str
) -> Iterator[Problem]:
    first: dict[Hashable, int] = {}
    for index, record in enumerate(records):
        name = key(record)
        if name in first:
            shown = " / ".join(str(p) for p in name if p) if isinstance(name, tuple) else str(name)
            yield Problem(sheet, index, shown, field, shown, f"{shown!r} is listed twice; {advice}")
        first.setdefault(name, index)


def _figure(
    sheet: str, index: int, key: str, quantity: str, value: Quantity, *, may_be_negative: bool = False
) -> Iterator[Problem]:
    """Judge quantity, unit and sign of one figure."""
    kind = QUANTITY_KINDS.get(quantity)
    if kind is None:
        yield Problem(
            sheet, index, key, "quantity", quantity, f"no such quantity; {closest(quantity, QUANTITY_KINDS)}"
        )
        return
    if value.unit != kind.unit and dimension(value.unit) != dimension(kind.unit):
        yield Problem(
            sheet,
            index,
            key,
            "unit",
            value.unit,
            f"{kind.words} is measured in {kind.unit}; give it in {', '.join(kind.example_units)}.",
        )
    if value.value < 0.0 and not kind.signed and not may_be_negative:
        yield Problem(
            sheet,
            index,
            key,
            "value",
            f"{value.value:g} {value.unit}",
            f"{kind.words} cannot be negative; check the sign, the tare or the zero.",
        )


def _configurations(teardown: Teardown) -> Iterator[Problem]:
    if not teardown.configurations:
        yield Problem(
            "configurations",
            -1,
            "",
            "configuration",
            "",
            "no configuration is listed; give at least one row, e.g. 'delivered'.",
        )
    yield from _twice(
        "configurations",
        "configuration",
        teardown.configurations,
        lambda c: c.id,
        "give each configuration its own name.",
    )
    for index, configuration in enumerate(teardown.configurations):
        if configuration.vehicle != teardown.vehicle.code:
            yield Problem(
                "configurations",
                index,
                configuration.id,
                "configuration",
                configuration.vehicle,
                f"belongs to another vehicle than {teardown.vehicle.code!r}.",
            )


def _facts(teardown: Teardown, names: _Names) -> Iterator[Problem]:
    slots: dict[tuple[str, ...], int] = {}
    for index, fact in enumerate(teardown.facts):
        key = f"{fact.configuration} {fact.quantity}"
        if fact.configuration not in names.configurations:
            yield Problem(
                "facts",
                index,
                key,
                "configuration",
                fact.configuration,
                f"no such configuration; {closest(fact.configuration, names.configurations)}",
            )
        if fact.instrument and fact.instrument not in names.instruments:
            yield Problem(
                "facts",
                index,
                key,
                "instrument",
                fact.instrument,
                f"no such instrument; {closest(fact.instrument, names.instruments)}",
            )
        yield from _figure("facts", index, key, fact.quantity, fact.value)
        kind = QUANTITY_KINDS.get(fact.quantity)
        if kind is not None and "mass_state" in kind.needs and fact.mass_state is None:
            yield Problem(
                "facts",
                index,
                key,
                "mass state",
                "",
                "a mass without its state means nothing; say curb, running order, test, as weighed or dry.",
            )
        if kind is not None and "duty" in kind.needs and not fact.duty:
            yield Problem(
                "facts",
                index,
                key,
                "duty",
                "",
                f"{kind.words} depends on the duty; name the cycle or use it holds for.",
            )
        state = fact.mass_state.value if fact.mass_state else ""
        slot = (
            fact.configuration,
            fact.quantity,
            state,
            fact.duty,
            fact.basis.value,
            fact.value.origin.value,
        )
        if slot in slots:
            yield Problem(
                "facts",
                index,
                key,
                "quantity",
                fact.quantity,
                f"stated before with the same configuration, state, duty, basis and origin ({fact.value.origin.value}); "
                "keep one, or say what differs.",
            )
        slots.setdefault(slot, index)


def _parts(teardown: Teardown, names: _Names, systems: Collection[str] | None) -> Iterator[Problem]:
    nodes = teardown.nodes
    yield from _twice(
        "parts",
        "tag",
        nodes,
        lambda n: n.tag,
        "a tag names one line; give the other its own tag, or raise the count of the first.",
    )
    place = {node.tag: index for index, node in reversed(list(enumerate(nodes)))}
    roots = [index for index, node in enumerate(nodes) if node.parent is None]
    if nodes and not roots:
        yield Problem(
            "parts",
            -1,
            "",
            "parent",
            "",
            "no line has an empty parent; the vehicle itself needs a line, at the top of the tree.",
        )
    for index in roots[1:]:
        yield Problem(
            "parts",
            index,
            nodes[index].tag,
            "parent",
            "",
            f"has no parent, but only the vehicle itself ({nodes[roots[0]].tag}) may stand without one; give the tag of the assembly it came out of.",
        )
    for index, node in enumerate(nodes):
        if node.parent is not None and node.parent not in names.nodes:
            yield Problem(
                "parts",
                index,
                node.tag,
                "parent",
                node.parent,
                f"no part has this tag; {closest(node.parent, names.nodes)} Add its line or correct the tag.",
            )
        yield from _part(index, node, names, systems)
    for ring in parents_in_a_ring(nodes):
        shown = " → ".join((*ring[:6], ring[0] if len(ring) <= 6 else "…"))
        yield Problem(
            "parts",
            place[ring[0]],
            ring[0],
            "parent",
            shown,
            "these parts hang in a ring, each below the next; correct the parent of one of them.",
        )


def _part(index: int, node: Node, names: _Names, systems: Collection[str] | None) -> Iterator[Problem]:
    if not node.count > 0.0:
        yield Problem(
            "parts",
            index,
            node.tag,
            "count",
            f"{node.count:g}",
            "the count is the number of pieces in one piece of the parent, above 0.",
        )
    if node.function and node.function not in names.functions:
        yield Problem(
            "parts",
            index,
            node.tag,
            "function",
            node.function,
            f"no such function; {closest(node.function, names.functions.words)}",
        )
    if systems is not None and node.system and node.system not in systems:
        yield Problem(
            "parts",
            index,
            node.tag,
            "system",
            node.system,
            f"no such code in the taxonomy; {closest(node.system, systems)}",
        )


def _joints(teardown: Teardown, names: _Names) -> Iterator[Problem]:
    yield from _twice("joints", "joint", teardown.joints, lambda j: j.id, "give each joint its own tag.")
    for index, joint in enumerate(teardown.joints):
        for tag in joint.parts:
            if tag not in names.nodes:
                yield Problem(
                    "joints",
                    index,
                    joint.id,
                    "parts",
                    tag,
                    f"no part has this tag; {closest(tag, names.nodes)}",
                )
        if joint.fastener and joint.fastener not in names.nodes:
            yield Problem(
                "joints",
                index,
                joint.id,
                "fastener",
                joint.fastener,
                f"no part has this tag; {closest(joint.fastener, names.nodes)}",
            )
        if joint.fastener_count < 0:
            yield Problem(
                "joints",
                index,
                joint.id,
                "fastener count",
                str(joint.fastener_count),
                "a count cannot be negative.",
            )


def _measurements(teardown: Teardown, names: _Names) -> Iterator[Problem]:
    readings = teardown.measurements
    yield from _twice("measurements", "reading", readings, lambda m: m.id, "give each reading its own id.")
    subjects: dict[SubjectKind, Collection[str]] = {
        SubjectKind.PART: names.nodes,
        SubjectKind.JOINT: names.joints,
        SubjectKind.APPROACH: names.approaches,
        SubjectKind.CONFIGURATION: names.configurations,
    }
    corrected = {m.supersedes for m in readings if m.supersedes and m.supersedes != m.id}
    live: dict[tuple[object, ...], str] = {}
    for index, reading in enumerate(readings):
        known = subjects[reading.subject_kind]
        if reading.subject not in known:
            yield Problem(
                "measurements",
                index,
                reading.id,
                "of",
                reading.subject,
                f"there is no {reading.subject_kind.value} of this name; {closest(reading.subject, known)}",
            )
        for tag, _ in reading.covers:
            if tag not in names.nodes:
                yield Problem(
                    "measurements",
                    index,
                    reading.id,
                    "covers",
                    tag,
                    f"no part has this tag; {closest(tag, names.nodes)}",
                )
        if reading.instrument and reading.instrument not in names.instruments:
            yield Problem(
                "measurements",
                index,
                reading.id,
                "instrument",
                reading.instrument,
                f"no such instrument; {closest(reading.instrument, names.instruments)}",
            )
        if not reading.pieces > 0.0:
            yield Problem(
                "measurements",
                index,
                reading.id,
                "pieces",
                f"{reading.pieces:g}",
                "the number of pieces on the scale must be above 0.",
            )
        if reading.replicate < 1:
            yield Problem(
                "measurements",
                index,
                reading.id,
                "replicate",
                str(reading.replicate),
                "replicates count 1, 2, 3 …",
            )
        yield from _figure("measurements", index, reading.id, reading.quantity, reading.value)
        if reading.id not in corrected:
            slot = (
                reading.subject_kind,
                reading.subject,
                reading.quantity,
                reading.scope,
                reading.covers,
                reading.replicate,
            )
            if slot in live and live[slot] != reading.id:
                yield Problem(
                    "measurements",
                    index,
                    reading.id,
                    "replicate",
                    str(reading.replicate),
                    f"the same reading as {live[slot]}: same subject, quantity, scope and replicate; count the replicate up for a repeat "
                    "reading, or name the corrected reading in 'supersedes'.",
                )
            live.setdefault(slot, reading.id)
    yield from _corrections(readings, names)


def _corrections(readings: Sequence[Measurement], names: _Names) -> Iterator[Problem]:
    by: dict[str, str] = {}
    for index, reading in enumerate(readings):
        if not reading.supersedes:
            continue
        old = names.readings.get(reading.supersedes)
        if old is None:
            yield Problem(
                "measurements",
                index,
                reading.id,
                "supersedes",
                reading.supersedes,
                f"there is no such reading; {closest(reading.supersedes, names.readings)}",
            )
            continue
        if (old.subject_kind, old.subject, old.quantity, old.replicate) != (
            reading.subject_kind,
            reading.subject,
            reading.quantity,
            reading.replicate,
        ):
            yield Problem(
                "measurements",
                index,
                reading.id,
                "supersedes",
                reading.supersedes,
                f"a correction stays with its subject, quantity and replicate; {old.id} is of {old.subject}, {old.quantity}, replicate {old.replicate}.",
            )
        if old.id in by and by[old.id] != reading.id:
            yield Problem(
                "measurements",
                index,
                reading.id,
                "supersedes",
                reading.supersedes,
                f"{old.id} is superseded by {by[old.id]} already; supersede that one.",
            )
        by.setdefault(old.id, reading.id)
    yield from _correction_rings(readings)


def _correction_rings(readings: Sequence[Measurement]) -> Iterator[Problem]:
    links = [Node(m.id, m.supersedes or None, "") for m in readings]
    place = {m.id: index for index, m in reversed(list(enumerate(readings)))}
    for ring in parents_in_a_ring(links):
        shown = " → ".join((*ring, ring[0]))
        yield Problem(
            "measurements",
            place[ring[0]],
            ring[0],
            "supersedes",
            shown,
            "these readings supersede each other in a ring; one of them must be the first.",
        )


def _functions(teardown: Teardown) -> Iterator[Problem]:
    functions = teardown.functions
    yield from _twice(
        "functions", "function", functions, lambda f: f.code, "give each function its own code."
    )
    codes = {f.code for f in functions}
    claimed: dict[str, str] = {f.code.casefold(): f.code for f in functions}
    for index, function in enumerate(functions):
        if function.parent and function.parent not in codes:
            yield Problem(
                "functions",
                index,
                function.code,
                "parent",
                function.parent,
                f"no such function; {closest(function.parent, codes)}",
            )
        for alias in function.aliases:
            owner = claimed.setdefault(" ".join(alias.split()).casefold(), function.code)
            if owner != function.code:
                yield Problem(
                    "functions",
                    index,
                    function.code,
                    "aliases",
                    alias,
                    f"this word stands for function {owner} already; a word means one function.",
                )
    place = {f.code: index for index, f in reversed(list(enumerate(functions)))}
    for ring in parents_in_a_ring([Node(f.code, f.parent or None, "") for f in functions]):
        shown = " → ".join((*ring, ring[0]))
        yield Problem(
            "functions",
            place[ring[0]],
            ring[0],
            "parent",
            shown,
            "these functions lie within each other in a ring; correct one parent.",
        )


def _approaches(teardown: Teardown, names: _Names) -> Iterator[Problem]:
    yield from _twice(
        "approaches", "approach", teardown.approaches, lambda a: a.id, "give each approach its own id."
    )
    yield from _twice(
        "approaches",
        "function",
        teardown.approaches,
        lambda a: (a.configuration, a.function),
        "a configuration has one approach to a function.",
    )
    for index, approach in enumerate(teardown.approaches):
        if approach.configuration not in names.configurations:
            yield Problem(
                "approaches",
                index,
                approach.id,
                "configuration",
                approach.configuration,
                f"no such configuration; {closest(approach.configuration, names.configurations)}",
            )
        if approach.function not in names.functions:
            yield Problem(
                "approaches",
                index,
                approach.id,
                "function",
                approach.function,
                f"no such function; {closest(approach.function, names.functions.words)}",
            )


def _shares(teardown: Teardown, names: _Names) -> Iterator[Problem]:
    yield from _twice(
        "shares",
        "approach",
        teardown.shares,
        lambda s: (s.tag, s.approach),
        "add the two shares up in one row.",
    )
    sums: dict[tuple[str, str], tuple[int, float]] = {}
    for index, share in enumerate(teardown.shares):
        key = f"{share.tag} / {share.approach}"
        if share.tag not in names.nodes:
            yield Problem(
                "shares",
                index,
                key,
                "part",
                share.tag,
                f"no part has this tag; {closest(share.tag, names.nodes)}",
            )
        approach = names.approaches.get(share.approach)
        if approach is None:
            yield Problem(
                "shares",
                index,
                key,
                "approach",
                share.approach,
                f"no such approach; {closest(share.approach, names.approaches)}",
            )
        elif not approach.present:
            yield Problem(
                "shares",
                index,
                key,
                "approach",
                share.approach,
                "this approach is marked as not present, so no part can serve it.",
            )
        if not 0.0 < share.share_frac <= 1.0:
            yield Problem(
                "shares",
                index,
                key,
                "share [%]",
                f"{100.0 * share.share_frac:g}",
                "a share lies above 0 and up to 100 %.",
            )
        whole = (share.tag, approach.configuration if approach else "")
        first, so_far = sums.get(whole, (index, 0.0))
        sums[whole] = (first, so_far + share.share_frac)
    for (tag, _), (first, total) in sums.items():
        if abs(total - 1.0) > SHARE_SUM_TOLERANCE_FRAC:
            yield Problem(
                "shares",
                first,
                tag,
                "share [%]",
                f"{100.0 * total:.6g}",
                f"the shares of part {tag} add up to {100.0 * total:.6g} %, not 100 %; mend or complete them.",
            )


def _content(teardown: Teardown, names: _Names) -> Iterator[Problem]:
    yield from _twice(
        "content",
        "quantity",
        teardown.content,
        lambda c: (c.item, c.quantity, c.rule.value),
        "add the two up in one row, or name them as two items.",
    )
    for index, item in enumerate(teardown.content):
        if item.function and item.function not in names.functions:
            yield Problem(
                "content",
                index,
                item.item,
                "function",
                item.function,
                f"no such function; {closest(item.function, names.functions.words)}",
            )
        if item.rule is not Rule.SCALE:
            yield from _figure("content", index, item.item, item.quantity, item.value)
        elif item.quantity not in QUANTITY_KINDS:
            yield Problem(
                "content",
                index,
                item.item,
                "quantity",
                item.quantity,
                f"no such quantity; {closest(item.quantity, QUANTITY_KINDS)}",
            )
        elif item.value.unit != "1":
            yield Problem(
                "content",
                index,
                item.item,
                "unit",
                item.value.unit,
                "the factor of a scale rule is a pure number; give the unit 1 or %.",
            )
        elif not item.value.value > 0.0:
            yield Problem(
                "content",
                index,
                item.item,
                "value",
                f"{item.value.value:g}",
                "the factor of a scale rule must be above 0.",
            )


def _effects(teardown: Teardown, names: _Names) -> Iterator[Problem]:
    yield from _twice(
        "effects",
        "quantity",
        teardown.effects,
        lambda e: (e.function, e.quantity),
        "state the sum once, or split the function.",
    )
    for index, effect in enumerate(teardown.effects):
        key = f"{effect.function} {effect.quantity}"
        if effect.function not in names.functions:
            yield Problem(
                "effects",
                index,
                key,
                "function",
                effect.function,
                f"no such function; {closest(effect.function, names.functions.words)}",
            )
        if effect.quantity == "mass":
            yield Problem(
                "effects",
                index,
                key,
                "quantity",
                "mass",
                "mass comes from the part tree and is not typed as an effect; delete the row.",
            )
        else:
            # A contribution may be a gain (a fairing takes drag away), so any sign is allowed.
            yield from _figure("effects", index, key, effect.quantity, effect.value, may_be_negative=True)
