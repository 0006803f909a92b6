"""Rows of the record in the words of the trade: what a row is called, its fields, its figures."""

from __future__ import annotations

from dataclasses import fields
from enum import Enum
from typing import Any

from hoistbook.core.checks import CHECKS
from hoistbook.core.checks.declared import Choice, Reading
from hoistbook.core.quantities.printing import quantity_text
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.vehicle.kinds import QUANTITY_KINDS, unit_text
from hoistbook.core.vehicle.records import (
    Approach,
    CheckReading,
    Configuration,
    ContentItem,
    Effect,
    Fact,
    Function,
    Joint,
    Measurement,
    Node,
    Reason,
    RouteStep,
    Vehicle,
)

_FIELDS = {
    "vin": "VIN",
    "text": "in words",
    "subject": "of",
    "subject_kind": "subject kind",
    "at": "time",
    "mass_state": "mass state",
    "step_si": "step",
    "capacity_si": "capacity",
    "limit_si": "limit",
    "limit_frac": "limit as share",
    "certificate_expanded_si": "certificate U",
    "certificate_factor": "coverage factor",
    "certificate_dof": "certificate degrees of freedom",
    "repeatability_si": "repeatability",
    "minimum_si": "smallest reading",
    "in_service_factor": "in-service factor",
    "accuracy_class": "class",
}
NOTHING = "nothing"


def field_words(name: str) -> str:
    """Heading under which a person knows a field."""
    return _FIELDS.get(name, name.replace("_", " "))


def usual_unit(quantity: str, unit: str) -> str:
    """Unit people use for a quantity; its SI unit where there is none."""
    kind = QUANTITY_KINDS.get(quantity)
    if kind is None or kind.unit != unit or not kind.example_units or kind.example_units[0] == "1":
        return unit
    return kind.example_units[0]


def figure_words(value: Quantity, quantity: str = "") -> str:
    """A figure with its 95 % band in the unit people use for the quantity, else in SI."""
    return _in_unit(value, usual_unit(quantity, value.unit))


def _in_unit(value: Quantity, unit: str) -> str:
    if unit == "1":
        return quantity_text(value)
    return quantity_text(value, unit).removesuffix(unit) + unit_text(unit)


def value_of_record(value: Any, record: Any) -> str:
    """A value of a field in words; a figure in the unit people use for what the record is of."""
    if isinstance(value, Quantity) and isinstance(record, CheckReading):
        reading = _reading_of(record)
        known = reading is not None and reading.unit == value.unit
        return _in_unit(value, (reading.show if reading is not None and known else "") or value.unit)
    return value_words(value, getattr(record, "quantity", ""))


def _reading_of(record: CheckReading) -> Reading | None:
    """What the check declares of a figure; None for a choice, and where this program has no such check."""
    check = CHECKS.get(record.check)
    return next((one for one in check.readings if one.name == record.reading), None) if check else None


def _check_words(record: CheckReading) -> str:
    check = CHECKS.get(record.check)
    if check is None:
        return f"{record.check}: {' of '.join(filter(None, (record.reading, record.item)))}"
    several: tuple[Reading | Choice, ...] = (*check.readings, *check.choices)
    words = next((one.words for one in several if one.name == record.reading), record.reading)
    return f"{check.title}: {' of '.join(filter(None, (words, record.item)))}"


def value_words(value: Any, quantity: str = "") -> str:
    """Any value of a field as text; `NOTHING` for an empty one."""
    if isinstance(value, Quantity):
        return figure_words(value, quantity)
    if value is None or value in ("", ()):
        return NOTHING
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Enum):
        return str(value.value)
    if isinstance(value, float):
        return f"{value:.10g}"
    if isinstance(value, tuple):
        return "; ".join(_item_words(one) for one in value)
    return str(value)


def _item_words(item: Any) -> str:
    """One of several: a name, a name with its share or number, or a choice with what was chosen."""
    if not isinstance(item, tuple):
        return str(item)
    name, what = item
    return f"{name}: {what}" if isinstance(what, str) else f"{name} × {what:g}"


def statement_words(statement: str) -> str:
    """Name of a statement in a sentence."""
    return "the workbook" if statement == "workbook" else statement


def quantity_words(key: str) -> str:
    """Words of a quantity; the key itself where it is not known."""
    kind = QUANTITY_KINDS.get(key)
    return kind.words if kind is not None else key


def record_words(record: Any) -> str:
    """What a record is called: "part A12 bracket, compressor", "fact range, wltc3b (delivered)"."""
    match record:
        case Vehicle():
            return f"vehicle {record.code} {record.name}"
        case Configuration():
            return f"configuration {record.id}"
        case Fact():
            told = [record.mass_state.value if record.mass_state else "", record.duty, record.basis.value]
            besides = ", ".join(filter(None, [*told, record.value.origin.value]))
            return f"{quantity_words(record.quantity)} ({record.configuration}: {besides})"
        case Node():
            return f"{record.kind.value} {record.tag} {record.name}"
        case Joint():
            return f"joint {record.id} {record.process}"
        case Measurement():
            return f"reading {record.id}: {quantity_words(record.quantity)} of {record.subject}"
        case Function():
            return f"function {record.code} {record.name}"
        case Approach():
            return f"approach {record.id} to {record.function}"
        case ContentItem():
            return f"content {record.item}: {quantity_words(record.quantity)}, {record.rule.value}"
        case Effect():
            return f"effect of {record.function} on {quantity_words(record.quantity)}"
        case RouteStep():
            return f"step {record.number} of {record.tag}: {record.process}"
        case Reason():
            return f"reason of {record.tag}: {record.kind.value}"
        case CheckReading():
            return _check_words(record)
        case _:
            return f"instrument {record.id} {record.kind}"


def differences(old: Any, new: Any) -> tuple[tuple[str, str, str], ...]:
    """Fields in which two versions of a record differ: heading, old value, new value, in words.

    Notes
    -----
    Two figures that read alike but differ in their error terms say so.
    """
    found = []
    for one in fields(new):
        before, after = getattr(old, one.name), getattr(new, one.name)
        if before == after:
            continue
        was, now = value_of_record(before, new), value_of_record(after, new)
        if was == now and isinstance(after, Quantity):
            now += (
                ", its error shared otherwise"
                if before.value == after.value
                else ", in digits beyond the band"
            )
        found.append((field_words(one.name), was, now))
    return tuple(found)
