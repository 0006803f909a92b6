"""The mass book of a vehicle cut to what pages show: a summary, and the part tree column by column.

Both are kept like every other result. The whole book of 10,000 parts takes a page longer to read than a reader waits;
columns of it do not.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from time import perf_counter
from typing import Any

import numpy as np

from hoistbook.core.mass import Cover, MassBasis, MassBook
from hoistbook.core.quantities.quantity import total
from hoistbook.core.vehicle.approaches import FunctionTree
from hoistbook.core.vehicle.records import Joint, SubjectKind, Teardown
from hoistbook.core.vehicle.tree import PartTree
from hoistbook.services.as_json.mass import mass_json
from hoistbook.services.as_json.parts import Json, quantity
from hoistbook.services.doubts import within_one_vehicle, worded_doubts
from hoistbook.services.held import Held
from hoistbook.services.keeping import input_hash, keep_or_hold, kept_value
from hoistbook.services.kept import inputs_of
from hoistbook.services.mass import mass_report
from hoistbook.services.vehicles import Record, teardown
from hoistbook.store.vehicles import models

Progress = Callable[[int, int, str], None]
SUMMARY, COLUMNS = "vehicle page", "parts page"
_ON_SCALE = (Cover.WEIGHED, Cover.INSIDE)
_STEPS = 4
_HELD: dict[str, Held[Json]] = {SUMMARY: Held(60), COLUMNS: Held(8)}


@dataclass(frozen=True, slots=True)
class Asked:
    """Whose book: vehicle, its state (`record.state_of`) and configuration."""

    code: str
    change: int
    configuration: str

    @property
    def inputs(self) -> Json:
        """What the result depends on, as it is kept."""
        return inputs_of({self.code: self.change}, {"configuration": self.configuration})


def summary_of(record: Record, asked: Asked) -> Json | None:
    """Summary of a mass book; None when it was not worked out yet.

    Returns
    -------
    dict or None
        `mass` as `hoistbook mass --json` prints it, without its nodes; `coverage` of each system;
        `names` of the parts that are spoken of; `parts`, `pieces`, `weighed` counts; `weighed_mass` and `weighed_frac`,
        its share of the mass on the vehicle scale (of the parts where there is none); `doubts`; `reported`.
    """
    return _read(record, SUMMARY, asked)


def columns_of(record: Record, asked: Asked) -> Json | None:
    """The part tree as columns, one entry per part from the vehicle down; None when it was not worked out yet."""
    return _read(record, COLUMNS, asked)


def _read(record: Record, kind: str, asked: Asked) -> Json | None:
    key = (
        f"{record.folder.resolve()} {input_hash(kind, asked.inputs)}"  # a copy of a store may go another way
    )
    return _HELD[kind].get(key, lambda: kept_value(record, kind, asked.inputs))


def forget() -> None:
    """Drop the results held in memory; they are read from the store again."""
    for held in _HELD.values():
        held.forget()


def work_out(record: Record, asked: Asked, progress: Progress = lambda _done, _total, _words: None) -> None:
    """Work out summary and columns of a vehicle and keep them, in memory where the store cannot be written.

    Parameters
    ----------
    record : Record
    asked : Asked
    progress : callable
        Called with steps done, steps in all, and what is being done.
    """
    start = perf_counter()
    progress(0, _STEPS, "reading the record")
    stated = teardown(record, asked.code, asked.change)
    progress(1, _STEPS, f"reconciling the weighings of {len(stated.nodes)} parts")
    if not stated.nodes:
        empty: Json = {"tag": []}
        keep_or_hold(record, COLUMNS, asked.inputs, empty, 0.0)
        keep_or_hold(record, SUMMARY, asked.inputs, _without_parts(stated, asked), 0.0)
        return
    book = mass_report(stated, asked.configuration)
    progress(2, _STEPS, "setting out the part tree")
    columns = part_columns(stated, book, _reading_ids(asked.code))
    keep_or_hold(record, COLUMNS, asked.inputs, columns, perf_counter() - start)
    progress(3, _STEPS, "keeping the results")
    keep_or_hold(record, SUMMARY, asked.inputs, _summary(stated, book), perf_counter() - start)
    progress(_STEPS, _STEPS, "done")


def _without_parts(stated: Teardown, asked: Asked) -> Json:
    return {
        "mass": None,
        "names": {},
        "parts": 0,
        "pieces": 0.0,
        "weighed": 0,
        "weighed_frac": None,
        "doubts": _doubts(stated, asked.configuration),
        "reported": list(stated.reported),
    }


def _summary(stated: Teardown, book: MassBook) -> Json:
    whole = mass_json(book)
    del whole["nodes"]
    spoken_of = {
        one["tag"] for key in ("unallocated", "not_broken_down", "next_to_weigh") for one in whole[key]
    }
    spoken_of |= {tag for flag in book.flags for tag in flag.tags} | set(book.missing)
    on_scale = [line for line in book.coverage.lines if line.cover in _ON_SCALE]
    weighed = total([line.mass for line in on_scale if line.mass is not None], unit="kg")
    # Of the vehicle where it was on a scale: what is in no part was not weighed as a part either.
    whole_kg = (book.total if book.closure is None else book.closure.scale).value
    return {
        "mass": whole,
        "weighed_mass": quantity(weighed),
        "coverage": {
            code: sum(line.mass_share_frac or 0.0 for line in covered.lines if line.cover in _ON_SCALE)
            for code, covered in book.system_coverage.items()
        },
        "names": {node.tag: node.name for node in stated.nodes if node.tag in spoken_of},
        "parts": book.coverage.node_count,
        "pieces": float(sum(line.piece_count for line in book.coverage.lines)),
        "weighed": sum(line.node_count for line in on_scale),
        "weighed_frac": weighed.value / whole_kg if whole_kg > 0.0 else None,
        "doubts": _doubts(stated, book.configuration),
        "reported": list(stated.reported),
    }


def _doubts(stated: Teardown, configuration: str) -> list[str]:
    """Doubts of all duties the configuration has figures for, each once."""
    duties = sorted({fact.duty for fact in stated.facts if fact.configuration == configuration and fact.duty})
    found = (doubt for duty in duties or [""] for doubt in within_one_vehicle(stated, configuration, duty))
    return list(worded_doubts(found))


def _reading_ids(code: str) -> dict[str, list[str]]:
    """Ids of everything ever read of a part, superseded and retired readings too, by tag."""
    found: dict[str, list[str]] = {}
    rows = models.Measurement.objects.filter(owner=code, subject_kind=SubjectKind.PART.value)
    for subject, slot in rows.order_by("slot").values_list("subject", "slot").distinct():
        found.setdefault(subject, []).append(slot)
    return found


def part_columns(stated: Teardown, book: MassBook, reading_ids: dict[str, list[str]]) -> Json:
    """Set out the part tree column by column.

    Parameters
    ----------
    stated : Teardown
    book : MassBook
    reading_ids : mapping of tag to list of str

    Returns
    -------
    dict of list
        Parts from the vehicle down, siblings in the order of the workbook; the subtree of part i is i … end[i]. Masses
        are in kg for one piece: `own` without and `whole` with what is below, `*_half` half of their 95 % bands,
        `rest` what is in none of the listed pieces. None stands for what is not known.
    """
    tree = PartTree(stated.nodes)
    place = {tag: index for index, tag in enumerate(tree.order)}
    layout = book.roll.tree
    weighed = _weighed_shares(book)
    functions = FunctionTree(stated.functions)
    joints = _joint_words(stated.joints, {node.tag: node.name for node in stated.nodes})
    columns: dict[str, list[Any]] = {
        name: []
        for name in (
            "tag", "parent", "end", "name", "kind", "count", "pieces", "function", "side", "material", "note",
            "joint", "basis", "own", "own_half", "whole", "whole_half", "weighed", "unknown", "held_by", "origin",
            "group", "rest", "rest_half", "rest_basis", "readings",
        )
    }  # fmt: skip
    for tag in tree.order:
        node, at = tree[tag], layout.index[tag]
        line = book.nodes[at]
        surplus = layout.surplus_line.get(at)
        rest = line if layout.is_group[at] else None if surplus is None else book.nodes[surplus]
        has_rest = rest is not None and rest.basis in (MassBasis.UNALLOCATED, MassBasis.NOT_BROKEN_DOWN)
        code = tree.function(tag)
        row = {
            "tag": tag,
            "parent": -1 if node.parent is None else place[node.parent],
            "end": 0,
            "name": node.name,
            "kind": node.kind.value,
            "count": node.count,
            "pieces": line.pieces,
            "function": functions[code].name if code in functions else code,
            "side": node.side,
            "material": node.material,
            "note": node.note,
            "joint": joints.get(tag, ""),
            "basis": line.basis.value,
            "own": None if layout.is_group[at] else line.own_kg,
            "own_half": None if layout.is_group[at] else _half(line.own_low_kg, line.own_high_kg),
            "whole": line.subtree_kg,
            "whole_half": _half(line.subtree_low_kg, line.subtree_high_kg),
            "weighed": weighed[at],
            "unknown": line.unknown_below,
            "held_by": line.held_by,
            "origin": line.origin.value,
            "group": bool(layout.is_group[at]),
            "rest": rest.own_kg if has_rest and rest is not None else None,
            "rest_half": _half(rest.own_low_kg, rest.own_high_kg) if has_rest and rest is not None else None,
            "rest_basis": rest.basis.value if has_rest and rest is not None else "",
            "readings": reading_ids.get(tag, []),
        }
        for name, value in row.items():
            columns[name].append(value)
    columns["end"] = _ends(columns["parent"])
    return dict(columns)


def _half(low: float | None, high: float | None) -> float | None:
    return None if low is None or high is None else 0.5 * (high - low)


def _ends(parents: Sequence[int]) -> list[int]:
    """One past the last part of every subtree, for parts in tree order."""
    ends = list(range(1, len(parents) + 1))
    for index in range(len(parents) - 1, 0, -1):
        above = parents[index]
        ends[above] = max(ends[above], ends[index])
    return ends


def _weighed_shares(book: MassBook) -> list[float | None]:
    """Share of every subtree's mass that was on a scale; None where nothing of it has a mass."""
    layout = book.roll.tree
    own = np.array([node.own_kg or 0.0 for node in book.nodes]) * layout.pieces
    on_scale = np.array([node.cover in _ON_SCALE for node in book.nodes])
    sums = []
    for amounts in (np.where(on_scale, own, 0.0), own):
        before = np.concatenate([[0.0], np.cumsum(amounts)])
        sums.append(before[layout.end] - before[np.arange(len(own))])
    return [
        None if whole <= 0.0 else float(min(max(part / whole, 0.0), 1.0))
        for part, whole in zip(*sums, strict=True)
    ]


def _joint_words(joints: Sequence[Joint], names: Mapping[str, str]) -> dict[str, str]:
    """How each part is held: "2 × Screw M8×25, T40", "spot welding 46"; a fastener that is a part goes by its name."""
    found: dict[str, list[str]] = {}
    for joint in joints:
        fastener = names.get(joint.fastener, joint.fastener).partition(",")[0]
        held = f"{joint.fastener_count} × {fastener}" if fastener else joint.process
        if joint.fastener_count and not joint.fastener:
            held = f"{joint.process} {joint.fastener_count}"
        words = f"{held}, {joint.drive}" if joint.drive else held
        for tag in joint.parts[:1]:
            found.setdefault(tag, []).append(words)
    return {tag: "; ".join(dict.fromkeys(words)) for tag, words in found.items()}
