"""Bands: best estimates are means, so that sums of them stay inside; what parts share and what each has for itself."""

from dataclasses import replace
from types import MappingProxyType

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.cost.shop import fig, operation, process, scenario
from hoistbook.core.cost.drawn import SharedDraws
from hoistbook.core.cost.engine import cost_parts
from hoistbook.core.cost.estimates import with_estimates
from hoistbook.core.cost.figure_set import figure_quantity
from hoistbook.core.cost.keyed import between_limits
from hoistbook.core.cost.model_error import Miss, miss_of_band
from hoistbook.core.cost.processes import PROCESSES
from hoistbook.core.cost.route import PartToCost, Step
from hoistbook.core.quantities.quantity import Quantity, Source
from hoistbook.reference.cost import packaged_scenario

EVEN = (np.arange(200_000) + 0.5) / 200_000


@given(st.floats(0.01, 0.99))
def test_draws_between_limits_have_their_mean_at_the_value(share):
    drawn = between_limits(EVEN, 2.0 + 3.0 * share, 2.0, 5.0)
    # first principles: mean the value, variance a b/6 (weights b and a over a + b of triangles of sides a and b).
    assert drawn.mean() == pytest.approx(2.0 + 3.0 * share, abs=2e-5)
    assert drawn.var() == pytest.approx(9.0 * share * (1.0 - share) / 6.0, abs=2e-4)
    assert drawn.min() >= 2.0
    assert drawn.max() <= 5.0
    assert np.all(np.diff(drawn) >= 0.0)


def test_even_limits_make_the_usual_triangle():
    # first principles: inverse of the triangle on 0-2, sqrt(2 u) below 1.
    assert between_limits(np.array([0.02, 0.5, 0.98]), 1.0, 0.0, 2.0) == pytest.approx([0.2, 1.0, 1.8])


def test_a_value_at_its_limit_is_drawn_towards_the_other():
    # first principles: a right triangle has its mean a third of the way from the right angle.
    assert between_limits(EVEN, 1.0, 1.0, 4.0).mean() == pytest.approx(2.0, abs=1e-4)
    assert between_limits(EVEN, 4.0, 1.0, 4.0).mean() == pytest.approx(3.0, abs=1e-4)


def packaged_figures():
    found = packaged_scenario()
    for code, one in PROCESSES.items():
        yield from ((f"{code}/{figure.name}/{figure.when}", figure) for figure in one.figures)
    for group in (found.materials, found.regions, found.suppliers):
        for code, one in group.items():
            yield from ((f"{code}/{name}", figure) for name, figure in one.figures.items())
    for code, one in found.machines.items():
        for figure in (one.investment, one.power_w, one.area_m2, one.consumables):
            yield f"{code}/{figure.name}", figure
    yield from found.figures.items()


def test_no_packaged_figure_stands_at_one_of_its_limits():
    # first principles: such a figure is no mean of its band and would move sums away from their best estimates.
    at_limit = [
        name for name, one in packaged_figures() if not one.exact and one.value in (one.low, one.high)
    ]
    assert at_limit == []


@given(st.floats(0.02, 0.5), st.floats(0.02, 1.0))
def test_the_error_of_a_model_keeps_its_band_and_has_the_mean_1(low, high):
    try:
        miss = miss_of_band(-low, high, 0.5)
    except ValueError:
        return  # so lopsided that there is none
    ends = miss.factor(np.array([-1.959963984540054, 1.959963984540054]))
    assert ends == pytest.approx([1.0 - low, 1.0 + high], rel=1e-9)
    # computed: mean by Gauss-Hermite's rule in two halves would be the same as this sum over 400,001 points of z.
    z = np.linspace(-9.0, 9.0, 400_001)
    weight = np.exp(-0.5 * z * z)
    assert np.sum(weight * miss.factor(z.copy())) / np.sum(weight) == pytest.approx(1.0, abs=1e-6)


def test_bands_that_no_model_can_have_are_refused():
    for low, high in ((-1.0, 0.3), (0.0, 0.3), (-0.2, 0.0), (0.1, 0.3)):
        with pytest.raises(ValueError, match="band of an uncalibrated model"):
            miss_of_band(low, high, 0.5)
    with pytest.raises(ValueError, match="between 0"):
        Miss(0.0, 0.1, 0.1, 1.0, 1.5)


def test_two_parts_of_a_process_share_what_is_not_their_own():
    shared = SharedDraws(40_000, 1)
    for own in (0.0, 0.3, 1.0):
        miss = replace(miss_of_band(-0.10, 0.10, own), below_ln=0.05, above_ln=0.05)
        one, two = np.log(shared.model_factor(miss, "stamping", ["A", "B"])[:, 1:])
        # first principles: errors that share 1 - w of their variance are correlated by 1 - w.
        assert np.corrcoef(one, two)[0, 1] == pytest.approx(1.0 - own, abs=0.015)
        again = shared.model_factor(miss, "stamping", ["A", "A"])
        assert np.array_equal(again[0], again[1])


MADE = {"made": process("made", lambda f: replace(operation({}, ""), gross_kg=f.mass_kg))}


def pairs(n, seed):
    """Pairs of parts whose modelled costs differ by up to 30 %, weighed by a poor scale."""
    rng = np.random.default_rng(seed)
    masses = np.exp(rng.uniform(-0.15, 0.15, (n, 2)))
    parts = [
        PartToCost(f"{i}{side}", "part", "A380",
                   {"mass_kg": Quantity(float(kg), "kg", ((Source(f"weighing {i}{side}"), 0.02 * float(kg)),))},
                   (Step("made"),))
        for i, row in enumerate(masses) for side, kg in zip("ab", row, strict=True)
    ]  # fmt: skip
    return masses, parts


def planted(masses, own, seed):
    """True costs: the model's error -20/+30 %, partly the pair's in common, and the error of the scale."""
    rng = np.random.default_rng(seed)
    n = len(masses)
    z = np.sqrt(1.0 - own) * rng.standard_normal((n, 1)) + np.sqrt(own) * rng.standard_normal((n, 2))
    # computed: ln 0.8 and ln 1.3 as 2.5 and 97.5 % quantiles of a two-sided lognormal of mean 1 (bisection by hand).
    miss = np.exp(-0.026821 + np.where(z > 0.0, 0.147546, 0.100167) * z)
    return masses * np.exp(0.02 * rng.standard_normal((n, 2))) * miss


def said(own, parts):
    shop = scenario(tooling="apart")
    shop = replace(shop, figures=MappingProxyType(
        {**shop.figures, "model_own_share_frac": fig("model_own_share_frac", own)}
    ))  # fmt: skip
    found = cost_parts(parts, shop, MADE, n_draws=400).parts
    rows = np.array([found[part.tag].draws for part in parts]).reshape(len(parts) // 2, 2, -1)
    return np.mean(rows[:, 1] > rows[:, 0], axis=1)


def test_of_comparisons_said_90_percent_sure_about_90_percent_hold():
    masses, parts = pairs(3_000, 5)
    true = planted(masses, 0.5, 6)
    a_cheaper = said(0.5, parts)
    sure = np.maximum(a_cheaper, 1.0 - a_cheaper)
    right = np.where(a_cheaper > 0.5, true[:, 1] > true[:, 0], true[:, 1] < true[:, 0])
    chosen = (sure > 0.85) & (sure < 0.95)
    assert chosen.sum() > 300
    # first principles: a probability is the share of times it comes true; planted errors are drawn apart from the
    # engine.
    assert 0.85 < right[chosen].mean() < 0.95
    for low, high in ((0.5, 0.65), (0.65, 0.8), (0.95, 1.0)):
        some = (sure >= low) & (sure <= high)
        assert right[some].mean() == pytest.approx(sure[some].mean(), abs=0.05)
    # And without errors of their own, comparisons would be said sure that do not hold.
    rash = said(0.0, parts)
    very = np.maximum(rash, 1.0 - rash) > 0.99
    held = np.where(rash > 0.5, true[:, 1] > true[:, 0], true[:, 1] < true[:, 0])
    assert held[very].mean() < 0.97


def test_estimates_of_equal_tags_on_two_vehicles_err_apart():
    def bracket(vehicle):
        read = {"mass_kg": Quantity(1.0, "kg"), "projected_area_m2": Quantity(0.03, "m2")}
        part = PartToCost("P1", "bracket", "aluminium, die casting", read, (Step("high_pressure_die_casting"),),
                          error_name=f"{vehicle}/P1")  # fmt: skip
        return with_estimates(part, PROCESSES, packaged_scenario().materials)[0]

    walls = [bracket(code).readings["wall_thickness_max_m"] for code in "XY"]
    # first principles: different parts have different shapes, so nothing they share but the density.
    own = [{source.name for source, _ in one.terms if source.name.startswith("estimate/")} for one in walls]
    assert own[0]
    assert not own[0] & own[1]


def test_one_figure_is_one_error_whoever_asks():
    wage = fig("wage_money_per_s", 0.01, "money/s", 0.008, 0.015)
    shared = SharedDraws(2_000, 3)
    drawn = shared.figure("region/here/wage_money_per_s", wage)[0]
    as_quantity = figure_quantity(wage, "region/here/wage_money_per_s")
    # first principles: the same wage in a part, in the assembly and in an hourly rate.
    assert shared.quantities([as_quantity])[0] == pytest.approx(drawn, rel=1e-12)
    other = SharedDraws(2_000, 3).quantities([as_quantity])[0]
    assert np.std(other[1:]) == pytest.approx(np.std(drawn[1:]), rel=0.1)


def test_an_estimate_errs_with_the_density_it_was_made_with():
    figures = packaged_scenario().materials["aluminium, die casting"].figures
    read = {"mass_kg": Quantity(1.0, "kg"), "projected_area_m2": Quantity(0.03, "m2")}
    part = PartToCost("P1", "bracket", "aluminium, die casting", read, (Step("high_pressure_die_casting"),))
    found, _ = with_estimates(part, PROCESSES, packaged_scenario().materials)
    name = "material/aluminium, die casting/material_density_kg_per_m3"
    assert name in {source.name for source, _ in found.readings["wall_thickness_max_m"].terms}
    shared = SharedDraws(500, 1)
    density = shared.figure(name, figures["material_density_kg_per_m3"])[0]
    wall = found.readings["wall_thickness_max_m"]
    by_density = replace(wall, terms=tuple(term for term in wall.terms if term[0].name == name))
    # first principles: mass and area given, a denser metal makes a thinner wall, in proportion.
    assert np.corrcoef(density[1:], shared.quantities([by_density])[0][1:])[0, 1] == pytest.approx(-1.0)
