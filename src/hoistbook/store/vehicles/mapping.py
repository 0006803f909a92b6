"""Records of the core become rows, and rows the same records again."""

from __future__ import annotations

import json
import math
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, fields
from enum import Enum
from types import MappingProxyType
from typing import Any

from hoistbook.core.quantities.instruments import Instrument
from hoistbook.core.quantities.quantity import Origin, Quantity, Source
from hoistbook.core.vehicle import records
from hoistbook.core.vehicle.records import Kept, Share, Teardown
from hoistbook.store.vehicles import models
from hoistbook.store.versions import Version, columns

Row = dict[str, Any]
QUANTITY_COLUMNS = ("value", "unit", "origin", "terms")


@dataclass(frozen=True, slots=True)
class Codec:
    """How one field of a record is kept in a column."""

    kept: Callable[[Any], Any]
    read: Callable[[Any], Any]


def text_of(value: object) -> str:
    """A value as JSON text: the same value gives the same text, letters stay as they are."""
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"))


def _word(kind: type[Enum]) -> Codec:
    known = {member.value: member for member in kind}
    return Codec(lambda member: member.value, known.__getitem__)


_NAMES = Codec(lambda names: text_of(list(names)), lambda text: tuple(json.loads(text)))
_COVERS = Codec(
    lambda covers: text_of([list(pair) for pair in covers]),
    lambda text: tuple((tag, float(number)) for tag, number in json.loads(text)) if text != "[]" else (),
)
_OPTIONS = Codec(
    lambda options: text_of([list(pair) for pair in options]),
    lambda text: tuple((name, option) for name, option in json.loads(text)),
)
_STATE = Codec(
    lambda state: "" if state is None else state.value,
    lambda text: records.MassState(text) if text else None,
)
_INFINITE = Codec(
    lambda number: None if math.isinf(number) else number,
    lambda number: math.inf if number is None else number,
)


def terms_text(quantity: Quantity) -> str:
    """The error terms of a quantity as JSON: name, coefficient, shape, parameter, degrees of freedom, ensemble each."""
    return text_of(
        [
            [s.name, c, s.shape, s.parameter, None if math.isinf(s.dof) else s.dof, s.ensemble]
            for s, c in quantity.terms
        ]
    )


def figure_row(quantity: Quantity | None) -> Row:
    """Columns of a quantity; without one they are empty."""
    if quantity is None:
        return {"value": None, "unit": "", "origin": "", "terms": "[]"}
    return {
        "value": quantity.value,
        "unit": quantity.unit,
        "origin": quantity.origin.value,
        "terms": terms_text(quantity),
    }


class Quantities:
    """Reads quantities; equal error sources become one object, which long sums compare fastest."""

    def __init__(self) -> None:
        self._sources: dict[tuple[Any, ...], Source] = {}
        self._origins = {origin.value: origin for origin in Origin}

    def read(self, value: float | None, unit: str, origin: str, terms: str) -> Quantity | None:
        """Return the quantity that was kept; None where there was none."""
        if value is None:
            return None
        return Quantity(
            value, unit, tuple(self._term(*term) for term in json.loads(terms)), self._origins[origin]
        )

    def _term(
        self, name: str, coefficient: float, shape: Any, parameter: float, dof: float | None, ensemble: str
    ) -> tuple[Source, float]:
        key = (name, shape, parameter, dof, ensemble)
        source = self._sources.get(key)
        if source is None:
            source = Source(name, shape, parameter, math.inf if dof is None else dof, ensemble)
            self._sources[key] = source
        return source, coefficient


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of record and its table.

    Parameters
    ----------
    model, record : type
    sheet : str
        Where a person finds its rows.
    held_in : str
        Where a teardown holds them.
    slot : callable
        Natural key of a record within its vehicle.
    in_slot : str
        Field that is the slot and so has no column of its own.
    in_owner : str
        Field that is the code of the vehicle.
    renamed : mapping
        Fields whose column has another name.
    codecs : mapping
        Fields that are not kept as they are.
    """

    model: type[Version]
    record: type
    sheet: str
    held_in: str
    slot: Callable[[Any], str]
    in_slot: str = ""
    in_owner: str = ""
    renamed: Mapping[str, str] = field(default_factory=dict)
    codecs: Mapping[str, Codec] = field(default_factory=dict)

    def plain_fields(self) -> tuple[str, ...]:
        """Fields with one column each, in the order of the record."""
        out = {self.in_slot, self.in_owner}
        return tuple(
            f.name
            for f in fields(self.record)
            if f.name not in out and not (f.name == "value" and self.has_value)
        )

    @property
    def has_value(self) -> bool:
        """Whether the record has a quantity, or may have one."""
        return issubclass(self.model, models.Figure)

    def row(self, record: Any) -> Row:
        """Return the columns of a record."""
        row: Row = {}
        for name in self.plain_fields():
            value, codec = getattr(record, name), self.codecs.get(name)
            row[self.renamed.get(name, name)] = value if codec is None else codec.kept(value)
        if self.has_value:
            row |= figure_row(record.value)
        return row

    def reader(self, code: str, quantities: Quantities) -> Callable[[str, Sequence[Any]], Any]:
        """Return the function that makes a record of slot and columns (in the order of `versions.columns`)."""
        place = {name: index for index, name in enumerate(columns(self.model))}
        plain = [
            (
                name,
                place[self.renamed.get(name, name)],
                self.codecs[name].read if name in self.codecs else None,
            )
            for name in self.plain_fields()
        ]
        figure = [place[name] for name in QUANTITY_COLUMNS] if self.has_value else None

        def read(slot: str, values: Sequence[Any]) -> Any:
            given = {name: values[at] if read is None else read(values[at]) for name, at, read in plain}
            if figure is not None:
                given["value"] = quantities.read(*[values[at] for at in figure])
            if self.in_slot:
                given[self.in_slot] = slot
            if self.in_owner:
                given[self.in_owner] = code
            return self.record(**given)

        return read


def fact_slot(fact: records.Fact) -> str:
    """Slot of a fact: what it is of, in which state and duty, and how it is known."""
    state = fact.mass_state.value if fact.mass_state else ""
    return text_of(
        [fact.configuration, fact.quantity, state, fact.duty, fact.basis.value, fact.value.origin.value]
    )


KINDS: tuple[Kind, ...] = (
    Kind(models.Identity, records.Vehicle, "vehicle", "vehicle", lambda r: "vehicle", in_owner="code"),
    Kind(
        models.Configuration,
        records.Configuration,
        "configurations",
        "configurations",
        lambda r: r.id,
        in_slot="id",
        in_owner="vehicle",
    ),
    Kind(
        models.Instrument,
        Instrument,
        "instruments",
        "instruments",
        lambda r: r.id,
        in_slot="id",
        codecs={"certificate_dof": _INFINITE},
    ),
    Kind(
        models.Function,
        records.Function,
        "functions",
        "functions",
        lambda r: r.code,
        in_slot="code",
        codecs={"aliases": _NAMES},
    ),
    Kind(
        models.Fact,
        records.Fact,
        "facts",
        "facts",
        fact_slot,
        codecs={"mass_state": _STATE, "basis": _word(records.Basis)},
    ),
    Kind(
        models.Node,
        records.Node,
        "parts",
        "nodes",
        lambda r: r.tag,
        in_slot="tag",
        codecs={"kind": _word(records.NodeKind)},
    ),
    Kind(
        models.Joint,
        records.Joint,
        "joints",
        "joints",
        lambda r: r.id,
        in_slot="id",
        codecs={"parts": _NAMES},
    ),
    Kind(
        models.Measurement,
        records.Measurement,
        "measurements",
        "measurements",
        lambda r: r.id,
        in_slot="id",
        renamed={"supersedes": "corrects"},
        codecs={
            "subject_kind": _word(records.SubjectKind),
            "scope": _word(records.Scope),
            "method": _word(records.Method),
            "covers": _COVERS,
        },
    ),
    Kind(models.Approach, records.Approach, "approaches", "approaches", lambda r: r.id, in_slot="id"),
    Kind(
        models.ContentItem,
        records.ContentItem,
        "content",
        "content",
        lambda r: text_of([r.item, r.quantity, r.rule.value]),
        codecs={"rule": _word(records.Rule)},
    ),
    Kind(models.Effect, records.Effect, "effects", "effects", lambda r: text_of([r.function, r.quantity])),
    Kind(
        models.RouteStep,
        records.RouteStep,
        "routes",
        "routes",
        lambda r: text_of([r.tag, r.number]),
        codecs={"options": _OPTIONS, "seen": _word(records.Seen)},
    ),
    Kind(
        models.Reason,
        records.Reason,
        "reasons",
        "reasons",
        lambda r: text_of([r.tag, r.kind.value]),
        codecs={"kind": _word(records.ReasonKind)},
    ),
    Kind(
        models.CheckReading,
        records.CheckReading,
        "checks",
        "check_readings",
        lambda r: text_of([r.check, r.reading, r.item]),
        renamed={"check": "of_check"},
    ),
)
"""Kinds of record with a row each. Shares and cells of the user's own are kept together, see `statement`."""

KIND_OF: Mapping[type[Version], Kind] = MappingProxyType({kind.model: kind for kind in KINDS})


@dataclass(frozen=True, slots=True)
class Stated:
    """Rows of one table as a statement has them, and their order where it is not that of the slots."""

    rows: dict[str, Row]
    order: list[str] | None = None


def statement(teardown: Teardown) -> dict[type[Version], Stated]:
    """Everything a teardown states, table by table.

    Raises
    ------
    ValueError
        Two records stand in one slot; reading a workbook faults that before.
    """
    stated: dict[type[Version], Stated] = {}
    for kind in KINDS:
        held = getattr(teardown, kind.held_in)
        if kind.held_in == "vehicle":
            held = (held,)
        elif kind.held_in == "instruments":
            held = held.values()
        stated[kind.model] = Stated(rows_of(kind, held))
    shares: dict[str, list[list[Any]]] = defaultdict(list)
    for share in teardown.shares:
        shares[share.tag].append([share.approach, share.share_frac])
    stated[models.ShareSet] = Stated(
        {tag: {"shares": text_of(parts)} for tag, parts in shares.items()},
        [text_of([share.tag, share.approach]) for share in teardown.shares],
    )
    cells: dict[tuple[str, str], list[list[Any]]] = defaultdict(list)
    for cell in teardown.kept:
        cells[cell.sheet, cell.column].append([cell.row, cell.text])
    stated[models.OwnColumn] = Stated(
        {
            text_of(list(place)): {"sheet": place[0], "column": place[1], "cells": text_of(filled)}
            for place, filled in cells.items()
        },
        [text_of([cell.sheet, cell.column, cell.row]) for cell in teardown.kept],
    )
    stated[models.Remarks] = Stated({"remarks": {"sentences": text_of(list(teardown.reported))}})
    return stated


def rows_of(kind: Kind, held: Iterable[Any]) -> dict[str, Row]:
    """Rows of records by slot.

    Raises
    ------
    ValueError
        Two records stand in one slot.
    """
    rows: dict[str, Row] = {}
    for record in held:
        slot = kind.slot(record)
        if slot in rows:
            msg = f"{kind.sheet}: two rows stand for {slot}; keep one, or say what differs."
            raise ValueError(msg)
        rows[slot] = kind.row(record)
    return rows


def ordered(rows: Mapping[str, Any], order: Sequence[str]) -> list[str]:
    """Slots of rows in the order kept for them; those it does not name follow."""
    known = [slot for slot in order if slot in rows]
    if len(known) == len(rows):
        return known
    named = set(known)
    return known + [slot for slot in rows if slot not in named]


def shares_of(rows: Mapping[str, Sequence[Any]], order: Sequence[str]) -> tuple[Share, ...]:
    """Shares from the rows of `ShareSet`."""
    by_place = {
        text_of([tag, approach]): Share(tag, approach, float(part))
        for tag, (text,) in rows.items()
        for approach, part in json.loads(text)
    }
    return tuple(by_place[place] for place in ordered(by_place, order))


def own_cells(rows: Mapping[str, Sequence[Any]], order: Sequence[str]) -> tuple[Kept, ...]:
    """Cells of the user's own columns from the rows of `OwnColumn`."""
    by_place = {
        text_of([sheet, column, row]): Kept(sheet, row, column, text)
        for sheet, column, cells in rows.values()
        for row, text in json.loads(cells)
    }
    return tuple(by_place[place] for place in ordered(by_place, order))
