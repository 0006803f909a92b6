"""Remarks on a teardown that loads: nothing is wrong, yet somebody should know."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from hoistbook.core.quantities.repeats import repeats
from hoistbook.core.vehicle import vin
from hoistbook.core.vehicle.records import Measurement, Teardown


def remarks(teardown: Teardown) -> Iterator[str]:
    """Remarks on the records of a vehicle.

    Parameters
    ----------
    teardown : Teardown
        Free of problems.

    Yields
    ------
    str
        Oddities of the VIN, repeat readings that contradict each other, names that differ in capitals only.
    """
    vehicle = teardown.vehicle
    if vehicle.vin:
        try:
            yield from vin.inspect(vehicle.vin, vehicle.model_year).remarks
        except ValueError as error:
            yield str(error)
    yield from _contradictions(teardown)
    yield from _differing_in_capitals("tags", (node.tag for node in teardown.nodes))
    figures = [fact.value for fact in teardown.facts] + [effect.value for effect in teardown.effects]
    sources = dict.fromkeys(source.name for figure in figures for source, _ in figure.terms)
    yield from _differing_in_capitals("names of error sources", sources)


def _contradictions(teardown: Teardown) -> Iterator[str]:
    slots: dict[tuple[object, ...], list[Measurement]] = {}
    superseded = {m.supersedes for m in teardown.measurements}
    for m in teardown.measurements:
        if m.id not in superseded:
            slot = (m.subject_kind, m.subject, m.quantity, m.scope, m.covers)
            slots.setdefault(slot, []).append(m)
    for readings in slots.values():
        if len(readings) > 1:
            ids = [f"{teardown.vehicle.code}/{m.id}" for m in readings]
            each = [m.value / m.pieces for m in readings]
            found = repeats(each, ids, f"{readings[0].quantity} of {readings[0].subject}")
            if found.contradicted:
                yield found.message


def _differing_in_capitals(what: str, names: Iterable[str]) -> Iterator[str]:
    first: dict[str, str] = {}
    for name in names:
        known = first.setdefault(name.casefold(), name)
        if known != name:
            yield f"the {what} {known!r} and {name!r} differ in capitals only; they are taken for two."
