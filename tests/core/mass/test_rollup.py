"""Totals over the tree: laws that hold for any vehicle."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.vehicle.records import Node, NodeKind, Scope

from .mass_bench import ASSEMBLY, PART, Bench, plain_pieces, plain_subtree_masses, random_nodes

CODES = ("BS01", "BS02", "SU07", "TH01", "")


def random_bench(seed, size=30, *, scale_kg=1.0, some_missing=True):
    """A vehicle with systems, functions and sides, weighed without contradiction."""
    rng = np.random.default_rng(seed)
    nodes = [
        Node(
            n.tag, n.parent, n.name, n.kind, n.count,
            system=CODES[rng.integers(len(CODES))], function=("f1", "f2", "")[rng.integers(3)],
            side=("left", "right", "")[rng.integers(3)],
        )
        for n in random_nodes(rng, size)
    ]  # fmt: skip
    parents = {node.parent for node in nodes}
    own = {n.tag: float(rng.uniform(1.0, 5.0)) for n in nodes if n.tag not in parents or n.kind is PART}
    true = plain_subtree_masses(nodes, own)
    bench = Bench(nodes=nodes).function("f1").function("f2")
    for node in nodes[1:]:
        shared = (("scale", 0.003 * scale_kg * true[node.tag]),)
        if node.tag not in parents and (rng.random() < 0.9 or not some_missing):
            bench.weigh(node.tag, scale_kg * true[node.tag], 0.01 * scale_kg, shared=shared)
        elif node.kind is ASSEMBLY and node.tag in parents and rng.random() < 0.4:
            grams = float(rng.uniform(0.0, 0.1))
            bench.whole(node.tag, scale_kg * (true[node.tag] + grams), 0.01 * scale_kg, shared=shared)
    return bench


def snapshot(quantity: Quantity):
    return (quantity.value, quantity.standard_uncertainty)


seeds = st.integers(0, 2**32 - 1)


@settings(max_examples=15)
@given(seeds)
def test_the_order_of_the_rows_does_not_matter(seed):
    bench = random_bench(seed)
    book = bench.book()
    rng = np.random.default_rng(seed + 1)
    bench.nodes = [bench.nodes[i] for i in rng.permutation(len(bench.nodes))]
    bench.readings = [bench.readings[i] for i in rng.permutation(len(bench.readings))]
    again = bench.book()
    assert snapshot(again.total) == pytest.approx(snapshot(book.total), rel=1e-12)
    assert again.missing == book.missing
    assert {n.tag: (n.basis, n.held_by) for n in again.nodes} == {
        n.tag: (n.basis, n.held_by) for n in book.nodes
    }
    for line in book.systems.lines:
        assert snapshot(again.systems.line(line.key).total) == pytest.approx(snapshot(line.total), rel=1e-9)


@settings(max_examples=15)
@given(seeds, st.floats(0.01, 100.0))
def test_scaling_every_reading_scales_everything(seed, factor):
    book, scaled = random_bench(seed).book(), random_bench(seed, scale_kg=factor).book()
    assert snapshot(scaled.total) == pytest.approx(tuple(factor * x for x in snapshot(book.total)), rel=1e-9)
    for a, b in zip(book.nodes, scaled.nodes, strict=True):
        assert b.basis is a.basis
        assert b.subtree_kg == pytest.approx(factor * a.subtree_kg, rel=1e-9, abs=1e-9 * factor)
        assert b.subtree_high_kg == pytest.approx(factor * a.subtree_high_kg, rel=1e-9, abs=1e-9 * factor)


@settings(max_examples=15)
@given(seeds)
def test_every_breakdown_adds_up_to_the_vehicle_with_all_its_errors(seed):
    book = random_bench(seed).book()
    for breakdown in (book.systems, book.subsystems, book.functions, book.sides, book.kinds):
        rest = book.total - breakdown.unallocated - breakdown.unassigned.mass
        for line in breakdown.lines:
            rest = rest - line.mass
        assert rest.value == pytest.approx(0.0, abs=1e-9)
        # Not the values alone: nothing is left of any source of error either.
        assert rest.standard_uncertainty == pytest.approx(0.0, abs=1e-9)
        surplus = breakdown.unallocated - breakdown.unassigned.unallocated
        for line in breakdown.lines:
            surplus = surplus - line.unallocated
        assert surplus.value == pytest.approx(0.0, abs=1e-9)


@settings(max_examples=15)
@given(seeds)
def test_moving_a_part_between_unweighed_assemblies_changes_no_vehicle_total(seed):
    bench = random_bench(seed)
    weighed = {m.subject for m in bench.readings if m.scope is Scope.SUBTREE}
    by_tag = {node.tag: node for node in bench.nodes}

    def inside_weighed(node):
        while node is not None:
            if node.tag in weighed:
                return True
            node = by_tag.get(node.parent)
        return False

    pieces = plain_pieces(bench.nodes)
    homes = [n for n in bench.nodes if n.kind is ASSEMBLY and not inside_weighed(n)]
    movable = [n for n in bench.nodes if n.kind is PART and not inside_weighed(n) and n.parent is not None]
    if not movable:
        return
    rng = np.random.default_rng(seed)
    part, home = movable[rng.integers(len(movable))], homes[rng.integers(len(homes))]
    if part.tag in {home.tag, home.parent} or any(n.parent == part.tag for n in bench.nodes):
        return
    book = bench.book()
    # The same number of pieces in the vehicle, wherever it hangs.
    count = pieces[part.tag] / pieces[home.tag]
    moved = Node(part.tag, home.tag, part.name, part.kind, count, part.system, part.function, part.side)
    bench.nodes = [moved if n.tag == part.tag else n for n in bench.nodes]
    assert snapshot(bench.book().total) == pytest.approx(snapshot(book.total), rel=1e-9)


@settings(max_examples=15)
@given(seeds)
def test_a_weighed_assembly_is_its_reading_whatever_its_pieces_say(seed):
    bench = random_bench(seed)
    book = bench.book()
    for reading in bench.readings:
        if reading.scope is Scope.SUBTREE:
            found = book.mass(reading.subject)
            assert snapshot(found) == pytest.approx(snapshot(reading.value), rel=1e-9)
            assert (found - reading.value).standard_uncertainty == pytest.approx(0.0, abs=1e-9)


def test_a_shared_scale_makes_the_difference_of_two_vehicles_sharper_than_either():
    def one(code, mass):
        return Bench(code).part("P").weigh("P", mass, 0.01, shared=(("scale", 0.5),)).book()

    first, second = one("Whimbrel", 300.0), one("Dotterel", 305.0)
    difference = second.total - first.total
    # first principles: the common 0.5 cancels, 0.01 √2 is left.
    assert first.total.standard_uncertainty == pytest.approx(0.5, abs=1e-3)
    assert difference.standard_uncertainty == pytest.approx(0.01 * np.sqrt(2.0))


def test_systems_and_functions_are_inherited_and_shares_split_a_part():
    bench = (
        Bench()
        .part("A", kind=ASSEMBLY, system="SU07", function="guide wheel")
        .part("P", "A")
        .part("Q", "A", system="BS01")
    )
    bench.function("guide wheel", approach="links").function("carry motor", approach="mount")
    bench.share("Q", "links", 0.25).share("Q", "mount", 0.75)
    book = bench.weigh("P", 3.0).weigh("Q", 4.0).book()
    assert {line.key: line.mass.value for line in book.systems.lines} == {"BS": 4.0, "SU": 3.0}
    assert {line.key: line.mass.value for line in book.subsystems.lines} == {"BS01": 4.0, "SU07": 3.0}
    assert {line.key: line.mass.value for line in book.functions.lines} == {
        "guide wheel": 4.0,
        "carry motor": 3.0,
    }
    assert {key: q.value for key, q in book.approaches.items()} == {"links": 4.0, "mount": 3.0}
    assert book.system_functions["BS", "carry motor"].value == pytest.approx(3.0)
    assert book.functions.unassigned.mass.value == 0.0
    assert book.flags == ()


def test_shares_that_do_not_add_up_are_flagged_and_the_rest_is_unassigned():
    bench = Bench().part("Q").function("f", approach="a").share("Q", "a", 0.9).weigh("Q", 4.0)
    book = bench.book()
    assert [flag.tags for flag in book.flags] == [("Q",)]
    assert book.functions.unassigned.mass.value == pytest.approx(0.4)


def test_a_function_no_approach_claims_still_has_its_line():
    book = Bench().function("f", name="Seal door").part("P", function="f").weigh("P", 2.0).book()
    [line] = book.functions.lines
    assert (line.key, line.name, line.total.value) == ("f", "Seal door", 2.0)


def test_a_node_without_code_is_unassigned():
    book = Bench().part("P").part("Q", system="TH01").weigh("P", 2.0).weigh("Q", 1.0).book()
    assert book.systems.unassigned.mass.value == 2.0
    assert book.systems.unassigned.node_count == 1
    assert book.systems.line("TH").share_frac == pytest.approx(1.0 / 3.0)


def test_by_side_and_kind():
    bench = (
        Bench()
        .part("L", side="left")
        .part("R", side="right", kind=NodeKind.FLUID)
        .weigh("L", 2.0)
        .weigh("R", 1.0)
    )
    book = bench.book()
    assert {line.key: line.mass.value for line in book.sides.lines} == {"left": 2.0, "right": 1.0}
    assert {line.key: line.mass.value for line in book.kinds.lines} == {
        "part": 2.0,
        "fluid": 1.0,
    }


def test_a_mass_held_elsewhere_is_named_in_the_line_where_it_is_lacking():
    bench = Bench().part("A", kind=ASSEMBLY, system="SU07").part("P", "A").part("Q", "A", system="TH01")
    book = bench.weigh("P", 3.0).whole("A", 5.0).book()
    assert book.systems.line("TH").held == ("Q",)
    assert book.systems.line("TH").mass.value == 0.0
    assert book.systems.line("SU").mass.value == pytest.approx(5.0)


def test_a_vehicle_without_any_reading_has_a_total_of_nothing_known():
    book = Bench().part("P").book()
    assert (book.total.value, book.total.terms) == (0.0, ())
    assert book.missing == ("P",)
    assert book.systems.lines == ()


def test_no_tree_and_no_configuration_are_refused():
    with pytest.raises(ValueError, match="Whimbrel has no part tree"):
        Bench(nodes=[]).book()
    with pytest.raises(ValueError, match="no configuration 'winter'"):
        Bench().part("P").book(configuration="winter")
