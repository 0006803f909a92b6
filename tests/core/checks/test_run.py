"""How any check is run: usual values are said, ranges refused, formulas shown, shares of the band told."""

import math

import numpy as np
import pytest

from hoistbook.core.checks.declared import Check, Choice, Limit, Outcome, Reading, Rule, Spread, Usual
from hoistbook.core.checks.drawn import draw_check
from hoistbook.core.checks.run import Stated, run_check, with_band
from hoistbook.core.checks.sketch import Dimension, Sketch
from hoistbook.core.quantities.evaluation import exact, normal

ARM = Reading("arm_m", "arm", "m", "tape", 0.1, 2.0, "made up", 0.001, "common practice: none", show="mm")
FORCE = Reading(
    "force_n",
    "force",
    "N",
    "spring balance",
    0.0,
    100.0,
    "made up",
    usual=Usual(10.0, 2.0, "common practice", "none"),
)
EACH = Reading("mass_kg", "mass", "kg", "scale", 0.0, 10.0, "made up", each="bag")

MOMENT = Outcome("moment_n_m", "moment", "N.m")


def check(evaluate, outcomes=(MOMENT,), readings=(ARM, FORCE), **more):
    return Check(
        name="lever",
        title="Lever",
        question="How hard does it turn?",
        family="joints",
        readings=readings,
        outcomes=outcomes,
        evaluate=evaluate,
        verdict=lambda result, given: "turned",
        sketch=Sketch("a lever", 20.0, (Dimension(readings[0].name, (0, 0), (10, 0)),)),
        cannot_say=("friction",),
        references=("first principles: lever",),
        method="",
        **more,
    )


def lever(g):
    return {"moment_n_m": g.arm_m * g.force_n}


def test_what_nobody_stated_is_taken_and_said():
    result = run_check(check(lever), Stated({"arm_m": exact(0.5, "m")}))
    # first principles: 0.5 m × 10 N; the usual force is 10 ± 2 N, so the band is ± 0.95 of 1 N·m.
    assert result.figures[0].value == pytest.approx(5.0)
    assert result.figures[0].low == pytest.approx(4.05, abs=0.02)
    assert result.figures[0].high == pytest.approx(5.95, abs=0.02)
    assert [one.field for one in result.assumptions] == ["force_n"]
    assert "10 N ± 2 N" in result.assumptions[0].text
    assert "friction" in result.caveats


def test_reading_without_usual_value_is_asked_for():
    with pytest.raises(ValueError, match=r"nothing states arm \(arm_m\); measure it: tape"):
        run_check(check(lever), Stated())


def test_every_fault_is_told_at_once():
    with pytest.raises(ValueError, match=r"nothing states arm[^\n]*\n[^\n]*force = 200 N is outside"):
        run_check(check(lever), Stated({"force_n": exact(200.0, "N")}))


@pytest.mark.parametrize("wrong", [0.05, 3.0, math.nan])
def test_outside_the_range_of_the_equation_is_refused(wrong):
    if math.isnan(wrong):
        with pytest.raises(ValueError, match="not a finite number"):
            exact(wrong, "m")
        return
    with pytest.raises(ValueError, match="is outside 100 mm to 2000 mm, where the check holds"):
        run_check(check(lever), Stated({"arm_m": exact(wrong, "m")}))


def test_band_that_leaves_the_range_is_said():
    result = run_check(check(lever), Stated({"arm_m": normal(0.12, 0.02, "m", "tape")}))
    assert any("of the band of arm lies outside" in one for one in result.caveats)


def test_unknown_names_are_refused():
    with pytest.raises(ValueError, match="reads no 'leg_m'"):
        run_check(check(lever), Stated({"leg_m": exact(0.5, "m")}))
    with pytest.raises(ValueError, match="has no choice named 'side'"):
        run_check(check(lever), Stated({"arm_m": exact(0.5, "m")}, {"side": "left"}))
    sided = check(lever, choices=(Choice("side", "side", {"left": "", "right": ""}),))
    with pytest.raises(ValueError, match="known: left, right"):
        run_check(sided, Stated({"arm_m": exact(0.5, "m")}, {"side": "up"}))


def test_formulas_that_disagree_span_the_band():
    def both(g):
        return {"moment_n_m": Spread({"a": g.arm_m * g.force_n, "b": 3.0 * g.arm_m * g.force_n})}

    result = run_check(check(both), Stated({"arm_m": exact(1.0, "m"), "force_n": exact(10.0, "N")}))
    one = result.figures[0]
    assert (one.value, one.low, one.high) == (10.0, 10.0, 30.0)
    assert result.dominant == "formula"


def test_share_of_the_variance():
    # first principles: of z = x + y the variances add, so x with twice the deviation of y has 4/5 of the variance.
    def total(g):
        return {"moment_n_m": g.force_n + g.arm_m}

    stated = {"arm_m": normal(1.0, 0.01, "m", "tape"), "force_n": normal(10.0, 0.02, "N", "balance")}
    result = run_check(check(total), Stated(stated), n_draws=20_000)
    assert result.dominant == "force_n"
    assert dict(result.shares)["force_n"] == pytest.approx(0.8, abs=0.02)


def test_several_of_a_thing():
    def heaps(g):
        return {"bag_n": 9.80665 * g.mass_kg, "total_n": (9.80665 * g.mass_kg).sum(axis=0)}

    heap = check(
        heaps, (Outcome("total_n", "total", "N"), Outcome("bag_n", "weight", "N", each="bag")), (EACH,)
    )
    stated = Stated({"mass_kg": [exact(1.0, "kg"), exact(2.0, "kg")]}, names={"bag": ["red", "blue"]})
    result = run_check(heap, stated)
    assert result.figure("bag_n", "blue").value == pytest.approx(19.6133)
    assert result.figure("total_n").value == pytest.approx(29.41995)
    with pytest.raises(ValueError, match="3 names of bag, but 2 figures"):
        run_check(heap, Stated(stated.values, names={"bag": ["a", "b", "c"]}))
    with pytest.raises(ValueError, match="two of the names"):
        run_check(heap, Stated(stated.values, names={"bag": ["a", "a"]}))


@pytest.mark.parametrize(("side", "margin", "kept"), [("at most", 2.0, 1.0), ("at least", -2.0, 0.0)])
def test_margin_against_a_limit(side, margin, kept):
    # first principles: 10 N·m against 12 N·m.
    limit = Limit("moment_n_m", side, 12.0, "made up", "common practice", "none")
    stated = Stated({"arm_m": exact(1.0, "m"), "force_n": exact(10.0, "N")})
    held = run_check(check(lever, limits=(limit,)), stated).held[0]
    assert (held.margin, held.kept) == (margin, kept)


def test_rule_that_only_some_draws_break_is_said():
    rule = Rule("the arm must be shorter than the bench", lambda g: g.arm_m > 1.0)
    ruled = check(lever, rules=(rule,))
    with pytest.raises(ValueError, match="shorter than the bench"):
        run_check(ruled, Stated({"arm_m": exact(1.5, "m")}))
    result = run_check(ruled, Stated({"arm_m": normal(0.99, 0.02, "m", "tape")}))
    assert any("shorter than the bench" in one for one in result.caveats)


def test_result_without_a_value_is_refused():
    with pytest.raises(ValueError, match="has no value for"):
        run_check(
            check(lambda g: {"moment_n_m": np.log(g.arm_m - 0.5)}),
            Stated({"arm_m": normal(0.6, 0.1, "m", "t")}),
        )


def test_band_of_a_bare_number():
    assert with_band(ARM, 0.5, "arm").band()[1] > 0.5
    assert with_band(EACH, 0.5, "mass").standard_uncertainty == 0.0


def test_an_option_that_nobody_chose_is_said():
    choice = Choice("end", "end of the lever", {"free": "swings", "held": "clamped"})
    switched = check(lever, choices=(choice,))
    arm = {"arm_m": exact(0.5, "m"), "force_n": exact(10.0, "N")}
    (said,) = run_check(switched, Stated(arm)).assumptions
    assert "end of the lever taken as free" in said.text
    assert run_check(switched, Stated(arm, {"end": "free"})).assumptions == ()


def test_usual_values_of_two_vehicles_are_drawn_apart_and_readings_with_one_error_together():
    shared = normal(0.5, 0.01, "m", "tape B1")
    drawn = [draw_check(check(lever), Stated({"arm_m": shared}, whose=code), 1_000) for code in "XY"]
    arms, forces = ([one.values[name][1:] for one in drawn] for name in ("arm_m", "force_n"))
    assert np.array_equal(*arms)
    # first principles: 1,000 independent pairs correlate by about 1/√1000.
    assert abs(np.corrcoef(*forces)[0, 1]) < 0.15
    assert drawn[0].by_formula(MOMENT)[""][0] == pytest.approx(5.0)
    with pytest.raises(LookupError, match="not of 'left'"):
        drawn[0].by_formula(MOMENT, "left")


def test_a_figure_that_does_not_apply_is_left_out():
    spare = Outcome("spare_n", "spare force", "N")
    limit = Limit("spare_n", "at least", 0.0, "none", "common practice", "none")
    declared = check(lever, outcomes=(MOMENT, spare), limits=(limit,))
    result = run_check(declared, Stated({"arm_m": exact(0.5, "m")}))
    assert [one.name for one in result.figures] == ["moment_n_m"]
    assert result.held == ()


def test_more_figures_than_memory_holds_are_refused_before_they_are_drawn():
    # first principles: 30 001 figures at 1000 draws are 30 million, 240 MB before any equation.
    many = check(lambda g: {"moment_n_m": g.arm_m * g.mass_kg.sum(axis=0)}, readings=(ARM, EACH))
    bags = {"arm_m": exact(1.0, "m"), "mass_kg": [exact(1.0, "kg")] * 30_000}
    with pytest.raises(ValueError, match="too many to hold at once; take at most 666 draws"):
        run_check(many, Stated(bags), n_draws=1000)
    with pytest.raises(ValueError, match="state fewer things at a time"):
        run_check(many, Stated(bags | {"mass_kg": [exact(1.0, "kg")] * 1_000_000}))
    assert run_check(many, Stated(bags | {"mass_kg": [exact(1.0, "kg")] * 3})).figures[0].value == 3.0


@pytest.mark.parametrize(
    ("effect", "unit", "said"),
    [
        ("mass", "kg", "comes from the part tree"),
        ("length", "m", "content acts on no 'length'"),
        ("accessory_power", "N.m", "is in W"),
    ],
)
def test_an_outcome_is_an_effect_only_where_a_decision_can_carry_it(effect, unit, said):
    with pytest.raises(ValueError, match=said):
        Outcome("made_up", "made up", unit, effect=effect)
    assert Outcome("pump_w", "pump", "W", effect="accessory_power").effect == "accessory_power"


@pytest.mark.parametrize("value", [0.1, 2.0])
def test_a_reading_at_the_end_of_its_range_is_taken(value):
    lever = check(lambda g: {"moment_n_m": g.arm_m * g.force_n})
    assert run_check(lever, Stated({"arm_m": exact(value, "m")})).figures[0].value == pytest.approx(
        10.0 * value
    )
    beyond = value + 1e-9 * (1.0 if value > 1.0 else -1.0)
    with pytest.raises(ValueError, match="where the check holds"):
        run_check(lever, Stated({"arm_m": exact(beyond, "m")}))
