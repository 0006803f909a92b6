"""History in the words of the trade; results kept, shown again and explained."""

import pytest

from capture.books import saved, sound, with_row
from hoistbook.services import explained as explaining
from hoistbook.services import keeping
from hoistbook.services.explained import explained_change, figures
from hoistbook.services.history import changed_between, history
from hoistbook.services.kept import kept_or_worked_out, mass_of, model_version, result, results_of
from hoistbook.services.record import load_workbook, retire_vanished, state_of
from store.conftest import place, postgresql_template, server, sqlite_template  # noqa: F401


@pytest.fixture
def record(place, tmp_path):  # noqa: F811
    load_workbook(place, saved(tmp_path, sound()), "Ines", "as delivered")
    return place


@pytest.fixture
def load(record, tmp_path):
    return lambda rows, **more: load_workbook(record, saved(tmp_path, rows), "Bo", **more)


def told(record, tag=None):
    return [
        (entry.person, [(ln.event, ln.name, ln.fields) for ln in entry.lines])
        for entry in history(record, "WHI", tag)
    ]


def test_history_of_a_reading(record, load):
    load(with_row("measurements", value=2.75, person="Bo"), note="scale re-zeroed")
    first, second = history(record, "WHI", "R1")
    assert (first.person, first.note, first.file_name) == ("Ines", "as delivered", "van.xlsx")
    assert (second.person, second.note) == ("Bo", "scale re-zeroed")
    assert [ln.event for ln in first.lines] == ["added"]
    (line,) = second.lines
    assert (line.event, line.words, line.evidence) == ("superseded", "reading R1: mass of A1", "S1, Bo")
    by_field = {
        field: (old.replace("\u202f", " "), new.replace("\u202f", " ")) for field, old, new in line.fields
    }
    # published: OIML R 76-1, table 6: class III, e = 1 g, 2000 e to 10000 e: 1.5 e at verification, twice that in
    # service = 3 g. u = sqrt((3/√3)² + (1/√12)²) g = 1.756 g, U = 1.96 u = 3.44 g, printed as 3.5 g.
    assert by_field["value"] == ("2.5000 ± 0.0035 kg", "2.7500 ± 0.0035 kg")
    assert by_field["person"] == ("nothing", "Bo")


def test_history_of_a_part_a_fact_a_function(record, load):
    load(with_row("parts", 1, count=3))
    assert told(record, "A1")[1] == ("Bo", [("superseded", "A1", (("count", "2", "3"),))])
    names = [name for _, lines in told(record, "A1") for _, name, _ in lines]
    made = ["A1 / 1", "A1 / 2", "A1 / moves against it in use"]  # steps of its route, and why it is a part
    assert names == ["A1", "J1", "R1", *made, "A1"]
    ((_, facts),) = told(record, "drag area")
    assert [(event, fields[0][2].replace("\u202f", " ")) for event, _, fields in facts] == [
        ("added", "1.200 ± 0.040 m²")
    ]
    assert {name for _, lines in told(record, "F1") for _, name, _ in lines} == {
        "F1",
        "P1",
        "F1 / drag_torque",
        "A1",
    } - {"A1"}
    assert [fields for _, lines in told(record, "P2") for event, name, fields in lines if name == "C1"] == [
        (("shares", "nothing", "P1 60 %; P2 40 %"),)
    ]
    with pytest.raises(
        LookupError, match="nothing in the record is called 'deliverd'; did you mean 'delivered'"
    ):
        history(record, "WHI", "deliverd")


def test_history_of_a_vehicle_counts_what_was_new(record, load):
    rows = sound()
    del rows["measurements"][2]
    load(rows)
    retire_vanished(record, "WHI", None, "Cleo", "never taken")
    load(sound())
    assert told(record) == [
        ("Ines", []),
        ("Bo", [("vanished", "R3", told(record)[1][1][0][2])]),
        ("Cleo", [("retired", "R3", told(record)[2][1][0][2])]),
        ("Bo", []),
    ]
    assert history(record, "WHI")[0].counts["parts"]["added"] == 4
    assert history(record, "WHI")[3].counts["measurements"]["added"] == 1
    assert [event for _, lines in told(record, "R3") for event, _, _ in lines] == [
        "added", "vanished", "retired", "added",
    ]  # fmt: skip


def test_between_two_states_a_row_is_told_once(record, load):
    first = state_of(record, "WHI")
    for value in (2.6, 2.7, 2.5):
        load(with_row("measurements", value=value))
        if value == 2.7:
            (line,) = changed_between(record, "WHI", first, state_of(record, "WHI"))
            assert [field for field, _, _ in line.fields] == ["value"]
            assert line.fields[0][1].startswith("2.5")
            assert line.fields[0][2].startswith("2.7")
    assert changed_between(record, "WHI", first, state_of(record, "WHI")) == ()


def test_an_answer_is_kept_and_not_worked_out_twice(record):
    asked = []

    def work():
        asked.append(1)
        return {"figure_kg": 2.5, "name": "μ"}

    inputs = {"states": {"WHI": 1}, "draws": 10}
    for _ in range(2):
        assert kept_or_worked_out(record, "test", inputs, work) == {"figure_kg": 2.5, "name": "μ"}
    assert len(asked) == 1
    kept_or_worked_out(record, "test", {**inputs, "draws": 11}, work)
    assert len(asked) == 2
    (first, _) = results_of(record)
    assert (first.subject, first.kind, first.model_version) == ("WHI", "test", model_version())
    assert result(record, first.hash[:8]).value["figure_kg"] == 2.5
    with pytest.raises(LookupError, match="no kept result begins with 'zz'"):
        result(record, "zz")
    with pytest.raises(ValueError, match="'test' cannot be worked out anew"):
        explained_change(record, first)


def test_another_model_answers_anew_and_the_old_answer_stays(record, monkeypatch):
    inputs = {"states": {"WHI": 1}}
    kept_or_worked_out(record, "test", inputs, lambda: {"x": 1})
    monkeypatch.setattr(keeping, "model_version", lambda: "9.9+other")
    assert kept_or_worked_out(record, "test", inputs, lambda: {"x": 2}) == {"x": 2}
    assert sorted(result(record, one.hash).value["x"] for one in results_of(record)) == [1, 2]


def mass_now(record):
    return mass_of(record, "WHI")["parts"]["value"]


def test_a_moved_figure_is_explained_by_the_records(record, load):
    before = mass_now(record)
    assert mass_now(record) == before
    assert len(results_of(record, ["WHI"])) == 1
    load(with_row("measurements", value=2.75))
    found = explained_change(record, results_of(record)[0])
    assert not found.model_changed
    assert [line.name for line in found.records["WHI"]] == ["R1"]
    parts = next(moved for moved in found.moved if moved.place == "parts.value")
    # first principles: two arms, each 0.25 kg heavier.
    assert parts.new - parts.old == pytest.approx(0.5, abs=1e-9)
    assert (parts.model, parts.data) == (0.0, pytest.approx(0.5, abs=1e-9))
    assert mass_now(record) == pytest.approx(before + 0.5, abs=1e-9)
    assert len(results_of(record, ["WHI"])) == 2


def test_what_the_model_moved_is_parted_from_what_the_records_moved(record, load, monkeypatch):
    kept_then = mass_of(record, "WHI")
    old = results_of(record)[0]
    load(with_row("measurements", value=2.75))
    # A later program that finds everything 1 kg heavier.
    from hoistbook.services import kept

    plain = kept.QUESTIONS["mass"]

    def heavier(*asked):
        answer = plain(*asked)
        return {**answer, "parts": {**answer["parts"], "value": answer["parts"]["value"] + 1.0}}

    monkeypatch.setitem(kept.QUESTIONS, "mass", heavier)
    for module in (keeping, explaining):
        monkeypatch.setattr(module, "model_version", lambda: "9.9+other")
    found = explained_change(record, result(record, old.hash))
    assert found.model_changed
    parts = next(moved for moved in found.moved if moved.place == "parts.value")
    assert (parts.model, parts.data) == (pytest.approx(1.0, abs=1e-9), pytest.approx(0.5, abs=1e-9))
    assert parts.new - parts.old == pytest.approx(parts.model + parts.data, abs=1e-9)
    assert result(record, old.hash).value == kept_then


def test_figures_go_by_name():
    found = dict(
        figures({"a": [{"name": "tyres", "value": 1}, {"value": 2}], "b": {"c": 3.5}, "d": "x", "e": True})
    )
    assert found == {"a[tyres].value": 1.0, "a[1].value": 2.0, "b.c": 3.5}
