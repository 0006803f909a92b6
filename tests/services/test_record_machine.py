"""Any sequence of loads, corrections, vanishing, returning, retiring, facts and tests, against a plain model of it.

The model is a few dictionaries: what counts, what waits to be retired, what happened to each name. The record must say
the same, forget nothing, and read every past state as it was read then.
"""

import itertools

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)

from capture.books import saved
from hoistbook.capture.faults import LoadRefused
from hoistbook.core.quantities.quantity import Origin, Quantity, Source
from hoistbook.core.trials.outcome import Figure, Outcome
from hoistbook.core.vehicle.records import Fact
from hoistbook.services.history import history
from hoistbook.services.record import enter_facts, load_workbook, retire_vanished, waiting_rows
from hoistbook.services.trials import record_trial, trials
from hoistbook.store.changes.models import Change, Order, Vanished
from hoistbook.store.changes.models import Outcome as Outcomes
from hoistbook.store.trials.models import TrialRun
from hoistbook.store.vehicles.models import TABLES
from hoistbook.store.vehicles.reading import read_vehicle
from store.conftest import place, postgresql_template, server, sqlite_template  # noqa: F401

LETTERS = "ABCD"
ALWAYS = 5  # first principles: vehicle, configuration, instrument, its mass, the root of the part tree
PARTS = st.dictionaries(st.sampled_from(LETTERS), st.integers(1, 3), max_size=4)
VALUES = st.dictionaries(st.sampled_from(LETTERS), st.integers(1, 3), max_size=4)
AREA = st.sampled_from([1.1, 1.2])
ORDER = st.permutations(LETTERS)
numbers = itertools.count(1)


def book(code, stated, order):
    """Rows of a workbook that states this, in this order: parts A …, their readings R-A …, their joints J-A …"""
    found = {sheet: [stated[sheet, x] for x in order if (sheet, x) in stated] for sheet in "prj"}
    named = {sheet: [x for x in order if (sheet, x) in stated] for sheet in "prj"}
    fact = {"configuration": "delivered", "plus or minus": 0.04}
    return {
        "vehicle": [{"code": code, "name": code}],
        "configurations": [{"configuration": "delivered"}],
        "facts": [
            {
                **fact,
                "quantity": "mass",
                "value": 1800,
                "unit": "kg",
                "origin": "measured",
                "mass state": "curb",
            },
            {
                **fact,
                "quantity": "drag area",
                "value": stated["f", "area"],
                "unit": "m2",
                "origin": "inferred",
            },
        ],
        "parts": [
            {"tag": "VAN", "name": "van", "kind": "assembly"},
            *(
                {"tag": x, "parent": "VAN", "name": f"part {x}", "kind": "part", "count": n}
                for x, n in zip(named["p"], found["p"], strict=True)
            ),
        ],
        "measurements": [
            {
                "reading": f"R-{x}",
                "of": x,
                "quantity": "mass",
                "value": 100 * n,
                "unit": "g",
                "instrument": "S1",
            }
            for x, n in zip(named["r"], found["r"], strict=True)
        ],
        "joints": [
            {"joint": f"J-{x}", "parts": f"{x}; VAN", "process": ("screwing", "welding", "clipping")[n - 1]}
            for x, n in zip(named["j"], found["j"], strict=True)
        ],
        "instruments": [
            {
                "instrument": "S1",
                "kind": "bench scale",
                "class": "III",
                "step": 1,
                "capacity": 6000,
                "unit": "g",
            }
        ],
    }


def name_of(key):
    sheet, x = key
    return {"p": x, "r": f"R-{x}", "j": f"J-{x}", "f": "drag_area"}[sheet]


def measured(value):
    return Quantity(value, "m2", ((Source("table/drag area"), 0.01),), Origin.MEASURED)


class Record(RuleBasedStateMachine):
    """The record and the model of it, step by step."""

    def __init__(self, place, folder):  # noqa: F811
        super().__init__()
        self.place, self.folder, self.code = place, folder, f"V{next(numbers)}"
        self.counting, self.waiting = {}, set()
        self.facts, self.tests = {}, {}
        self.happened = {}
        self.rows = {}
        self.past = {}
        self.last = None

    # What the model expects

    def note(self, change, key, event):
        self.happened.setdefault(name_of(key), []).append((change, event))

    def expect_load(self, stated, retire):
        """Counts of a load, and the events it brings."""
        events = []
        for key, value in stated.items():
            if key in self.waiting:
                events.append((key, "returned"))
            if key not in self.counting:
                events.append((key, "added"))
            elif self.counting[key] != value:
                events.append((key, "superseded"))
        gone = self.counting.keys() - stated.keys()
        events += [(key, "vanished") for key in gone - self.waiting]
        events += [(key, "retired") for key in gone if retire]
        named = [event for _, event in events]
        first = not self.counting
        expected = {
            "added": named.count("added") + ALWAYS * first,
            "superseded": named.count("superseded"),
            "unchanged": len(stated)
            - named.count("added")
            - named.count("superseded")
            + ALWAYS * (not first),
            "vanished": 0 if retire else len(gone),
            "returned": named.count("returned"),
            "retired": len(gone) if retire else 0,
        }
        self.waiting = set() if retire else gone
        self.counting = {**({} if retire else {key: self.counting[key] for key in gone}), **stated}
        return expected, events

    # What is done

    def load(self, stated, order, *, retire=False):
        expected, events = self.expect_load(stated, retire)
        path = saved(self.folder, book(self.code, stated, order))
        found = load_workbook(self.place, path, "Ines", retire_vanished=retire)
        assert found.counts.as_json() == expected
        assert found.change is not None or not events
        for key, event in events:
            self.note(found.change, key, event)
        self.last = (stated, order)
        return found

    @initialize(parts=PARTS, area=AREA, order=ORDER)
    def first_load(self, parts, area, order):
        self.load({("f", "area"): area, **{("p", x): n for x, n in parts.items()}}, order)

    @rule(parts=PARTS, readings=VALUES, joints=VALUES, area=AREA, order=ORDER, retire=st.booleans())
    def load_another(self, parts, readings, joints, area, order, retire):
        stated = {("f", "area"): area, **{("p", x): n for x, n in parts.items()}}
        stated |= {("r", x): n for x, n in readings.items() if x in parts}
        stated |= {("j", x): n for x, n in joints.items() if x in parts}
        self.load(stated, order, retire=retire)

    @rule(data=st.data())
    def correct_one_row(self, data):
        stated, order = self.last
        key = data.draw(st.sampled_from(sorted(stated)))
        value = data.draw(AREA if key[0] == "f" else st.integers(1, 3))
        self.load({**stated, key: value}, order)

    @rule(order=ORDER)
    def load_the_same_again(self, order):
        stated, former = self.last
        found = self.load(stated, order)
        assert (found.counts.added, found.counts.superseded) == (0, 0)
        assert found.change is None or order != former

    @precondition(lambda self: self.waiting)
    @rule(data=st.data())
    def retire(self, data):
        chosen = set(data.draw(st.lists(st.sampled_from(sorted(self.waiting)), min_size=1, unique=True)))
        left = self.counting.keys() - chosen
        if any(sheet in "rj" and ("p", x) not in left for sheet, x in left):
            with pytest.raises(LoadRefused, match="needed by others"):
                retire_vanished(self.place, self.code, [name_of(key) for key in chosen], "Ines")
            return
        retired = retire_vanished(self.place, self.code, [name_of(key) for key in chosen], "Ines")
        assert {row.name for row in retired} == {name_of(key) for key in chosen}
        change = Change.objects.latest("pk").pk
        for key in chosen:
            self.note(change, key, "retired")
            del self.counting[key]
        self.waiting -= chosen

    @rule()
    def retire_what_does_not_wait(self):
        with pytest.raises(LookupError, match="waits to be retired"):
            retire_vanished(self.place, self.code, ["Q"], "Ines")

    def entered(self, statement, value, counts):
        """Compare the counts of a statement of at most one fact, and follow it."""
        former = self.facts.get(statement)
        event = None
        if value is None:
            event = "retired" if former else None
        elif former is None:
            event = "added"
        elif former[0] != value:
            event = "superseded"
        found = {name: n for name, n in counts.as_json().items() if n}
        assert found == ({event: 1} if event else {} if value is None else {"unchanged": 1})
        if event:
            change = Change.objects.latest("pk").pk
            self.note(change, ("f", "area"), event)
            if value is None:
                self.note(change, ("f", "area"), "vanished")  # from its statement, and retired with it
                del self.facts[statement]
            else:
                self.facts[statement] = (value, change)

    @rule(number=st.integers(1, 2), value=st.sampled_from([None, 0.7, 0.8]))
    def enter_a_fact(self, number, value):
        facts = [] if value is None else [Fact("delivered", "drag_area", measured(value))]
        self.entered(
            f"table {number}", value, enter_facts(self.place, self.code, facts, f"table {number}", "Ruben")
        )

    @rule(number=st.integers(1, 2), value=st.sampled_from([0.6, 0.9]))
    def record_a_test(self, number, value):
        name = f"coast-down {number}"
        figure = Figure("drag_area", "drag area", measured(value), fact="drag_area")
        outcome = Outcome("coastdown", (figure,), (), (), (), ())
        found = record_trial(self.place, self.code, outcome, name=name, person="Ruben")
        event = (
            "added" if name not in self.tests else "unchanged" if self.tests[name] == value else "superseded"
        )
        assert {word: n for word, n in found.trial.as_json().items() if n} == {event: 1}
        self.tests[name] = value
        self.entered(f"test {name}", value, found.facts)

    # What must hold

    @invariant()
    def nothing_written_is_ever_touched(self):
        for model in (*TABLES, TrialRun):
            self.grown(model, model.objects.filter(owner=self.code))
        for model in (Order, Vanished):
            self.grown(model, model.objects.filter(owner=self.code))
        self.grown(Change, Change.objects.filter(subject=f"vehicle {self.code}"))
        self.grown(Outcomes, Outcomes.objects.filter(change__subject=f"vehicle {self.code}"))

    def grown(self, model, rows):
        former, now = self.rows.get(model, []), list(rows.order_by("pk").values_list())
        assert now[: len(former)] == former
        self.rows[model] = now

    @invariant()
    def each_slot_has_one_last_version(self):
        for model in (*TABLES, TrialRun):
            rows = list(model.objects.filter(owner=self.code).values("pk", "supersedes", "statement", "slot"))
            former = [row["supersedes"] for row in rows if row["supersedes"]]
            ends = [(row["statement"], row["slot"]) for row in rows if row["pk"] not in former]
            assert len(set(former)) == len(former)
            assert sorted(set(ends)) == sorted(ends)
            assert set(ends) == {(row["statement"], row["slot"]) for row in rows}

    @invariant()
    def the_record_says_what_the_model_says(self):
        read = read_vehicle(self.code)
        if read is None:
            assert not self.counting
            return
        whole = read.teardown
        said = {("p", node.tag): round(node.count) for node in whole.nodes if node.tag != "VAN"}
        said |= {("r", one.id.removeprefix("R-")): round(10 * one.value.value) for one in whole.measurements}
        said |= {
            ("j", one.id.removeprefix("J-")): 1 + ("screwing", "welding", "clipping").index(one.process)
            for one in whole.joints
        }
        areas = {fact.value.origin: fact.value.value for fact in whole.facts if fact.quantity == "drag_area"}
        said["f", "area"] = areas.pop(Origin.INFERRED)
        assert said == self.counting
        # Of several tests the one entered last counts.
        assert list(areas.values()) == [
            value for value, _ in sorted(self.facts.values(), key=lambda two: two[1])[-1:]
        ]
        assert {row.name for row in waiting_rows(self.place, self.code)} == {
            name_of(key) for key in self.waiting
        }
        assert {
            one.name: one.outcome["figures"][0]["value"] for one in trials(self.place, self.code)
        } == self.tests
        self.past[Change.objects.filter(subject=f"vehicle {self.code}").latest("pk").pk] = whole

    def teardown(self):
        for change, then in self.past.items():
            assert read_vehicle(self.code, change).teardown == then
        for name, events in self.happened.items():
            told = [
                (entry.change, line.event)
                for entry in history(self.place, self.code, name)
                for line in entry.lines
                if line.name == name or (name == "drag_area" and line.sheet == "facts")
            ]
            # Change by change in order, whatever the order within one.
            assert [change for change, _ in told] == sorted(change for change, _ in told)
            assert sorted(told) == sorted(events)


def machine(place, folder, examples, steps):  # noqa: F811
    run_state_machine_as_test(
        lambda: Record(place, folder),
        settings=settings(
            max_examples=examples,
            stateful_step_count=steps,
            deadline=None,
            suppress_health_check=list(HealthCheck),
        ),
    )


def test_any_sequence_keeps_the_record_as_the_model_says(place, tmp_path):  # noqa: F811
    machine(place, tmp_path, 4, 10)


@pytest.mark.slow
def test_many_long_sequences_keep_the_record_as_the_model_says(place, tmp_path):  # noqa: F811
    machine(place, tmp_path, 40, 30)
