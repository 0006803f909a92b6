"""Statements go in whole, only what differs is written, and every past state can be read again.

A plain model of the record stands beside it: for every change, what should count after it.
"""

import sqlite3
import threading

import pytest
from django.db import connection
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from hoistbook.store.changes.models import Change, File, Order, Outcome, Vanished
from hoistbook.store.place import DATABASE, LOCK
from hoistbook.store.problems import Busy, StoreRefused
from hoistbook.store.vehicles.models import Configuration, Node, Vehicle
from hoistbook.store.writing import (
    Counts,
    discard,
    order_of,
    retire,
    state,
    vanished_versions,
    writing,
)


def rows(**wheels):
    return {slot: {"wheels": text, "options": "", "note": ""} for slot, text in wheels.items()}


def stated(found, owner="W", statement="workbook", **more):
    with writing("ann", "load", f"vehicle {owner}") as change:
        if not Vehicle.objects.filter(pk=owner).exists():
            Vehicle.objects.create(code=owner, change=change)
        return state(Configuration, owner, found, change, statement, **more)


def retired(*slots, owner="W"):
    with writing("ann", "retire", f"vehicle {owner}") as change:
        return retire(Configuration, owner, slots, change, "workbook")


def now(owner="W"):
    return dict(Configuration.objects.current(owner=owner).values_list("slot", "wheels"))


def test_a_statement_writes_only_what_differs(place):
    assert stated(rows(a="1", b="2")).as_json() == {
        "added": 2, "superseded": 0, "unchanged": 0, "vanished": 0, "returned": 0, "retired": 0,
    }  # fmt: skip
    counts = stated(rows(a="1", b="3", c="4"))
    assert (counts.added, counts.superseded, counts.unchanged, counts.vanished) == (1, 1, 1, 0)
    assert now() == {"a": "1", "b": "3", "c": "4"}
    assert Configuration.objects.filter(owner="W").count() == 4
    assert not stated(rows(a="1", b="3", c="4")).wrote


def test_what_vanished_counts_until_it_is_retired(place):
    stated(rows(a="1", b="2"))
    assert stated(rows(b="2")).vanished_slots == ("a",)
    assert stated(rows(b="2")) == Counts(unchanged=1, vanished=1, vanished_slots=("a",))
    assert now() == {"a": "1", "b": "2"}
    assert retired("a").retired == 1
    assert now() == {"b": "2"}
    assert stated(rows(b="2")) == Counts(unchanged=1)
    with pytest.raises(StoreRefused, match="nothing that counts stands under 'a'"):
        retired("a")
    assert stated(rows(a="1", b="2")).added == 1
    assert now() == {"a": "1", "b": "2"}


def test_what_comes_back_is_marked(place):
    stated(rows(a="1", b="2"))
    stated(rows(b="2"))
    counts = stated(rows(a="1", b="2"))
    assert (counts.returned, counts.unchanged, counts.vanished) == (1, 2, 0)
    assert list(Vanished.objects.order_by("id").values_list("slot", "event")) == [
        ("a", "vanished"),
        ("a", "returned"),
    ]
    assert vanished_versions(Configuration, "W") == {}
    last = Change.objects.latest("pk").pk
    assert list(vanished_versions(Configuration, "W", at=last - 1).values()) == ["a"]


def test_the_order_is_kept_apart_from_the_rows(place):
    stated(rows(a="1", b="2", c="3"))
    assert stated(rows(c="3", a="1", x="4", b="2")).added == 1
    assert order_of(Configuration, "W", "workbook") == ["c", "a", "x", "b"]
    stated(rows(c="3", x="4", b="2"))
    assert order_of(Configuration, "W", "workbook") == ["c", "a", "x", "b"]  # a waits behind its neighbour
    first = Change.objects.earliest("pk").pk
    assert order_of(Configuration, "W", "workbook", first) == ["a", "b", "c"]


def test_statements_stand_side_by_side(place):
    stated(rows(a="1"))
    assert stated(rows(a="2"), statement="test 1") == Counts(added=1, noted=1)
    assert Configuration.objects.current(owner="W").count() == 2
    assert stated(rows(b="5"), statement="test 1", whole=False).vanished == 0


def test_a_change_says_who_when_and_what_it_came_to(place):
    File.objects.create(sha256="0" * 64, name="w.xlsx", size_bytes=1, at="2026-01-01T00:00:00Z")
    with writing("ann", "load", "vehicle W", "re-zeroed", File.objects.get(), file_name="new.xlsx") as change:
        Vehicle.objects.create(code="W", change=change)
        state(Configuration, "W", rows(a="1"), change, "workbook")
    kept = Change.objects.get()
    assert (kept.person, kept.kind, kept.note, kept.file_id, kept.file_name) == (
        "ann", "load", "re-zeroed", "0" * 64, "new.xlsx",
    )  # fmt: skip
    assert Outcome.objects.get().counts["vehicles.Configuration"]["added"] == 1


def test_nothing_stays_of_a_change_that_fails_or_is_discarded(place):
    stated(rows(a="1"))
    before = [model.objects.count() for model in (Change, Configuration, Order, Outcome, Vanished)]

    def fails():
        with writing("ann", "load", "vehicle W") as change:
            state(Configuration, "W", rows(b="2"), change, "workbook")
            raise InterruptedError

    with pytest.raises(InterruptedError):
        fails()
    with writing("ann", "load", "vehicle W") as change:
        state(Configuration, "W", rows(b="2"), change, "workbook")
        discard(change)
    assert [model.objects.count() for model in (Change, Configuration, Order, Outcome, Vanished)] == before
    assert now() == {"a": "1"}


@pytest.mark.parametrize("text", ["a\0b", "\ud800"])
def test_a_sign_that_is_none_is_refused_alike(place, text):
    for given_rows in (rows(a=text), {text: rows(a="")["a"]}):
        with pytest.raises(StoreRefused, match="holds a character that is none"):
            stated(given_rows)
    with pytest.raises(StoreRefused, match="person holds a character"):
        writing(text, "load", "vehicle W").__enter__()


def test_a_second_writer_waits_or_is_refused(place):
    held, done = threading.Event(), threading.Event()

    def hold():
        if connection.vendor == "sqlite":
            other = sqlite3.connect(place.folder / DATABASE, isolation_level=None)
            other.execute("BEGIN IMMEDIATE")
        else:
            import psycopg

            s = connection.settings_dict
            other = psycopg.connect(
                host=s["HOST"], port=s["PORT"], user=s["USER"], password=s["PASSWORD"], dbname=s["NAME"]
            )
            other.execute("SELECT pg_advisory_xact_lock(%s)", [LOCK])
        held.set()
        done.wait(20)
        other.rollback() if connection.vendor != "sqlite" else other.execute("ROLLBACK")
        other.close()

    thread = threading.Thread(target=hold)
    thread.start()
    assert held.wait(10)
    with pytest.raises(Busy, match=r"somebody else is writing .* within 0\.1 s; nothing was written"):
        writing("bob", "load", "vehicle V", wait_s=0.1).__enter__()
    threading.Timer(0.2, done.set).start()
    with writing("bob", "load", "vehicle V", wait_s=15.0) as change:
        assert change.pk
    thread.join()


STATEMENTS = st.dictionaries(st.sampled_from("abcdef"), st.sampled_from("123"), max_size=6)
STEPS = st.lists(
    st.one_of(
        st.tuples(st.just("state"), STATEMENTS),
        st.tuples(st.just("retire"), st.sets(st.sampled_from("abcdef"), max_size=3)),
    ),
    max_size=8,
)
_numbers = iter(range(10**9))


@settings(max_examples=16, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(STEPS)
def test_any_sequence_keeps_the_record_sound(place, steps):
    owner = f"V{next(_numbers)}"
    counting, waiting, past = {}, set(), []
    stated({}, owner)
    for kind, what in steps:
        if kind == "state":
            before = dict(counting)
            expected_added = {slot for slot in what if slot not in counting}
            counting |= what
            counts = stated(rows(**what), owner)
            waiting = set(counting) - set(what)
            assert counts.added == len(expected_added)
            assert counts.superseded == sum(before[s] != what[s] for s in what if s in before)
            assert set(counts.vanished_slots) == waiting
        else:
            slots = sorted(what & set(counting))
            retired(*slots, owner=owner)
            for slot in slots:
                del counting[slot]
            waiting -= set(slots)
        assert now(owner) == counting
        assert Configuration.objects.count_by_owner().get(owner, 0) == len(counting)
        assert set(vanished_versions(Configuration, owner, "workbook").values()) == waiting
        past.append((Change.objects.latest("pk").pk, dict(counting)))
    for change, then in past:
        assert dict(Configuration.objects.at(change, owner=owner).values_list("slot", "wheels")) == then
    heads = Configuration.objects.heads(owner=owner).values_list("slot", flat=True)
    assert len(set(heads)) == len(heads)
    roots = Configuration.objects.filter(owner=owner, supersedes=None).values_list("slot", flat=True)
    assert len(set(roots)) == len(roots) == len(heads)


def test_ten_thousand_rows_go_in_at_once(place):
    found = {
        f"P{i}": {
            "parent": "P0" if i else None, "name": "bolt", "kind": "fastener", "count": 4.0, "system": "",
            "function": "", "side": "", "material": "", "note": "",
        }
        for i in range(10_000)
    }  # fmt: skip
    with writing("ann", "load", "vehicle W") as change:
        Vehicle.objects.create(code="W", change=change)
        assert state(Node, "W", found, change, "workbook").added == 10_000
    assert order_of(Node, "W", "workbook")[-1] == "P9999"
