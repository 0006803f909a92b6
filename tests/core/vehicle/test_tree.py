import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoistbook.core.vehicle.records import Node
from hoistbook.core.vehicle.tree import PartTree, parents_in_a_ring


def node(tag, parent, count=1.0, system="", function=""):
    return Node(tag, parent, tag.lower(), count=count, system=system, function=function)


VAN = [
    node("V", None),
    node("A", "V", system="SU", function="guide"),
    node("A1", "A", count=2, system="SU02"),
    node("A2", "A", count=4),
    node("A21", "A2", count=3, function="clamp"),
    node("B", "V"),
]


def test_order_inheritance_and_pieces():
    tree = PartTree(list(reversed(VAN)))
    assert tree.root.tag == "V"
    assert [n.tag for n in tree.ancestors("A21")] == ["A2", "A", "V"]
    assert (tree.system("A1"), tree.system("A21"), tree.system("B")) == ("SU02", "SU", "")
    assert (tree.function("A1"), tree.function("A21"), tree.function("B")) == ("guide", "clamp", "")
    # first principles: 3 in one of 4 in one assembly: 12 in the vehicle.
    assert tree.pieces("A21") == 12.0
    assert {n.tag for n in tree.subtree("A")} == {"A", "A1", "A2", "A21"}
    assert tree.is_leaf("A21")
    assert not tree.is_leaf("A2")
    assert "A2" in tree
    assert "A3" not in tree
    assert len(tree) == 6
    assert tree["A2"].count == 4
    assert tree.parent("V") is None
    assert [n.tag for n in tree] == list(tree.order)


def test_siblings_keep_the_order_given():
    assert PartTree(VAN).order == ("V", "A", "A1", "A2", "A21", "B")


def test_the_count_of_the_vehicle_itself_does_not_multiply():
    assert PartTree([node("V", None, count=7), node("A", "V", count=2)]).pieces("A") == 2.0


@pytest.mark.parametrize(
    ("nodes", "words"),
    [
        ([node("V", None), node("A", "V"), node("A", "V")], "A: this tag is used twice"),
        ([node("V", None), node("A", "X")], "parent 'X' is not in the part tree"),
        ([node("V", None), node("W", None)], "without a parent: V, W"),
        ([node("V", None), node("A", "B"), node("B", "A")], "ring"),
        ([node("V", None), node("A", "V", count=0.0)], "count = 0.0"),
        ([node("V", None), node("A", "V", count=float("nan"))], "count = nan"),
    ],
)
def test_what_is_no_tree_is_refused(nodes, words):
    with pytest.raises(ValueError, match=words):
        PartTree(nodes)


@given(parents=st.lists(st.integers(0, 10_000), min_size=1, max_size=60), seed=st.integers(0, 99))
def test_any_tree_in_any_order(parents, seed):
    # Node i hangs below an earlier node, so this is a tree by construction, whatever the order of the lines.
    nodes = [node("n0", None)] + [
        node(f"n{i}", f"n{p % i}", count=1 + i % 3) for i, p in enumerate(parents, start=1)
    ]
    shuffled = list(nodes)
    random.Random(seed).shuffle(shuffled)
    assert parents_in_a_ring(shuffled) == []
    tree = PartTree(shuffled)
    place = {tag: index for index, tag in enumerate(tree.order)}
    assert sorted(tree.order) == sorted(n.tag for n in nodes)
    for each in nodes[1:]:
        assert place[each.parent] < place[each.tag]
        assert tree.pieces(each.tag) == tree.pieces(each.parent) * each.count
    for tag in tree.order:
        below = tree.subtree(tag)
        # A subtree is one slice of the order.
        assert [n.tag for n in below] == list(tree.order[place[tag] : place[tag] + len(below)])


@given(size=st.integers(2, 40), enters=st.integers(0, 39), tail=st.integers(0, 20))
def test_a_ring_is_found_once_with_exactly_its_members(size, enters, tail):
    ring = [node(f"r{i}", f"r{(i + 1) % size}") for i in range(size)]
    hanging = [node(f"t{i}", f"t{i - 1}" if i else f"r{enters % size}") for i in range(tail)]
    found = parents_in_a_ring([*hanging, *ring, node("V", None)])
    assert len(found) == 1
    assert set(found[0]) == {n.tag for n in ring}


def test_a_part_below_itself_is_a_ring_of_one():
    assert parents_in_a_ring([node("A", "A")]) == [("A",)]


def test_a_very_deep_tree_needs_no_recursion():
    nodes = [node("n0", None), *(node(f"n{i}", f"n{i - 1}") for i in range(1, 20_000))]
    assert PartTree(nodes).pieces("n19999") == 1.0
