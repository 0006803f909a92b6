"""Rows of the record as they stand, a kind at a time: a page seldom needs the whole vehicle."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from hoistbook.store.vehicles.mapping import KIND_OF, Quantities, ordered
from hoistbook.store.vehicles.reading import WORKBOOK
from hoistbook.store.versions import Version, columns
from hoistbook.store.writing import orders_of


@dataclass(frozen=True, slots=True)
class Standing:
    """A row that counts: which statement has it, which change wrote it, and the record it stands for."""

    slot: str
    statement: str
    change: int
    record: Any


def standing(model: type[Version], code: str, *, in_order: bool = True, **filters: Any) -> list[Standing]:
    """Rows of one kind of one vehicle that count, the workbook's first, each statement in its own order.

    The order of 10,000 parts is a long text; a few of them are found sooner without it (`in_order` false).
    """
    return standing_of_all(model, in_order=in_order, owner=code, **filters).get(code, [])


def standing_of_all(
    model: type[Version], *, in_order: bool = True, **filters: Any
) -> dict[str, list[Standing]]:
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
    orders = orders_of(model, [place for place, held in found.items() if in_order and len(held) > 1])
    for code, statement in sorted(found, key=lambda key: (key[0], key[1] != WORKBOOK, key[1])):
        held = found[code, statement]
        slots: Iterable[str] = held
        if (code, statement) in orders:
            slots = ordered(held, orders[code, statement])
        by_code[code] += [held[slot] for slot in slots]
    return dict(by_code)
