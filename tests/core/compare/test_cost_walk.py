"""Difference of two costs: the walk, the chance, break-even, tornado and cost at equal range."""

import math
from dataclasses import replace
from types import MappingProxyType

import numpy as np
import pytest
from scipy.stats import norm

from core.cost.shop import fig, figs, operation, process, scenario
from hoistbook.core.compare.bars import Interval
from hoistbook.core.compare.break_even import break_even, crossings, set_to, total, totals
from hoistbook.core.compare.cost_sides import FACTORS, Bought, CostSide
from hoistbook.core.compare.cost_walk import cost_walk, probability_below
from hoistbook.core.compare.equal_range import equal_range
from hoistbook.core.compare.rates import Effect, Rate
from hoistbook.core.compare.tornado import tornado
from hoistbook.core.cost.engine import cost_parts
from hoistbook.core.cost.process import Limit
from hoistbook.core.cost.processes import PROCESSES
from hoistbook.core.cost.route import PartToCost, Step
from hoistbook.core.cost.scenario import Material, Supplier
from hoistbook.core.quantities.quantity import Quantity, Source
from hoistbook.reference.cost import packaged_scenario

MADE = {
    "metal": process("metal", lambda f: _metal(f)),
    "tooled": process("tooled", lambda f: operation({"press": 36.0}, "", crew=1.0, tools=36_000.0)),
    "manual": process("manual", lambda f: operation({"bench": 72.0}, "", crew=1.0, tools=3_600.0)),
}


def _metal(f):
    """Material alone: its mass times its price."""
    found = operation({}, "")
    return replace(found, gross_kg=f.mass_kg)


def bare(**more):
    """Nothing but the price of the material, and the mark-up."""
    zero = figs(
        **{name: (one.value, one.unit) for name, one in scenario().figures.items() if not one.is_money},
        packaging_money_per_kg=(0.0, "money/kg"), freight_money_per_kg=(0.0, "money/kg"),
    )  # fmt: skip
    zero = MappingProxyType(
        {
            **zero,
            "model_low_frac": fig("model_low_frac", -1e-12),
            "model_high_frac": fig("model_high_frac", 1e-12),
        }
    )
    return scenario(figures=zero, **more)


def metal(code, price):
    return Material(
        code, code, figs(material_price_money_per_kg=(price, "money/kg"), material_scrap_credit_frac=(0.5,))
    )


def seller(code, profit):
    return Supplier(
        code, code, figs(scrap_frac=(0.0,), sga_frac=(0.0,), profit_frac=(profit,), development_frac=(0.0,))
    )


SHOP = bare(
    materials=MappingProxyType({"dear": metal("dear", 4.0), "cheap": metal("cheap", 1.0)}),
    suppliers=MappingProxyType({"tier 1": seller("tier 1", 0.0), "greedy": seller("greedy", 0.5)}),
)


def part(kg, material="cheap", supplier="tier 1", steps=("metal",), tag="P"):
    read = {"mass_kg": Quantity(kg, "kg")}
    return PartToCost(tag, tag, material, read, tuple(map(Step, steps)), supplier=supplier)


def side(code, one, **more):
    return CostSide(code, {"holder": one}, more.pop("scenario", SHOP), **more)


def walked(a, b, **more):
    found = cost_walk(a, b, more.pop("processes", MADE), n_draws=200, **more)
    return found, {step.factor: step.money.value for step in found.steps}


def test_a_product_of_three_is_shared_as_by_hand():
    # first principles: cost = mass x price x (1 + profit) from 2 x 4 x 1.0 to 3 x 1 x 1.5. By hand, the share of x in
    # xyz is dx (2 y0 z0 + y0 z1 + y1 z0 + 2 y1 z1)/6.
    found, shares = walked(side("A", part(2.0, "dear")), side("B", part(3.0, "cheap", "greedy")))

    def by_hand(x, y, z):
        return (x[1] - x[0]) * (2 * y[0] * z[0] + y[0] * z[1] + y[1] * z[0] + 2 * y[1] * z[1]) / 6.0

    mass, price, profit = (2.0, 3.0), (4.0, 1.0), (1.0, 1.5)
    assert found.first.value == pytest.approx(8.0)
    assert found.second.value == pytest.approx(4.5)
    assert shares["mass"] == pytest.approx(by_hand(mass, price, profit), rel=1e-12)
    assert shares["material price"] == pytest.approx(by_hand(price, mass, profit), rel=1e-12)
    assert shares["mark-up"] == pytest.approx(by_hand(profit, mass, price), rel=1e-12)
    # The material differs, and with it the route: but it has nothing to change here.
    assert shares["process"] == pytest.approx(0.0, abs=1e-12)
    assert set(shares) == set(FACTORS)


def two_ways():
    """Two packaged-scenario castings of one role, one with bought screws and assembly."""
    die = "high_pressure_die_casting"

    def casting(tag, kg, area, wall, duty, region):
        read = {
            "mass_kg": Quantity(kg, "kg", ((Source("scale"), 0.005), (Source(f"{tag} mass"), 0.01))),
            "projected_area_m2": Quantity(area, "m2", ((Source(f"{tag} area"), 0.02 * area),)),
            "wall_thickness_max_m": Quantity(wall, "m", ((Source(f"{tag} wall"), 1e-4),)),
        }
        return PartToCost(
            tag, tag, "aluminium, die casting", read, (Step(die, {"duty": duty}),), region=region
        )

    price = fig("screw_money", 0.10, "money", 0.05, 0.20)
    holder = casting("A1", 0.9, 0.020, 0.005, "commercial", "")
    a = CostSide(
        "A", {"holder": holder, "lid": casting("A2", 0.3, 0.01, 0.003, "commercial", "")},
        packaged_scenario(), (Bought("screw", 8.0, price),), Quantity(60.0, "s", ((Source("stop watch"), 3.0),)),
    )  # fmt: skip
    b = CostSide(
        "B", {"holder": casting("B1", 1.4, 0.026, 0.006, "structural", "romania")},
        replace(packaged_scenario(), volume_per_year=20_000.0, tooling="simple"),
        (Bought("screw", 4.0, price),), Quantity(35.0, "s", ((Source("stop watch"), 2.0),)),
    )  # fmt: skip
    return a, b


def test_the_walk_adds_up_in_value_and_in_every_draw():
    a, b = two_ways()
    found = cost_walk(a, b, PROCESSES, n_draws=200)
    assert sum(step.money.value for step in found.steps) == pytest.approx(found.difference.value, rel=1e-10)
    assert sum(step.draws for step in found.steps) == pytest.approx(found.draws, rel=1e-9, abs=1e-9)
    # computed: both sides costed by themselves, without any walk.
    assert found.first.value == pytest.approx(total(a, PROCESSES), rel=1e-12)
    assert found.second.value == pytest.approx(total(b, PROCESSES), rel=1e-12)
    shares = {step.factor: step.money.value for step in found.steps}
    assert all(
        shares[name] != 0.0
        for name in ("volume", "region", "mass", "process", "fasteners", "labour", "tooling")
    )
    # first principles: one market, one price of metal; a supplier of one class on both sides.
    assert shares["material price"] == 0.0
    assert shares["mark-up"] == 0.0
    # first principles: a fifth of the volume makes tools dearer per piece.
    assert shares["volume"] > 0.0


def test_the_other_way_round_is_the_same_with_the_sign_changed():
    a, b = two_ways()
    there, back = cost_walk(a, b, PROCESSES, n_draws=200), cost_walk(b, a, PROCESSES, n_draws=200)
    assert back.difference.value == pytest.approx(-there.difference.value, rel=1e-12)
    assert back.probability_a_cheaper == pytest.approx(1.0 - there.probability_a_cheaper, abs=1e-12)
    for one, two in zip(there.steps, back.steps, strict=True):
        assert two.money.value == pytest.approx(-one.money.value, rel=1e-9, abs=1e-12)
        assert two.money.low == pytest.approx(-one.money.high, rel=1e-9, abs=1e-12)


def test_the_difference_is_paired_and_sharper_than_the_sides():
    a, _ = two_ways()
    a = replace(a, parts={**a.parts, "holder": replace(a.parts["holder"], error_name="holder"),
                          "lid": replace(a.parts["lid"], error_name="lid")})  # fmt: skip
    heavier = replace(a, code="H", parts={
        **a.parts, "holder": replace(a.parts["holder"], tag="H1", error_name="holder", readings={
            **a.parts["holder"].readings, "mass_kg": Quantity(0.95, "kg", ((Source("scale"), 0.005),)),
        }),
    })  # fmt: skip
    found = cost_walk(a, heavier, PROCESSES, n_draws=500)
    assert found.difference.high - found.difference.low < 0.2 * (found.first.high - found.first.low)
    both = [cost_parts(s.parts.values(), s.scenario, PROCESSES, n_draws=500, context=t.parts.values()).parts
            for s, t in ((a, replace(heavier, parts={"x": replace(heavier.parts["holder"], tag="x")})),
                         (heavier, replace(a, parts={"x": replace(a.parts["holder"], tag="x")})))]  # fmt: skip
    # computed: draws of the holders subtracted one by one; the lid and the fasteners are the same on both sides.
    assert found.draws == pytest.approx(both[1]["H1"].draws - both[0]["A1"].draws, rel=1e-9, abs=1e-9)


def test_identical_sides_have_nothing_to_walk():
    a, _ = two_ways()
    a = replace(a, parts={role: replace(one, error_name=role) for role, one in a.parts.items()})
    found = cost_walk(a, replace(a, code="C"), PROCESSES, n_draws=50)
    assert found.difference.value == 0.0
    assert all(step.money.value == 0.0 for step in found.steps)
    assert found.probability_a_cheaper == 0.5


def test_tools_are_told_apart_from_the_process_that_needs_them():
    alone = replace(SHOP, tooling="simple", volume_per_year=1_000.0, programme_years=1.0)
    a = side("A", part(1.0, steps=("metal", "manual")), scenario=alone)
    b = side("B", part(1.0, steps=("metal", "tooled")), scenario=alone)
    steps = {name: replace(one, adds_material=name == "metal") for name, one in MADE.items()}
    _, shares = walked(a, b, processes=steps)
    # first principles: 36 s less at 38 USD/h with 60 % overhead, against 32.4 USD more of tools a piece.
    assert shares["process"] == pytest.approx(-36.0 * 38.0 / 3600.0 * 1.6, rel=1e-9)
    assert shares["tooling"] == pytest.approx(32.4, rel=1e-9)
    assert shares["labour"] == 0.0


def test_where_a_process_cannot_make_the_other_sizes_both_are_switched_together():
    heavy = process("heavy", _metal, limits=(Limit("too light.", lambda f: f.mass_kg < 2.0),))
    steps = {**MADE, "heavy": heavy}
    a, b = side("A", part(1.0)), side("B", part(3.0, steps=("heavy",)))
    found, shares = walked(a, b, processes=steps)
    assert shares["mass and process"] == pytest.approx(2.0)
    assert "switched together" in found.sentences[0]
    with pytest.raises(ValueError, match="too light"):
        walked(side("A", part(1.0, steps=("heavy",))), b, processes=steps)


def test_sides_that_cannot_be_compared_are_refused():
    a = side("A", part(1.0))
    with pytest.raises(ValueError, match="both sides are named 'A'"):
        walked(a, a)
    other = side("B", part(1.0), scenario=replace(SHOP, year=2020))
    with pytest.raises(ValueError, match="USD of 2023"):
        walked(a, other)


def test_the_chance_is_that_of_two_normals():
    # computed: P(X < Y) for N(10, 1) and N(11, 2): Phi(1/sqrt(5)) (scipy.stats.norm); 40,000 draws, 4 standard errors.
    rng = np.random.default_rng(2)
    x, y = rng.normal(10.0, 1.0, 40_000), rng.normal(11.0, 2.0, 40_000)
    expected = norm.cdf(1.0 / math.sqrt(5.0))
    assert probability_below(x - y) == pytest.approx(expected, abs=4 * math.sqrt(0.25 / 40_000))
    assert probability_below(np.array([-1.0, 0.0, 0.0, 1.0])) == 0.5


def test_the_chance_of_a_walk_is_that_of_its_readings():
    # first principles: masses N(2.0, 0.05) and N(2.1, 0.05) kg at one price: Phi(0.1/(0.05 sqrt 2)) (scipy), to first
    # order of the logarithmic form; 20,000 draws.
    def one(kg, tag):
        held = {"mass_kg": Quantity(kg, "kg", ((Source(f"{tag} scale"), 0.05),))}
        return replace(part(kg, tag=tag), readings=held)

    found = cost_walk(side("A", one(2.0, "a")), side("B", one(2.1, "b")), MADE, n_draws=20_000)
    assert found.probability_a_cheaper == pytest.approx(norm.cdf(0.1 / (0.05 * math.sqrt(2.0))), abs=0.01)


def test_break_even_volume_is_that_of_algebra():
    # first principles: 36 s x 38/3600 x 1.6 = 0.608 USD saved a piece against 32,400 USD more of tools over N pieces a
    # year for 6 years: N = 32,400/(0.608 x 6).
    alone = replace(SHOP, tooling="simple")
    steps = {name: replace(one, adds_material=name == "metal") for name, one in MADE.items()}
    a = side("manual", part(1.0, steps=("metal", "manual")), scenario=alone)
    b = side("tooled", part(1.0, steps=("metal", "tooled")), scenario=alone)
    found = break_even(a, b, steps, "volume", 1e3, 1e6)
    (one,) = found.crossings
    assert one.at == pytest.approx(32_400.0 / (0.608 * 6.0), rel=1e-9)
    assert (one.cheaper_below, one.cheaper_above, one.jump) == ("manual", "tooled", False)
    assert "manual is cheaper below" in found.sentence
    none = break_even(a, b, steps, "volume", 1e5, 1e6)
    assert none.crossings == ()
    assert "none between 100,000 and 1,000,000 vehicles a year: tooled is cheaper throughout" in none.sentence
    # first principles: at 60,000 a year 32,400/360,000 = 0.09 USD a piece; 36 s x 1.6 x w = 0.09.
    wage = break_even(a, b, steps, "wage", 1e-4, 1.0)
    assert wage.crossings[0].at == pytest.approx(0.09 / (36.0 * 1.6), rel=1e-9)


def test_break_even_price_and_mass():
    light, heavy = side("light", part(2.0, "dear")), side("heavy", part(5.0, "cheap"))
    # first principles: 2 kg at p cost as much as 5 kg at 1.00 for p = 2.50.
    found = break_even(light, heavy, MADE, "price of dear", 0.5, 10.0)
    assert found.crossings[0].at == pytest.approx(2.5, rel=1e-9)
    assert found.crossings[0].cheaper_below == "light"
    # first principles: 4 m against m + 0.09 of tools: m = 0.03 kg.
    alone = replace(SHOP, tooling="simple")
    steps = {
        **MADE,
        "tools": process("tools", lambda f: operation({}, "", tools=32_400.0), adds_material=False),
    }
    dear = side("dear", part(1.0, "dear"), scenario=alone)
    cheap = side("cheap", part(1.0, "cheap", steps=("metal", "tools")), scenario=alone)
    mass = break_even(dear, cheap, steps, "mass_kg", 0.001, 10.0)
    assert [one.at for one in mass.crossings] == pytest.approx([0.03], rel=1e-9)
    assert mass.unit == "kg"
    with pytest.raises(ValueError, match="no input named 'colour'"):
        break_even(light, heavy, MADE, "colour", 1.0, 2.0)


def test_every_crossing_is_found():
    # first principles: (x - 2)(x - 3)(x - 40) is 0 at 2, 3 and 40; a step from -1 to 1 at 7 jumps.
    found = crossings(lambda x: (x - 2.0) * (x - 3.0) * (x - 40.0), 1.0, 100.0)
    assert [at for at, _ in found] == pytest.approx([2.0, 3.0, 40.0], rel=1e-9)
    assert not any(jump for _, jump in found)
    ((at, jump),) = crossings(lambda x: 1.0 if x > 7.0 else -1.0, 1.0, 100.0)
    assert at == pytest.approx(7.0, rel=1e-9)
    assert jump
    assert crossings(lambda x: x, 1.0, 100.0) == ()


def test_a_tornado_is_that_of_the_figures_moved_by_hand():
    wide = replace(SHOP, materials=MappingProxyType({
        "dear": Material("dear", "dear", MappingProxyType({
            "material_price_money_per_kg": fig("material_price_money_per_kg", 4.0, "money/kg", 3.0, 6.0),
        })),
        "cheap": metal("cheap", 1.0),
    }))  # fmt: skip
    held = {"mass_kg": Quantity(3.0, "kg", ((Source("scale"), 0.03),))}
    a = side("A", part(2.0, "dear"), scenario=wide)
    b = side("B", replace(part(3.0, "cheap", tag="Q"), readings=held), scenario=wide)
    found = tornado(a, b, MADE)
    swings = {one.source: one for one in found.swings}
    assert found.difference_money == pytest.approx(-5.0)
    # first principles: 3 kg at 1.00 less 2 kg at 3.00 and at 6.00; a mass of 3 exp(±1.96 x 0.01) kg.
    dear = swings["material/dear/material_price_money_per_kg"]
    assert (dear.low_money, dear.high_money) == pytest.approx((-3.0, -9.0))
    assert swings["scale"].high_money == pytest.approx(3.0 * math.exp(1.959964 * 0.01) - 8.0, rel=1e-7)
    assert found.swings[0] is dear
    a, b = two_ways()
    assert tornado(a, b, PROCESSES).difference_money == pytest.approx(
        total(b, PROCESSES) - total(a, PROCESSES), rel=1e-12
    )


def test_cost_at_equal_range():
    a, b = side("A", part(2.0)), side("B", part(2.4))
    found = cost_walk(a, b, MADE, n_draws=4_000)
    none = Interval(0.0, 0.0, 0.0)
    rates = {
        "mass": Rate(Effect("mass", "1 kg", "test_mass_kg", 1.0), Interval(-80.0, -80.0, -80.0), none),
        "drag_area": Rate(
            Effect("drag_area", "0.001 m2", "drag_area_m2", 1e-3), Interval(-100.0, -120.0, -80.0), none
        ),
    }  # fmt: skip
    price = fig("battery_money_per_j", 150.0 / 3.6e6, "money/J")
    changes = {"mass": Quantity(0.4, "kg"), "drag_area": Quantity(0.002, "m2")}
    made = equal_range(found, changes, rates, 300e3, 50.0 * 3.6e6, price)
    # first principles: 0.4 x -80 + 2 x -100 = -232 m of 300 km on 50 kWh: 0.038667 kWh at 150 = 5.80 USD, on top of the
    # 0.40 USD of metal. The band of the rate of drag area is ±20 m for each of the two units.
    assert made.range_change_m.value == pytest.approx(-232.0)
    assert made.range_change_m.half_width == pytest.approx(40.0, rel=0.05)
    assert made.battery.value == pytest.approx(232.0 / 300e3 * 50.0 * 150.0)
    assert made.total.value == pytest.approx(0.4 + 5.8)
    # first principles: all of 4,000 draws.
    assert made.probability_a_cheaper == pytest.approx(4_000.5 / 4_001)
    with pytest.raises(LookupError, match="no rate for 'smell'"):
        equal_range(found, {"smell": Quantity(1.0, "1")}, rates, 300e3, 1e8, price)
    with pytest.raises(ValueError, match="the battery is priced in USD of 2020"):
        equal_range(found, changes, rates, 300e3, 1e8, replace(price, year=2020))


def test_a_figure_two_scenarios_state_otherwise_moves_on_both():
    def shop(low, value, high):
        dear = Material("dear", "dear", MappingProxyType({
            "material_price_money_per_kg": fig("material_price_money_per_kg", value, "money/kg", low, high),
        }))  # fmt: skip
        return replace(SHOP, materials=MappingProxyType({"dear": dear}))

    a = side("A", part(2.0, "dear"), scenario=shop(3.0, 4.0, 6.0))
    b = side("B", part(2.0, "dear", tag="Q"), scenario=shop(4.0, 5.0, 9.0))
    swing = tornado(a, b, MADE).swings[0]
    # first principles: 2 kg at 4 less 2 kg at 3, and 2 kg at 9 less 2 kg at 6.
    assert (swing.low_money, swing.high_money) == pytest.approx((2.0, 6.0))
    found = cost_walk(a, b, MADE, n_draws=400)
    assert {step.factor: step.money.value for step in found.steps}["material price"] == pytest.approx(2.0)
    # Both prices are drawn at one place of their triangles: the second is always the dearer one.
    assert found.probability_a_cheaper == pytest.approx(400.5 / 401)


def test_many_values_at_once_are_those_one_by_one():
    a, _ = two_ways()
    for what, values in (("volume", [2e3, 7e4, 3e5]), ("mass_kg", [0.5, 0.9, 2.0]), ("wage", [0.004, 0.01])):
        one_by_one = [total(set_to(a, what, value), PROCESSES) for value in values]
        # first principles: the same parts at the same values; 1e-9 for sums of volumes.
        assert totals(a, PROCESSES, what, values) == pytest.approx(one_by_one, rel=1e-9)
    learning = replace(a, scenario=replace(a.scenario, learning_frac=0.9))
    one_by_one = [total(set_to(learning, "volume", value), PROCESSES) for value in (2e3, 3e5)]
    assert totals(learning, PROCESSES, "volume", [2e3, 3e5]) == pytest.approx(one_by_one, rel=1e-9)
    with pytest.raises(ValueError, match=r"^A1"):
        totals(a, PROCESSES, "wall_thickness_max_m", [0.005, 0.06])
