"""Half-shaft angles against the worked example of the joint's geometry, and laws that any vehicle keeps."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.checks.worked import Worked, hold, result_of

EXAMPLE = {
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
}
WORKED = (
    Worked(
        "half_shaft_angle",
        "computed: worked example of unequal half shafts, NumPy, full vectors",
        EXAMPLE,
        {
            "angle_left_rad": (math.radians(6.911227), 1e-6),
            "angle_right_rad": (math.radians(3.691386), 1e-6),
            "couple_left_n_m": (108.6931, 1e-6),
            "couple_right_n_m": (58.00422, 1e-6),
            "steer_moment_n_m": (-49.46566, 1e-6),
            "rack_force_n": (366.412, 1e-5),
            "hand_torque_n_m": (3.20740, 1e-5),
            "friction_moment_n_m": (23.95059, 1e-6),
        },
    ),
    Worked(
        "half_shaft_angle",
        "computed: the same with the inner joints 30 mm behind the wheel centres",
        EXAMPLE | {"behind_left_m": 0.030, "behind_right_m": 0.030},
        {
            "steer_moment_n_m": (-51.8674, 1e-5),
            "angle_left_rad": (math.radians(8.61565), 1e-5),
            "angle_right_rad": (math.radians(4.61065), 1e-5),
        },
    ),
    Worked(
        "half_shaft_angle",
        "computed: the same with the inner joints 30 mm ahead of the wheel centres",
        EXAMPLE | {"behind_left_m": -0.030, "behind_right_m": -0.030},
        {"steer_moment_n_m": (-46.6981, 1e-5)},
    ),
)


def found(**more):
    return result_of("half_shaft_angle", EXAMPLE | more)


def value(result, name):
    return result.figure(name).value


@pytest.mark.parametrize("worked", WORKED, ids=lambda one: one.source)
def test_worked_examples(worked):
    hold(worked)


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


def test_without_torque_no_angle_is_said_to_be_alike():
    # first principles: every moment of the joints goes with the torque.
    still = result_of("half_shaft_angle", EXAMPLE | {"torque_n_m": 0.0})
    assert still.figure("steer_moment_n_m").value == 0.0
    assert "Without torque" in still.verdict
    assert "alike" not in still.verdict
