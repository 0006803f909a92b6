"""Rows of the record as they stand, a kind at a time: a page seldom needs the whole vehicle."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from hoistbook.store.vehicles.mapping import KIND_OF, Quantities, ordered
from hoistbook.store.vehicles.reading import WORKBOOK
from hoistbook.store.versions import Version, columns
from hoistbook.store.writing import order_of


@dataclass(frozen=True, slots=True)
class Standing:
    """A row that counts: which statement has it, which change wrote it, and the record it stands for."""

    slot: str
    statement: str
    change: int
    record: Any


def standing(model: type[Version], code: str, **filters: Any) -> list[Standing]:
    """Rows of one kind of one vehicle that count, the workbook's first, each statement in its own order."""
    return standing_of_all(model, owner=code, **filters).get(code, [])


def standing_of_all(model: type[Version], **filters: Any) -> dict[str, list[Standing]]:
    """Rows of one kind of every vehicle that count, by vehicle."""
    found: dict[tuple[str, str], dict[str, Standing]] = defaultdict(dict)
    quantities = Quantities()
    kind = KIND_OF[model]
    readers: dict[str, Any] = {}
    rows = model.objects.current(**filters).order_by("id")
    names = columns(model)
    for code, slot, statement, change, *values in rows.values_list(
        "owner_id", "slot", "statement", "change_id", *names
    ):
        read = readers.get(code) or readers.setdefault(code, kind.reader(code, quantities))
        found[code, statement][slot] = Standing(slot, statement, change, read(slot, values))
    by_code: dict[str, list[Standing]] = defaultdict(list)
    for code, statement in sorted(found, key=lambda key: (key[0], key[1] != WORKBOOK, key[1])):
        held = found[code, statement]
        slots: Iterable[str] = held
        if len(held) > 1:
            slots = ordered(held, order_of(model, code, statement))
        by_code[code] += [held[slot] for slot in slots]
    return dict(by_code)
