"""Coverage of the mass gap: shares add up, stay between 0 and 1, and nothing depends on the order of rows."""

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hoistbook.core.compare.looked_at import LOOKED_AT, Side, Standing, looked_at
from hoistbook.core.compare.mass_walk import MassSide
from hoistbook.core.compare.study import Finding, FindingKind
from hoistbook.core.quantities.quantity import Origin, Quantity, Source

KG = "kg"


def kg(value, name="", u=0.0):
    return Quantity(value, KG, ((Source(name), u),) if u else ())


def side(code, stated, cells, recorded=(), absent=(), loose=None):
    """A vehicle from its cells (system, function) → mass; `loose` adds parts of a system in no function."""
    systems = {}
    for (system, _), mass in cells.items():
        systems[system] = systems[system] + mass if system in systems else mass
    for system, mass in (loose or {}).items():
        systems[system] = systems[system] + mass if system in systems else mass
    return Side(
        MassSide(code, kg(stated), systems, cells, dict.fromkeys(systems, Origin.MEASURED), Origin.MEASURED,
                 frozenset(absent)),
        frozenset(recorded),
    )  # fmt: skip


def same(function, *vehicles):
    return Finding(function, FindingKind.SAME, vehicles)


def run(x, y, findings=(), **options):
    return looked_at(x, y, findings, {}, n_draws=200, seed=1, **options)


def standing(found, code):
    return next(line.standing for line in found.lines if line.code == code)


def test_shares_by_hand():
    # first principles: |−2| of a decision, |3| of one nobody recorded, |1| loose in a system, |4| on the scale only:
    # sizes add up to 10 kg, of which 2 have been looked at.
    x = side("X", 100.0, {("A", "f"): kg(12.0), ("B", "g"): kg(20.0)}, {"f"}, loose={"B": kg(5.0)})
    y = side("Y", 106.0, {("A", "f"): kg(10.0), ("B", "g"): kg(23.0)}, {"f"}, loose={"B": kg(6.0)})
    found = run(x, y)
    assert found.differences.value == pytest.approx(10.0)
    assert found.looked_at.value == pytest.approx(0.2)
    assert [(line.kind, line.code) for line in found.open_lines] == [
        ("rest", ""), ("function", "g"), ("system", "B"),
    ]  # fmt: skip
    # Both vehicles weigh 206 kg together, and 22 of it lie in the function looked at.
    assert found.mass_looked_at.value == pytest.approx(22.0 / 206.0)


def test_what_was_found_equal_counts_as_mass_although_it_adds_no_difference():
    x = side("X", 50.0, {("A", "f"): kg(40.0)}, loose={"A": kg(10.0)})
    y = side("Y", 52.0, {("A", "f"): kg(40.0)}, loose={"A": kg(12.0)})
    without, found = run(x, y), run(x, y, [same("f", "X", "Y")])
    # first principles: 0 of 2 kg of difference; 80 of 102 kg of mass.
    assert without.mass_looked_at.value == 0.0
    assert found.looked_at.value == 0.0
    assert found.mass_looked_at.value == pytest.approx(80.0 / 102.0)
    assert standing(found, "f") is Standing.SAME


@pytest.mark.parametrize(
    ("more_kg", "expected"), [(0.0, Standing.SAME), (0.19, Standing.SAME), (0.21, Standing.CONTRADICTED)]
)
def test_masses_beyond_their_band_contradict_a_finding(more_kg, expected):
    # first principles: u(y − x) = √(0.06² + 0.08²) = 0.1 kg, and 95 % of a normal lie within 1.96 u = 0.196 kg.
    x = side("X", 10.0, {("A", "f"): kg(10.0, "x", 0.06)})
    y = side("Y", 10.0, {("A", "f"): kg(10.0 + more_kg, "y", 0.08)})
    found = run(x, y, [same("f", "X", "Y")])
    assert standing(found, "f") is expected
    assert next(line.allowed_kg for line in found.lines if line.code == "f") == pytest.approx(0.196, abs=5e-4)


def test_a_shared_scale_does_not_excuse_a_difference():
    # first principles: the error of one scale is the same in both readings and cancels in the difference.
    x, y = (
        side(code, 10.0, {("A", "f"): kg(mass, "scale", 5.0)}) for code, mass in (("X", 10.0), ("Y", 10.1))
    )
    assert standing(run(x, y, [same("f", "X", "Y")]), "f") is Standing.CONTRADICTED


def test_a_stated_spread_of_pieces_excuses_a_difference():
    x, y = (side(code, 10.0, {("A", "f"): kg(mass)}) for code, mass in (("X", 10.0), ("Y", 10.1)))
    finding = [same("f", "X", "Y")]
    # first principles: 1 % of the heavier, 10.1 kg, is 0.101 kg; 0.9 % is 0.0909 kg.
    assert standing(run(x, y, finding, piece_spread_frac=0.01), "f") is Standing.SAME
    assert standing(run(x, y, finding, piece_spread_frac=0.009), "f") is Standing.CONTRADICTED


def test_a_contradicted_finding_is_not_looked_at():
    x, y = (side(code, m, {("A", "f"): kg(m)}, {"f"}) for code, m in (("X", 10.0), ("Y", 13.0)))
    found = run(x, y, [same("f", "X", "Y")])
    assert found.looked_at.value == 0.0
    assert [line.code for line in found.contradicted] == ["f"]
    assert run(x, y).looked_at.value == pytest.approx(1.0)  # without the finding it is a plain decision


def test_a_finding_speaks_of_its_vehicles_only():
    x, y = (side(code, 10.0, {("A", "f"): kg(10.0)}) for code in "XY")
    carried = Finding("f", FindingKind.CARRIED_OVER, ("Z", "Y"), taken_from="X")
    assert standing(run(x, y, [same("f", "X", "Z")]), "f") is Standing.OPEN
    assert standing(run(x, y, [carried]), "f") is Standing.CARRIED_OVER


def test_doing_without_is_a_decision():
    # first principles: Y does without, which is recorded, so the 4 kg of X are a decision of 4 kg.
    x = side("X", 14.0, {("A", "f"): kg(4.0)}, {"f"}, loose={"A": kg(10.0)})
    y = side("Y", 10.0, {}, {"f"}, absent={"f"}, loose={"A": kg(10.0)})
    found = run(x, y)
    assert standing(found, "f") is Standing.DECIDED
    assert found.looked_at.value == pytest.approx(1.0)


def test_a_function_recorded_at_one_vehicle_stays_with_its_system():
    # first principles: Y's same parts are listed without the function, so there is no difference of 4 kg anywhere.
    x = side("X", 14.0, {("A", "f"): kg(4.0)}, {"f"}, loose={"A": kg(10.0)})
    y = side("Y", 14.5, {}, loose={"A": kg(14.5)})
    found = run(x, y)
    assert {line.code for line in found.lines} == {"A", ""}
    assert found.differences.value == pytest.approx(0.5)


def test_a_finding_of_a_system_covers_what_lies_wholly_in_it():
    cells = {("A", "f"): kg(3.0), ("A", "g"): kg(2.0), ("B", "g"): kg(1.0)}
    x, y = (side(code, 16.0, cells, loose={"A": kg(10.0)}) for code in "XY")
    found = run(x, y, [same("A", "X", "Y")])
    assert (standing(found, "A"), standing(found, "f"), standing(found, "g")) == (
        Standing.SAME, Standing.SAME, Standing.OPEN,
    )  # fmt: skip


def test_a_system_that_was_not_taken_apart_is_not_looked_at():
    # first principles: Y lists nothing of system B but 30 kg are on its scale, so nobody knows what B weighs there.
    x = side("X", 130.0, {("A", "f"): kg(100.0), ("B", "g"): kg(30.0)}, {"f", "g"})
    y = side("Y", 130.0, {("A", "f"): kg(100.0)}, {"f", "g"}, absent=())
    found = run(x, y)
    assert {line.code for line in found.lines} == {"f", ""}
    assert found.mass_looked_at.value == pytest.approx(200.0 / 260.0)


def test_no_difference_at_all_leaves_nothing_looked_at():
    x, y = (side(code, 10.0, {("A", "f"): kg(10.0)}, {"f"}) for code in "XY")
    found = run(x, y)
    assert (found.looked_at.value, found.by_standing[Standing.OPEN].value) == (0.0, 1.0)
    assert found.mass_looked_at.value == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("options", "word"), [({"n_draws": 99}, "n_draws = 99"), ({"piece_spread_frac": -0.1}, "-0.1")]
)
def test_refusals_name_the_value(options, word):
    x, y = (side(code, 10.0, {("A", "f"): kg(10.0)}) for code in "XY")
    with pytest.raises(ValueError, match=word):
        looked_at(x, y, (), {}, **{"n_draws": 200, "seed": 1, **options})


MASSES = st.floats(0.0, 500.0)
CELLS = st.dictionaries(
    st.tuples(st.sampled_from("AB"), st.sampled_from("fgh")),
    st.tuples(MASSES, st.floats(0.0, 5.0)),
    max_size=6,
)
FINDINGS = st.lists(
    st.builds(
        lambda function, kind: Finding(function, kind, ("X", "Y") if kind is FindingKind.SAME else ("Y",),
                                       "" if kind is FindingKind.SAME else "X"),
        st.sampled_from("fghAB"), st.sampled_from(FindingKind),
    ),
    max_size=4, unique_by=lambda f: f.function,
)  # fmt: skip


@given(CELLS, CELLS, FINDINGS, st.sets(st.sampled_from("fgh")), st.randoms(use_true_random=False))
@settings(max_examples=60, deadline=None)
def test_shares_add_up_stay_in_bounds_and_do_not_depend_on_order(
    cells_x, cells_y, findings, recorded, shuffle
):
    def built(code, cells, order):
        rows = [(key, kg(m, f"{code}/{key}", u)) for key, (m, u) in cells.items()]
        order.shuffle(rows)
        return side(
            code, sum(m for m, _ in cells.values()) + 10.0, dict(rows), recorded, loose={"A": kg(8.0)}
        )

    orders = (random.Random(0), shuffle)
    mixed = findings[:]
    shuffle.shuffle(mixed)
    first, again = (
        run(built("X", cells_x, order), built("Y", cells_y, order), rows)
        for order, rows in zip(orders, (findings, mixed), strict=True)
    )
    for found in (first, again):
        for share in (found.looked_at, found.mass_looked_at, *found.by_standing.values()):
            assert -1e-12 <= share.low <= share.high <= 1.0 + 1e-12
        assert sum(share.value for share in found.by_standing.values()) == pytest.approx(1.0)
        looked = sum(found.by_standing[each].value for each in LOOKED_AT)
        assert found.looked_at.value == pytest.approx(looked, abs=1e-12)
    assert again.looked_at.value == pytest.approx(first.looked_at.value, abs=1e-9)
    assert {(line.code, line.standing) for line in again.lines} == {
        (line.code, line.standing) for line in first.lines
    }
