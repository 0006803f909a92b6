"""Two vans' ways of one function in money: what is shown adds up, mirrors, and turns where it says it turns."""

from dataclasses import replace
from types import MappingProxyType

import numpy as np
import pytest

from hoistbook.capture.read import read_teardown
from hoistbook.core.cost.processes import PROCESSES
from hoistbook.reference.cost import packaged_scenario
from hoistbook.services.cost import cost_report, function_sum
from hoistbook.services.cost_assembly import function_shares
from hoistbook.services.cost_compare import compared_reports, cost_comparison
from hoistbook.services.cost_sources import source_words
from hoistbook.services.demo import van_paths

CABLES, TRAY, DRIVE = "high-voltage cable runs", "pack tray and fastening", "drive and rear axle"
DRAWS = 100


def reports(vans, scenario, draws=DRAWS):
    one, other = (cost_report(van, scenario, n_draws=draws) for van in vans)
    return one, other


@pytest.fixture(scope="module")
def vans():
    paths = van_paths()
    return read_teardown(paths["whimbrel"]), read_teardown(paths["turnstone"])


@pytest.fixture(scope="module")
def costs(vans):
    return reports(vans, packaged_scenario())


@pytest.fixture(scope="module")
def tray(vans, costs):
    return compared_reports(vans, costs, TRAY)


@pytest.fixture(scope="module")
def cables(vans, costs):
    return compared_reports(vans, costs, CABLES)


@pytest.fixture(scope="module")
def drive(vans, costs):
    return compared_reports(vans, costs, DRIVE)


@pytest.mark.parametrize("which", ["tray", "cables"])
def test_the_walk_adds_up_in_every_draw(which, request):
    found = request.getfixturevalue(which)
    walk = found.walk
    # first principles: second less first, and bars that leave nothing over, in the best estimate and in every draw.
    assert walk.second.value - walk.first.value == pytest.approx(walk.difference.value)
    assert sum(step.money.value for step in walk.steps) == pytest.approx(walk.difference.value)
    assert np.allclose(sum(step.draws for step in walk.steps), walk.draws)
    # from memory: (k + 1/2)/(n + 1), the mean of a share after Jeffreys' prior: never quite 0 or 1.
    assert walk.probability_a_cheaper == pytest.approx((np.sum(walk.draws > 0.0) + 0.5) / (DRAWS + 1.0))


@pytest.mark.parametrize("which", ["tray", "cables"])
def test_each_side_is_the_function_of_its_vehicle(which, vans, costs, request):
    found = request.getfixturevalue(which)
    for side, end, van, report in zip(
        (found.a, found.b), (found.walk.first, found.walk.second), vans, costs, strict=True
    ):
        of_vehicle, share = function_sum(report, van, found.function)
        # first principles: the same parts cost the same, summed by the vehicle or by the comparison; lines and parts
        # add up to them.
        assert side.sum.total.value == pytest.approx(of_vehicle.total.value)
        assert end.value == pytest.approx(of_vehicle.total.value)
        assert sum(value for _, value in side.lines) == pytest.approx(of_vehicle.total.value)
        assert sum(value for _, _, value in side.parts) == pytest.approx(of_vehicle.parts)
        costed = {*report.costs, *report.fasteners}
        assert {one.tag for one in side.left_out} <= set(share) - costed


def test_swapping_the_sides_mirrors_everything(vans, costs, tray):
    turned = compared_reports((vans[1], vans[0]), (costs[1], costs[0]), TRAY)
    # first principles: B less A is the opposite of A less B, step by step; a break-even is where it was.
    assert turned.walk.difference.value == pytest.approx(-tray.walk.difference.value)
    assert turned.walk.difference.low == pytest.approx(-tray.walk.difference.high)
    assert turned.walk.probability_a_cheaper == pytest.approx(1.0 - tray.walk.probability_a_cheaper)
    for one, other in zip(turned.walk.steps, tray.walk.steps, strict=True):
        assert one.factor == other.factor
        assert one.money.value == pytest.approx(-other.money.value, abs=1e-9)
    assert [c.at for c in turned.break_even[0].crossings] == pytest.approx(
        [c.at for c in tray.break_even[0].crossings], rel=1e-6
    )
    assert {(b, a) for a, b in turned.pairs} == set(tray.pairs)


def test_break_even_is_where_both_vans_cost_the_same(vans, costs, tray):
    (crossing,) = tray.break_even[0].crossings

    def difference(volume):
        """Both vans costed anew at a volume; fasteners keep their price, as the comparison says it takes them."""
        scenario = replace(packaged_scenario(), volume_per_year=volume)
        sums = []
        for van, before in zip(vans, costs, strict=True):
            there, _ = function_sum(cost_report(van, scenario, n_draws=0), van, TRAY)
            sums.append(there.parts + there.assembly + function_sum(before, van, TRAY)[0].fasteners)
        return sums[1] - sums[0], sums[0]

    at, size = difference(crossing.at)
    # first principles: at the crossing the costs are equal, on either side of it the one that is named is the cheaper.
    assert abs(at) < 1e-6 * size
    below, above = difference(0.98 * crossing.at)[0], difference(1.02 * crossing.at)[0]
    codes = {report.vehicle: place for place, report in enumerate(costs)}
    assert (below > 0.0) == (codes[crossing.cheaper_below] == 0)
    assert (above > 0.0) == (codes[crossing.cheaper_above] == 0)


def test_a_swing_is_the_difference_with_that_figure_at_its_end(vans, cables):
    key = "cable_assembly/terminal_money"
    swing = next(one for one in cables.tornado.swings if one.source == key)
    figure = next(one for one in PROCESSES["cable_assembly"].figures if one.name == "terminal_money")
    for end, value in ((figure.low, swing.low_money), (figure.high, swing.high_money)):
        exact = replace(figure, value=end, low=end, high=end)
        scenario = replace(packaged_scenario(), overrides=MappingProxyType({key: exact}))
        again = compared_reports(vans, reports(vans, scenario, 2), CABLES)
        # first principles: one source moved, all others at their best estimate.
        assert again.walk.difference.value == pytest.approx(value)


def test_a_vehicle_beside_itself_differs_in_nothing(vans, costs):
    found = compared_reports((vans[0], vans[0]), (costs[0], costs[0]), CABLES)
    # first principles: nothing differs, so neither is the cheaper one.
    assert found.walk.difference.value == 0.0
    assert found.walk.probability_a_cheaper == 0.5
    assert found.break_even[0].crossings == ()
    assert "cheaper throughout" not in found.break_even[0].sentence
    assert found.a.code != found.b.code


def test_what_is_not_costed_is_said_on_its_side(vans, costs, drive):
    found = drive
    for side, van, report in zip((found.a, found.b), vans, costs, strict=True):
        _, share = function_shares(van, DRIVE, report.configuration)
        lacking = {one.tag for one in (*report.refused, *report.unrouted)} & set(share)
        assert {one.tag for one in side.left_out} == lacking
        assert 0.0 < side.mass_covered_frac < 0.9
    assert any("may turn the difference" in line for line in found.cautions)


def test_sources_of_doubt_are_said_in_words(drive):
    found = drive
    words = {one.source: source_words(one.source, found.scenarios[0]) for one in found.tornado.swings}
    unsaid = [source for source, said in words.items() if said == source or "_" in said]
    assert unsaid == []
    assert words["model/sheet_stamping"].startswith("error of the model, sheet stamping")


@pytest.mark.parametrize(
    ("asked", "why"),
    [
        ({"function": "sails"}, "no function 'sails'"),
        ({"function": CABLES, "over": ("moonlight",)}, "break-even over 'moonlight': no such input"),
        ({"function": CABLES, "over": ("price of gold",)}, "break-even over 'price of gold': no such input"),
        ({"function": CABLES, "over": ("weld_length_m",)}, "no part of either side states it"),
    ],
)
def test_what_is_wrong_is_refused_with_the_reason(vans, asked, why):
    scenario = packaged_scenario()
    with pytest.raises((ValueError, LookupError), match=why):
        cost_comparison(vans, (scenario, scenario), **asked, n_draws=2)


def test_money_of_two_bases_and_other_draws_are_refused(vans, costs):
    eur = replace(costs[1], scenario=packaged_scenario().in_money("EUR", 2023))
    with pytest.raises(ValueError, match="carry one scenario to the money of the other"):
        compared_reports(vans, (costs[0], eur), CABLES)
    fewer = replace(costs[1], draws=2)
    with pytest.raises(ValueError, match="different draws"):
        compared_reports(vans, (costs[0], fewer), CABLES)
