"""Loads into a store as a person meets them: corrected workbooks, vanished rows, retiring, facts of tests, history."""

import hashlib
import json
import re
from dataclasses import fields

import pytest

from capture.books import saved, sound, with_new, with_row
from hoistbook.capture.faults import LoadRefused
from hoistbook.capture.read import read_teardown
from hoistbook.capture.write import write_csv_folder
from hoistbook.core.quantities.instruments import Instrument
from hoistbook.core.quantities.quantity import Origin, Quantity, Source
from hoistbook.core.vehicle.records import Basis, Fact, MassState
from hoistbook.services.history import history
from hoistbook.services.loading import found, vehicle_of
from hoistbook.services.record import (
    SHEET_OF,
    enter_facts,
    known_code,
    load_workbook,
    open_record,
    retire_vanished,
    state_of,
    statements,
    teardown,
    vehicles,
    waiting_rows,
)
from hoistbook.services.wording import record_words, value_words
from hoistbook.store.vehicles.mapping import KIND_OF
from store.conftest import place, postgresql_template, server, sqlite_template  # noqa: F401

# first principles: rows of the sound workbook of the capture tests, counted by hand: 1 vehicle, 1 configuration,
# 2 facts, 4 parts, 1 joint, 3 readings, 1 instrument, 2 functions, 2 approaches, 1 content item, 1 effect, 2 steps of
# a route, 2 reasons, 2 figures for checks, and the shares of 1 part. Other figures here are typed in the same test and
# come back unchanged.
ROWS = 26


def numbers(outcome):
    counts = outcome.counts
    return counts.added, counts.superseded, counts.unchanged, counts.vanished


def without(sheet, **cells):
    rows = sound()
    rows[sheet] = [row for row in rows[sheet] if not cells.items() <= row.items()]
    return rows


@pytest.fixture
def record(place):  # noqa: F811
    return place


@pytest.fixture
def load(record, tmp_path):
    return lambda rows, **more: load_workbook(record, saved(tmp_path, rows), "Ines", **more)


def test_a_load_takes_all_and_a_second_one_leaves_no_trace(record, load, tmp_path):
    outcome = load(sound(), note="first")
    assert numbers(outcome) == (ROWS, 0, 0, 0)
    assert teardown(record, "WHI") == read_teardown(tmp_path / "van.xlsx")
    again = load(sound())
    assert numbers(again) == (0, 0, ROWS, 0)
    assert (outcome.change, again.change) == (state_of(record, "WHI"), None)
    line = vehicles(record)[0]
    assert (line.code, line.person, line.parts, line.readings, line.facts, line.waiting) == (
        "WHI",
        "Ines",
        4,
        3,
        2,
        0,
    )


def test_the_same_content_from_another_file_is_noted(record, load, tmp_path):
    first = load(sound())
    write_csv_folder(tmp_path / "csv", sound())
    second = load_workbook(record, tmp_path / "csv", "Ines")
    assert (second.counts.wrote, second.change is not None) == (False, True)
    kept = {source.name: source.sha256 for source in (*first.files, *second.files)}
    assert len(kept) == len(second.files) + 1 > 10
    for name, digest in kept.items():
        path = tmp_path / "csv" / name if name.endswith(".csv") else tmp_path / name
        data = (record.files / digest[:2] / digest).read_bytes()
        assert data == path.read_bytes()
        assert hashlib.sha256(data).hexdigest() == digest
    assert load_workbook(record, tmp_path / "csv", "Ines").change is None


def test_a_corrected_workbook_supersedes_only_what_changed(record, load):
    before = load(sound()).change
    outcome = load(with_row("measurements", value=2.75))
    assert numbers(outcome) == (0, 1, ROWS - 1, 0)
    assert outcome.by_sheet["measurements"].superseded == 1

    def reading(at=None):
        return next(m for m in teardown(record, "WHI", at).measurements if m.id == "R1").value.value

    assert (reading(), reading(before), reading(outcome.change)) == (2.75, 2.5, 2.75)


def test_a_row_put_in_between_leaves_the_others_alone(record, load, tmp_path):
    load(sound())
    rows = with_new("parts", like=3, tag="C0", name="crossbar")
    rows["parts"].insert(1, rows["parts"].pop())
    assert numbers(load(rows)) == (1, 0, ROWS, 0)
    assert [node.tag for node in teardown(record, "WHI").nodes] == ["VAN", "C0", "A1", "B1", "C1"]
    assert teardown(record, "WHI") == read_teardown(tmp_path / "van.xlsx")


def test_shares_go_together(record, load):
    load(sound())
    rows = without("shares", approach="P2")
    rows["shares"][0]["share [%]"] = 100
    assert numbers(load(rows)) == (0, 1, ROWS - 1, 0)
    assert [(s.approach, s.share_frac) for s in teardown(record, "WHI").shares] == [("P1", 1.0)]


def test_vanished_rows_count_are_said_and_can_be_retired(record, load):
    load(sound())
    outcome = load(without("measurements", reading="R3"))
    assert numbers(outcome) == (0, 0, ROWS - 1, 1)
    assert [row.place for row in outcome.vanished] == ["measurements/R3"]
    whole = teardown(record, "WHI")
    assert len(whole.measurements) == 3
    assert any(
        "1 row is no longer in the workbook and still counted until retired: R3" in r for r in whole.reported
    )
    assert numbers(load(without("measurements", reading="R3"))) == (0, 0, ROWS - 1, 1)
    with pytest.raises(LookupError, match="no row 'R4' waits to be retired; known: R3"):
        retire_vanished(record, "WHI", ["R4"], "Ines")
    before = state_of(record, "WHI")
    assert [
        row.name for row in retire_vanished(record, "WHI", ["measurements/R3"], "Ines", "typed twice")
    ] == ["R3"]
    assert waiting_rows(record, "WHI") == ()
    after = teardown(record, "WHI")
    assert ([m.id for m in after.measurements], [r for r in after.reported if "retired" in r]) == (
        ["R1", "R2"],
        [],
    )
    assert len(teardown(record, "WHI", before).measurements) == 3
    assert retire_vanished(record, "WHI", None, "Ines") == ()
    assert load(sound()).by_sheet["measurements"].added == 1


def test_a_row_that_comes_back_is_marked_returned(record, load):
    load(sound())
    load(without("measurements", reading="R3"))
    back = load(sound())
    assert (back.counts.returned, numbers(back)) == (1, (0, 0, ROWS, 0))
    assert waiting_rows(record, "WHI") == ()


def test_retiring_may_be_asked_for_at_once(record, load):
    load(sound())
    outcome = load(without("measurements", reading="R3"), retire_vanished=True)
    assert (outcome.counts.retired, outcome.counts.vanished, outcome.vanished) == (1, 0, ())
    assert len(teardown(record, "WHI").measurements) == 2


def test_new_rows_may_not_contradict_vanished_ones(record, load):
    load(sound())
    renamed = with_row("approaches", approach="P9")
    renamed["shares"][0]["approach"] = "P9"
    before = state_of(record, "WHI")
    with pytest.raises(LoadRefused, match=r"one approach to a function.*--retire-vanished"):
        load(renamed)
    assert state_of(record, "WHI") == before
    assert load(renamed, retire_vanished=True).counts.retired == 1


def test_rows_that_others_need_are_not_retired(record, load):
    load(sound())
    rows = without("parts", tag="B1")
    rows["joints"], rows["measurements"] = [], [m for m in rows["measurements"] if m["of"] != "B1"]
    load(rows)
    with pytest.raises(LoadRefused, match=r"no part has this tag.*needed by others"):
        retire_vanished(record, "WHI", ["B1"], "Ines")
    assert len(retire_vanished(record, "WHI", None, "Ines")) == 3


def test_a_faulty_workbook_leaves_the_record_as_it_was(record, load):
    load(sound())
    before = state_of(record, "WHI")
    with pytest.raises(LoadRefused):
        load(with_row("measurements", value="heavy"))
    assert state_of(record, "WHI") == before


def test_another_vehicle_under_the_same_code_is_refused(record, load):
    load(sound())
    rows = sound()
    for row in rows["parts"]:
        row.update({name: "CAR" for name in ("tag", "parent") if row.get(name) == "VAN"})
    rows["joints"][0]["parts"] = "A1; CAR"
    with pytest.raises(LoadRefused, match="starts from 'VAN'; if this is another vehicle"):
        load(rows)
    with pytest.raises(LoadRefused, match="the record has this vehicle as 'WHI'"):
        load(with_row("vehicle", code="Whi"))


def fact(value, origin=Origin.MEASURED, **more):
    quantity = Quantity(value, "m2", ((Source("coast-down 1/drag area"), 0.01),), origin)
    return Fact("delivered", "drag_area", quantity, **more)


def test_facts_of_a_test_stand_beside_the_workbook(record, load, tmp_path):
    load(sound())
    log = tmp_path / "log.csv"
    log.write_text("time;speed\n")
    assert enter_facts(record, "WHI", [fact(0.71)], "test coast-down 1", "Ines", file=log).added == 1
    assert not enter_facts(record, "WHI", [fact(0.71)], "test coast-down 1", "Ines", file=log).wrote
    assert statements(record, "WHI") == ("workbook", "test coast-down 1")
    areas = [f.value for f in teardown(record, "WHI").facts if f.quantity == "drag_area"]
    # The workbook's is inferred and this one measured: both count, the engines take the stronger.
    assert [(a.value, a.origin) for a in areas] == [(1.2, Origin.INFERRED), (0.71, Origin.MEASURED)]
    assert enter_facts(record, "WHI", [fact(0.73)], "test coast-down 1", "Ines").superseded == 1
    assert enter_facts(record, "WHI", [], "test coast-down 1", "Ines").retired == 1
    assert statements(record, "WHI") == ("workbook",)


def test_of_facts_in_one_slot_the_later_one_counts(record, load):
    load(sound())
    curb = Fact("delivered", "mass", Quantity(1790.0, "kg", (), Origin.MEASURED), MassState.CURB)
    enter_facts(record, "WHI", [fact(0.71, Origin.INFERRED), curb], "table 1", "Ines")
    whole = teardown(record, "WHI")
    assert [f.value.value for f in whole.facts if f.quantity == "drag_area"] == [0.71]
    # As typed: 1.2 m² and 1,800 kg in the workbook, 0.71 m² and 1,790 kg in the table.
    assert {
        (one.was.value.value, one.was_from, one.now.value.value, one.now_from) for one in whole.replaced
    } == {
        (1.2, "workbook", 0.71, "table 1"),
        (1800.0, "workbook", 1790.0, "table 1"),
    }
    assert not any("aside" in line for line in whole.reported)
    load(with_row("facts", 1, value=1.3))
    assert [f.value.value for f in teardown(record, "WHI").facts if f.quantity == "drag_area"] == [1.3]


def test_facts_that_cannot_be_are_refused(record, load):
    load(sound())
    before = state_of(record, "WHI")
    wrong = [
        Fact("delivered", "mass", Quantity(1800.0, "kg"), None),  # mass without state
        fact(0.7, basis=Basis.LABEL, instrument="S9"),
        Fact("on stilts", "mass", Quantity(1800.0, "kg"), MassState.CURB),
    ]
    for one in wrong:
        with pytest.raises(LoadRefused):
            enter_facts(record, "WHI", [one], "test 1", "Ines")
    with pytest.raises(ValueError, match="two rows stand for"):
        enter_facts(record, "WHI", [fact(0.7), fact(0.8)], "test 1", "Ines")
    with pytest.raises(ValueError, match="cannot be entered as 'workbook'"):
        enter_facts(record, "WHI", [fact(0.7)], "workbook", "Ines")
    assert state_of(record, "WHI") == before


def test_vehicles_are_found_by_path_code_or_name(record, load, tmp_path):
    load(sound())
    assert known_code(record, "whi") == known_code(record, "Whimbrel") == "WHI"
    with pytest.raises(LookupError, match="holds no vehicle 'WHY'; did you mean 'WHI'"):
        vehicle_of("WHY", record.folder)
    by_code, by_path = found("WHI", record.folder), found(tmp_path / "van.xlsx", record.folder)
    assert by_code.teardown == by_path.teardown
    assert (by_code.state, by_path.record) == (state_of(record, "WHI"), None)
    with pytest.raises(LookupError, match="held no vehicle 'WHI' at change 0"):
        teardown(record, "WHI", 0)


def spoiling(monkeypatch, spoil):
    """Let somebody save while the program reads."""
    from hoistbook.services import record as module

    read = module.read_teardown

    def read_and_spoil(path, progress=None):
        whole = read(path, progress=progress)
        spoil(path)
        return whole

    monkeypatch.setattr(module, "read_teardown", read_and_spoil)


def test_the_file_must_stay_as_it_was_read(record, tmp_path, monkeypatch):
    path = saved(tmp_path, sound())
    spoiling(monkeypatch, lambda path: path.write_bytes(path.read_bytes() + b"\0"))
    with pytest.raises(ValueError, match="was changed while it was being read"):
        load_workbook(record, path, "Ines")
    assert vehicles(record) == ()
    assert [p for p in record.files.rglob("*") if p.is_file()] == []


def test_a_file_that_is_kept_already_must_stay_too(record, load, tmp_path, monkeypatch):
    load(sound())
    before = state_of(record, "WHI")
    spoiling(monkeypatch, lambda path: path.write_bytes(path.read_bytes() + b"\0"))
    with pytest.raises(ValueError, match="was changed while it was being read"):
        load(with_row("measurements", value=2.75))
    path = saved(tmp_path, sound())  # the bytes that are kept
    with pytest.raises(ValueError, match="was changed while it was being read"):
        load_workbook(record, path, "Ines")
    assert state_of(record, "WHI") == before


@pytest.mark.parametrize("spoil", ["a sheet more", "a sheet less"])
def test_a_folder_must_stay_as_it_was_read(record, tmp_path, monkeypatch, spoil):
    write_csv_folder(tmp_path / "csv", sound())
    if spoil == "a sheet more":
        spoiling(monkeypatch, lambda path: (path / "late.csv").write_text("a;b\n"))
    else:
        spoiling(monkeypatch, lambda path: (path / "effects.csv").unlink())
    with pytest.raises(ValueError, match=r"came to .*csv or went while it was being read"):
        load_workbook(record, tmp_path / "csv", "Ines")
    assert vehicles(record) == ()


def test_an_empty_store_says_how_to_fill_it(record):
    with pytest.raises(LookupError, match="holds no vehicle yet; hoistbook load PATH --store"):
        teardown(record, "WHI")
    assert open_record(record.folder).id == record.id


def test_the_history_of_a_name_reaches_every_sheet_it_stands_in(record, load):
    load(sound())

    def sheets(*names):
        return {
            line.sheet for name in names for entry in history(record, "WHI", name) for line in entry.lines
        }

    # first principles: read off the sound workbook, where each of these names stands.
    assert sheets("A1") == {"parts", "joints", "measurements", "routes", "reasons"}
    assert sheets("C1") == {"parts", "measurements", "shares", "reasons"}
    assert sheets("span_left_m") == sheets("half_shaft_angle") == {"checks"}
    others = sheets("delivered", "S1", "drag area", "F1", "tow bar", "inclination_rad")
    # Whatever kind of row a workbook has, some name in it leads there; the vehicle has a history of its own.
    apart = {"vehicle", "own columns", "remarks"}
    assert sheets("A1", "C1") | others == set(SHEET_OF.values()) - apart


def test_every_kind_of_row_and_field_has_words(tmp_path):
    whole = read_teardown(saved(tmp_path, sound()))
    for kind in KIND_OF.values():
        held = getattr(whole, kind.held_in)
        records = (
            [held] if kind.sheet == "vehicle" else list(getattr(held, "values", lambda held=held: held)())
        )
        assert records, kind.sheet  # the sound workbook has every sheet
        for record in records:
            assert record_words(record).startswith("instrument ") == isinstance(record, Instrument)
            for field in fields(record):
                words = value_words(getattr(record, field.name), getattr(record, "quantity", ""))
                assert words
                assert not re.search(r"[(<\[{]'|\bobject at\b", words), (
                    words
                )  # no value as the program writes it


def test_a_corrected_route_is_told_by_the_history(record, load):
    load(sound())
    rows = with_row("routes", options="line: transfer; metal: steel")
    rows["reasons"][0]["in words"] = "turns on the rail"
    assert load(rows).counts.superseded == 2
    lines = [line for entry in history(record, "WHI") for line in entry.lines]
    assert {(line.sheet, line.words, line.fields) for line in lines} == {
        (
            "routes",
            "step 1 of A1: sheet stamping",
            (("options", "line: progressive; metal: steel", "line: transfer; metal: steel"),),
        ),
        (
            "reasons",
            "reason of A1: moves against it in use",
            (("in words", "slides along the rail", "turns on the rail"),),
        ),
    }


def test_a_corrected_figure_for_a_check_is_told_in_the_unit_it_is_read_in(record, load):
    load(sound())
    assert load(with_row("checks", value=352)).counts.superseded == 1
    (line,) = [line for entry in history(record, "WHI") for line in entry.lines]
    ((field, was, now),) = line.fields
    # first principles: 350 and 352 mm as typed, the band ± 3 mm.
    assert (line.sheet, line.words, field) == (
        "checks",
        "Half-shaft angles and steering pull: span of the left half shaft",
        "value",
    )
    assert [text.replace("\u202f", " ") for text in (was, now)] == ["350.0 ± 3.0 mm", "352.0 ± 3.0 mm"]
    assert line.evidence == "photo 9"


def test_a_figure_for_a_check_that_is_no_longer_stated_can_be_retired(record, load):
    load(sound())
    rows = sound()
    del rows["checks"][0]
    assert load(rows).counts.vanished == 1
    assert [row.name for row in waiting_rows(record, "WHI")] == ["half_shaft_angle / span_left_m"]
    assert len(teardown(record, "WHI").check_readings) == 2
    retire_vanished(record, "WHI", ["half_shaft_angle / span_left_m"], "ann")
    (left,) = teardown(record, "WHI").check_readings
    assert left.reading == "inclination_rad"
    assert len(teardown(record, "WHI", at=1).check_readings) == 2


def test_counts_for_scripts(load):
    # The contract of the issue for scripts.
    found = json.loads(json.dumps(load(sound()).as_json()))
    assert {name: found[name] for name in ("added", "superseded", "unchanged", "vanished")} == {
        "added": ROWS,
        "superseded": 0,
        "unchanged": 0,
        "vanished": 0,
    }


def test_a_file_that_is_refused_for_its_size_is_not_hashed_first(place, tmp_path, monkeypatch):  # noqa: F811
    from hoistbook.capture.tables import Limits
    from hoistbook.services import kept_files
    from hoistbook.services.study import load_study

    monkeypatch.setattr(kept_files, "sha256_of", lambda path: pytest.fail(f"{path} was hashed"))
    path = tmp_path / "van.xlsx"
    with path.open("wb") as file:
        file.truncate(Limits().unpacked_bytes + 1)  # sparse: takes no room
    for read in (load_workbook, load_study):
        with pytest.raises(LoadRefused, match="more than 60000000 bytes"):
            read(place, path, "Ines")
