"""Duty of a knuckle against hand sums and equilibrium."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.checks.worked import Worked, hold, result_of
from hoistbook.core.checks.knuckle_duty.model import joint_forces_n

FRONT = {
    "axle_kg": 1100.0,
    "vehicle_kg": 2100.0,
    "cg_height_m": 0.60,
    "wheelbase_m": 2.90,
    "track_m": 1.60,
    "wheel_m": 0.33,
    "offset_m": 0.03,
    "lower_z_m": 0.20,
    "upper_z_m": 0.60,
    "lower_y_m": 0.08,
    "mass_kg": 4.0,
    "density_kg_per_m3": 7150.0,
    "yield_pa": 280e6,
    "corner_g": 1.0,
    "brake_g": 1.0,
    "bump_g": 3.0,
}
WORKED = (
    Worked(
        "knuckle_duty",
        (
            "first principles, by hand: W = 5393.66 N; outer 1.75 W = 9438.90 N at 0.30 m; inner 0.25 W at 0.36 m; "
            "braking "
            "(1100 + 434.483) g/2 = 7524.07 N at 0.03 √2 m; bump 3 W at 0.03 m; volume 559.44 cm³"
        ),
        FRONT,
        {
            "outer_n_m": (2831.67, 1e-5),
            "inner_n_m": (485.43, 1e-4),
            "brake_n_m": (319.22, 1e-4),
            "bump_n_m": (485.43, 1e-4),
            "duty_n_m": (2831.67, 1e-5),
            "moment_per_mass": (707.92, 1e-4),
            "axle_over_mass": (275.0, 1e-9),
            "duty_index": (559.44e-6 * 280e6 / 2831.67, 1e-4),
        },
    ),
    Worked(
        "knuckle_duty",
        (
            "first principles, by hand: braking 7524.07 N: lower joint 1.5 of it, upper 0.5; corner 9438.90 N: upper "
            "(0.08 − 0.20)/0.40 of it, lower 1.3 of it, the greater"
        ),
        FRONT,
        # upper in braking: upright 0.08/0.40 aside and 0.5 along; 7524.07 × √(0.04 + 0.25)
        {"lower_joint_n": (1.3 * 9438.90, 1e-5), "upper_joint_n": (7524.07 * math.sqrt(0.29), 1e-5)},
    ),
    Worked(
        "knuckle_duty",
        "first principles, by hand: at the rear braking takes load away: (1100 − 434.483) g/2 = 3263.25 N",
        FRONT,
        {"brake_n_m": (3263.25 * 0.03 * math.sqrt(2.0), 1e-4)},
        {"axle": "rear"},
    ),
)


@pytest.mark.parametrize("worked", WORKED, ids=lambda one: one.source[:70])
def test_worked_examples(worked):
    hold(worked)


loads = st.floats(-2e4, 2e4)


@given(up=loads, inward=loads, rear=loads, aside=st.floats(-0.1, 0.3), low=st.floats(0.1, 0.3))
def test_joints_are_in_equilibrium_with_the_ground(up, inward, rear, aside, low):
    # first principles: forces add up, moments about the point of contact vanish; seen from behind and from the side.
    upper_z = 0.65
    span = upper_z - low
    upper_y = (aside * up - low * inward) / span
    lower_y = inward - upper_y
    # about the contact: lateral forces at their heights, the upright load at the lower joint
    assert lower_y * low + upper_y * upper_z == pytest.approx(aside * up, abs=1e-6)
    upper_x, lower_x = -low * rear / span, rear * upper_z / span
    assert lower_x * low + upper_x * upper_z == pytest.approx(0.0, abs=1e-6)
    lower, upper = joint_forces_n(
        *(np.array([x]) for x in (up, inward, rear)),
        (np.array([aside]), np.array([low])),
        np.array([upper_z]),
    )
    assert lower[0] == pytest.approx(math.hypot(lower_y, lower_x), abs=1e-6)
    assert upper[0] == pytest.approx(math.hypot(upper_y, upper_x), abs=1e-6)


@given(scale=st.floats(0.5, 2.0))
def test_similar_knuckles_at_one_stress_have_one_index(scale):
    # first principles: lengths × k, loads × k², so moments and volumes × k³.
    lengths = (
        "cg_height_m",
        "wheelbase_m",
        "track_m",
        "wheel_m",
        "offset_m",
        "lower_z_m",
        "upper_z_m",
        "lower_y_m",
    )
    scale = 1.0 + 0.2 * (scale - 1.0)
    grown = FRONT | {name: FRONT[name] * scale for name in lengths}
    grown |= {name: FRONT[name] * scale**2 for name in ("axle_kg", "vehicle_kg")}
    grown["mass_kg"] = FRONT["mass_kg"] * scale**3
    one, other = (result_of("knuckle_duty", stated) for stated in (FRONT, grown))
    assert other.figure("duty_index").value == pytest.approx(one.figure("duty_index").value)
    assert other.figure("moment_per_mass").value == pytest.approx(one.figure("moment_per_mass").value)


@given(more=st.floats(1.01, 1.8))
def test_a_heavier_axle_asks_more_and_more_offset_less_in_a_corner(more):
    # first principles: the load goes with the mass; radius and offset of the outer wheel bend against each other.
    base = result_of("knuckle_duty", FRONT)
    heavy = result_of("knuckle_duty", FRONT | {"axle_kg": 1100.0 * more})
    aside = result_of("knuckle_duty", FRONT | {"offset_m": 0.03 * more})
    assert heavy.figure("outer_n_m").value == pytest.approx(more * base.figure("outer_n_m").value)
    assert aside.figure("outer_n_m").value < base.figure("outer_n_m").value
    assert aside.figure("bump_n_m").value > base.figure("bump_n_m").value
    assert heavy.figure("duty_index").value < base.figure("duty_index").value


def test_the_verdict_speaks_of_duty_not_of_mass_alone():
    found = result_of("knuckle_duty", FRONT)
    assert "may be the leaner one" in found.verdict
    assert "never a permission" in found.verdict


def test_refusals():
    with pytest.raises(ValueError, match="not above the lower"):
        result_of("knuckle_duty", FRONT | {"upper_z_m": 0.2})
    with pytest.raises(ValueError, match="off the ground"):
        result_of("knuckle_duty", FRONT | {"cg_height_m": 1.0})
    with pytest.raises(ValueError, match="more than the vehicle"):
        result_of("knuckle_duty", FRONT | {"vehicle_kg": 900.0})


@pytest.mark.parametrize(
    ("corner", "offset", "said"),
    # first principles: the arm of F (s − a r) is a r − s: 0.33 − 0.03 m at 1 g, 0.8 · 0.33 − 0.03 m at 0.8 g.
    [(1.0, 0.03, "The arm of that is 300 mm"), (0.8, 0.03, "The arm of that is 234 mm")],
)
def test_the_arm_of_the_outer_wheel_goes_with_cornering(corner, offset, said):
    assert said in result_of("knuckle_duty", FRONT | {"corner_g": corner, "offset_m": offset}).verdict


def test_an_offset_beyond_the_lever_is_not_said_to_be_harmless():
    # first principles: F (s − a r) grows with s once s is beyond a r = 0.2 · 0.33 m.
    far = FRONT | {"corner_g": 0.2, "offset_m": 0.2, "bump_g": 1.0, "brake_g": 0.2}
    assert "does not raise it" not in result_of("knuckle_duty", far).verdict
