"""One vehicle as it is published: from a row of a table, a workbook or the store to facts and test results."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from hoistbook.core.compare.inference import InferencePrior, Observed
from hoistbook.core.compare.published_rows import PublishedRow, Span
from hoistbook.core.energy.us_label import CITY_WEIGHT, HIGHWAY_WEIGHT
from hoistbook.core.quantities.quantity import Origin, Quantity, Source
from hoistbook.core.vehicle.problem import closest
from hoistbook.core.vehicle.records import Basis, Configuration, Fact, MassState, Teardown, Vehicle
from hoistbook.services.loading import load_teardown

CONFIGURATION = "published"
_NORMAL_95 = 1.959963984540054


@dataclass(frozen=True, slots=True)
class Entry:
    """One vehicle as it is published: facts for the engine, results for the likelihood."""

    teardown: Teardown
    observed: Observed
    remark: str


def find_entry(name: str, rows: Sequence[PublishedRow], store: Path | None, prior: InferencePrior) -> Entry:
    """Find a vehicle: a row of the table, a path, or a code of the store, in this order.

    Raises
    ------
    LookupError
        It is none of them.
    ValueError
        A vehicle's published facts stand under several configurations, or under none.
    """
    by_name = {row.name: row for row in rows}
    if name in by_name:
        return entry_of_row(by_name[name], prior)
    if Path(name).exists():
        return entry_of_teardown(load_teardown(name))
    if store is not None:
        # The record brings the database library with it, which nothing else here needs.
        from hoistbook.services import record

        return entry_of_teardown(record.teardown(record.open_record(store), name))
    known = (
        f" {closest(name, tuple(by_name))}"
        if by_name
        else " Give a table with --facts, or a store with --store."
    )
    msg = f"no vehicle, row or file named {name!r}.{known}"
    raise LookupError(msg)


def entry_of_row(row: PublishedRow, prior: InferencePrior) -> Entry:
    """Facts and results of one row of the table."""
    owner = f"{row.name}/{CONFIGURATION}"
    facts: list[Fact] = []

    def add(
        quantity: str,
        span: Span | None,
        unit: str,
        *,
        extra_frac: float = 0.0,
        state: MassState | None = None,
        duty: str = "",
    ) -> None:
        if span is None:
            return
        rounding = (span.high - span.low) / 2.0 / np.sqrt(3.0)
        terms = [(Source(f"printed digits of {quantity}/{owner}", "rectangular"), float(rounding))]
        if extra_frac > 0.0:
            spread = extra_frac * abs(span.value) / _NORMAL_95
            terms.append((Source(f"published {quantity} against the vehicle/{owner}"), spread))
        value = Quantity(span.value, unit, tuple(terms), Origin.PUBLISHED)
        facts.append(Fact(CONFIGURATION, quantity, value, state, duty, Basis.LABEL, "", row.source, row.note))

    mass = row.span("test_mass")
    # A class is what the dynamometer was set to: exact, whatever digits it is printed with.
    exact = None if mass is None else Span(mass.value, mass.value, mass.value)
    add("mass", exact, "kg", state=MassState.TEST, duty="us")
    add("road_load_a", row.span("road_load_a"), "N", extra_frac=prior.road_load_a_frac)
    add("road_load_b", row.span("road_load_b"), "N.s/m")
    add("road_load_c", row.span("road_load_c"), "N.s2/m2", extra_frac=prior.road_load_c_frac)
    add("usable_energy", row.span("battery_usable"), "J")
    add("wall_energy", row.best_charge(), "J")
    add("label_factor", row.label_factor(), "1")
    add("range", _label_range(row), "m", duty="us")
    vehicle = Vehicle(row.name, row.name, row.maker, row.maker)
    observed = Observed(
        row.consumption("city", "unadjusted"),
        row.consumption("highway", "unadjusted"),
        row.span("battery_gross"),
    )
    return Entry(Teardown(vehicle, (Configuration(CONFIGURATION, row.name),), tuple(facts)), observed, "")


def _label_range(row: PublishedRow) -> Span | None:
    """Combined label range: city and highway are printed more finely than their combination."""
    city, highway = row.span("city_range_adjusted"), row.span("highway_range_adjusted")
    if city is not None and highway is not None:
        ends = (
            CITY_WEIGHT * getattr(city, end) + HIGHWAY_WEIGHT * getattr(highway, end)
            for end in ("value", "low", "high")
        )
        return Span(*ends)
    return row.span("combined_range_adjusted")


def entry_of_teardown(teardown: Teardown) -> Entry:
    """The published facts of a torn-down vehicle, and nothing measured on it."""
    code = teardown.vehicle.code
    facts = tuple(fact for fact in teardown.facts if fact.value.origin is Origin.PUBLISHED)
    configurations = dict.fromkeys(fact.configuration for fact in facts)
    if len(configurations) != 1:
        listed = ", ".join(configurations) or "none"
        msg = f"{code}: published facts stand under configurations {listed}; they must stand under one."
        raise ValueError(msg)
    kept = tuple(c for c in teardown.configurations if c.id in configurations)
    spans = {}
    for duty in ("udds", "hwfet"):
        stated = [f.value for f in facts if f.quantity == "consumption" and f.duty.casefold() == duty]
        if len(stated) == 1:
            low, high = stated[0].band()
            spans[duty] = Span(stated[0].value, low, high)
    remark = (
        f"{code}: only the {len(facts)} published facts of it are used, nothing measured on it; its consumption on "
        "udds and hwfet counts as the unadjusted test result"
    )
    return Entry(
        replace(
            teardown, configurations=kept, facts=facts, nodes=(), measurements=(), content=(), effects=()
        ),
        Observed(spans.get("udds"), spans.get("hwfet")),
        remark,
    )
