"""Two vehicles' ways of doing a function in money: what is shared, what switches do, and cost at equal range."""

from dataclasses import replace

import numpy as np
import pytest

from hoistbook.capture.read import read_teardown
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.reference.cost import packaged_scenario
from hoistbook.services.cost_compare import cost_comparison
from hoistbook.services.cost_equal_range import cost_at_equal_range
from hoistbook.services.demo import van_paths

FUNCTION = "door mirrors"
SHARED = packaged_scenario()
DEDICATED = replace(SHARED, dedicated=True)


@pytest.fixture(scope="module")
def vans():
    return read_teardown(van_paths()["whimbrel"]), read_teardown(van_paths()["turnstone"])


@pytest.fixture(scope="module")
def compared(vans):
    return cost_comparison(vans, (SHARED, SHARED), FUNCTION, n_draws=200)


def test_the_walk_adds_up_in_every_draw_and_nothing_is_certain(compared):
    walk = compared.walk
    # first principles: Shapley shares add up to the difference, and a few hundred draws make nothing certain.
    assert sum(one.money.value for one in walk.steps) == pytest.approx(walk.difference.value, abs=1e-9)
    assert np.sum([one.draws for one in walk.steps], axis=0) == pytest.approx(walk.draws, abs=1e-9)
    assert 0.0 < walk.probability_a_cheaper < 1.0
    assert walk.difference.low < walk.difference.value < walk.difference.high


def test_machines_of_their_own_show_beside_the_swings(vans, compared):
    by_hand = cost_comparison(vans, (DEDICATED, DEDICATED), FUNCTION, n_draws=2)
    switch = compared.tornado.switches[0]
    assert (switch.switch, switch.turned) == ("machines", "dedicated to each part")
    # first principles: the switch turned is the comparison made with the switch turned.
    assert switch.first_money == pytest.approx(by_hand.walk.first.value, rel=1e-12)
    assert switch.difference_money == pytest.approx(by_hand.walk.difference.value, rel=1e-9)
    # first principles: whole machines for one part cost more than the hours it needs.
    assert switch.first_money > compared.walk.first.value
    assert [one.turned for one in compared.tornado.switches[1:]] == ["apart", "simple"]


def test_two_scenarios_of_one_vehicle_differ_by_what_was_switched(vans):
    found = cost_comparison((vans[0], vans[0]), (SHARED, DEDICATED), FUNCTION, n_draws=50)
    shares = {one.factor: one.money for one in found.walk.steps}
    # first principles: one vehicle, one switch, and no part that misses by itself.
    assert shares["machines"].value == pytest.approx(found.walk.difference.value, rel=1e-12)
    assert all(
        money.value == 0.0 and money.high == 0.0 for name, money in shares.items() if name != "machines"
    )


def test_parts_that_are_one_on_both_vehicles_miss_alike(vans):
    sister = read_teardown(van_paths()["dotterel"])
    found = cost_comparison((vans[1], sister), (SHARED, SHARED), "bulkhead", n_draws=100)
    # first principles: a part against itself differs by its readings alone, far less than models miss (±17 % each).
    assert any("taken as the same part" in one for one in found.cautions)
    half = 0.5 * (found.walk.difference.high - found.walk.difference.low)
    assert half < 0.05 * found.walk.first.value


def test_cost_at_equal_range_is_the_difference_and_the_battery_that_pays_it_back(vans, compared):
    stated = {"mass": Quantity(2.0, "kg"), "accessory_power": Quantity(10.0, "W")}
    found = cost_at_equal_range(vans, compared, FUNCTION, changes=stated)
    price = SHARED.money(SHARED.figures["battery_money_per_j"]).value
    far = found.found.range_change_m.value
    # first principles: heavier and thirstier goes less far; dU = -dR U/R at the price of usable energy.
    assert far < 0.0
    assert found.found.battery.value == pytest.approx(
        -far * found.usable_energy_j / found.range_m * price, rel=1e-9
    )
    assert found.found.total.value == pytest.approx(
        compared.walk.difference.value + found.found.battery.value, rel=1e-9
    )
    weighed = cost_at_equal_range(vans, compared, FUNCTION)
    # first principles: without any statement it is the mass that was weighed, and of that sign.
    assert list(weighed.changes) == ["mass"]
    assert np.sign(weighed.found.range_change_m.value) == -np.sign(weighed.changes["mass"].value)
    with pytest.raises(LookupError, match="no rate for 'smell'"):
        cost_at_equal_range(
            vans, compared, FUNCTION, changes={"mass": stated["mass"], "smell": Quantity(1.0, "1")}
        )
