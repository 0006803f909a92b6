"""How much was weighed, and what is said of masses by difference."""

import pytest

from hoistbook.core.mass import Cover, FlagKind, MassBasis
from hoistbook.core.vehicle.records import Method

from .mass_bench import ASSEMBLY, FASTENER, Bench


def bench():
    one = (
        Bench()
        .part("A", kind=ASSEMBLY, system="SU07", count=2)
        .part("P", "A")
        .part("Q", "A")
        .part("E", "A", count=3)
    )
    one.whole("A", 10.0).weigh("P", 3.0).weigh("E", 1.0, 0.2, method=Method.ESTIMATED)
    one.part("C", system="TH01").weigh("C", 4.0, 0.4, method=Method.COMPUTED)
    one.part("L", system="TH01").weigh("L", 2.0, 0.2, method=Method.LITERATURE)
    return one.part("F", kind=FASTENER, system="TH01", count=5)


def test_every_piece_counts_in_one_line():
    book = bench().book()
    lines = {line.cover: line for line in book.coverage.lines}
    assert {cover: (line.node_count, line.piece_count) for cover, line in lines.items()} == {
        Cover.WEIGHED: (1, 2.0),  # P
        Cover.INSIDE: (2, 8.0),  # Q, and E which was only estimated inside the weighed assembly
        Cover.COMPUTED: (1, 1.0),
        Cover.ESTIMATED: (0, 0.0),
        Cover.LITERATURE: (1, 1.0),
        Cover.MISSING: (1, 5.0),
    }
    assert book.coverage.node_count == 6


def test_masses_of_the_lines_add_up_to_the_parts():
    book = bench().book()
    masses = {line.cover: None if line.mass is None else line.mass.value for line in book.coverage.lines}
    # first principles: two assemblies of 10 kg; in each 3 kg weighed, the other 7 kg inside; 4 computed, 2 from a book.
    assert masses == pytest.approx(
        {
            Cover.WEIGHED: 6.0,
            Cover.INSIDE: 14.0,
            Cover.COMPUTED: 4.0,
            Cover.ESTIMATED: 0.0,
            Cover.LITERATURE: 2.0,
            Cover.MISSING: None,
        }
    )
    assert book.total.value == pytest.approx(26.0)
    assert sum(line.mass_share_frac or 0.0 for line in book.coverage.lines) == pytest.approx(1.0)


def test_coverage_of_one_system():
    found = bench().book().system_coverage
    assert found["SU"].line(Cover.INSIDE).mass.value == pytest.approx(14.0)
    assert found["TH"].line(Cover.MISSING).node_count == 1
    assert found["TH"].parts.value == pytest.approx(6.0)


def test_a_part_that_would_weigh_less_than_nothing_is_flagged():
    # The housing is a part and was never weighed bare; its bush weighs more than both together.
    book = Bench().part("H").part("B", "H").weigh("B", 0.5, 0.01).whole("H", 0.4, 0.01).book()
    [flag] = book.flags
    assert flag.kind is FlagKind.NEGATIVE
    assert flag.residual_kg == pytest.approx(-0.1)
    assert flag.tags == ("H",)


def test_the_estimate_of_a_piece_breaks_a_weighed_assembly_down_without_changing_it():
    book = bench().book()
    assert book.node("E").basis is MassBasis.ESTIMATED
    assert book.node("A").subtree_kg == pytest.approx(10.0)
    assert book.node("A").own_kg == pytest.approx(4.0)
    assert book.node("A").holds == ("Q",)
    assert book.mass("A").standard_uncertainty == pytest.approx(0.01)
