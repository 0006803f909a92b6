"""Any records come back from the store as they went in, on both databases, and no field can be forgotten."""

import math
from dataclasses import fields
from types import MappingProxyType

import pytest
from django.db import connection
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from hoistbook.core.quantities.instruments import Instrument
from hoistbook.core.quantities.quantity import Origin, Quantity, Source
from hoistbook.core.vehicle.records import (
    Approach,
    Basis,
    CheckReading,
    Configuration,
    ContentItem,
    Effect,
    Fact,
    Function,
    Joint,
    Kept,
    MassState,
    Measurement,
    Method,
    Node,
    NodeKind,
    Reason,
    ReasonKind,
    RouteStep,
    Rule,
    Scope,
    Seen,
    Share,
    SubjectKind,
    Teardown,
    Vehicle,
)
from hoistbook.services.demo import van_paths
from hoistbook.services.loading import load_teardown
from hoistbook.store.vehicles import models
from hoistbook.store.vehicles.mapping import KINDS, QUANTITY_COLUMNS, statement
from hoistbook.store.vehicles.reading import WORKBOOK, read_vehicle
from hoistbook.store.versions import columns
from hoistbook.store.writing import state, writing

WORDS = st.text(
    st.one_of(
        st.characters(exclude_categories=("Cs",), exclude_characters="\0"), st.sampled_from("ab\"'[]\\/,%_")
    ),
    max_size=8,
)
NAMES = WORDS.filter(bool)
NUMBERS = st.floats(allow_nan=False, allow_infinity=False)
COUNTS = st.integers(0, 2**63 - 1)
UNITS = st.sampled_from(["kg", "1", "m", "N.s2/m2", "W/(N.m)2", "J/m"])


@st.composite
def sources(draw, name):
    shape = draw(st.sampled_from(["normal", "student", "rectangular", "trapezoid", "arcsine"]))
    dof = draw(st.floats(1.0, 1e6)) if shape == "student" else draw(st.sampled_from([math.inf, 3.0, 7.25]))
    beta = draw(st.floats(0.0, 1.0)) if shape == "trapezoid" else 0.0
    return Source(name, shape, beta, dof, draw(WORDS))


@st.composite
def quantities(draw):
    names = draw(st.lists(NAMES, max_size=3, unique=True))
    terms = tuple((draw(sources(name)), draw(NUMBERS)) for name in names)
    return Quantity(draw(NUMBERS), draw(UNITS), terms, draw(st.sampled_from(Origin)))


def some(record, key=None, **drawn):
    """Up to three records, unique by `key`."""
    return st.lists(st.builds(record, **drawn), max_size=3, unique_by=key)


def choice(enum):
    return st.sampled_from(enum)


INSTRUMENTS = st.builds(
    Instrument,
    id=NAMES.filter(str.strip),
    kind=st.just("other"),
    unit=UNITS,
    step_si=st.floats(0.0, 1.0),
    limit_si=st.floats(0.0, 1.0),
    limit_frac=st.none() | st.floats(0.0, 1.0),
    certificate_dof=st.sampled_from([math.inf, 12.5]),
    note=WORDS,
)
TEARDOWNS = st.builds(
    Teardown,
    vehicle=st.builds(
        Vehicle, code=st.just("W"), name=WORDS, maker=WORDS, family=WORDS, model_year=st.none() | COUNTS,
        vin=WORDS, delivered=WORDS, note=WORDS,
    ),
    configurations=some(Configuration, lambda c: c.id, id=NAMES, vehicle=st.just("W"), wheels=WORDS).map(tuple),
    facts=some(
        Fact, lambda f: (f.configuration, f.quantity), configuration=WORDS, quantity=NAMES, value=quantities(),
        mass_state=st.none() | choice(MassState), duty=WORDS, basis=choice(Basis), instrument=WORDS,
        evidence=WORDS, note=WORDS,
    ).map(tuple),
    nodes=some(
        Node, lambda n: n.tag, tag=NAMES, parent=st.none() | WORDS, name=WORDS, kind=choice(NodeKind),
        count=NUMBERS, system=WORDS, function=WORDS, side=WORDS, material=WORDS, note=WORDS,
    ).map(tuple),
    joints=some(
        Joint, lambda j: j.id, id=NAMES, parts=st.lists(WORDS, max_size=3).map(tuple), process=WORDS,
        fastener=WORDS, fastener_count=COUNTS, drive=WORDS, access=WORDS, removable=st.none() | st.booleans(),
    ).map(tuple),
    measurements=some(
        Measurement, lambda m: m.id, id=NAMES, subject=WORDS, quantity=WORDS, value=quantities(),
        subject_kind=choice(SubjectKind), pieces=NUMBERS, scope=choice(Scope), replicate=COUNTS,
        method=choice(Method), instrument=WORDS, person=WORDS, at=WORDS, evidence=WORDS,
        covers=st.lists(st.tuples(WORDS, NUMBERS), max_size=3).map(tuple), supersedes=WORDS, note=WORDS,
    ).map(tuple),
    instruments=st.lists(INSTRUMENTS, max_size=2, unique_by=lambda i: i.id).map(
        lambda found: MappingProxyType({one.id: one for one in found})
    ),
    functions=some(
        Function, lambda f: f.code, code=NAMES, name=WORDS, parent=WORDS,
        aliases=st.lists(WORDS, max_size=3).map(tuple),
    ).map(tuple),
    approaches=some(
        Approach, lambda a: a.id, id=NAMES, configuration=WORDS, function=WORDS, present=st.booleans(),
        description=WORDS,
    ).map(tuple),
    shares=some(
        Share, lambda s: (s.tag, s.approach), tag=st.sampled_from("pq"), approach=NAMES, share_frac=NUMBERS
    ).map(tuple),
    content=some(
        ContentItem, lambda c: (c.item, c.quantity, c.rule), item=NAMES, description=WORDS, rule=choice(Rule),
        quantity=WORDS, value=quantities(), function=WORDS, note=WORDS,
    ).map(tuple),
    effects=some(
        Effect, lambda e: (e.function, e.quantity), function=WORDS, quantity=WORDS, value=quantities(),
        evidence=WORDS, note=WORDS,
    ).map(tuple),
    routes=some(
        RouteStep, lambda r: (r.tag, r.number), tag=NAMES, number=COUNTS, process=WORDS,
        options=st.lists(st.tuples(WORDS, WORDS), max_size=2).map(tuple), material=WORDS, seen=choice(Seen),
        evidence=WORDS, note=WORDS,
    ).map(tuple),
    reasons=some(
        Reason, lambda r: (r.tag, r.kind), tag=NAMES, kind=choice(ReasonKind), text=WORDS, policy=WORDS,
    ).map(tuple),
    check_readings=some(
        CheckReading, lambda c: (c.check, c.reading, c.item), check=NAMES, reading=NAMES,
        value=st.none() | quantities(), item=WORDS, option=WORDS, instrument=WORDS, evidence=WORDS, note=WORDS,
    ).map(tuple),
    reported=st.lists(WORDS, max_size=2).map(tuple),
    kept=some(
        Kept, lambda k: (k.sheet, k.row, k.column), sheet=st.sampled_from(["parts", "joints"]),
        row=st.integers(2, 9), column=st.sampled_from(["x-colour", "x-bin"]), text=WORDS,
    ).map(tuple),
)  # fmt: skip


def put(teardown):
    with writing("ann", "load", "vehicle W") as change:
        if not models.Vehicle.objects.exists():
            models.Vehicle.objects.create(code="W", change=change)
        for model, found in statement(teardown).items():
            counts = state(model, "W", found.rows, change, WORKBOOK, order=found.order)
            if counts.vanished:
                from hoistbook.store.writing import retire

                retire(model, "W", counts.vanished_slots, change, WORKBOOK)
        return change.pk


@settings(max_examples=16, suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow])
@given(TEARDOWNS)
def test_a_teardown_comes_back_as_it_went_in(place, teardown):
    # One vehicle takes every example in turn, so each is also a correction of the one before.
    change = put(teardown)
    assert read_vehicle("W").teardown == teardown
    assert read_vehicle("W", change).teardown == teardown


def test_the_vans_come_back_and_so_does_every_past_state(place):
    past = []
    for path in van_paths().values():
        van = load_teardown(path)
        code = van.vehicle.code
        with writing("ann", "load", f"vehicle {code}") as change:
            models.Vehicle.objects.create(code=code, change=change)
            for model, found in statement(van).items():
                state(model, code, found.rows, change, WORKBOOK, order=found.order)
        past.append((change.pk, van))
    for _, van in past:
        assert read_vehicle(van.vehicle.code).teardown == van
    assert read_vehicle(past[-1][1].vehicle.code, past[0][0]) is None


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.sheet)
def test_no_field_of_a_record_is_without_a_column(kind):
    kept = {kind.renamed.get(f.name, f.name) for f in fields(kind.record)} - {kind.in_slot, kind.in_owner}
    if kind.has_value:
        kept = (kept - {"value"}) | set(QUANTITY_COLUMNS)
    assert kept == set(columns(kind.model))


def test_no_part_of_a_teardown_is_without_a_table():
    together = {"shares": models.ShareSet, "kept": models.OwnColumn, "reported": models.Remarks}
    worked_out = {"replaced"}  # read off the statements that a fact stands in, so it has no table
    assert {f.name for f in fields(Teardown)} == {kind.held_in for kind in KINDS} | set(together) | worked_out
    assert set(models.TABLES) == {kind.model for kind in KINDS} | set(together.values())
    assert {f.name for f in fields(Source)} == {"name", "shape", "parameter", "dof", "ensemble"}
    assert {f.name for f in fields(Quantity)} == {"value", "unit", "terms", "origin"}
    assert {f.name for f in fields(Share)} == {"tag", "approach", "share_frac"}
    assert {f.name for f in fields(Kept)} == {"sheet", "row", "column", "text"}


def test_a_whole_number_too_large_is_refused(place):
    from hoistbook.store.problems import StoreRefused

    joint = Joint("J1", (), "screwing", fastener_count=2**63)
    with pytest.raises(StoreRefused, match=r"joint J1: fastener_count = 9223372036854775808 is too large"):
        put(Teardown(Vehicle("W", "van"), (Configuration("a", "W"),), joints=(joint,)))
    assert not connection.in_atomic_block
