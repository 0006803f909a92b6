"""Expected but absent."""

import pytest

from hoistbook.core.mass import ExpectedItem, expected_absent
from hoistbook.core.vehicle.records import Approach, NodeKind
from hoistbook.core.vehicle.taxonomy import Subsystem, System, Taxonomy

from .mass_bench import FASTENER, Bench

LATCHES = ExpectedItem("CL", "latches", ("CL06",), (NodeKind.PART, NodeKind.ASSEMBLY))
FASTENERS = ExpectedItem("CL", "fasteners of the closures", (), (NodeKind.FASTENER,))
GLASS = ExpectedItem("CL", "glass", ("CL07", "CL08"))


def absent(*found):
    return [each.item.what for each in expected_absent((LATCHES, FASTENERS, GLASS), found)]


def test_a_node_answers_by_code_and_kind():
    assert absent() == ["latches", "fasteners of the closures", "glass"]
    assert absent(("CL06", NodeKind.PART)) == ["fasteners of the closures", "glass"]
    assert absent(("CL06", NodeKind.FASTENER)) == ["latches", "glass"]
    assert absent(("CL08", NodeKind.LOOSE)) == ["latches", "fasteners of the closures"]
    assert absent(("CL", NodeKind.FASTENER)) == ["latches", "glass"]
    assert absent(("BS06", NodeKind.PART), ("", NodeKind.FASTENER)) == [
        "latches",
        "fasteners of the closures",
        "glass",
    ]


def test_the_sentence_says_where_it_was_looked_for():
    [found] = expected_absent([LATCHES], [])
    assert found.message.startswith("latches: no part or assembly is listed under CL06.")
    assert "an approach with present = no to a function with the alias CL06." in found.message
    [found] = expected_absent([FASTENERS], [], names={"CL": "Closures"}.get)
    assert "no fastener is listed anywhere in the system CL Closures." in found.message


@pytest.mark.parametrize(
    ("words", "left"),
    [
        (("F7", "bonnet latch", "CL06"), ["fasteners of the closures", "glass"]),
        (("Latches ",), ["fasteners of the closures", "glass"]),
        # One of the two places where glass may be listed says nothing about the other.
        (("CL07",), ["latches", "fasteners of the closures", "glass"]),
        (("CL07", "cl08"), ["latches", "fasteners of the closures"]),
        (("fasteners of the closures",), ["latches", "glass"]),
        (("CL",), ["latches", "fasteners of the closures", "glass"]),
    ],
)
def test_a_function_the_vehicle_does_without_answers_by_its_words_or_codes(words, left):
    absent_items = expected_absent((LATCHES, FASTENERS, GLASS), [], words)
    assert [each.item.what for each in absent_items] == left


def test_only_an_approach_that_says_no_answers():
    def left(present):
        bench = Bench().function("F7", name="bonnet latch", aliases=("CL06",))
        bench.approaches.append(Approach("A7", "as built", "F7", present=present))
        return [each.item.what for each in bench.book(expected=(LATCHES, GLASS)).expected_absent]

    assert left(True) == ["latches", "glass"]
    assert left(False) == ["glass"]


def test_codes_are_inherited_from_the_assembly_above():
    bench = Bench().part("D", kind=NodeKind.ASSEMBLY, system="CL06").part("S", "D", FASTENER).part("L", "D")
    assert [each.item.what for each in bench.book(expected=(LATCHES, FASTENERS, GLASS)).expected_absent] == [
        "glass"
    ]


def test_codes_outside_the_taxonomy_are_flagged_and_unassigned():
    latch = Subsystem("CL06", "Latches", "CL", "", "", (), "common practice", "")
    taxonomy = Taxonomy([System("CL", "Closures", (latch,))])
    bench = Bench().part("L", system="CL06").part("X", system="ZZ99").weigh("L", 1.0).weigh("X", 2.0)
    book = bench.book(taxonomy)
    [line] = book.systems.lines
    assert (line.key, line.name, line.mass.value) == ("CL", "Closures", 1.0)
    assert book.subsystems.lines[0].name == "Latches"
    assert book.systems.unassigned.mass.value == 2.0
    [flag] = book.flags
    assert "'ZZ99'" in flag.message
    assert flag.tags == ("X",)
