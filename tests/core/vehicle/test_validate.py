from dataclasses import replace

import pytest

from hoistbook.core.quantities.instruments import Instrument
from hoistbook.core.quantities.quantity import Origin, Quantity
from hoistbook.core.vehicle import problem
from hoistbook.core.vehicle.records import (
    Approach,
    CheckReading,
    Configuration,
    ContentItem,
    Effect,
    Fact,
    Function,
    Joint,
    MassState,
    Measurement,
    Node,
    NodeKind,
    Rule,
    Scope,
    Share,
    SubjectKind,
    Teardown,
    Vehicle,
)
from hoistbook.core.vehicle.validate import problems

KG = Quantity(2.0, "kg")
M = Quantity(0.5, "m")
SOUND = Teardown(
    Vehicle("V", "van"),
    (Configuration("as", "V"),),
    facts=(
        Fact("as", "mass", KG, mass_state=MassState.CURB),
        Fact("as", "mass", KG, mass_state=MassState.DRY),
        Fact("as", "range", Quantity(3e5, "m"), duty="city"),
        Fact("as", "drag_area", Quantity(1.2, "m2")),
        Fact("as", "drag_area", Quantity(1.3, "m2", (), Origin.PUBLISHED)),
        Fact("as", "drag_force", Quantity(-3.0, "N")),
    ),
    nodes=(
        Node("VAN", None, "van", NodeKind.ASSEMBLY),
        Node("A", "VAN", "arm", system="SU02", function="F"),
        Node("B", "VAN", "bolt", NodeKind.FASTENER, count=4),
    ),
    joints=(Joint("J", ("A", "VAN"), "screwing", fastener="B", fastener_count=4),),
    measurements=(
        Measurement("R1", "A", "mass", KG, instrument="S"),
        Measurement("R2", "A", "mass", KG, replicate=2),
        Measurement("R3", "A", "mass", KG, supersedes="R1"),
        Measurement("R4", "A", "mass", KG, scope=Scope.SUBTREE),
        Measurement("R5", "VAN", "mass", KG, covers=(("A", 1.0), ("B", 2.0))),
        Measurement("R6", "J", "torque", Quantity(40.0, "N.m"), subject_kind=SubjectKind.JOINT),
    ),
    instruments={"S": Instrument("S", "scale", accuracy_class="III", step_si=0.001)},
    functions=(Function("F", "guide", aliases=("cradle",)), Function("F2", "guide rear", "F")),
    approaches=(
        Approach("P", "as", "F"),
        Approach("P2", "as", "F2"),
        Approach("P0", "as", "G", present=False),
    ),
    shares=(Share("A", "P", 0.25), Share("A", "P2", 0.75)),
    content=(
        ContentItem("tow", "tow bar", Rule.STRIP, "mass", KG),
        ContentItem("pack", "larger pack", Rule.SCALE, "mass", Quantity(0.9, "1")),
    ),
    effects=(
        Effect("F", "drag_torque", Quantity(1.0, "N.m")),
        Effect("F", "drag_area", Quantity(-0.01, "m2")),
    ),
)
SOUND = replace(SOUND, functions=(*SOUND.functions, Function("G", "ride control")))


def only(teardown, systems=("SU02",)):
    found = problems(teardown, systems)
    assert len(found) == 1, found
    return found[0]


def test_sound_records_have_no_problem():
    assert problems(SOUND, ("SU02",)) == []


def extended(field, *records):
    return replace(SOUND, **{field: (*getattr(SOUND, field), *records)})


# One record more (or changed), and the one problem it must raise: sheet, field, words of the message.
CASES = {
    "no configuration": (
        replace(SOUND, configurations=(), facts=(), approaches=(), shares=()),
        ("configurations", "configuration", "no configuration is listed"),
    ),
    "configuration twice": (
        extended("configurations", Configuration("as", "V")),
        ("configurations", "configuration", "twice"),
    ),
    "configuration of another vehicle": (
        extended("configurations", Configuration("x", "W")),
        ("configurations", "configuration", "another vehicle"),
    ),
    "fact of unknown configuration": (
        extended("facts", Fact("az", "track", Quantity(1.0, "m"))),
        ("facts", "configuration", "known: as"),
    ),
    "fact on unknown instrument": (
        extended("facts", Fact("as", "track", Quantity(1.0, "m"), instrument="T")),
        ("facts", "instrument", "known: S"),
    ),
    "unknown quantity": (
        extended("facts", Fact("as", "drag_arae", KG)),
        ("facts", "quantity", "did you mean 'drag_area'"),
    ),
    "wrong dimension": (extended("facts", Fact("as", "track", KG)), ("facts", "unit", "measured in m")),
    "negative": (
        extended("facts", Fact("as", "track", Quantity(-1.0, "m"))),
        ("facts", "value", "cannot be negative"),
    ),
    "mass without state": (
        extended("facts", Fact("as", "mass", KG)),
        ("facts", "mass state", "means nothing"),
    ),
    "range without duty": (
        extended("facts", Fact("as", "range", Quantity(1.0, "m"))),
        ("facts", "duty", "depends on the duty"),
    ),
    "fact twice": (extended("facts", SOUND.facts[0]), ("facts", "quantity", "stated before")),
    "tag twice": (extended("nodes", Node("A", "VAN", "x")), ("parts", "tag", "listed twice")),
    "unknown parent": (extended("nodes", Node("C", "VAM", "x")), ("parts", "parent", "did you mean 'VAN'")),
    "second root": (
        extended("nodes", Node("C", None, "x")),
        ("parts", "parent", "only the vehicle itself (VAN)"),
    ),
    "no root": (
        replace(
            SOUND,
            nodes=tuple(replace(n, parent=n.parent or "A") for n in SOUND.nodes[1:]),
            joints=(),
            measurements=(),
        ),
        None,
    ),
    "ring": (extended("nodes", Node("RA", "RB", "x"), Node("RB", "RA", "x")), ("parts", "parent", "ring")),
    "count 0": (extended("nodes", Node("C", "VAN", "x", count=0.0)), ("parts", "count", "above 0")),
    "unknown function of a part": (
        extended("nodes", Node("C", "VAN", "x", function="cradel")),
        ("parts", "function", "'cradle'"),
    ),
    "unknown system": (
        extended("nodes", Node("C", "VAN", "x", system="SU20")),
        ("parts", "system", "'SU02'"),
    ),
    "joint twice": (extended("joints", Joint("J", ("A",), "x")), ("joints", "joint", "twice")),
    "joint of unknown part": (
        extended("joints", Joint("K", ("A", "Q"), "x")),
        ("joints", "parts", "no part"),
    ),
    "joint with unknown fastener": (
        extended("joints", Joint("K", ("A",), "x", fastener="Q")),
        ("joints", "fastener", "no part"),
    ),
    "negative fasteners": (
        extended("joints", Joint("K", ("A",), "x", fastener_count=-1)),
        ("joints", "fastener count", "negative"),
    ),
    "reading id twice": (
        extended("measurements", Measurement("R6", "B", "mass", KG)),
        ("measurements", "reading", "twice"),
    ),
    "reading twice": (
        extended("measurements", Measurement("R9", "A", "mass", KG)),
        ("measurements", "replicate", "same reading as R3"),
    ),
    "reading of unknown part": (
        extended("measurements", Measurement("R9", "Q", "mass", KG)),
        ("measurements", "of", "no part of this name"),
    ),
    "reading of unknown joint": (
        extended(
            "measurements",
            Measurement("R9", "A", "torque", Quantity(1.0, "N.m"), subject_kind=SubjectKind.JOINT),
        ),
        ("measurements", "of", "no joint of this name"),
    ),
    "covers unknown part": (
        extended("measurements", Measurement("R9", "B", "mass", KG, covers=(("Q", 1.0),))),
        ("measurements", "covers", "no part"),
    ),
    "unknown instrument": (
        extended("measurements", Measurement("R9", "B", "mass", KG, instrument="S3")),
        ("measurements", "instrument", "'S'"),
    ),
    "no pieces": (
        extended("measurements", Measurement("R9", "B", "mass", KG, pieces=0.0)),
        ("measurements", "pieces", "above 0"),
    ),
    "replicate 0": (
        extended("measurements", Measurement("R9", "B", "mass", KG, replicate=0)),
        ("measurements", "replicate", "count 1"),
    ),
    "supersedes nothing": (
        extended("measurements", Measurement("R9", "B", "mass", KG, supersedes="R99")),
        ("measurements", "supersedes", "no such reading"),
    ),
    "correction leaves its slot": (
        extended("measurements", Measurement("R9", "B", "mass", KG, supersedes="R4")),
        ("measurements", "supersedes", "stays with its subject"),
    ),
    "corrected twice": (
        extended("measurements", Measurement("R9", "A", "mass", KG, covers=(("A", 2.0),), supersedes="R1")),
        ("measurements", "supersedes", "R3 supersedes R1 already"),
    ),
    "corrects itself": (
        extended("measurements", Measurement("R9", "B", "mass", KG, supersedes="R9")),
        ("measurements", "supersedes", "ring"),
    ),
    "function twice": (extended("functions", Function("F", "x")), ("functions", "function", "twice")),
    "unknown wider function": (
        extended("functions", Function("H", "x", "Q")),
        ("functions", "parent", "no such function"),
    ),
    "functions in a ring": (
        extended("functions", Function("H", "x", "I"), Function("I", "y", "H")),
        ("functions", "parent", "ring"),
    ),
    "alias of two functions": (
        extended("functions", Function("H", "x", aliases=("Cradle",))),
        ("functions", "aliases", "function F already"),
    ),
    "alias is a code": (
        extended("functions", Function("H", "x", aliases=("f2",))),
        ("functions", "aliases", "function F2 already"),
    ),
    "approach twice": (extended("approaches", Approach("P", "as", "H")), None),
    "two approaches to one function": (
        extended("approaches", Approach("P9", "as", "F")),
        ("approaches", "function", "one approach"),
    ),
    "approach in unknown configuration": (
        extended("approaches", Approach("P9", "at", "F")),
        ("approaches", "configuration", "known: as"),
    ),
    "approach to unknown function": (
        extended("approaches", Approach("P9", "as", "Q")),
        ("approaches", "function", "no such function"),
    ),
    "share of unknown part": (extended("shares", Share("Q", "P", 1.0)), ("shares", "part", "no part")),
    "share of unknown approach": (
        extended("shares", Share("B", "P7", 1.0)),
        ("shares", "approach", "no such approach"),
    ),
    "share of an absent approach": (
        extended("shares", Share("B", "P0", 1.0)),
        ("shares", "approach", "not present"),
    ),
    "share sum": (extended("shares", Share("B", "P", 0.999)), ("shares", "share [%]", "add up to 99.9 %")),
    "content twice": (extended("content", SOUND.content[0]), ("content", "quantity", "twice")),
    "content of unknown function": (
        extended("content", ContentItem("x", "x", Rule.ADD, "mass", KG, "Q")),
        ("content", "function", "no such"),
    ),
    "negative content": (
        extended("content", ContentItem("x", "x", Rule.ADD, "mass", Quantity(-1.0, "kg"))),
        ("content", "value", "negative"),
    ),
    "scale by kilograms": (
        extended("content", ContentItem("x", "x", Rule.SCALE, "mass", KG)),
        ("content", "unit", "pure number"),
    ),
    "scale by nothing": (
        extended("content", ContentItem("x", "x", Rule.SCALE, "mass", Quantity(0.0, "1"))),
        ("content", "value", "above 0"),
    ),
    "scale unknown": (
        extended("content", ContentItem("x", "x", Rule.SCALE, "mas", Quantity(1.0, "1"))),
        ("content", "quantity", "'mass'"),
    ),
    "effect twice": (extended("effects", SOUND.effects[0]), ("effects", "quantity", "twice")),
    "effect of unknown function": (
        extended("effects", Effect("Q", "drag_area", Quantity(1.0, "m2"))),
        ("effects", "function", "no such"),
    ),
    "mass as effect": (
        extended("effects", Effect("F", "mass", KG)),
        ("effects", "quantity", "from the part tree"),
    ),
    "effect on nothing": (
        extended("effects", Effect("F", "wheelbase", Quantity(3.0, "m"))),
        ("effects", "quantity", "acts on nothing"),
    ),
    "figure for a check twice": (
        extended("check_readings", CheckReading("lever", "arm_m", M), CheckReading("lever", "arm_m", M)),
        ("checks", "reading", "'lever / arm_m' is listed twice"),
    ),
    "figures for a check of two things": (
        extended(
            "check_readings", CheckReading("lever", "arm_m", M, "left"), CheckReading("lever", "arm_m", M)
        ),
        None,
    ),
    "a choice of a check": (
        extended("check_readings", CheckReading("lever", "pin", None, option="free")),
        None,
    ),
    "neither figure nor choice": (
        extended("check_readings", CheckReading("lever", "arm_m", None)),
        ("checks", "value", "type the value with its unit or, for a choice, the option"),
    ),
    "figure and choice in one": (
        extended("check_readings", CheckReading("lever", "arm_m", M, option="free")),
        ("checks", "option", "not both"),
    ),
    "figure for a check on an unknown instrument": (
        extended("check_readings", CheckReading("lever", "arm_m", M, instrument="T")),
        ("checks", "instrument", "no such instrument; known: S"),
    ),
    "content on nothing": (
        extended("content", ContentItem("x", "x", Rule.ADD, "wheelbase", Quantity(1.0, "m"))),
        ("content", "quantity", "acts on nothing"),
    ),
}


@pytest.mark.parametrize("case", [name for name, (_, expected) in CASES.items() if expected])
def test_one_problem_is_found_alone_and_in_its_place(case):
    teardown, (sheet, field, words) = CASES[case]
    found = only(teardown)
    assert (found.sheet, found.field) == (sheet, field)
    assert words in found.message
    records = {"parts": "nodes", "checks": "check_readings"}.get(sheet, sheet)
    if found.index >= 0:
        # The place is that of a record added here, or that of the first of a ring or sum, which was added here too.
        assert found.index >= len(getattr(SOUND, records))


def test_a_tree_without_a_root_is_a_ring_too():
    found = problems(CASES["no root"][0], ("SU02",))
    assert {(p.field, p.index >= 0) for p in found} == {("parent", False), ("parent", True)}


def test_a_doubled_approach_and_its_unknown_function_are_two_problems():
    assert {p.field for p in problems(CASES["approach twice"][0])} == {"approach", "function"}


def test_shares_that_add_up_but_lie_outside_0_to_100_percent():
    found = problems(extended("shares", Share("B", "P", 1.2), Share("B", "P2", -0.2)))
    assert [(p.field, p.value) for p in found] == [("share [%]", "120"), ("share [%]", "-20")]
    # A share of nothing is no share, even where the others make the whole.
    found = problems(extended("shares", Share("B", "P", 1.0), Share("B", "P2", 0.0)))
    assert [p.value for p in found] == ["0"]


def test_the_place_is_that_of_the_record():
    teardown = extended(
        "nodes",
        Node("RA", "RB", "x"),
        Node("RB", "RA", "x"),
        Node("A", "VAN", "again"),
        Node("Z", None, "root"),
    )
    assert {(p.index, p.key, p.field) for p in problems(teardown)} == {
        (3, "RA", "parent"),
        (5, "A", "tag"),
        (6, "Z", "parent"),
    }
    rings = extended("functions", Function("H", "x", "I"), Function("I", "y", "H"))
    assert [(p.index, p.key) for p in problems(rings)] == [(3, "H")]


def test_another_symbol_of_the_same_dimension_is_the_same_unit():
    # first principles: N·s²/m² = kg/m.
    assert problems(extended("facts", Fact("as", "road_load_c", Quantity(0.4, "kg/m")))) == []


def test_shares_rounded_by_hand_pass():
    thirds = (Share("B", "P", 0.3333), Share("B", "P2", 0.3333), Share("B", "P3", 0.3334))
    teardown = extended("shares", *thirds)
    teardown = replace(
        teardown,
        approaches=(*SOUND.approaches, Approach("P3", "as", "H")),
        functions=(*SOUND.functions, Function("H", "hold")),
    )
    assert problems(teardown) == []


def test_codes_are_not_judged_without_a_taxonomy():
    assert problems(extended("nodes", Node("C", "VAN", "x", system="ZZ99"))) == []


def test_all_problems_come_in_one_pass():
    wrong = [
        teardown
        for teardown, expected in CASES.values()
        if expected and expected[0] in ("parts", "joints", "content")
    ]
    nodes = [n for t in wrong for n in t.nodes[len(SOUND.nodes) :]]
    joints = [j for t in wrong for j in t.joints[len(SOUND.joints) :]]
    content = [c for t in wrong for c in t.content[len(SOUND.content) :]]
    everything = replace(
        SOUND,
        nodes=(*SOUND.nodes, *nodes),
        joints=(*SOUND.joints, *joints),
        content=(*SOUND.content, *content),
    )
    words = [
        expected[2]
        for _, expected in CASES.values()
        if expected and expected[0] in ("parts", "joints", "content")
    ]
    messages = [p.message for p in problems(everything, ("SU02",))]
    for each in words:
        assert any(each in message for message in messages), each


def test_hints_stop_comparing_when_the_budget_is_spent():
    names = [f"T{i}" for i in range(50)]
    hints = problem.Hints(budget=60)
    assert "did you mean" in hints("T4x", names)
    assert hints("T5x", names) == "none of the 50 listed has this name."
    assert "did you mean" in hints("T4x", names)
