"""Assemblies against their pieces: what each case must come to, and the whole against dense least squares."""

import numpy as np
import pytest
import scipy.linalg
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from hoistbook.core.mass import FlagKind, MassBasis
from hoistbook.core.quantities.quantity import Quantity, Source
from hoistbook.core.vehicle.records import Measurement, Method, Scope

from .mass_bench import ASSEMBLY, FASTENER, PART, Bench, plain_pieces, plain_subtree_masses, random_nodes

NO_BOUND = 1e12
SCALE = (("scale", 0.02),)


def flags(book, kind):
    return [flag for flag in book.flags if flag.kind is kind]


# --- surplus and remainder ------------------------------------------------------------------------------------------


def test_the_surplus_of_an_assembly_is_its_own_line():
    book = (
        Bench()
        .part("A", kind=ASSEMBLY)
        .part("P", "A", count=2)
        .weigh("P", 3.0, 0.003)
        .whole("A", 6.5, 0.008)
        .book()
    )
    # first principles: 6.5 − 2 · 3.0 = 0.5; u² = 0.008² + (2 · 0.003)² = 0.01²; the total is the assembly's reading.
    assert book.total.value == pytest.approx(6.5)
    assert book.total.standard_uncertainty == pytest.approx(0.008)
    [surplus] = book.unallocated
    assert (surplus.tag, surplus.holds) == ("A", ())
    assert surplus.mass.value == pytest.approx(0.5)
    assert surplus.mass.standard_uncertainty == pytest.approx(0.01)
    assert book.node("A").basis is MassBasis.UNALLOCATED
    assert [flag.tags for flag in flags(book, FlagKind.SURPLUS)] == [("A",)]


def test_a_surplus_within_its_band_stays_visible_but_is_not_flagged():
    book = Bench().part("A", kind=ASSEMBLY).part("P", "A").weigh("P", 3.0, 0.01).whole("A", 3.02, 0.01).book()
    assert book.unallocated[0].mass.value == pytest.approx(0.02)
    assert book.flags == ()


def test_pieces_heavier_than_the_assembly_are_flagged_with_their_readings():
    book = (
        Bench().part("A", kind=ASSEMBLY).part("P", "A").weigh("P", 3.0, 0.003).whole("A", 2.9, 0.004).book()
    )
    [flag] = flags(book, FlagKind.PIECES_HEAVIER)
    assert flag.tags == ("A",)
    assert flag.readings == ("R2",)
    assert flag.residual_kg == pytest.approx(-0.1)
    # first principles: 2 √(0.003² + 0.004²) = 0.010.
    assert flag.bound_kg == pytest.approx(0.010)
    assert book.total.value == pytest.approx(2.9)


def test_a_single_unweighed_child_of_a_weighed_part_is_known_by_difference():
    # The housing is a part: bare it weighs 5, with its bush 5.4.
    book = Bench().part("H").part("B", "H").weigh("B", 0.4, 0.01).whole("H", 5.4, 0.01).book()
    assert book.node("H").basis is MassBasis.DIFFERENCE
    assert book.node("H").own_kg == pytest.approx(5.0)
    assert book.unallocated == ()


def test_a_part_weighed_bare_and_with_its_pieces_gets_a_surplus_line():
    bench = Bench().part("H").part("B", "H").weigh("B", 0.4, 0.01).weigh("H", 5.0, 0.01).whole("H", 5.5, 0.01)
    book = bench.book()
    [surplus] = book.unallocated
    assert surplus.tag == "H (unallocated)"
    assert surplus.mass.value == pytest.approx(0.1)
    assert book.node("H").own_kg == pytest.approx(5.0)
    assert flags(book, FlagKind.READINGS_CONTRADICT) == []
    assert book.total.value == pytest.approx(5.5)


def test_a_part_without_a_reading_is_missing_not_zero():
    book = Bench().part("P").part("Q").weigh("P", 3.0).book()
    assert book.missing == ("Q",)
    assert book.node("Q").basis is MassBasis.MISSING
    assert book.node("Q").own_kg is None
    assert book.node("V").unknown_below == 1
    assert any("lower bound" in text for text in book.assumptions)


def test_parts_without_a_reading_inside_a_weighed_assembly_are_held_by_it():
    bench = Bench().part("A", kind=ASSEMBLY).part("P", "A").part("Q", "A").part("R", "A", count=3)
    book = bench.weigh("P", 3.0).whole("A", 5.0).book()
    assert book.missing == ()
    assert book.node("A").basis is MassBasis.NOT_BROKEN_DOWN
    assert book.node("A").holds == ("Q", "R")
    assert (book.node("Q").basis, book.node("Q").held_by) == (MassBasis.INSIDE, "A")
    assert book.node("Q").own_kg is None
    [rest] = book.not_broken_down
    assert rest.mass.value == pytest.approx(2.0)
    assert rest.holds == ("Q", "R")
    assert book.unallocated == ()
    assert book.total.value == pytest.approx(5.0)
    assert (book.node("A").unknown_below, book.node("V").unknown_below) == (0, 0)
    assert book.node("Q").unknown_below == 1


def test_nested_weighed_assemblies_count_once():
    bench = Bench().part("A", kind=ASSEMBLY).part("B", "A", ASSEMBLY, 2).part("P", "B").part("Q", "A")
    book = bench.weigh("P", 1.0).whole("B", 1.1).weigh("Q", 4.0).whole("A", 6.5).book()
    assert book.total.value == pytest.approx(6.5)
    # first principles: B has 0.1 beyond P, twice in A; A has 6.5 − 2 · 1.1 − 4.0 = 0.3 of its own.
    assert {s.tag: round(s.mass.value, 9) for s in book.unallocated} == {"A": 0.3, "B": 0.2}


def test_a_mixed_lot_gives_the_one_unknown_in_it():
    bench = (
        Bench().part("F", kind=FASTENER, count=4).part("W", kind=FASTENER, count=4).weigh("F", 0.2, pieces=4)
    )
    book = bench.weigh("F", 0.36, covers=(("F", 4.0), ("W", 8.0))).book()
    # first principles: (0.36 − 4 · 0.05)/8 = 0.02 each, four in the vehicle.
    assert book.mass("W").value == pytest.approx(0.02)
    assert book.total.value == pytest.approx(0.28)


def test_a_mixed_lot_of_unknowns_in_the_vehicles_numbers_needs_no_split():
    bench = Bench().part("F", kind=FASTENER, count=4).part("W", kind=FASTENER, count=8)
    book = bench.weigh("F", 0.36, covers=(("F", 4.0), ("W", 8.0))).book()
    assert book.total.value == pytest.approx(0.36)
    assert flags(book, FlagKind.NOT_SEPARABLE) == []
    assert book.node("W").held_by == "F"


def test_a_mixed_lot_in_other_numbers_is_flagged():
    bench = Bench().part("F", kind=FASTENER, count=4).part("W", kind=FASTENER, count=2)
    book = bench.weigh("F", 0.36, covers=(("F", 4.0), ("W", 8.0))).book()
    [flag] = flags(book, FlagKind.NOT_SEPARABLE)
    assert flag.tags == ("W", "F")
    # first principles: 1 kg more in W takes 8/4 kg from F; in the vehicle 2 · 1 − 4 · 2 = −6 kg.
    assert "-6 kg" in flag.message


# --- readings that overlap ------------------------------------------------------------------------------------------


def test_a_part_read_twice_is_reconciled_and_its_scale_with_it():
    # Two scales read P; the error of scale a is known through it, and corrects Q that only scale a read.
    a, b = (("a", 0.1),), (("b", 0.001),)
    bench = (
        Bench()
        .part("P")
        .part("Q")
        .weigh("P", 10.1, 0.001, shared=a)
        .weigh("P", 10.0, 0.001, shared=b, pieces=1.0)
    )
    bench.readings[1] = Measurement(
        "R2", "P", "mass", bench.readings[1].value, scope=Scope.SUBTREE, method=Method.WEIGHED
    )
    book = bench.weigh("Q", 5.1, 0.001, shared=a).book()
    dense = dense_own(["P", "P", "Q"], bench.readings, ["P", "Q"])
    assert book.mass("P").value == pytest.approx(dense[0][0], abs=1e-9)
    assert book.mass("Q").value == pytest.approx(dense[0][1], abs=1e-9)
    assert book.mass("Q").value == pytest.approx(5.0, abs=0.001)
    # Before, Q was known to 0.1 kg; the overlap made it a hundred times sharper.
    assert book.mass("Q").standard_uncertainty == pytest.approx(dense[1][1], rel=1e-6)
    assert book.mass("Q").standard_uncertainty < 0.003


def dense_own(subjects, readings, tags):
    design = np.array([[float(s == t) for t in tags] for s in subjects])
    names = sorted({s.name for m in readings for s, _ in m.value.terms})
    c = np.array([[{s.name: u for s, u in m.value.terms}.get(n, 0.0) for n in names] for m in readings])
    weight = scipy.linalg.inv(c @ c.T)
    spread = scipy.linalg.inv(design.T @ weight @ design)
    return spread @ design.T @ weight @ [m.value.value for m in readings], np.sqrt(np.diag(spread))


def test_contradicting_readings_are_flagged_and_their_band_spans_both():
    bench = Bench().part("P").weigh("P", 10.0, 0.01).whole("P", 10.5, 0.01)
    book = bench.book()
    [flag] = flags(book, FlagKind.READINGS_CONTRADICT)
    assert flag.tags == ("P",)
    assert set(flag.readings) == {"R1", "R2"}
    # first principles: mean 10.25, residual 0.25, bound 2 · √(0.01²/2).
    assert abs(flag.residual_kg) == pytest.approx(0.25)
    assert flag.bound_kg == pytest.approx(2.0 * 0.01 / np.sqrt(2.0))
    low, high = book.mass("P").band()
    assert low < 10.0
    assert high > 10.5


def test_a_scale_that_is_off_is_named():
    bench = Bench()
    for i in range(12):
        bench.part(f"P{i}").weigh(f"P{i}", 10.05, 0.01, shared=(("instrument a/calibration", 0.02),))
        bench.whole(f"P{i}", 10.0, 0.01)
    book = bench.book(residual_bound=4.0)
    assert flags(book, FlagKind.SCALE_OFFSET) == []
    [flag] = flags(bench.book(residual_bound=2.3), FlagKind.SCALE_OFFSET)
    assert "the calibration of instrument a is off" in flag.message


# --- against dense least squares ------------------------------------------------------------------------------------


def weighed_at_random(seed, size):
    """A random tree, weighed at random: lots, assemblies, covers, two scales."""
    rng = np.random.default_rng(seed)
    nodes = random_nodes(rng, size)
    parents = {node.parent for node in nodes}
    own = {n.tag: float(rng.uniform(1.0, 5.0)) for n in nodes if n.tag not in parents or n.kind is PART}
    true = plain_subtree_masses(nodes, own)
    bench = Bench(nodes=nodes)
    error = {"a": rng.normal(), "b": rng.normal()}

    def weigh(tag, mass, **more):
        scale = "ab"[rng.integers(2)]
        read = mass + 0.02 * mass * error[scale] + rng.normal(0.0, 0.05)
        bench.weigh(tag, read, 0.05, shared=((f"scale {scale}", 0.02 * mass),), **more)

    for node in nodes[1:]:
        leaf = node.tag not in parents
        if rng.random() < (0.8 if leaf else 0.5):
            number = float(rng.integers(1, 3)) if leaf else 1.0
            weigh(node.tag, number * true[node.tag], pieces=number, scope=Scope.SUBTREE)
        if not leaf and node.kind is PART and rng.random() < 0.7:
            weigh(node.tag, own[node.tag])
        if rng.random() < 0.3:
            other = nodes[rng.integers(1, len(nodes))].tag
            if other != node.tag:
                covers = ((node.tag, 1.0), (other, 2.0))
                weigh(node.tag, true[node.tag] + 2.0 * true[other], scope=Scope.SUBTREE, covers=covers)
    return bench


def dense_totals(book):
    """Every subtree total by textbook least squares with all covariances; None where it is not determined."""
    roll = book.roll
    solution, tree = roll.solution, roll.tree
    spoken_of = np.flatnonzero(solution.touched)
    design = solution.design.toarray()[:, spoken_of]
    errors = solution.table.sensitivity_kg.toarray()
    weight = scipy.linalg.inv(errors @ errors.T)
    normal = design.T @ weight @ design
    spread = scipy.linalg.pinvh(normal, rtol=1e-10)
    own = spread @ design.T @ weight @ solution.values_kg
    resolution = spread @ normal
    found = {}
    for place, row in enumerate(tree.subtree_sums().toarray()[:, spoken_of]):
        determined = np.allclose(row @ resolution, row, atol=1e-7)
        found[tree.nodes[place].tag] = (row @ own, np.sqrt(row @ spread @ row)) if determined else None
    return found


@settings(max_examples=30)
@given(st.integers(0, 2**32 - 1), st.integers(2, 14))
def test_every_determined_total_is_that_of_dense_least_squares(seed, size):
    # first principles: Aitken's estimator with the covariance of all readings, pseudo-inverse where pieces are missing.
    bench = weighed_at_random(seed, size)
    assume(bench.readings)
    book = bench.book(residual_bound=NO_BOUND)
    for tag, expected in dense_totals(book).items():
        if expected is not None:
            found = book.mass(tag)
            assert found.value == pytest.approx(expected[0], rel=1e-7, abs=1e-7)
            assert found.standard_uncertainty == pytest.approx(expected[1], rel=1e-6, abs=1e-7)


@settings(max_examples=30)
@given(st.integers(0, 2**32 - 1), st.integers(2, 20))
def test_a_further_reading_that_fits_never_widens_a_determined_total(seed, size):
    bench = weighed_at_random(seed, size)
    assume(bench.readings)
    before = bench.book(residual_bound=NO_BOUND)
    determined = {tag for tag, expected in dense_totals(before).items() if expected is not None}
    rng = np.random.default_rng(seed)
    tag = bench.nodes[rng.integers(1, size)].tag
    fits = max(before.mass(tag).value, 0.1)
    bench.weigh(
        tag, fits, 0.05, scope=Scope.SUBTREE, shared=(("scale a", 0.02 * fits),), covers=((tag, 1.0),)
    )
    after = bench.book(residual_bound=NO_BOUND)
    # A reading of what was missing, or of a surplus left out so far, adds mass and its band: another question.
    assume(len(after.nodes) == len(before.nodes))
    assume((after.roll.solution.touched == before.roll.solution.touched).all())
    for each in determined & {"V", tag}:
        limit = before.mass(each).standard_uncertainty
        assert after.mass(each).standard_uncertainty <= limit * (1.0 + 1e-9) + 1e-12


@settings(max_examples=30)
@given(st.integers(0, 2**32 - 1), st.integers(2, 40))
def test_planted_masses_come_back_from_exact_readings(seed, size):
    rng = np.random.default_rng(seed)
    nodes = random_nodes(rng, size)
    parents = {node.parent for node in nodes}
    own = {n.tag: float(rng.uniform(0.1, 5.0)) for n in nodes if n.tag not in parents or n.kind is PART}
    bench = Bench(nodes=nodes)
    for tag, mass in own.items():
        bench.weigh(tag, mass, 0.001)
    book = bench.book()
    # first principles: plain recursion over the tree.
    for tag, mass in plain_subtree_masses(nodes, own).items():
        assert book.mass(tag).value == pytest.approx(mass, rel=1e-12)
    pieces = plain_pieces(nodes)
    u = 0.001 * np.sqrt(sum(pieces[tag] ** 2 for tag in own))
    assert book.total.standard_uncertainty == pytest.approx(u, rel=1e-9)


def test_bands_of_all_nodes_at_once_are_those_of_the_single_quantities():
    bench = weighed_at_random(7, 60)
    for i, (source, u, dof) in enumerate((("x", 0.3, 3.0), ("x", 0.2, 3.0), ("", 0.4, 5.0))):
        tag = bench.nodes[i + 1].tag
        extra = Quantity(1.0, "kg", ((Source(f"s{i}", "student", dof=dof, ensemble=source), u),))
        bench.readings.append(
            Measurement(f"E{i}", tag, "mass", extra, scope=Scope.SUBTREE, covers=((tag, 1.0),))
        )
    book = bench.book(residual_bound=NO_BOUND)
    bands = book.roll.bands(book.roll.subtree_rows)
    for place, node in enumerate(book.nodes):
        single = book.mass(node.tag)
        assert bands.value_kg[place] == pytest.approx(single.value, abs=1e-9)
        assert bands.u_kg[place] == pytest.approx(single.standard_uncertainty, abs=1e-9)
        assert bands.half_kg[place] == pytest.approx(single.expanded(), rel=1e-6, abs=1e-9)
        assert bands.origins()[place] is single.origin


def test_two_sources_under_one_name_are_refused():
    bench = Bench().part("P").part("Q").weigh("P", 1.0, shared=(("scale", 0.1),))
    other = Quantity(2.0, "kg", ((Source("scale", "rectangular"), 0.1),))
    bench.readings.append(Measurement("R9", "Q", "mass", other))
    with pytest.raises(ValueError, match="both named 'scale'"):
        bench.book()
