"""A study: whose content counts, what is frozen, what changed, and what is wrong with it."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoistbook.core.compare.strip_plan import StripStep
from hoistbook.core.compare.study import (
    EqualityRow,
    Finding,
    FindingKind,
    StatedIn,
    Study,
    StudyAssumption,
    StudyContent,
    StudyVehicle,
    differences,
    effective_content,
    to_freeze,
    with_content,
)
from hoistbook.core.compare.study_problems import open_points, problems
from hoistbook.core.compare.study_settings import SURE_ENOUGH_FRAC, Settings, settings
from hoistbook.core.quantities.quantity import Quantity, Source
from hoistbook.core.vehicle.records import Configuration, ContentItem, Function, Rule, Teardown, Vehicle
from hoistbook.reference.taxonomy import taxonomy


def item(name, kg=5.0, u=0.1, **more):
    return ContentItem(name, "", Rule.STRIP, "mass", Quantity(kg, "kg", ((Source(name), u),)), **more)


LENGTH = replace(item("bar"), quantity="length", value=Quantity(1.0, "m"))


def vehicle(code, *content, configurations=("as is",)):
    return Teardown(
        Vehicle(code, code),
        tuple(Configuration(name, code) for name in configurations),
        functions=(Function("F1", "load floor", aliases=("cargo floor",)),),
        content=content,
    )


STUDY = Study(
    "s",
    "title",
    "why?",
    vehicles=(StudyVehicle("X"), StudyVehicle("Y"), StudyVehicle("Z")),
    equality=(EqualityRow("payload", "X", "700", "kg"), EqualityRow("payload", "Y", "700", "kg", equal=True),
              EqualityRow("payload", "Z", "700", "kg", equal=True)),
    content=(StudyContent("Y", item("tow bar")),),
    assumptions=(StudyAssumption("duty", "udds"),),
)  # fmt: skip
VANS = {"X": vehicle("X", item("rack")), "Y": vehicle("Y", item("own bar"), item("mat")), "Z": vehicle("Z")}


def test_rows_of_the_study_replace_the_whole_sheet_of_a_vehicle():
    found = effective_content(STUDY, VANS)
    assert [(row.vehicle, row.item.item, row.stated_in) for row in found] == [
        ("X", "rack", StatedIn.VEHICLE), ("Y", "tow bar", StatedIn.STUDY),
    ]  # fmt: skip
    assert [c.item for c in with_content(VANS["Y"], found).content] == ["tow bar"]
    assert with_content(VANS["Z"], found).content == ()


def frozen(study=STUDY, vans=VANS):
    return to_freeze(study, effective_content(study, vans))


def test_nothing_changed_is_no_difference():
    assert differences(frozen(), frozen()) == ()
    shuffled = replace(STUDY, equality=STUDY.equality[::-1], note="n", owner="o", title="t")
    assert differences(frozen(), frozen(shuffled)) == ()


@pytest.mark.parametrize(
    ("change", "sheet", "words"),
    [
        ({"question": "how?"}, "question", "was why?, is how?"),
        ({"vehicles": (STUDY.vehicles[1], STUDY.vehicles[0], STUDY.vehicles[2])}, "vehicles", "was 1, is 2"),
        ({"vehicles": (StudyVehicle("X", "tall"), *STUDY.vehicles[1:])}, "vehicles", "was blank, is tall"),
        ({"equality": STUDY.equality[:2]}, "equality", "taken away (700 kg, yes)"),
        ({"content": (StudyContent("Y", item("tow bar", 5.001)),)}, "content", "5.001 kg"),
        ({"content": (StudyContent("Y", item("tow bar", 5.0, 0.2)),)}, "content", "value was"),
        ({"content": ()}, "content", "own bar of Y, strip mass: added"),
        ({"assumptions": (StudyAssumption("duty", "wltc3b"),)}, "assumptions", "was udds, is wltc3b"),
    ],
)
def test_every_change_of_what_is_frozen_is_listed(change, sheet, words):
    found = differences(frozen(), frozen(replace(STUDY, **change)))
    assert found
    assert {each.sheet for each in found} == {sheet}
    assert any(words in str(each) for each in found)


def test_content_of_a_vehicle_s_own_workbook_is_frozen_too():
    later = {**VANS, "X": vehicle("X", item("rack", 6.0))}
    [found] = differences(frozen(), frozen(vans=later))
    assert str(found).startswith("content: rack of X, strip mass: value was 5 kg")
    # Y's own sheet does not count, since the study has rows for Y.
    assert differences(frozen(), frozen(vans={**VANS, "Y": vehicle("Y")})) == ()


@given(st.floats(0.001, 1e5), st.floats(0.001, 1e5))
def test_differences_are_there_exactly_when_a_figure_differs(one, other):
    a, b = (frozen(replace(STUDY, content=(StudyContent("Y", item("bar", kg)),))) for kg in (one, other))
    # Twelve digits are more than anybody types.
    assert bool(differences(a, b)) is (f"{one:.12g}" != f"{other:.12g}")
    assert {(d.was, d.now) for d in differences(a, b)} == {(d.now, d.was) for d in differences(b, a)}


def test_pairs_start_at_the_first_vehicle_and_take_in_the_sisters():
    assert STUDY.pairs() == (("X", "Y"), ("X", "Z"))
    sister = Finding("F1", FindingKind.CARRIED_OVER, ("Z",), taken_from="Y")
    assert replace(STUDY, findings=(sister,)).pairs() == (("X", "Y"), ("X", "Z"), ("Y", "Z"))


def rows(**values):
    return [StudyAssumption(name.replace("_", " "), value) for name, value in values.items()]


def test_settings_from_assumptions():
    # first principles: what is typed comes back as a number; 90 % is 0.9, 1 % is 0.01.
    found = settings(
        rows(Quantity="energy", duty="udds", draws="500", seed="7", sure_enough="90 %", piece_spread="1%")
    )
    assert found == Settings("energy", "udds", 500, 7, 0.9, 0.01)
    assert settings(rows(volume="60000 a year")) == Settings()
    assert SURE_ENOUGH_FRAC == 0.95  # project rule: design section 6, the level of every band
    assert settings(rows(sure_enough="0.8")).sure_enough_frac == 0.8


@pytest.mark.parametrize(
    "row",
    [{"draws": "99"}, {"draws": "4e3"}, {"seed": "-1"}, {"sure_enough": "95"}, {"sure_enough": "40 %"},
     {"quantity": "torque"}, {"piece_spread": "a little"}],
)  # fmt: skip
def test_assumptions_that_cannot_be_read_are_problems(row):
    study = replace(STUDY, assumptions=tuple(rows(**row)))
    [problem] = problems(study)
    assert (problem.sheet, problem.field) == ("assumptions", "value")
    with pytest.raises(ValueError, match="assumption"):
        settings(study.assumptions)


@pytest.mark.parametrize(
    ("change", "place"),
    [
        ({"vehicles": STUDY.vehicles[:1], "equality": (), "content": ()}, ("vehicles", "vehicle")),
        ({"vehicles": (*STUDY.vehicles, StudyVehicle("X", "b"))}, ("vehicles", "vehicle")),
        ({"equality": (*STUDY.equality, STUDY.equality[0])}, ("equality", "property")),
        ({"equality": (EqualityRow("seats", "V", "3"),)}, ("equality", "vehicle")),
        ({"content": (StudyContent("Q", item("bar")),)}, ("content", "vehicle")),
        ({"content": (StudyContent("X", item("bar")),) * 2}, ("content", "quantity")),
        ({"content": (StudyContent("X", LENGTH),)}, ("content", "quantity")),
        ({"content": (StudyContent("X", replace(item("bar"), rule=Rule.SCALE)),)}, ("content", "unit")),
        ({"content": (StudyContent("X", item("bar", -1.0)),)}, ("content", "value")),
        ({"assumptions": tuple(rows(duty="us") + rows(Duty="udds"))}, ("assumptions", "assumption")),
        ({"assumptions": tuple(rows(duty="cycle.csv"))}, ("assumptions", "value")),
        ({"findings": (Finding("F1", FindingKind.SAME, ("X",)),)}, ("findings", "vehicles")),
        ({"findings": (Finding("F1", FindingKind.SAME, ("X", "Y"), "Z"),)}, ("findings", "from")),
        ({"findings": (Finding("F1", FindingKind.CARRIED_OVER, ("X",)),)}, ("findings", "from")),
        ({"findings": (Finding("F1", FindingKind.CARRIED_OVER, ("X",), "X"),)}, ("findings", "from")),
        ({"findings": (Finding("F1", FindingKind.SAME, ("X", "Q")),)}, ("findings", "vehicles")),
        ({"strip_plan": (StripStep(1, "Y", "a"), StripStep(1.0, "Y", "b"))}, ("strip plan", "step")),
        ({"strip_plan": (StripStep(1, "Q", "a"),)}, ("strip plan", "vehicle")),
    ],
)
def test_problems_name_sheet_and_column(change, place):
    found = problems(replace(STUDY, **change))
    assert {(problem.sheet, problem.field) for problem in found} == {place}


def test_a_sound_study_has_no_problems_and_no_open_points():
    assert problems(STUDY) == []
    assert open_points(STUDY, effective_content(STUDY, VANS), VANS, taxonomy()) == ()


def points(study=STUDY, vans=VANS):
    return [(p.sheet, p.blocks) for p in open_points(study, effective_content(study, vans), vans, taxonomy())]


def test_what_is_not_there_blocks_freezing():
    assert points(vans={"X": VANS["X"], "Y": VANS["Y"]}) == [("vehicles", True)]
    two = {**VANS, "X": vehicle("X", configurations=("a", "b"))}
    assert points(vans=two) == [("vehicles", True)]
    named = replace(STUDY, vehicles=(StudyVehicle("X", "b"), *STUDY.vehicles[1:]))
    assert points(named, two) == []
    assert points(named) == [("vehicles", True)]
    lost = replace(STUDY, content=(StudyContent("Y", item("bar", function="F9")),))
    assert points(lost) == [("content", True)]
    alias = replace(STUDY, content=(StudyContent("Y", item("bar", function="Cargo  floor")),))
    assert points(alias) == []


def test_findings_of_nothing_and_loose_equality_are_said():
    finding = Finding("F9", FindingKind.SAME, ("X", "Y"))
    assert points(replace(STUDY, findings=(finding,))) == [("findings", False)]
    assert points(replace(STUDY, findings=(replace(finding, function="seats and restraints"),))) == []
    for equality, count in (
        ((), 1),
        (STUDY.equality[:2], 1),  # no value for Z
        ((*STUDY.equality[:2], EqualityRow("payload", "Z", "650", "kg", equal=True)), 1),
        ((*STUDY.equality[:2], EqualityRow("payload", "Z", "650", "kg", equal=True, note="trim")), 0),
        ((*STUDY.equality[:2], EqualityRow("payload", "Z", "650", "kg", equal=False)), 1),
        ((*STUDY.equality[:2], EqualityRow("payload", "Z", "650", "kg")), 1),
    ):
        assert points(replace(STUDY, equality=equality)) == [("equality", False)] * count
