"""From the records of a study to rows of JSON text, and back."""

from __future__ import annotations

import dataclasses
import json
import math
import types
import typing
from collections.abc import Callable, Hashable, Iterable, Mapping
from enum import Enum
from functools import cache
from typing import Any, TypeVar

from hoistbook.core.compare.claims import Claim
from hoistbook.core.compare.strip_plan import StripStep
from hoistbook.core.compare.study import (
    Difference,
    EqualityRow,
    Finding,
    Frozen,
    Study,
    StudyAssumption,
    StudyContent,
    StudyVehicle,
)
from hoistbook.core.compare.study_settings import known_name
from hoistbook.core.vehicle.records import Kept

T = TypeVar("T")

HEAD = "study"
_HEAD_FIELDS = ("title", "question", "owner", "note")


@dataclasses.dataclass(frozen=True, slots=True)
class _Sheet:
    """Which field of a study a sheet fills, with what records, and what names a row within it."""

    field: str
    record: type
    key: Callable[[Any], Iterable[str]]


SHEETS: dict[str, _Sheet] = {
    "vehicles": _Sheet("vehicles", StudyVehicle, lambda row: (row.vehicle,)),
    "equality": _Sheet("equality", EqualityRow, lambda row: (row.property, row.vehicle)),
    "content": _Sheet(
        "content",
        StudyContent,
        lambda row: (row.vehicle, row.item.item, row.item.quantity, row.item.rule.value),
    ),
    "assumptions": _Sheet("assumptions", StudyAssumption, lambda row: (known_name(row.name),)),
    "findings": _Sheet(
        "findings", Finding, lambda row: (row.function, row.kind.value, row.taken_from, *sorted(row.vehicles))
    ),
    "strip plan": _Sheet("strip_plan", StripStep, lambda row: (row.vehicle, repr(row.step))),
    "claims": _Sheet("claims", Claim, lambda row: (row.code,)),
    "own cells": _Sheet("kept", Kept, lambda row: (row.sheet, str(row.row), row.column)),
}
"""Sheets of a study in the record."""


def study_rows(study: Study) -> dict[str, dict[str, str]]:
    """Rows of a study by slot, in its order, each with `sheet` and `data`."""
    head = {name: getattr(study, name) for name in _HEAD_FIELDS}
    rows = {_slot(HEAD, ()): {"sheet": HEAD, "data": _text(head)}}
    for name, sheet in SHEETS.items():
        for record in getattr(study, sheet.field):
            rows[_slot(name, sheet.key(record))] = {"sheet": name, "data": _text(to_plain(record))}
    return rows


def study_of(code: str, rows: Iterable[tuple[str, str]]) -> Study:
    """Return the study its rows state.

    Parameters
    ----------
    code : str
    rows : iterable of (sheet, data)
        In the order of the study.
    """
    found: dict[str, list[Any]] = {name: [] for name in SHEETS}
    fields: dict[str, Any] = {}
    for sheet, data in rows:
        if sheet == HEAD:
            fields = json.loads(data)
        else:
            found[sheet].append(from_plain(SHEETS[sheet].record, json.loads(data)))
    for name, kind in SHEETS.items():
        fields[kind.field] = tuple(found[name])
    return Study(code, **fields)


def frozen_text(frozen: Frozen) -> str:
    """What is frozen, as JSON text that is the same for the same content."""
    return _text(to_plain(frozen))


def frozen_of(text: str) -> Frozen:
    """Return what was frozen."""
    return from_plain(Frozen, json.loads(text))


def differences_text(found: tuple[Difference, ...]) -> str:
    """Differences as JSON text."""
    return _text(to_plain(found))


def differences_of(text: str) -> tuple[Difference, ...]:
    """Return the differences between two versions."""
    return tuple(from_plain(Difference, each) for each in json.loads(text))


def slot_words(slot: str) -> str:
    """A slot as people read it: "content: T, tow bar, mass, strip"."""
    sheet, *key = json.loads(slot)
    return f"{sheet}: {', '.join(part for part in key if part)}" if key else str(sheet)


def _slot(sheet: str, key: Iterable[str]) -> str:
    # As a list in JSON, so that no name can be taken for two.
    return _text([sheet, *key])


def _text(plain: object) -> str:
    return json.dumps(plain, ensure_ascii=False, separators=(",", ":"), allow_nan=False)


def to_plain(value: Any) -> Any:
    """Records as mappings, tuples as lists, members of an Enum as their value; an infinite number as None."""
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {field.name: to_plain(getattr(value, field.name)) for field in dataclasses.fields(value)}
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, tuple):
        return [to_plain(each) for each in value]
    if isinstance(value, float) and math.isinf(value):
        return None  # degrees of freedom of a band that is not from few readings
    return value


def from_plain(record: type[T], plain: Mapping[str, Any]) -> T:
    """Return the record a mapping of `to_plain` stands for."""
    return record(
        **{name: _as(hint, plain[name]) for name, hint in _hints(typing.cast(Hashable, record)).items()}
    )


@cache
def _hints(record: Hashable) -> dict[str, Any]:
    kind: Any = record
    hints = typing.get_type_hints(kind)
    return {field.name: hints[field.name] for field in dataclasses.fields(kind)}


def _as(hint: Any, plain: Any) -> Any:
    origin, inside = typing.get_origin(hint), typing.get_args(hint)
    if origin is tuple:
        if len(inside) == 2 and inside[1] is Ellipsis:
            return tuple(_as(inside[0], each) for each in plain)
        return tuple(_as(one, each) for one, each in zip(inside, plain, strict=True))
    if origin in (types.UnionType, typing.Union):
        return plain
    if isinstance(hint, type) and dataclasses.is_dataclass(hint):
        return from_plain(hint, plain)
    if isinstance(hint, type) and issubclass(hint, Enum):
        return hint(plain)
    if hint is float and plain is None:
        return math.inf
    return plain
