"""Claims against conformance probability, closed forms and planted truth."""

import math

import numpy as np
import pytest

from hoistbook.core.compare.chance import spread_of
from hoistbook.core.compare.claim_figures import Figure, Figures, Retake
from hoistbook.core.compare.claim_verdict import State, evaluate
from hoistbook.core.compare.claim_words import sentence, shown, shown_unit
from hoistbook.core.compare.claims import Claim, Relation, ThresholdIs
from hoistbook.core.compare.next_measurement import Candidate
from hoistbook.core.quantities.instruments import Instrument, reading
from hoistbook.core.quantities.quantity import Origin, Quantity, Source
from hoistbook.core.vehicle.kinds import QUANTITY_KINDS


def kg(value, *terms):
    return Quantity(value, "kg", tuple((Source(name), u) for name, u in terms))


def claim(relation=Relation.LESS_THAN, threshold=0.0, other="X", **more):
    given = threshold if isinstance(threshold, Quantity) else kg(threshold)
    return Claim("C1", "theirs is lighter", more.pop("quantity", "mass"), "Y", relation, given, other, **more)


def figure(quantity, vehicle="Y", **more):
    return Figure(vehicle, "mass of the subframe", "kg", quantity, **more)


def held(of, other=None, level=0.95, retakes=(), **more):
    both = Figures(figure(of), None if other is None else figure(other, "X"), retakes)
    return evaluate(claim(other="X" if other is not None else "", **more), both, sure_enough_frac=level)


def test_longer_hose_example_with_and_without_a_shared_tape():
    def hose(value, name, r):
        # r of the variance of 4 mm is the tape's, the rest the reading's own.
        terms = ((Source("tape"), 4.0 * math.sqrt(r)), (Source(name), 4.0 * math.sqrt(1.0 - r)))
        return Quantity(value, "m", tuple(t for t in terms if t[1] > 0.0))

    said = Claim("M", "A's hose is longer", "length", "A", Relation.MORE_THAN, Quantity(0.0, "m"), "B")
    for r, expected in ((0.0, 0.81162), (0.8, 0.97595)):
        of = Figure("A", "hose", "m", hose(730.0, "a", r))
        other = Figure("B", "hose", "m", hose(725.0, "b", r))
        # computed: P(A > B) = Φ(5/√(4² + 4² − 2 r 4²)), worked with SciPy: 0.81162 for r = 0, 0.97595 for r = 0.8.
        assert evaluate(said, Figures(of, other)).probability == pytest.approx(expected, abs=5e-6)


@pytest.mark.parametrize(
    ("level", "factor"),
    # from memory: JCGM 106:2012, table 1, conformance probability and z: 0.80 0.84, 0.90 1.28, 0.95 1.64, 0.99 2.33.
    [(0.80, 0.84), (0.90, 1.28), (0.95, 1.64), (0.99, 2.33)],
)
def test_confirmed_from_the_guard_band_on(level, factor):
    u = 0.3
    inside, outside = (
        held(kg(10.0 - (factor + by) * u, ("r", u)), threshold=10.0, level=level) for by in (0.01, -0.01)
    )
    assert inside.state is State.CONFIRMED
    assert outside.state is State.OPEN
    assert outside.detection_limit == pytest.approx(factor * u, abs=0.005 * u)
    refuted, unsure = (
        held(kg(10.0 + (factor + by) * u, ("r", u)), threshold=10.0, level=level) for by in (0.01, -0.01)
    )
    assert refuted.state is State.REFUTED
    assert unsure.state is State.OPEN


def test_errors_of_one_scale_cancel():
    scale = Instrument("B2", "scale", accuracy_class="III", step_si=0.001, capacity_si=6.0)
    other_scale = Instrument("B3", "scale", accuracy_class="III", step_si=0.001, capacity_si=6.0)
    y, x, x_other = (
        reading(scale, 2.499, "Y1"),
        reading(scale, 2.501, "X1"),
        reading(other_scale, 2.501, "X2"),
    )
    # first principles: with one scale only two steps of d = 1 g are left: the sum of two rectangles of ±0.5 g never
    # reaches 2 g. On two scales of limit 3 g (in service, 2 mpe = 3 g from 2 to 10 kg) it may.
    assert held(y, x).probability == pytest.approx(1.0, abs=1e-12)
    assert 0.6 < held(y, x_other).probability < 0.95


def test_one_rectangle_is_not_taken_for_normal():
    flat = Quantity(9.5, "kg", ((Source("limit", "rectangular"), 1.0),))
    # first principles: a rectangle of u = 1 has half width √3; P(9.5 + e < 10) = ½ + 0.5/(2√3) = 0.64434.
    # 10,000 draws know it to 0.005.
    assert held(flat, threshold=10.0).probability == pytest.approx(0.64434, abs=0.015)
    # first principles: 95 % of a rectangle are passed at (2·0.95 − 1)√3 = 1.5588; a normal would say 1.645.
    assert held(flat, threshold=10.0).detection_limit == pytest.approx(1.5588, abs=0.02)


def test_many_bounded_errors_keep_their_variance():
    many = Quantity(0.0, "kg", tuple((Source(f"r{i}", "rectangular"), 1.0) for i in range(400)))
    # first principles: central limit, u = √400 = 20; excess kurtosis −1.2/400 moves Φ by under 0.0002.
    spread = spread_of(many, 1.0)
    assert spread.chance_below(32.897) == pytest.approx(0.95, abs=0.01)
    assert spread.standard_deviation == pytest.approx(20.0, rel=0.02)


@pytest.mark.parametrize(
    ("relation", "of", "other", "threshold", "share", "holds"),
    # first principles: exact figures; the sentence is true or it is not.
    [
        (Relation.LESS_THAN, 9.0, 10.0, 0.0, False, True),
        (Relation.LESS_THAN, 10.0, 10.0, 0.0, False, False),
        (Relation.LESS_THAN, 9.0, 10.0, 1.5, False, False),
        (Relation.LESS_THAN, 0.1 + 0.2, 0.3, 0.0, False, False),  # rounding is no difference
        (Relation.MORE_THAN, 12.0, 10.0, 1.5, False, True),
        (Relation.MORE_THAN, 12.0, 10.0, 0.25, True, False),
        (Relation.LESS_THAN, 7.0, 10.0, 0.25, True, True),
        (Relation.LESS_THAN, 11.0, 10.0, -2.0, False, True),  # no more than 2 kg heavier
        (Relation.ABOUT, 10.5, 10.0, 0.5, False, True),
        (Relation.ABOUT, 9.4, 10.0, 0.5, False, False),
        (Relation.ABOUT, 10.9, 10.0, 0.1, True, True),
        (Relation.ABOUT, 10.9, 10.0, 0.05, True, False),
    ],
)
def test_exact_figures_decide_at_once(relation, of, other, threshold, share, holds):
    kind = ThresholdIs.SHARE if share else ThresholdIs.ABSOLUTE
    given = Quantity(threshold, "1" if share else "kg")
    result = held(kg(of), kg(other), relation=relation, threshold=given, threshold_is=kind)
    assert result.probability == float(holds)
    assert result.state is (State.CONFIRMED if holds else State.REFUTED)


def test_about_is_two_sided():
    result = held(kg(10.2, ("r", 0.4)), kg(10.0), relation=Relation.ABOUT, threshold=0.5)
    # first principles: Φ((0.5 − 0.2)/0.4) − Φ((−0.5 − 0.2)/0.4) = 0.773373 − 0.040059 = 0.733314.
    assert result.probability == pytest.approx(0.733314, abs=2e-6)
    # first principles: P(|e| ≤ q) = 0.95 at q = 1.959964 u.
    assert result.detection_limit == pytest.approx(1.959964 * 0.4, rel=1e-6)


def test_about_a_figure_takes_its_half_width_as_tolerance():
    about = kg(42.0, ("how near", 0.5))
    result = held(kg(42.3, ("r", 0.5)), relation=Relation.ABOUT, threshold=about)
    # first principles: tolerance 1.959964 · 0.5 = 0.979982; Φ(0.679982/0.5) − Φ(−1.279982/0.5) = 0.913087 − 0.005235.
    assert result.probability == pytest.approx(0.907852, abs=1e-5)


def test_share_of_two_figures_with_a_common_error():
    # first principles: v − 0.8 o = −1 kg; the common error enters with 0.1 − 0.8·0.1, own errors with 0.3 and 0.8·0.2.
    y = kg(15.0, ("scale", 0.1), ("y", 0.3))
    x = kg(20.0, ("scale", 0.1), ("x", 0.2))
    u = math.sqrt((0.1 - 0.08) ** 2 + 0.3**2 + 0.16**2)
    result = held(y, x, threshold=Quantity(0.2, "1"), threshold_is=ThresholdIs.SHARE)
    assert result.probability == pytest.approx(0.5 * math.erfc(-1.0 / u / math.sqrt(2.0)), abs=1e-9)


@pytest.mark.parametrize("other", [kg(0.0), kg(0.1, ("x", 0.2))])
def test_share_of_nothing_says_nothing(other):
    result = held(kg(1.0, ("y", 0.1)), other, threshold=Quantity(0.2, "1"), threshold_is=ThresholdIs.SHARE)
    assert (result.state, result.probability) == (State.OPEN, None)
    assert "not told from nothing" in sentence(result)


def test_missing_figure_leaves_the_claim_open_and_says_what_to_measure():
    both = Figures(
        figure(kg(3.0, ("y", 0.1))), Figure("X", "mass", "kg", missing="mass of the subframe of X: weigh it")
    )
    result = evaluate(claim(), both)
    assert (result.state, result.probability) == (State.OPEN, None)
    assert "Not measured: mass of the subframe of X: weigh it." in sentence(result)


def test_assumed_figures_are_named():
    taken = Quantity(3.0, "kg", ((Source("default"), 0.1),), Origin.ASSUMED)
    result = evaluate(
        claim(),
        Figures(figure(taken, assumed=("mass of the subframe taken as usual",)), figure(kg(5.0), "X")),
    )
    assert "only assumed: mass of the subframe taken as usual (Y)" in sentence(result)
    assert result.figures[0].origin == "assumed"


def test_next_measurement_of_the_worse_figure_decides_as_foreseen():
    y, x = kg(10.0, ("y", 0.3)), kg(10.4, ("x", 0.4))
    again_y = Retake("y", "Y", "weigh Y again", y + kg(0.0, ("new y", 0.05)))
    again_x = Retake("x", "X", "weigh X again", x + kg(0.0, ("new x", 0.05)))
    result = held(y, x, retakes=(again_y, again_x))
    best = result.next_measurements[0]
    # first principles: u = 0.5; weighing X takes τ² = 0.4⁴/(0.4² + 0.05²) off u², which leaves u' of
    # √(0.25 − 0.157538) = 0.304075, 60.8 % of the band.
    assert (best.name, best.at_best) == ("x", False)
    assert best.band_left_frac == pytest.approx(0.304075 / 0.5, abs=1e-5)
    # first principles: the new margin is N(0.4, τ) with τ = 0.396911; confirmed from 1.644854 u' = 0.500159 on, refuted
    # from −0.500159 down: 1 − Φ(0.252347) + Φ(−2.267911) = 0.41205.
    assert best.decides_frac == pytest.approx(0.41205, abs=0.004)
    # first principles: Φ((0.4 ± 1.959964 τ)/u'): 0.107 and 0.99994.
    assert best.low == pytest.approx(0.1067, abs=0.01)
    assert best.high == pytest.approx(0.99994, abs=1e-4)
    assert "To decide it: weigh X again." in sentence(result)


def test_reading_again_on_one_scale_keeps_its_calibration():
    y, x = kg(10.0, ("scale", 1.0), ("y", 0.5)), kg(10.1, ("x", 0.5))
    # The new reading shows what is known of Y without the scale's own error, which it repeats.
    same = Retake("same", "Y", "same scale", kg(10.0, ("y", 0.5), ("new", 0.2)))
    better = Retake("better", "Y", "better scale", y + kg(0.0, ("new", 0.2)))
    result = held(y, x, retakes=(same, better))
    left = {one.name: one.band_left_frac for one in result.next_measurements}
    # first principles: var e = 1.5; the same scale takes 0.25²/0.29 off, the better one 1.25²/1.29.
    assert left["better"] == pytest.approx(math.sqrt(1.0 - 1.25**2 / 1.29 / 1.5), abs=1e-9)
    assert left["same"] == pytest.approx(math.sqrt(1.0 - 0.25**2 / 0.29 / 1.5), abs=1e-9)


def effect(**more):
    return Claim(
        "E", "the long cable costs range", "effect on range", "Y", Relation.LESS_THAN,
        more.pop("threshold", Quantity(0.0, "m")), "X", function="CABLE", **more,
    )  # fmt: skip


def test_effect_by_weighted_draws():
    values = np.array([-300.0, -200.0, -100.0, 100.0])
    weight = np.array([0.4, 0.3, 0.1, 0.2])
    of = Figure("Y", "effect", "m", drawn=values, weight=weight)
    # first principles: weight of the draws below zero.
    assert evaluate(effect(), Figures(of)).probability == pytest.approx(0.8)
    # first principles: −0.1 % of 150 km is −150 m; the draws below it weigh 0.7.
    range_ = Figure("X", "range", "m", drawn=np.full(4, 150e3), weight=weight)
    share = effect(threshold=Quantity(-0.001, "1"), threshold_is=ThresholdIs.SHARE)
    assert evaluate(share, Figures(of, range_)).probability == pytest.approx(0.7)


def test_next_measurement_by_draws():
    rng = np.random.default_rng(5)
    cable, rest = 60.0 * rng.standard_normal(4000), 20.0 * rng.standard_normal(4000)
    of = Figure("Y", "effect", "m", drawn=-40.0 + cable + rest)
    ways = [
        Candidate("cable", "cable mass", cable, 5.0, "weigh the cable"),
        Candidate("none", "none", rest, 1e6, "idle"),
    ]
    result = evaluate(effect(), Figures(of, candidates=ways))
    # first principles: 60² of 60² + 20² is the cable's: about √(20² + 5²)/63 = 0.33 of the band is left; idle is not
    # listed.
    assert [one.name for one in result.next_measurements] == ["cable"]
    assert result.next_measurements[0].band_left_frac == pytest.approx(0.33, abs=0.02)


@pytest.mark.parametrize(
    ("more", "told"),
    [
        ({"threshold": Quantity(1.0, "m")}, "its threshold is in m, but mass is in kg"),
        ({"other": "Y"}, "compares Y with itself"),
        (
            {"other": "", "threshold": Quantity(0.1, "1"), "threshold_is": ThresholdIs.SHARE},
            "but of whose figure",
        ),
        ({"relation": Relation.ABOUT}, "holds for no pair"),
        ({"relation": Relation.ABOUT, "other": "", "threshold": kg(4.0)}, "but how near"),
        ({"function": "F", "part": "P"}, "keep the one"),
        ({"quantity": "effect on range", "threshold": Quantity(0.0, "m")}, "name the function"),
        ({"quantity": "range", "threshold": Quantity(0.0, "m"), "function": "F"}, "that of a vehicle"),
        ({"quantity": "mas"}, "did you mean mass"),
        ({"relation": "lighter"}, "lighter"),
    ],
)
def test_claims_without_a_meaning_are_refused(more, told):
    with pytest.raises(ValueError, match=told):
        claim(**more)


def test_threshold_in_another_unit_of_one_dimension():
    said = Claim("T", "slope", "road_load_c", "Y", Relation.LESS_THAN, Quantity(0.5, "kg/m"), "X")
    # first principles: N·s²/m² = kg/m.
    assert said.threshold == Quantity(0.5, "N.s2/m2")


def test_words_of_a_quantity_are_taken_too():
    assert claim(quantity="Drag area (Cd·A)", threshold=Quantity(0.0, "m2")).quantity == "drag_area"
    assert claim(quantity="number of fasteners", threshold=Quantity(0.0, "1")).quantity == "fastener count"


def test_every_quantity_has_a_unit_people_read():
    # first principles: 1 km = 1000 m, 1 Wh/km = 3.6 J/m, 1 kWh = 3.6e6 J; 1 N/kN is 0.001.
    assert shown("range", 1234.0) == "1.234\u202fkm"
    assert shown("effect on consumption", 7.2) == "2\u202fWh/km"
    assert shown("usable_energy", 3.6e6) == "1\u202fkWh"
    assert shown("tyre_coefficient", 0.009) == "9\u202fN/kN"
    for key, kind in QUANTITY_KINDS.items():
        assert shown(key, 1.0)
        assert kind.unit == "1" or shown_unit(key)


def test_level_outside_half_to_one_is_refused():
    with pytest.raises(ValueError, match=r"0\.3: give a probability"):
        held(kg(1.0), threshold=2.0, level=0.3)


def _calibration(cases, seed):
    """Share of true claims among those called 85–95 % sure, and how many there were.

    first principles: the truth is planted, the readings are the truth plus the errors the instruments are said to have,
    and the prior of the truth is flat over a reach far wider than the errors, so probabilities are to be frequencies.
    """
    rng = np.random.default_rng(seed)
    sure = []
    relations = list(Relation)
    for case in range(cases):
        shared_u, own_u = rng.uniform(0.05, 0.5, 2)
        truth_y, truth_x = 20.0 + rng.uniform(-3.0, 3.0, 2)
        shared = Source(f"s{case}", "normal")
        flat = bool(case % 2)
        # One case in two has rectangular own errors.
        shape = "rectangular" if flat else "normal"
        z = rng.standard_normal()
        read = []
        for name, truth in (("y", truth_y), ("x", truth_x)):
            own = rng.uniform(-math.sqrt(3.0), math.sqrt(3.0)) if flat else rng.standard_normal()
            value = truth - shared_u * z - own_u * own
            read.append(Quantity(value, "kg", ((shared, shared_u), (Source(f"{name}{case}", shape), own_u))))
        relation = relations[case % 3]
        t = float(rng.uniform(0.2, 1.5)) if relation is Relation.ABOUT else float(rng.uniform(-0.5, 0.5))
        said = claim(relation, t)
        p = evaluate(said, Figures(figure(read[0]), figure(read[1], "X")), n_draws=1000).probability
        gap = truth_y - truth_x
        holds = {Relation.LESS_THAN: gap < -t, Relation.MORE_THAN: gap > t, Relation.ABOUT: abs(gap) <= t}[
            relation
        ]
        if not 0.85 <= p <= 0.95 and not 0.05 <= p <= 0.15:
            continue
        sure.append(holds if p > 0.5 else not holds)  # of a claim 10 % likely, its opposite is 90 % sure
    return float(np.mean(sure)), len(sure)


def test_claims_called_90_percent_sure_mostly_hold():
    held_frac, n = _calibration(900, 11)
    # first principles: 0.90 ± 3 binomial standard deviations of the cases that fall into the class.
    assert n > 40
    assert abs(held_frac - 0.90) < 3.0 * math.sqrt(0.09 / n)


@pytest.mark.slow
def test_calibration_over_many_cases():
    held_frac, n = _calibration(14_000, 12)
    # first principles: over 1,000 claims called about 90 % sure, 85 to 95 % are to hold.
    print(f"{n} claims called about 90 % sure, {held_frac:.1%} hold")
    assert n > 1000
    assert 0.85 < held_frac < 0.95
