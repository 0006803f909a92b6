"""What a test may take of a vehicle: what was stated, and nothing that only a default of the model says."""

from hoistbook.core.quantities.evaluation import normal
from hoistbook.core.quantities.quantity import Origin
from hoistbook.core.vehicle.records import Configuration, Fact, MassState, Teardown, Vehicle
from hoistbook.services.energy_trials import known_vehicle


def vehicle(*facts):
    return Teardown(Vehicle("X", "X"), (Configuration("base", "X"),), facts)


def fact(quantity, value, unit, origin=Origin.MEASURED, **more):
    return Fact("base", quantity, normal(value, 0.01 * value, unit, f"X {quantity}", origin), **more)


REST = (
    fact("mass", 1700.0, "kg", mass_state=MassState.TEST),
    fact("usable_energy", 2e8, "J"),
    fact("wheel_radius", 0.32, "m"),
)
LOAD = (
    fact("road_load_a", 230.0, "N"),
    fact("road_load_b", 0.4, "N.s/m"),
    fact("road_load_c", 0.76, "N.s2/m2"),
)


def known(*facts):
    stated = vehicle(*facts)
    return known_vehicle(stated, stated.configurations[0])


def test_a_measured_road_load_is_used_though_its_split_is_assumed():
    found = known(*REST, *LOAD)
    # first principles: what was stated is the sum of tyres and drag; how it is shared does not matter here.
    load = found.vehicle.road_load
    assert [q.value for q in (load.a, load.b, load.c)] == [230.0, 0.4, 0.76]
    assert {q.origin for q in (load.a, load.b, load.c)} == {Origin.MEASURED}
    assert not any("road load" in remark for remark in found.remarks)


def test_a_road_load_made_of_defaults_is_not_used():
    found = known(*REST)
    assert found.vehicle.road_load is None
    assert "road load of X/base was not used: it rests on an assumption" in found.remarks
