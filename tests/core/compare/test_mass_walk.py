from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoistbook.core.compare.mass_walk import UNALLOCATED, MassSide, mass_walk
from hoistbook.core.quantities.quantity import Origin, Quantity, Source

N_DRAWS = 400


def kg(value, name, u=0.1):
    return Quantity(value, "kg", ((Source(name), u),), Origin.MEASURED)


def side(code, stated, systems, functions=(), absent=()):
    masses = {system: kg(mass, f"{code}/{system}") for system, mass in systems.items()}
    cells = {(system, function): kg(mass, f"{code}/{function}") for system, function, mass in functions}
    origins = dict.fromkeys(systems, Origin.MEASURED)
    return MassSide(
        code, kg(stated, f"{code}/scale", 1.0), masses, cells, origins, Origin.MEASURED, frozenset(absent)
    )


def walk(x, y, **more):
    return mass_walk(x, y, {"BP": "battery pack"}, {}, comparison="as found", n_draws=N_DRAWS, seed=1, **more)


@given(
    st.dictionaries(st.sampled_from(["BP", "DU", "SU"]), st.floats(50.0, 400.0), min_size=1),
    st.floats(-30.0, 30.0),
    st.floats(-30.0, 30.0),
)
def test_systems_and_the_rest_make_the_gap(systems, more_x, more_y):
    # first principles: masses add; the rest is what the scale has beyond the parts.
    x = side("X", sum(systems.values()) + more_x, systems)
    heavier = {system: 1.1 * mass for system, mass in systems.items()}
    y = side("Y", sum(heavier.values()) + more_y, heavier)
    found = walk(x, y)
    assert sum(bar.amount.value for bar in found.bars) == pytest.approx(found.gap.value, abs=1e-9)
    assert found.rest.amount.value == pytest.approx(more_y - more_x, abs=0.4)
    assert found.not_compared == ()


def test_what_was_not_taken_apart_is_not_zero():
    # first principles: 986 of 1,000 kg of X are listed nowhere and could hold a whole battery pack.
    x = side("X", 1000.0, {"SU": 12.0, "BP": 2.0})
    y = side("Y", 1600.0, {"SU": 110.0, "BP": 385.0, "DU": 80.0})
    found = walk(x, y)
    assert {bar.name for bar in found.bars} == {UNALLOCATED}
    assert found.rest.amount.value == pytest.approx(600.0, abs=0.5)
    assert found.not_compared == ("battery pack", "DU", "SU")
    assert any("X: only 1% of its mass is listed" in text for text in found.assumptions)


def test_a_light_system_of_a_complete_teardown_is_compared():
    # first principles: X closes to 3 kg, which cannot hold a difference of 40 kg.
    x = side("X", 1003.0, {"SU": 990.0, "BP": 10.0})
    y = side("Y", 1100.0, {"SU": 1047.0, "BP": 50.0})
    found = walk(x, y)
    assert next(bar for bar in found.bars if bar.name == "BP").amount.value == pytest.approx(40.0, abs=0.1)
    assert found.not_compared == ()


def test_a_decision_is_known_as_its_weakest_figure_is():
    # first principles: a weighed axle less a guessed one is a guess; two weighed floors are measured.
    functions = [("SU", "axle", 20.0), ("SU", "floor", 30.0)]
    x, y = side("X", 100.0, {"SU": 100.0}, functions), side("Y", 130.0, {"SU": 130.0}, functions)
    guess = replace(y.decisions["SU", "axle"], origin=Origin.ASSUMED)
    found = walk(x, replace(y, decisions={**y.decisions, ("SU", "axle"): guess}))
    assert {line.name: line.origin for line in found.decisions} == {"axle": "assumed", "floor": "measured"}
    inside = {line.name: line.origin for bar in found.bars for line in bar.decisions}
    assert inside == {"axle": "assumed", "floor": "measured"}


def test_functions_of_one_vehicle_only_are_named():
    x = side("X", 100.0, {"SU": 100.0}, [("SU", "axle", 20.0)])
    y = side("Y", 130.0, {"SU": 130.0}, [("SU", "axle", 35.0), ("SU", "tow", 5.0)])
    found = walk(x, y)
    assert [line.name for line in found.decisions] == ["axle"]
    assert any("tow" in text for text in found.assumptions)
    without = side("X", 100.0, {"SU": 100.0}, [("SU", "axle", 20.0)], absent=("tow",))
    assert {line.name for line in walk(without, y).decisions} == {"axle", "tow"}


def test_too_few_draws_are_refused():
    x = side("X", 100.0, {"SU": 100.0})
    with pytest.raises(ValueError, match="n_draws = 50"):
        mass_walk(x, x, {}, {}, comparison="as found", n_draws=50, seed=1)
