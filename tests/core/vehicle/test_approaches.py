import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoistbook.core.vehicle.approaches import FunctionTree, approach_parts, unclaimed
from hoistbook.core.vehicle.records import Approach, Configuration, Function, Node, Share, Teardown, Vehicle

FUNCTIONS = (
    Function("C", "chassis"),
    Function("C.F", "guide the front wheel", "C", ("front  suspension", "Cradle")),
    Function("C.R", "guide the rear wheel", "C"),
)


def van(nodes, approaches, shares=()):
    return Teardown(
        Vehicle("V", "van"),
        (Configuration("as", "V"),),
        nodes=tuple(nodes),
        functions=FUNCTIONS,
        approaches=tuple(approaches),
        shares=tuple(shares),
    )


def test_function_by_code_name_or_alias():
    functions = FunctionTree(FUNCTIONS)
    for word in ("C.F", "c.f", "Guide the Front Wheel", "front suspension", " cradle "):
        assert functions.find(word).code == "C.F"
    assert functions.find("bonnet") is None
    assert functions.lineage("C.F") == ("C.F", "C")


def test_a_ring_of_functions_does_not_hang():
    functions = FunctionTree([Function("A", "a", "B"), Function("B", "b", "A")])
    assert functions.lineage("A") == ("A", "B")


def test_parts_follow_their_function_and_their_parent():
    teardown = van(
        [
            Node("V", None, "van"),
            Node("A", "V", "arm", function="C.F"),
            Node("A1", "A", "bush"),
            Node("B", "V", "beam", function="C.R"),
            Node("X", "V", "mat"),
        ],
        [Approach("front", "as", "C.F"), Approach("all", "as", "C")],
    )
    # The rear has no approach of its own: the nearest wider function that has one takes it.
    assert approach_parts(teardown) == {"front": [("A", 1.0), ("A1", 1.0)], "all": [("B", 1.0)]}
    assert unclaimed(teardown) == ("V", "X")


def test_stated_shares_come_before_the_function_and_are_handed_down():
    teardown = van(
        [Node("V", None, "van"), Node("K", "V", "cradle", function="C.F"), Node("K1", "K", "weld nut")],
        [Approach("front", "as", "C.F"), Approach("rear", "as", "C.R")],
        [Share("K", "front", 0.7), Share("K", "rear", 0.3)],
    )
    # first principles: shares as stated, handed down whole to what is attached.
    assert approach_parts(teardown) == {
        "front": [("K", 0.7), ("K1", 0.7)],
        "rear": [("K", 0.3), ("K1", 0.3)],
    }


def test_each_configuration_has_the_whole_part():
    teardown = van(
        [Node("V", None, "van"), Node("A", "V", "arm", function="C.F")],
        [Approach("summer", "as", "C.F"), Approach("winter", "other", "C.F")],
    )
    assert approach_parts(teardown) == {"summer": [("A", 1.0)], "winter": [("A", 1.0)]}


def test_no_parts_no_claims():
    assert approach_parts(van([], [Approach("front", "as", "C.F")])) == {"front": []}


@given(
    parents=st.lists(st.integers(0, 999), max_size=30),
    codes=st.lists(st.sampled_from(["", "C", "C.F", "C.R"]), min_size=31, max_size=31),
    split=st.sets(st.integers(1, 30)),
)
def test_claims_of_a_part_add_up_to_one_or_nothing(parents, codes, split):
    nodes = [Node("n0", None, "van", function=codes[0])]
    nodes += [Node(f"n{i}", f"n{p % i}", "part", function=codes[i]) for i, p in enumerate(parents, start=1)]
    shares = [
        share
        for i in sorted(split)
        if i < len(nodes)
        for share in (Share(f"n{i}", "front", 0.25), Share(f"n{i}", "rear", 0.75))
    ]
    teardown = van(nodes, [Approach("front", "as", "C.F"), Approach("rear", "as", "C.R")], shares)
    claimed: dict[str, float] = {}
    for parts in approach_parts(teardown).values():
        for tag, fraction in parts:
            claimed[tag] = claimed.get(tag, 0.0) + fraction
    assert all(total == pytest.approx(1.0) for total in claimed.values())
    assert set(claimed) | set(unclaimed(teardown)) == {n.tag for n in nodes}
    assert not set(claimed) & set(unclaimed(teardown))
