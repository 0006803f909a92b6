"""Many parts at once: order, threads and company change nothing; hooks for what-ifs and calibration."""

import math
from dataclasses import replace
from types import MappingProxyType

import numpy as np
import pytest

from core.cost.any_part import any_part
from core.cost.shop import fig, operation, process, scenario
from hoistbook.core.cost.drawn import SharedDraws
from hoistbook.core.cost.engine import cost_parts
from hoistbook.core.cost.processes import PROCESSES
from hoistbook.core.cost.result import band_ends
from hoistbook.core.cost.route import PartToCost, Step
from hoistbook.core.cost.scenario import ModelError
from hoistbook.core.quantities.quantity import Quantity, Source
from hoistbook.reference.cost import packaged_scenario

DIE = "high_pressure_die_casting"
SCALE = Source("scale", "rectangular")


def castings(n, seed=3):
    rng = np.random.default_rng(seed)
    found = []
    for i in range(n):
        kg, area = float(rng.uniform(0.3, 3.0)), float(rng.uniform(0.005, 0.04))
        readings = {
            "mass_kg": Quantity(kg, "kg", ((SCALE, 1e-3 * kg), (Source(f"weighing {i}"), 0.002))),
            "projected_area_m2": Quantity(area, "m2", ((Source(f"outline {i}"), 0.02 * area),)),
            "wall_thickness_max_m": Quantity(0.005, "m", ((Source(f"calliper {i}"), 1e-4),)),
        }
        found.append(PartToCost(f"C{i}", "casting", "aluminium, die casting", readings, (Step(DIE),)))
    return found


def test_shuffled_parts_cost_the_same_to_the_last_bit():
    parts = castings(90)
    one = cost_parts(parts, packaged_scenario(), PROCESSES, n_draws=400, threads=2).parts
    order = np.random.default_rng(1).permutation(len(parts))
    two = cost_parts([parts[i] for i in order], packaged_scenario(), PROCESSES, n_draws=400, threads=1).parts
    assert list(two) == [parts[i].tag for i in order]
    for tag, found in one.items():
        assert np.array_equal(found.draws, two[tag].draws)
        assert found.piece == two[tag].piece
        assert found.lines == two[tag].lines


def test_a_part_costs_the_same_alone_as_in_company():
    parts = castings(50)
    together = cost_parts(parts, packaged_scenario(), PROCESSES, n_draws=300).parts
    alone = cost_parts(
        parts[7:8], packaged_scenario(), PROCESSES, n_draws=300, context=[*parts[:7], *parts[8:]]
    ).parts["C7"]
    # first principles: the same errors by the same names; 1e-12 for the order of rounding.
    assert alone.draws == pytest.approx(together["C7"].draws, rel=1e-12)


def test_a_reading_two_parts_hold_is_one_reading():
    part = castings(1)[0]
    copy = replace(part, tag="copy", error_name="C0")
    found = cost_parts([part, copy], packaged_scenario(), PROCESSES, n_draws=200).parts
    assert np.array_equal(found["C0"].draws, found["copy"].draws)


def test_ends_of_a_band_are_the_usual_quantiles():
    values = np.random.default_rng(5).lognormal(size=(7, 1_003))
    # computed: numpy.percentile, linear (its default).
    low, high = np.percentile(values, (2.5, 97.5), axis=1)
    assert band_ends(values)[0] == pytest.approx(low, rel=1e-12)
    assert band_ends(values)[1] == pytest.approx(high, rel=1e-12)
    assert band_ends(np.array([[3.0]]))[0] == 3.0


MADE = process("made", lambda f: operation({}, "", gross_kg=1.0, tools=6_000.0))
PART = PartToCost("P", "part", "A380", {"mass_kg": Quantity(0.85, "kg")}, (Step("made"),))


def test_share_of_the_tools_stands_beside_the_draws():
    spread = cost_parts([PART], scenario(tooling="simple"), {"made": MADE}, n_draws=50).parts["P"]
    apart = cost_parts([PART], scenario(tooling="apart"), {"made": MADE}, n_draws=50).parts["P"]
    # first principles: 6,000 over 60,000 pieces a year for 6 years.
    assert spread.tool_draws == pytest.approx(np.full(50, 6_000.0 / 360_000.0), rel=1e-12)
    assert not apart.tool_draws.any()
    assert spread.draws - spread.tool_draws == pytest.approx(apart.draws, rel=1e-12)


def test_a_calibrated_model_moves_the_value_and_its_band():
    error = ModelError(math.log(1.1), 0.05, math.inf, "calibrated on 8 quotes")
    with_it = scenario(tooling="apart", model_errors=MappingProxyType({"made": error}))
    found = cost_parts([PART], with_it, {"made": MADE}, n_draws=20_000).parts["P"]
    plain = cost_parts([PART], scenario(tooling="apart"), {"made": MADE}, n_draws=0).parts["P"]
    fixed = 0.22  # packaging and freight, which no model misses
    made = plain.piece.value - fixed
    assert found.piece.value == pytest.approx(1.1 * made + fixed, rel=1e-12)
    assert {line.name: line.value_money for line in found.lines}["calibration"] == pytest.approx(0.1 * made)
    assert sum(line.value_money for line in found.lines) == pytest.approx(found.piece.value, rel=1e-14)
    # first principles: 1.1 exp(±1.96 x 0.05); 20,000 draws give the ends to about 1.5 % of the half width.
    assert (found.piece.high - fixed) / made == pytest.approx(1.1 * math.exp(1.96 * 0.05), rel=0.003)
    assert (found.piece.low - fixed) / made == pytest.approx(1.1 * math.exp(-1.96 * 0.05), rel=0.003)
    assert found.assumed[0] == "calibrated on 8 quotes"
    with pytest.raises(ValueError, match="must be positive"):
        ModelError(0.0, -1.0, 3.0, "")


def test_a_heavy_tailed_error_is_wider():
    # computed: scipy.stats.t.ppf(0.975, 3) = 3.182446.
    error = ModelError(0.0, 0.05, 3.0, "calibrated on few quotes")
    with_it = scenario(tooling="apart", model_errors=MappingProxyType({"made": error}))
    found = cost_parts([PART], with_it, {"made": MADE}, n_draws=40_000).parts["P"]
    assert math.log((found.piece.high - 0.22) / (found.piece.value - 0.22)) == pytest.approx(
        3.182446 * 0.05, rel=0.03
    )


def test_a_figure_that_stands_in_for_another_is_drawn_at_its_place():
    def at(value, drawn_as=""):
        return replace(fig("x", value, low=0.9 * value, high=1.2 * value), drawn_as=drawn_as)

    shared = SharedDraws(100, 1)
    ten, twenty = shared.figure("x", at(10.0)), shared.figure("x", at(20.0, "x"))
    # first principles: same place in a triangle twice as large.
    assert twenty == pytest.approx(2.0 * ten, rel=1e-12)
    with pytest.raises(ValueError, match="two different figures are both named 'y'"):
        [shared.figure("y", at(value)) for value in (10.0, 20.0)]


def test_a_figure_drawn_twice_is_one_error():
    half = replace(scenario(), figures=MappingProxyType({
        **scenario().figures, "packaging_money_per_kg": fig("packaging_money_per_kg", 1.0, "money/kg", 0.5, 1.5),
    }))  # fmt: skip
    found = cost_parts(
        [PART, replace(PART, tag="Q", error_name="P")], half, {"made": MADE}, n_draws=100
    ).parts
    assert np.array_equal(found["P"].draws, found["Q"].draws)


@pytest.mark.parametrize("lost", [1.0, 1.5, math.nextafter(1.0, 0.0)])
def test_a_part_that_no_number_comes_of_spoils_no_other(lost):
    sound = packaged_scenario()
    key = "spot_welding/reject_frac"
    figure = next(one for one in PROCESSES["spot_welding"].figures if one.name == "reject_frac")
    broken = replace(sound, overrides={key: replace(figure, value=lost, low=lost, high=lost)})
    parts = [any_part("spot_welding"), any_part("sheet_stamping")]
    costed = cost_parts(parts, broken, PROCESSES, 100)
    # first principles: with a yield of nothing no piece costs a number; the other part never meets that step.
    as_it_was = cost_parts(parts, sound, PROCESSES, 100).parts["sheet_stamping"]
    assert costed.parts["sheet_stamping"].piece == as_it_was.piece
    if "spot_welding" in costed.parts:
        assert costed.parts["spot_welding"].piece.value > 1e9
    else:
        assert "what comes out is" in costed.refused["spot_welding"]
        assert "step 2" in costed.refused["spot_welding"]
    assert ("spot_welding" in costed.refused) == (lost >= 1.0)
