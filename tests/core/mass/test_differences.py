"""Two vehicles line by line."""

import numpy as np
import pytest

from hoistbook.core.mass import difference_by_function, difference_by_system, differences

from .mass_bench import ASSEMBLY, Bench


def vehicle(code, masses, **functions):
    bench = Bench(code)
    for tag, (mass, system) in masses.items():
        bench.part(tag, system=system, function=functions.get(tag, ""))
        bench.weigh(tag, mass, 0.01, shared=(("scale", 0.001 * mass),))
    return bench


FIRST = {"P": (300.0, "BP01"), "Q": (20.0, "SU07"), "X": (5.0, "")}
SECOND = {"P": (305.0, "BP01"), "R": (4.0, "TH01"), "X": (5.5, "")}


def test_the_shared_scale_cancels_and_absent_lines_count_as_nothing():
    found = difference_by_system(vehicle("Whimbrel", FIRST).book(), vehicle("Dotterel", SECOND).book())
    by_key = {line.key: line for line in found.lines}
    assert by_key["BP"].difference.value == pytest.approx(5.0)
    # first principles: the scale's 0.1 % of the 5 kg difference, and two readings of 0.01 kg.
    assert by_key["BP"].difference.standard_uncertainty == pytest.approx(np.sqrt(0.005**2 + 2 * 0.01**2))
    assert by_key["SU"].second is None
    assert by_key["SU"].difference.value == pytest.approx(-20.0)
    assert by_key["TH"].first is None
    assert by_key[""].difference.value == pytest.approx(0.5)
    assert [line.key for line in found.lines] == ["SU", "BP", "TH", ""]
    assert all(line.resolved for line in found.lines)
    assert sum(line.difference.value for line in found.lines) == pytest.approx(found.total.difference.value)
    assert found.total.difference.value == pytest.approx(-10.5)
    assert by_key["BP"].probability_second_heavier == pytest.approx(1.0)


def test_the_difference_turns_round_with_the_order():
    first, second = vehicle("Whimbrel", FIRST).book(), vehicle("Dotterel", SECOND).book()
    there, back = difference_by_system(first, second), difference_by_system(second, first)
    assert back.total.difference.value == pytest.approx(-there.total.difference.value)
    assert back.total.difference.standard_uncertainty == pytest.approx(
        there.total.difference.standard_uncertainty
    )


def test_an_assembly_taken_to_pieces_compares_fairly_with_one_weighed_whole():
    pieces = (
        Bench("Whimbrel")
        .part("S", kind=ASSEMBLY, system="SE01")
        .part("P", "S")
        .weigh("P", 9.0)
        .whole("S", 10.0)
    )
    whole = Bench("Dotterel").part("S", kind=ASSEMBLY, system="SE01").weigh("S", 10.0)
    [line, _] = difference_by_system(pieces.book(), whole.book()).lines
    assert line.difference.value == pytest.approx(0.0)
    assert line.of_which_unallocated.value == pytest.approx(-1.0)
    assert not line.resolved


def test_parts_without_a_mass_are_counted_beside_the_line():
    second = vehicle("Dotterel", SECOND).part("N", system="BP01")
    found = difference_by_system(vehicle("Whimbrel", FIRST).book(), second.book())
    line = next(line for line in found.lines if line.key == "BP")
    assert (line.missing_first, line.missing_second) == (0, 1)
    assert (found.total.missing_first, found.total.missing_second) == (0, 1)


def test_by_function():
    first = vehicle("Whimbrel", FIRST, P="store energy").function("store energy", name="Store energy")
    second = vehicle("Dotterel", SECOND, P="store energy").function("store energy", name="Store energy")
    found = difference_by_function(first.book(), second.book())
    assert (found.lines[0].name, found.lines[0].difference.value) == ("Store energy", pytest.approx(5.0))


def test_unlike_breakdowns_are_refused():
    book = vehicle("Whimbrel", FIRST).book()
    with pytest.raises(ValueError, match="by system with one by side"):
        differences(book.systems, book.sides)
