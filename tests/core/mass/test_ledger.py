"""Which readings count."""

import math

import pytest

from hoistbook.core.mass import FlagKind, MassBasis
from hoistbook.core.quantities.quantity import Origin, Quantity, Source
from hoistbook.core.vehicle.records import Measurement, Method, Scope, SubjectKind

from .mass_bench import ASSEMBLY, FASTENER, Bench


def kinds(book):
    return [flag.kind for flag in book.flags]


def test_a_superseded_reading_does_not_count():
    book = Bench().part("P").weigh("P", 3.0).weigh("P", 2.0, supersedes="R1").book()
    assert book.total.value == 2.0
    assert [(s.reading, s.reason) for s in book.set_aside] == [("R1", "superseded")]


def test_a_chain_of_corrections_leaves_the_last():
    bench = (
        Bench().part("P").weigh("P", 3.0).weigh("P", 2.0, supersedes="R1").weigh("P", 2.5, supersedes="R2")
    )
    book = bench.book()
    assert book.total.value == 2.5
    assert {s.reading for s in book.set_aside} == {"R1", "R2"}


def test_other_quantities_are_passed_over():
    bench = Bench().part("P").weigh("P", 3.0)
    bench.readings.append(Measurement("L1", "P", "length", Quantity(0.7, "m")))
    assert bench.book().total.value == 3.0


def test_a_lot_gives_the_mass_of_one_piece():
    book = Bench().part("F", kind=FASTENER, count=12).weigh("F", 0.5, 0.01, pieces=20).book()
    # first principles: 0.5/20 = 0.025 kg each, u = 0.01/20; twelve in the vehicle: 0.3 kg, u = 0.006.
    assert book.mass("F").value == pytest.approx(0.025)
    assert book.total.value == pytest.approx(0.3)
    assert book.total.standard_uncertainty == pytest.approx(0.006)


def test_repeat_readings_become_one_with_the_scale_error_kept_whole():
    shared = (("scale", 0.02),)
    bench = Bench().part("P")
    for i, value in enumerate((3.00, 3.02), start=1):
        bench.weigh("P", value, 0.03, shared=shared, replicate=i)
    book = bench.book()
    assert book.mass("P").value == pytest.approx(3.01)
    assert book.flags == ()
    # first principles: the common 0.02 does not average out.
    assert {s.name: c for s, c in book.mass("P").terms}["scale"] == pytest.approx(0.02)


def test_repeat_readings_that_differ_are_flagged_and_not_averaged_away():
    bench = (
        Bench()
        .part("P")
        .weigh("P", 3.0, 0.01)
        .weigh("P", 3.0, 0.01, replicate=2)
        .weigh("P", 4.0, 0.01, replicate=3)
    )
    book = bench.book()
    [flag] = [f for f in book.flags if f.kind is FlagKind.REPEATS_DIFFER]
    assert flag.tags == ("P",)
    assert flag.readings == ("R1", "R2", "R3")
    assert flag.residual_kg == pytest.approx(1.0)
    # Said once, in the words of the sheet: no name that the errors carry inside.
    assert flag.message.startswith("P: 3 readings from 3 to 4 kg")
    assert "supersede" not in flag.message
    assert "supersede" in flag.advice
    low, high = book.mass("P").band()
    assert low < 3.0
    assert high > 4.0


def test_a_weighed_part_sets_its_estimate_aside():
    bench = Bench().part("P").weigh("P", 3.1, 0.5, method=Method.ESTIMATED).weigh("P", 3.0)
    book = bench.book()
    assert book.total.value == 3.0
    assert book.node("P").basis is MassBasis.WEIGHED
    assert [s.reading for s in book.set_aside] == ["R1"]
    assert book.flags == ()


def test_an_estimate_far_from_the_scale_is_pointed_out():
    bench = Bench().part("P").weigh("P", 5.0, 0.3, method=Method.COMPUTED).weigh("P", 3.0, 0.4)
    [flag] = bench.book().flags
    assert flag.kind is FlagKind.METHODS_DIFFER
    assert flag.residual_kg == pytest.approx(2.0)
    # first principles: 2 √(0.3² + 0.4²) = 1.
    assert flag.bound_kg == pytest.approx(1.0)


def test_an_estimated_assembly_does_not_override_its_pieces():
    bench = Bench().part("A", kind=ASSEMBLY).part("P", "A").weigh("P", 3.0)
    book = bench.whole("A", 4.0, 1.0, method=Method.ESTIMATED).book()
    assert book.total.value == 3.0
    assert book.unallocated == ()
    assert [s.reading for s in book.set_aside] == ["R2"]


def test_an_estimated_assembly_stands_in_for_pieces_without_a_mass():
    bench = Bench().part("A", kind=ASSEMBLY).part("P", "A").part("Q", "A").weigh("P", 3.0)
    book = bench.whole("A", 4.0, 1.0, method=Method.ESTIMATED).book()
    assert book.total.value == pytest.approx(4.0)
    assert book.node("A").basis is MassBasis.NOT_BROKEN_DOWN
    assert book.total.origin is Origin.ASSUMED
    assert book.coverage.line("estimated").mass.value == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("method", "origin"),
    [
        (Method.WEIGHED, Origin.MEASURED),
        (Method.COMPUTED, Origin.INFERRED),
        (Method.ESTIMATED, Origin.ASSUMED),
        (Method.LITERATURE, Origin.PUBLISHED),
    ],
)
def test_the_method_sets_the_strength_of_the_origin(method, origin):
    book = Bench().part("P").weigh("P", 3.0, method=method).book()
    assert book.total.origin is origin
    assert book.node("V").origin is origin


def test_the_vehicle_on_the_scale_is_never_a_part_of_the_sum():
    for scope in Scope:
        bench = Bench().part("P").weigh("P", 3.0).weigh("V", 3.2, 0.01, scope=scope)
        assert bench.book().closure is None  # nobody said what else stood in it
        book = bench.fact("on_board_mass", Quantity(0.0, "kg")).book()
        assert book.total.value == 3.0
        assert book.closure.difference.value == pytest.approx(0.2)


def test_an_assembly_read_as_a_piece_of_its_own_is_pointed_out():
    book = Bench().part("A", kind=ASSEMBLY).part("P", "A").weigh("P", 3.0).weigh("A", 3.5).book()
    [flag] = [f for f in book.flags if f.kind is FlagKind.SCOPE]
    assert flag.tags == ("A",)
    assert "scope subtree" in flag.advice
    assert book.total.value == pytest.approx(6.5)


def test_a_joint_counts_only_when_it_says_what_was_weighed():
    bench = Bench().part("F", kind=FASTENER, count=4)
    bench.weigh("J1", 0.2, subject_kind=SubjectKind.JOINT)
    book = bench.book()
    assert kinds(book) == [FlagKind.NOT_USED]
    assert book.missing == ("F",)
    bench.readings.clear()
    book = bench.weigh("J1", 0.2, subject_kind=SubjectKind.JOINT, covers=(("F", 4.0),)).book()
    assert book.total.value == pytest.approx(0.2)


@pytest.mark.parametrize(
    ("more", "message"),
    [
        ({"pieces": 0.0}, "pieces = 0.0"),
        ({"pieces": math.nan}, "pieces = nan"),
        ({"covers": (("P", -1.0),)}, "covers P × -1.0"),
        ({"covers": (("X", 1.0),)}, "part X is not in the part tree"),
    ],
)
def test_readings_that_cannot_be_meant_are_refused(more, message):
    with pytest.raises(ValueError, match=message):
        Bench().part("P").weigh("P", 3.0, **more).book()


def test_a_mass_in_another_unit_is_refused():
    bench = Bench().part("P")
    bench.readings.append(Measurement("R1", "P", "mass", Quantity(3.0, "N", ((Source("x"), 0.1),))))
    with pytest.raises(ValueError, match="a mass in N"):
        bench.book()
