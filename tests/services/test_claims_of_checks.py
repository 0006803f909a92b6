"""Claims about what checks work out: planted readings whose outcome lies on a known side."""

import math
from dataclasses import replace

import numpy as np
import pytest

from hoistbook.core.checks import CHECKS
from hoistbook.core.compare.claim_checks import check_figure
from hoistbook.core.compare.claim_verdict import State
from hoistbook.core.compare.claims import Claim, Relation, claim_quantity, claim_unit, claim_words
from hoistbook.core.quantities.quantity import Origin, Quantity, Source
from hoistbook.core.vehicle.records import CheckReading, Configuration, Teardown, Vehicle
from hoistbook.services.as_json.claims import claims_json
from hoistbook.services.claim_bench import Settings
from hoistbook.services.claims import judge_claims

PULL = "check half_shaft_angle/steer_moment_n_m"
LEFT = "check half_shaft_angle/angle_left_rad"
LESS, MORE, ABOUT = Relation.LESS_THAN, Relation.MORE_THAN, Relation.ABOUT
READINGS = {
    "torque_n_m": (1000.0, "N.m", 1.0),
    "span_left_m": (0.400, "m", 0.001),
    "span_right_m": (0.400, "m", 0.001),
    "drop_left_m": (0.040, "m", 0.001),
    "drop_right_m": (0.040, "m", 0.001),
    "behind_left_m": (0.0, "m", 0.0),
    "behind_right_m": (0.0, "m", 0.0),
}
"""Value, unit, standard uncertainty; both sides alike, inner joints right above the outer ones."""


def van(code, shared=None, **changed):
    """A vehicle with readings of its half shafts; `shared` names an error that it has in common with another."""
    readings = []
    for name, told in READINGS.items():
        value, unit, u = changed.get(name, told[0]), *told[1:]
        source = Source(shared if shared and name == "drop_left_m" else f"{code} {name}")
        terms = ((source, u),) if u else ()
        readings.append(CheckReading("half_shaft_angle", name, Quantity(value, unit, terms, Origin.MEASURED)))
    return Teardown(Vehicle(code, code), (Configuration("c", code),), check_readings=tuple(readings))


def judge(vans, *claims):
    return judge_claims(claims, tuple(vans), vans, {}, Settings("wltc3b", 0.95, n_draws=200)).claims


def say(quantity, vehicle, relation, threshold, unit, other="", near=0.0, code="c"):
    terms = ((Source("near"), near / 1.959964),) if near else ()
    return Claim(code, "a sentence", quantity, vehicle, relation, Quantity(threshold, unit, terms), other)


@pytest.mark.parametrize(
    ("relation", "threshold_deg", "state"),
    [
        (LESS, 10.0, State.CONFIRMED),
        (MORE, 10.0, State.REFUTED),
        (MORE, 2.0, State.CONFIRMED),
        (LESS, 2.0, State.REFUTED),
        (MORE, math.degrees(math.atan(0.1)), State.OPEN),
    ],
)
def test_a_figure_clearly_on_one_side_settles_the_claim(relation, threshold_deg, state):
    # first principles: 40 mm over a span of 400 mm is atan(0.1) = 5.71°, read to ± 0.3°.
    (one,) = judge({"X": van("X")}, say(LEFT, "X", relation, math.radians(threshold_deg), "rad"))
    assert one.result.state is state
    figure = one.result.figures[0]
    assert figure.value == pytest.approx(math.atan(0.1), rel=1e-3)
    # first principles: u² = (u_z/s)² + (z u_s/s²)², each over 1 + (z/s)².
    u = math.hypot(0.001 / 0.4, 0.04 * 0.001 / 0.4**2) / 1.01
    assert (figure.band[1] - figure.band[0]) / 2.0 == pytest.approx(1.96 * u, rel=0.05)
    if state is State.OPEN:
        assert one.result.probability == pytest.approx(0.5, abs=0.05)


def test_two_vehicles_are_compared():
    vans = {"X": van("X"), "Y": van("Y", drop_left_m=0.080)}
    less, more, by_much, about = judge(
        vans,
        say(LEFT, "X", LESS, 0.0, "rad", "Y", code="less"),
        say(LEFT, "X", MORE, 0.0, "rad", "Y", code="more"),
        say(LEFT, "X", LESS, math.radians(4.0), "rad", "Y", code="by much"),
        say(LEFT, "X", ABOUT, math.radians(20.0), "rad", "Y", code="about"),
    )
    assert less.result.state is State.CONFIRMED
    assert more.result.state is State.REFUTED
    # first principles: atan(0.2) − atan(0.1) = 5.60° is more than 4°.
    assert by_much.result.state is State.CONFIRMED
    assert about.result.state is State.CONFIRMED
    assert less.result.difference.value == pytest.approx(math.atan(0.1) - math.atan(0.2), rel=1e-2)


def test_an_error_both_vehicles_share_cancels():
    claim = say(LEFT, "X", LESS, 0.0, "rad", "Y")
    apart = judge({"X": van("X"), "Y": van("Y", drop_left_m=0.041)}, claim)[0].result
    shared = judge({"X": van("X", shared="rule"), "Y": van("Y", shared="rule", drop_left_m=0.041)}, claim)[
        0
    ].result
    width = [one.difference.high - one.difference.low for one in (apart, shared)]
    # first principles: the rule's error moves both alike; the spans are left with z/s² u_s each.
    left = math.sqrt(2.0) * 0.04 * 0.001 / 0.4**2 / 1.01
    assert width[1] / 2.0 == pytest.approx(1.96 * left, rel=0.1)
    assert width[1] < 0.3 * width[0]
    assert shared.probability > apart.probability


def test_usual_values_of_two_vehicles_do_not_cancel():
    vans = {code: van(code, drop_left_m=0.10) for code in "XY"}
    wide = judge(vans, say(PULL, "X", ABOUT, 500.0, "N.m", "Y"))[0].result
    alone = judge({"X": vans["X"]}, say(PULL, "X", LESS, 500.0, "N.m"))[0].result
    assumed = alone.figures[0].assumed
    assert any("kingpin inclination" in one for one in assumed)
    # first principles: two vehicles alike, each with errors of its own: by either formula the difference has twice the
    # variance of one of them. Of two formulas alike it is the mean of theirs.
    variance = np.mean([2.0 * half.var() for half in np.split(alone.figures[0].drawn, 2)])
    width = wide.difference.high - wide.difference.low
    assert width == pytest.approx(2.0 * 1.96 * math.sqrt(variance), rel=0.1)


def test_only_usual_values_that_have_a_say_are_told():
    angle = judge({"X": van("X")}, say(LEFT, "X", LESS, 1.0, "rad"))[0].result.figures[0]
    # first principles: the angle of a joint is that of its bar; kingpin and steering have no say in it.
    assert angle.assumed == ()
    readings = [one for one in van("X").check_readings if one.reading != "behind_left_m"]
    open_ended = replace(van("X"), check_readings=tuple(readings))
    angle = judge({"X": open_ended}, say(LEFT, "X", LESS, 1.0, "rad"))[0].result.figures[0]
    # Behind or ahead alike, an inner joint off the middle bends the bar more: it moves the angle one way only.
    assert [one.partition(" taken")[0] for one in angle.assumed] == ["inner behind outer joint, left"]


def test_formulas_that_disagree_count_alike():
    # first principles: with the whole torque along the bar the pull is about twice that of the bisecting plane, so that
    # a threshold between the two is passed by one of two formulas.
    vans = {"X": van("X", drop_left_m=0.10)}
    pull = judge(vans, say(PULL, "X", LESS, 0.0, "N.m"))[0].result.figures[0].drawn
    halves = np.split(pull, 2)
    middle = (halves[0].mean() + halves[1].mean()) / 2.0
    one = judge(vans, say(PULL, "X", LESS, middle, "N.m"))[0].result
    assert one.probability == pytest.approx(0.5, abs=0.02)
    assert one.state is State.OPEN
    assert any("2 formulas" in remark for remark in one.remarks)
    assert one.next_measurements == ()


def test_the_next_measurement_is_the_dominant_reading():
    near = math.atan(0.1) + 0.001
    vans = {"X": van("X")}
    readings = [
        replace(one, value=Quantity(one.value.value, "m", ((Source("rough"), 0.01),)))
        if one.reading == "span_left_m"
        else one
        for one in vans["X"].check_readings
    ]
    vans["X"] = replace(vans["X"], check_readings=tuple(readings))
    one = judge(vans, say(LEFT, "X", LESS, near, "rad"))[0]
    assert one.result.state is State.OPEN
    # first principles: z/s² u_s = 0.0025 with u_s = 10 mm equals u_z/s with u_z = 1 mm; a new reading of the height is
    # no better than the 2 mm rule of the check, one of the span halves its share.
    assert one.result.next_measurements[0].name == "X span_left_m"
    assert "tape" in one.sentence


def test_what_is_missing_is_named_with_how_to_measure_it():
    bare = {"X": replace(van("X"), check_readings=van("X").check_readings[:2])}
    one = judge(bare, say(PULL, "X", LESS, 10.0, "N.m"))[0]
    assert one.result.state is State.OPEN
    told = one.result.to_measure[0]
    for name in ("span_right_m", "drop_left_m", "drop_right_m"):
        reading = CHECKS["half_shaft_angle"].reading(name)
        assert reading.words in told
        assert reading.how in told
    beyond = judge({"X": van("X", span_left_m=4.0)}, say(PULL, "X", LESS, 10.0, "N.m"))[0]
    assert "is outside 100 mm to 1500 mm" in beyond.result.to_measure[0]


def test_quantities_of_checks_are_found_by_name():
    assert claim_quantity(" Check:  half_shaft_angle / angle_left_rad ") == LEFT
    assert (claim_unit(LEFT), claim_words(LEFT)) == ("rad", "joint angle, left")
    assert check_figure("check first_touched/exposure_m[hose end]").item == "hose end"
    for text, said in (
        ("check half_shaft_angel/angle_left_rad", "half_shaft_angle"),
        ("check half_shaft_angle/angle", "angle_left_rad"),
        ("check half_shaft_angle", "NAME/FIGURE"),
        ("check first_touched/exposure_m", "of which part"),
        ("check half_shaft_angle/angle_left_rad[left]", "one figure"),
    ):
        with pytest.raises(LookupError, match=said):
            claim_quantity(text)
    with pytest.raises(ValueError, match="leave function and part empty"):
        Claim("c", "s", LEFT, "X", LESS, Quantity(0.1, "rad"), function="AXLE")
    with pytest.raises(ValueError, match=r"threshold is in kg"):
        say(LEFT, "X", LESS, 0.1, "kg")


def test_json_speaks_of_a_check_as_of_any_quantity():
    report = judge_claims(
        [say(LEFT, "X", LESS, math.radians(10.0), "rad")],
        ("X",),
        {"X": van("X")},
        {},
        Settings("wltc3b", 0.95),
    )
    (one,) = claims_json(report)["claims"]
    assert one["quantity"] == LEFT
    assert one["difference"]["unit"] == "rad"
    assert "5.7" in one["says"]
    assert "deg" in one["says"]


def test_claims_of_checks_that_cannot_all_hold_are_found():
    vans = {"X": van("X"), "Y": van("Y", drop_left_m=0.08)}
    claims = [
        say(LEFT, "X", LESS, 0.0, "rad", "Y", code="a"),
        say(LEFT, "Y", LESS, 0.0, "rad", "X", code="b"),
    ]
    report = judge_claims(claims, ("X", "Y"), vans, {}, Settings("wltc3b", 0.95, n_draws=200))
    assert [one.claims for one in report.conflicts.found] == [("a", "b")]
