"""Sister parts: likelihoods by hand, laws, pooling."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm

from core.cost.shop import operation, process, scenario
from hoistbook.core.cost.carried_over import FIGURES, Sister, carried_over, pooled
from hoistbook.core.cost.engine import cost_parts
from hoistbook.core.cost.route import PartToCost, Step
from hoistbook.core.quantities.quantity import Quantity, Source

SCALE = Source("scale")


def sister(tag, kg, marks=(), u=0.001):
    return Sister(tag, marks, {"mass_kg": Quantity(kg, "kg", ((Source(f"weighing {tag}"), u * kg),))})


def test_one_size_by_hand():
    # computed: scipy.stats.norm densities of ln(1.02) with variances 0 + 2 x 0.005^2 + 2 x 0.001^2, plus 0.08^2 or
    # 0.50^2; shares 0.40, 0.25, 0.35.
    found = carried_over(sister("A", 1.00), sister("B", 1.02)).probability
    base = 2 * 0.005**2 + 2 * 0.001**2
    weight = {
        state: share * norm.pdf(math.log(1.02), 0.0, math.sqrt(base + s**2))
        for state, share, s in (("same", 0.40, 0.0), ("changed", 0.25, 0.08), ("new", 0.35, 0.50))
    }
    for state, value in weight.items():
        assert found[state] == pytest.approx(value / sum(weight.values()), rel=1e-9)


def test_marks_by_hand():
    # computed by hand: two of three marks on both: 0.95^2 x 0.05, 0.5^3, 0.03^2 x 0.97 times 0.40, 0.25, 0.35.
    one, other = Sister("A", ("4711", "K2"), {}), Sister("B", ("4711", "K2", "x"), {})
    weight = {"same": 0.40 * 0.95**2 * 0.05, "changed": 0.25 * 0.125, "new": 0.35 * 0.03**2 * 0.97}
    found = carried_over(one, other)
    for state, value in weight.items():
        assert found.probability[state] == pytest.approx(value / sum(weight.values()), rel=1e-12)
    assert found.sentences[0] == "2 of 3 marks are on both"


def test_a_scale_both_were_weighed_on_does_not_blur_the_comparison():
    # first principles: its error cancels in the quotient.
    def on_one_scale(tag, kg):
        return Sister(tag, (), {"mass_kg": Quantity(kg, "kg", ((SCALE, 0.05 * kg),))})

    shared = carried_over(on_one_scale("A", 1.0), on_one_scale("B", 1.05)).probability
    exact = carried_over(sister("A", 1.0, u=0.0), sister("B", 1.05, u=0.0)).probability
    assert shared["same"] == pytest.approx(exact["same"], rel=1e-9)
    assert (
        carried_over(sister("A", 1.0, u=0.05), sister("B", 1.05, u=0.05)).probability["same"] > shared["same"]
    )


@given(st.floats(0.1, 10.0), st.floats(0.5, 2.0))
def test_it_does_not_matter_who_is_asked_first_and_probabilities_make_one(kg, ratio):
    one, other = sister("A", kg, ("a",)), sister("B", kg * ratio, ("a", "b"))
    there, back = carried_over(one, other).probability, carried_over(other, one).probability
    assert sum(there.values()) == pytest.approx(1.0)
    for state, value in there.items():
        assert back[state] == pytest.approx(value, rel=1e-6, abs=1e-12)


def test_the_same_the_changed_and_the_new():
    same = carried_over(sister("A", 1.0, ("4711",)), sister("B", 1.001, ("4711",))).probability
    changed = carried_over(sister("A", 1.0), sister("B", 1.08)).probability
    new = carried_over(sister("A", 1.0, ("4711",)), sister("B", 2.0, ("0815",))).probability
    assert max(same, key=same.get) == "same"
    assert max(changed, key=changed.get) == "changed"
    assert max(new, key=new.get) == "new"


def test_nothing_compared_leaves_the_shares():
    found = carried_over(Sister("A", (), {}), Sister("B", ("4711",), {}))
    # common practice: the shares before looking.
    assert found.probability == pytest.approx({"same": 0.40, "changed": 0.25, "new": 0.35})
    assert "nothing was compared" in found.sentences[0]


def test_volumes_pool_by_the_probability_and_lower_the_cost():
    part = PartToCost("P", "part", "A380", {"mass_kg": Quantity(0.85, "kg")}, (Step("made"),))
    sure = carried_over(sister("A", 1.0), sister("B", 1.0), stated="same")
    never = carried_over(sister("A", 1.0), sister("B", 1.0), stated="new")
    found, said = pooled(part, {"Dotterel": (sure, 30_000.0), "Turnstone": (never, 90_000.0)})
    assert found.pooled_volume == 30_000.0
    assert said[0].startswith("100% of the 30,000 a year of Dotterel")
    half = replace(sure, probability={"same": 0.5, "changed": 0.5, "new": 0.0})
    assert pooled(part, {"Dotterel": (half, 30_000.0)})[0].pooled_volume == 15_000.0
    made = {"made": process("made", lambda f: operation({}, "", tools=36_000.0))}
    cost = [
        cost_parts([one], scenario(), made, n_draws=0).parts["P"].by_name()["tools"] for one in (part, found)
    ]
    # first principles: 36,000 over 60,000 and over 90,000 pieces a year for 6 years.
    assert cost == pytest.approx([0.1, 36_000.0 / 540_000.0])


def test_wrong_input_is_refused():
    with pytest.raises(ValueError, match="no state 'alike'"):
        carried_over(sister("A", 1.0), sister("B", 1.0), stated="alike")
    with pytest.raises(ValueError, match="must be above 0"):
        carried_over(sister("A", 0.0), sister("B", 1.0))
    with pytest.raises(ValueError, match="one unit"):
        carried_over(sister("A", 1.0), Sister("B", (), {"mass_kg": Quantity(1.0, "N")}))
    many = {**FIGURES, "share_same": replace(FIGURES["share_same"], value=0.9, high=0.9)}
    with pytest.raises(ValueError, match="may not exceed 1"):
        carried_over(sister("A", 1.0), sister("B", 1.0), many)
    part = PartToCost("P", "part", "A380", {"mass_kg": Quantity(0.85, "kg")}, (Step("made"),))
    with pytest.raises(ValueError, match="a number from 0"):
        pooled(part, {"Dotterel": (carried_over(sister("A", 1.0), sister("B", 1.0)), -1.0)})


@pytest.mark.parametrize("per_year", [-1.0, math.nan, math.inf, 1e308])
def test_a_sister_built_in_numbers_that_cannot_be_is_refused(per_year):
    part = PartToCost("P", "part", "steel", {}, (Step("any"),))
    # first principles: nobody builds fewer than no vehicles, nor more than there are makers for.
    with pytest.raises(ValueError, match=r"S: .* vehicles a year; give a number from 0 to"):
        pooled(part, {"S": (carried_over(sister("A", 1.0), sister("B", 1.0)), per_year)})
