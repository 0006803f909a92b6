"""What a test may take of a vehicle: what was stated, and nothing that only a default of the model says."""

from hoistbook.core.quantities.evaluation import normal
from hoistbook.core.quantities.quantity import Origin
from hoistbook.core.vehicle.records import Configuration, Fact, MassState, Teardown, Vehicle
from hoistbook.services.energy_trials import Asked, evaluate, known_vehicle
from hoistbook.services.logs import log_series


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
    assert "road load" not in found.remarks


def test_a_road_load_made_of_defaults_is_not_used():
    found = known(*REST)
    assert found.vehicle.road_load is None
    assert found.remarks["road load"] == "road load of X/base was not used: it rests on an assumption"


def test_a_test_says_nothing_of_what_it_does_not_use(tmp_path):
    rows = "".join(f"{second},360,{1.0 + 0.01 * (second % 3)}\n" for second in range(121))
    (tmp_path / "stand.csv").write_text(f"Time [s],HV voltage [V],HV current [A]\n{rows}")
    log = log_series(tmp_path / "stand.csv", guess=True)
    stated = vehicle(*REST)
    found = evaluate(
        "standby", log, Asked(), label="t", teardown=stated, configuration=stated.configurations[0]
    )
    # first principles: a vehicle that stands needs no road load, mass or charger.
    assert not any("road load" in text or "mass" in text for text in found.assumptions)
