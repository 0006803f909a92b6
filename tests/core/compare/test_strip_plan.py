"""The strip plan: what is lost, what is out of order, which cautions its words call for."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoistbook.core.compare.strip_plan import FlagWeight, StepStatus, StripStep, plan_flags, tags_in
from hoistbook.core.vehicle.hazards import HAZARDS, WHO_DECIDES, cautions
from hoistbook.core.vehicle.records import Node, NodeKind
from hoistbook.core.vehicle.tree import PartTree

TREE = PartTree(
    [
        Node("T-0", None, "van"),
        Node("T-1", "T-0", "axle module", NodeKind.ASSEMBLY),
        Node("T-11", "T-1", "hub"),
        Node("T-2", "T-0", "wheel", count=4.0),
    ]
)
SOUND = StripStep(1, "T", "T-1 axle module", "Kim", record_before=("photo",), recorded=("photo: T-0301",))

MIXED = [
    replace(SOUND, step=1, what="T-11"),
    replace(SOUND, step=2, what="T-1", status=StepStatus.REMOVED),
    replace(SOUND, step=3, what="T-2", status=StepStatus.READY),
    replace(SOUND, step=4, what="?"),
]


def flags(*steps, trees=None):
    return plan_flags(steps, {"T": TREE} if trees is None else trees)


def weights(*steps):
    return [flag.weight for flag in flags(*steps)]


def test_a_sound_step_has_no_flag():
    assert flags(SOUND, replace(SOUND, step=2, what="T-11 hub")) == ()


def test_removed_with_something_unrecorded_is_lost():
    step = replace(SOUND, status=StepStatus.REMOVED, record_before=("photo", "Routing", "clip positions"),
                   recorded=("photo: T-0301", "routing"))  # fmt: skip
    [flag] = flags(step)
    assert flag.weight is FlagWeight.LOST
    assert "clip positions" in flag.message
    assert "outing" not in flag.message  # recorded, in other letters
    assert "cannot be recovered" in flag.message


@pytest.mark.parametrize(
    ("status", "expected"),
    [
        (StepStatus.PLANNED, []),
        (StepStatus.READY, [FlagWeight.OPEN]),
        (StepStatus.REMOVED, [FlagWeight.LOST]),
        (StepStatus.PUT_ASIDE, []),
    ],
)
def test_an_open_record_weighs_by_status(status, expected):
    assert weights(replace(SOUND, status=status, recorded=())) == expected


def test_a_part_before_the_assembly_that_holds_it():
    hub, axle = replace(SOUND, step=1, what="T-11 hub"), replace(SOUND, step=2)
    [flag] = flags(hub, axle)
    assert (flag.weight, flag.step) == (FlagWeight.ORDER, 1)
    assert "T-11" in flag.message
    assert "step 2" in flag.message
    assert flags(replace(hub, step=3), axle) == ()


def test_a_step_done_before_an_earlier_one():
    first, second = SOUND, replace(SOUND, step=2, what="T-2 wheel", status=StepStatus.REMOVED)
    [flag] = flags(first, second)
    assert (flag.weight, flag.step) == (FlagWeight.ORDER, 2)
    assert flags(replace(first, status=StepStatus.PUT_ASIDE), second) == ()


def test_a_part_comes_off_once_and_four_wheels_four_times():
    assert weights(SOUND, replace(SOUND, step=2)) == [FlagWeight.ORDER]
    assert weights(*(replace(SOUND, step=n, what="T-2 wheel") for n in range(1, 5))) == []


def test_nobody_nothing_and_no_tag():
    assert weights(replace(SOUND, who="")) == [FlagWeight.OPEN]
    assert weights(replace(SOUND, record_before=())) == [FlagWeight.OPEN]
    assert weights(replace(SOUND, what="the axle")) == [FlagWeight.OPEN]
    assert flags(replace(SOUND, what="the axle"), trees={}) == ()


@given(st.permutations(MIXED))
def test_the_order_of_rows_does_not_matter(steps):
    assert set(flags(*steps)) == set(flags(*sorted(steps, key=lambda s: s.step)))


def test_tags_are_whole_words():
    assert tags_in("T-11, T-1. and T-111; XT-2", TREE.order) == ("T-11", "T-1")


# common practice: the hazards every workshop instruction for electric vehicles names.
@pytest.mark.parametrize(
    ("text", "systems", "names"),
    [
        ("lower the traction battery", (), {"lifting", "high voltage", "fire"}),
        ("refrigerant lines to the condenser", (), {"refrigerant"}),
        ("driver's seat with side airbag", (), {"pyrotechnics"}),
        ("front struts", (), {"springs"}),
        ("front struts with a spring compressor", (), {"springs"}),
        ("compressor", (), {"refrigerant"}),
        ("rear axle drive", (), {"lifting", "high voltage", "springs"}),
        ("radiator with coolant hoses", (), {"fluids"}),
        ("cover", ("BP05",), {"lifting", "high voltage", "fire"}),
        ("hose", ("TH02",), {"refrigerant"}),
        ("front left", ("SU04",), {"lifting", "springs"}),
        ("door trim panel", ("IN03",), set()),
        ("package shelf and backpack", (), set()),
    ],
)
def test_words_and_systems_call_for_cautions(text, systems, names):
    assert {hazard.name for hazard in cautions(text, systems)} == names


def test_the_cautions_leave_the_decision_to_others():
    for words in ("Local law", "dismantling sheets", "licensed"):
        assert words in WHO_DECIDES
    assert {h.name for h in HAZARDS} >= {
        "lifting", "high voltage", "refrigerant", "pyrotechnics", "springs", "fire",
    }  # fmt: skip
    # A maker's waiting time differs from car to car, so none may be printed.
    assert not any(character.isdigit() for hazard in HAZARDS for character in hazard.caution)
