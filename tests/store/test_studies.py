"""Studies in the record: they come back as they were, keep their history, and frozen versions stay."""

import dataclasses
import json
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from capture.study_books import sound
from hoistbook.capture.read_study import read_study
from hoistbook.capture.study_schema import STUDY_SHEETS
from hoistbook.capture.write import write_workbook
from hoistbook.core.compare.study import Study, StudyContent, StudyVehicle, differences, to_freeze
from hoistbook.core.quantities.quantity import Origin, Quantity, Source
from hoistbook.core.vehicle.records import ContentItem, Rule


@pytest.fixture(scope="module")
def study(tmp_path_factory):
    rows = sound()
    rows["vehicles"][0]["_bay"] = "3"
    path = tmp_path_factory.mktemp("study") / "study.xlsx"
    write_workbook(path, rows, STUDY_SHEETS)
    return read_study(path)


def stated(study, person="Kim"):
    from hoistbook.store.studies.reading import state_study
    from hoistbook.store.writing import writing

    with writing(person, "load", f"study {study.code}") as change:
        return state_study(study, change), change.pk


def test_a_study_comes_back_as_it_was(place, study):
    from hoistbook.store.studies.reading import stored_study, study_codes

    counts, _ = stated(study)
    assert (counts.superseded, counts.unchanged, counts.vanished) == (0, 0, 0)
    # What was met on loading belongs to the load, not to the study.
    assert stored_study("s1") == replace(study, reported=())
    assert study_codes() == ("s1",)
    assert stored_study("s2") is None


def test_the_same_study_again_writes_nothing(place, study):
    first, _ = stated(study)
    again, _ = stated(study)
    assert (again.added, again.superseded, again.unchanged) == (0, 0, first.added)
    assert not again.wrote


def test_a_corrected_study_supersedes_only_what_changed(place, study):
    from hoistbook.store.studies.reading import retire_rows, stored_study, vanished_slots
    from hoistbook.store.writing import writing

    _, before = stated(study)
    corrected = replace(
        study, question="Why?", vehicles=study.vehicles[::-1], findings=study.findings[:1], reported=()
    )
    counts, _ = stated(corrected)
    assert (counts.added, counts.superseded, counts.vanished) == (0, 1, 1)
    found = stored_study("s1")
    assert (found.question, found.codes) == ("Why?", ("B", "A"))
    assert len(found.findings) == 2  # until somebody confirms that it is gone
    assert stored_study("s1", before) == replace(study, reported=())
    with writing("Kim", "retire", "study s1") as change:
        retire_rows("s1", vanished_slots("s1"), change)
    assert stored_study("s1") == corrected
    assert vanished_slots("s1") == ()


def test_frozen_versions_are_numbered_and_stay(place, study):
    from django.db import DatabaseError, transaction

    from hoistbook.store.studies.models import StudyVersion
    from hoistbook.store.studies.reading import add_version, versions
    from hoistbook.store.writing import writing

    stated(study)
    one = to_freeze(study, study.content)
    two = to_freeze(replace(study, question="Why?"), study.content[:1])
    for person, frozen, found in (("Kim", one, ()), ("Ada", two, differences(one, two))):
        with writing(person, "freeze", "study s1") as change:
            add_version("s1", frozen, found, change)
    first, second = versions("s1")
    assert (first.number, first.person, first.frozen, first.differences) == (1, "Kim", one, ())
    assert (second.number, second.person, second.frozen) == (2, "Ada", two)
    assert second.differences == differences(one, two) != ()
    for touch in (lambda: StudyVersion.objects.update(number=7), lambda: StudyVersion.objects.all().delete()):
        with pytest.raises(DatabaseError, match="append-only"), transaction.atomic():
            touch()
    assert [version.number for version in versions("s1")] == [1, 2]


FIGURES = st.builds(
    lambda value, u, shape, dof: Quantity(
        value, "kg", ((Source("a/b", shape, dof=dof), u),), Origin.INFERRED
    ),
    st.floats(-1e9, 1e9),
    st.floats(1e-9, 1e3),
    st.sampled_from(["normal", "rectangular", "triangular"]),
    st.sampled_from([float("inf"), 3.0]),
)
WORDS = st.text(st.characters(exclude_categories=("Cs",)), max_size=8)


@given(FIGURES, WORDS, st.sampled_from(Rule))
def test_records_survive_text_to_the_last_digit(value, words, rule):
    from hoistbook.store.studies.mapping import frozen_of, frozen_text

    item = ContentItem(words, words, rule, "mass", value, words)
    frozen = to_freeze(Study("s", "t", words, vehicles=(StudyVehicle(words),)), (StudyContent(words, item),))
    assert frozen_of(frozen_text(frozen)) == frozen


def test_every_field_of_a_study_is_kept():
    from hoistbook.store.studies.mapping import SHEETS

    kept = {sheet.field for sheet in SHEETS.values()} | {"code", "title", "question", "owner", "note"}
    # What was met on loading belongs to the load.
    assert kept | {"reported"} == {field.name for field in dataclasses.fields(Study)}


@given(st.lists(WORDS, min_size=2, max_size=2), st.lists(WORDS, min_size=2, max_size=2))
def test_slots_are_alike_only_for_the_same_names(one, other):
    from hoistbook.core.compare.study import EqualityRow
    from hoistbook.store.studies.mapping import slot_words, study_rows

    slots = [
        next(
            slot
            for slot in study_rows(Study("s", "t", "q", equality=(EqualityRow(*names),)))
            if "equality" in slot
        )
        for names in (one, other)
    ]
    assert (slots[0] == slots[1]) is (one == other)
    assert slot_words(json.dumps(["vehicles", "A"])) == "vehicles: A"
