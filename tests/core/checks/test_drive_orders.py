"""Tones of a drive against a worked example, and the law of proportion to speed."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.checks.worked import Worked, hold, result_of

DRIVE = {
    "first_pinion_teeth": 25.0,
    "first_wheel_teeth": 77.0,
    "second_pinion_teeth": 23.0,
    "second_wheel_teeth": 74.0,
    "pole_pairs": 4.0,
    "slots": 48.0,
    "tyre_radius_m": 0.335,
    "speed_m_per_s": 70.0 / 3.6,
    "carrier_hz": 10e3,
    "mode_hz": [420.0, 1150.0],
}
KMH = 1.0 / 3.6
WORKED = (
    Worked(
        "drive_orders",
        "computed: two-stage reduction 25/77, 23/74, p = 4, Q = 48, tyre 335 mm, 70 km/h",
        DRIVE,
        {
            "ratio": (9.909565, 1e-6),
            "motor_rad_per_s": (5492.584 * 2 * 3.141592653589793 / 60, 1e-6),
            "electrical_hz": (366.17227, 1e-7),
            "second_mesh_hz": (683.60083, 1e-7),
            "radial_hz": (732.34455, 1e-7),
            "ripple_hz": (2197.03364, 1e-7),
            "first_mesh_hz": (2288.57670, 1e-7),
            "slot_hz": (4394.06727, 1e-7),
            "sideband_low_hz": (9267.65546, 1e-8),
            "sideband_high_hz": (10732.34454, 1e-8),
            "radial_meets_m_per_s[mode 1]": (40.1450 * KMH, 1e-5),
            "ripple_meets_m_per_s[mode 1]": (13.38168 * KMH, 1e-6),
            "first_mesh_meets_m_per_s[mode 1]": (12.8464 * KMH, 1e-5),
            "second_mesh_meets_m_per_s[mode 1]": (43.0076 * KMH, 1e-5),
            "ripple_meets_m_per_s[mode 2]": (36.6403 * KMH, 1e-5),
            "slot_meets_m_per_s[mode 2]": (18.3202 * KMH, 1e-5),
            "radial_meets_m_per_s[mode 2]": (109.921 * KMH, 1e-5),
        },
    ),
    Worked(
        "drive_orders",
        "published: 48 slots at 5000 rpm: 4000 Hz (public tutorial on noise of electric motors)",
        DRIVE | {"speed_m_per_s": 70.0 / 3.6 * 5000.0 / 5492.584},
        {"slot_hz": (4000.0, 1e-6)},
    ),
)


@pytest.mark.parametrize("worked", WORKED, ids=lambda one: one.source)
def test_worked_examples(worked):
    hold(worked)


@given(factor=st.floats(0.1, 4.0))
def test_tones_follow_the_speed(factor):
    # first principles: every order is proportional to the speed; what it meets does not depend on the speed asked for.
    one, other = (
        result_of("drive_orders", DRIVE),
        result_of("drive_orders", DRIVE | {"speed_m_per_s": DRIVE["speed_m_per_s"] * factor}),
    )
    for name in ("electrical_hz", "first_mesh_hz", "second_mesh_hz", "slot_hz"):
        assert other.figure(name).value == pytest.approx(factor * one.figure(name).value)
    met = [result.figure("slot_meets_m_per_s", "mode 1").value for result in (one, other)]
    assert met[0] == pytest.approx(met[1])


def test_tones_that_beat_are_named():
    # computed: orders 7.468 and 8 are 7 % apart, 24 and 25 are 4 %.
    verdict = result_of("drive_orders", DRIVE).verdict
    assert "second mesh and radial force at twice the pole pairs (7% apart)" in verdict
    assert "torque ripple at six times the pole pairs and first mesh (4% apart)" in verdict


def test_teeth_are_whole():
    with pytest.raises(ValueError, match="whole numbers"):
        result_of("drive_orders", DRIVE | {"slots": 47.5})


def test_tones_at_one_frequency_are_not_said_to_beat_and_a_mode_met_by_none_is_said():
    # first principles: 48 teeth and 48 slots give one order; 5000 Hz at order 48 and more takes over 200 km/h here.
    same = DRIVE | {"first_pinion_teeth": 48.0, "slots": 48.0, "first_wheel_teeth": 60.0}
    assert "At one frequency" in result_of("drive_orders", same).verdict
    assert "0% apart" not in result_of("drive_orders", same).verdict
    slow = DRIVE | {
        "mode_hz": [5000.0],
        "first_pinion_teeth": 12.0,
        "first_wheel_teeth": 13.0,
        "second_pinion_teeth": 20.0,
    }
    slow |= {"second_wheel_teeth": 20.0, "pole_pairs": 1.0, "slots": 12.0}
    assert "is met by none of them" in result_of("drive_orders", slow).verdict
