"""Half-shaft angles against the worked example of the joint's geometry, and laws that any vehicle keeps."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoistbook.core.checks import CHECKS
from hoistbook.core.checks.run import Stated, run_check
from hoistbook.core.quantities.evaluation import exact

CHECK = CHECKS["half_shaft_angle"]


def found(**more):
    # computed: worked example of unequal half shafts, NumPy, full vectors: T 1800 N·m each, spans 0.330/0.620 m, inner
    # joints 40 mm higher, kingpin 12°, caster 4°, arm 135 mm, 55 mm per turn.
    readings = {
        "torque_n_m": 1800.0,
        "span_left_m": 0.330,
        "span_right_m": 0.620,
        "drop_left_m": 0.040,
        "drop_right_m": 0.040,
        "behind_left_m": 0.0,
        "behind_right_m": 0.0,
        "inclination_rad": math.radians(12.0),
        "caster_rad": math.radians(4.0),
        "steering_arm_m": 0.135,
        "rack_travel_m": 0.055,
        "rack_efficiency_frac": 1.0,
        "locking_frac": 0.05,
        "tyre_radius_m": 0.33,
        "wheel_centre_offset_m": 0.045,
    } | more
    stated = {name: exact(value, CHECK.reading(name).unit) for name, value in readings.items()}
    return run_check(CHECK, Stated(stated), n_draws=100)


def value(result, name):
    return result.figure(name).value


def test_worked_example():
    # computed: the same worked example.
    result = found()
    assert value(result, "angle_left_rad") == pytest.approx(math.radians(6.911227), rel=1e-6)
    assert value(result, "angle_right_rad") == pytest.approx(math.radians(3.691386), rel=1e-6)
    assert value(result, "couple_left_n_m") == pytest.approx(108.6931, rel=1e-6)
    assert value(result, "couple_right_n_m") == pytest.approx(58.00422, rel=1e-6)
    assert value(result, "steer_moment_n_m") == pytest.approx(-49.46566, rel=1e-6)
    assert value(result, "rack_force_n") == pytest.approx(366.412, rel=1e-5)
    assert value(result, "hand_torque_n_m") == pytest.approx(3.20740, rel=1e-5)


def test_friction_of_the_differential():
    # computed: locking value 0.05, 180 N·m between the sides, tyre 0.33 m, offset 45 mm: 23.95059 N·m.
    assert value(found(), "friction_moment_n_m") == pytest.approx(23.95059, rel=1e-6)


@pytest.mark.parametrize(("behind", "net"), [(0.030, -51.8674), (-0.030, -46.6981)])
def test_offset_along_the_vehicle(behind, net):
    # computed: inner joints 30 mm behind the wheel centres, and 30 mm ahead.
    result = found(behind_left_m=behind, behind_right_m=behind)
    assert value(result, "steer_moment_n_m") == pytest.approx(net, rel=1e-5)
    assert value(result, "angle_left_rad") == pytest.approx(math.radians(8.61565), rel=1e-5)


def test_both_forms_of_the_literature_are_shown():
    # computed: with upright kingpin in side view the two forms give 49.581 and 96.565 N·m.
    net = found(caster_rad=0.0).figure("steer_moment_n_m")
    bisecting, along = net.formulas
    assert abs(bisecting.value) == pytest.approx(49.581, rel=1e-4)
    assert abs(along.value) == pytest.approx(96.565, rel=1e-4)
    assert net.low <= along.value <= bisecting.value <= net.high


@given(
    span=st.floats(0.2, 1.0),
    drop=st.floats(-0.1, 0.1),
    behind=st.floats(-0.1, 0.1),
    caster=st.floats(0.0, 0.1),
)
def test_equal_sides_never_pull(span, drop, behind, caster):
    # first principles: a vehicle that is its own mirror image has no side to pull to.
    result = found(
        span_left_m=span,
        span_right_m=span,
        drop_left_m=drop,
        drop_right_m=drop,
        behind_left_m=behind,
        behind_right_m=behind,
        caster_rad=caster,
    )
    assert value(result, "steer_moment_n_m") == pytest.approx(0.0, abs=1e-9)


@given(left=st.floats(0.2, 1.0), right=st.floats(0.2, 1.0), drop=st.floats(-0.1, 0.1))
def test_mirrored_vehicle_pulls_the_other_way(left, right, drop):
    # first principles: swapping the sides mirrors the vehicle.
    one = found(span_left_m=left, span_right_m=right, drop_left_m=drop, drop_right_m=drop)
    other = found(span_left_m=right, span_right_m=left, drop_left_m=drop, drop_right_m=drop)
    assert value(one, "steer_moment_n_m") == pytest.approx(-value(other, "steer_moment_n_m"), abs=1e-9)


def test_moment_vector_keeps_the_torque_about_the_wheel():
    # first principles: a constant-velocity joint passes the torque on, so w·M = T whatever the angle.
    rng = np.random.default_rng(1)
    for _ in range(20):
        w, s = rng.normal(size=3), rng.normal(size=3)
        w, s = w / np.linalg.norm(w), s / np.linalg.norm(s)
        assert w @ ((w + s) / (1.0 + w @ s)) == pytest.approx(1.0)


def test_refused_beyond_the_reach_of_the_joint():
    with pytest.raises(ValueError, match="beyond what ball joints"):
        found(span_left_m=0.2, drop_left_m=0.25)
