"""Wind-up, eccentric bolts, subframes, frontal area and tyre labels against worked examples and published tables."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.checks.worked import Worked, hold, result_of
from hoistbook.core.checks.half_shaft_windup.model import bar_n_m_per_rad, shear_pa
from hoistbook.core.checks.tyre_label.data import CLASSES

SHAFTS = {
    "torque_n_m": 1800.0,
    "length_left_m": 0.300,
    "length_right_m": 0.590,
    "diameter_left_m": 0.026,
    "diameter_right_m": 0.026,
    "joint_n_m_per_rad": 20_000.0,
    "shear_modulus_pa": 79.3e9,
    "youngs_modulus_pa": 207e9,
    "density_kg_per_m3": 7850.0,
    "ramp_s": 0.1,
}
CAM = {
    "throw_m": 0.005,
    "height_m": 0.300,
    "turn_rad": math.radians(30.0),
    "arm_m": 0.120,
    "tie_rod_frac": 0.2,
}
SUBFRAME = {
    "mass_kg": 60.0,
    "across_n_per_m": 6e6,
    "along_n_per_m": 4e6,
    "upright_n_per_m": 600e3,
    "half_length_m": 0.300,
    "half_width_m": 0.450,
    "force_n": 5000.0,
    "offset_m": 0.050,
    "arm_m": 0.120,
}
AREA = {
    "height_m": 1.65,
    "width_m": 1.90,
    "near_m2": 2.20415,
    "near_distance_m": 20.0,
    "far_m2": 2.37490,
    "far_distance_m": 50.0,
    "factor": 0.80,
}
DEG = math.pi / 180.0
WORKED = (
    Worked(
        "half_shaft_windup",
        "computed: solid bars of 26 mm, 300 and 590 mm, two joints of 20 000 N·m/rad each, open differential",
        SHAFTS,
        {
            "bar_left_n_m_per_rad": (11858.92, 1e-6),
            "bar_right_n_m_per_rad": (6029.960, 1e-6),
            "shaft_left_n_m_per_rad": (5425.209, 1e-6),
            "shaft_right_n_m_per_rad": (3761.681, 1e-6),
            "ring_n_m_per_rad": (8885.665, 1e-6),
            "side_gears_rad_per_s": (1.467250, 1e-6),
            "mass_left_kg": (1.250338, 1e-6),
            "mass_right_kg": (2.458998, 1e-6),
            "bending_left_hz": (582.56, 1e-5),
            "bending_right_hz": (150.62, 5e-5),
            "shear_left_pa": (521.58e6, 1e-5),
            "torque_difference_n_m": (0.0, 1e-12),
        },
    ),
    Worked(
        "half_shaft_windup",
        "computed: the same with the differential locked, 3600 N·m in all",
        SHAFTS,
        {
            "torque_left_n_m": (2125.937, 1e-6),
            "torque_right_n_m": (1474.063, 1e-6),
            # both turn by 3600/(5425.209 + 3761.681) rad; 16 T/(π D³) of each torque
            "wind_up_left_rad": (0.391863, 1e-5),
            "wind_up_right_rad": (0.391863, 1e-5),
            "shear_left_pa": (521.58e6 * 2125.937 / 1800.0, 2e-5),
            "shear_right_pa": (521.58e6 * 1474.063 / 1800.0, 2e-5),
            "side_gears_rad_per_s": (0.0, 1e-9),
        },
        choices={"differential": "locked"},
    ),
    Worked(
        "half_shaft_windup",
        "computed: tube of 40 mm with a wall of 2.04933 mm in place of the long bar: 1.13162 kg, 408 MPa, as stiff "
        "as the short one",
        SHAFTS | {"diameter_right_m": 0.040, "bore_right_m": 0.040 - 2 * 0.00204933},
        {
            "mass_right_kg": (1.13162, 1e-5),
            "shear_right_pa": (408.0e6, 1e-4),
            "bar_right_n_m_per_rad": (11858.92, 1e-5),
        },
    ),
    Worked(
        "eccentric_adjuster",
        "computed: throw 5 mm over 300 mm at the lower pivot",
        CAM,
        {
            "reach_rad": (0.95484 * DEG, 1e-5),
            "camber_rad": (-0.4775 * DEG, 1e-4),
            "mark_rad": (0.2472 * DEG, 2e-4),
            "toe_rad": (0.95493 * DEG, 1e-5),
        },
    ),
    Worked(
        "eccentric_adjuster",
        "computed: strut bolts 60 mm apart, throw 3 mm",
        CAM | {"throw_m": 0.003, "height_m": 0.060},
        {"reach_rad": (2.866 * DEG, 1e-4)},
        choices={"place": "strut"},
    ),
    Worked(
        "subframe_mounting",
        "computed: 5 kN on four bushes of 6 and 4 kN/mm, 600 × 900 mm apart, 50 mm off the middle; 60 kg on 4 × 600 "
        "N/mm",
        SUBFRAME,
        {
            "shift_m": (0.20833e-3, 2e-5),
            "yaw_rad": (0.0026526 * DEG, 2e-5),
            "toe_rad": (0.0026526 * DEG, 2e-5),
            "natural_hz": (31.831, 1e-5),
            "sag_m": (0.24517e-3, 2e-5),
        },
    ),
    Worked(
        "subframe_mounting",
        "computed: the same joints hard, 100 kN/mm each",
        SUBFRAME | {"across_n_per_m": 100e6, "along_n_per_m": 100e6},
        {"shift_m": (0.0125e-3, 1e-6), "yaw_rad": (0.00012 * DEG, 0.05)},
    ),
    Worked(
        "frontal_area",
        "computed: outline 1.3 m behind the reference, 2.5 m² seen from 20 and 50 m; published: 0.80 H W",
        AREA,
        {"area_m2": (2.5000, 1e-5), "behind_m": (1.300, 1e-4), "by_size_m2": (2.508, 1e-9)},
    ),
    Worked(
        "tyre_label",
        "computed: 2150 kg at 110 km/h in air of 1.2 kg/m³: 1 kg/t is 15.055 counts of 2.5 m²",
        {"mass_kg": 2150.0, "speed_m_per_s": 110.0 / 3.6, "air_kg_per_m3": 1.2},
        {"counts_m2": (15.055e-3 * 2.5, 1e-4)},
    ),
)


@pytest.mark.parametrize("worked", WORKED, ids=lambda one: one.source)
def test_worked_examples(worked):
    hold(worked)


def test_hollow_shaft_of_the_textbook():
    # from memory: Beer and Johnston, Mechanics of Materials, examples 3.01 and 3.02: 40/60 mm, 1.5 m, G 77 GPa:
    # 4.08 kN·m at 120 MPa, 1.829 kN·m for 2°.
    outer, bore = np.array(0.060), np.array(0.040)
    assert float(120e6 / shear_pa(np.array(1.0), outer, bore)) == pytest.approx(4084.07, rel=1e-6)
    stiffness = float(bar_n_m_per_rad(np.array(77e9), outer, bore, np.array(1.5)))
    assert stiffness * math.radians(2.0) == pytest.approx(1829.53, rel=1e-5)


@given(left=st.floats(0.1, 1.0), right=st.floats(0.1, 1.0), thick=st.floats(0.015, 0.05))
def test_an_open_differential_holds_both_sides_equal(left, right, thick):
    # first principles: equilibrium of the pinion gears, whatever the shafts.
    found = result_of(
        "half_shaft_windup",
        SHAFTS | {"length_left_m": left, "length_right_m": right, "diameter_left_m": thick},
    )
    assert found.figure("torque_difference_n_m").value == 0.0


@given(turn=st.floats(-89.0, 89.0))
def test_eccentric_turns_both_ways_alike(turn):
    # first principles: the linear form is odd in the turn, and never beyond its reach.
    one = result_of("eccentric_adjuster", CAM | {"turn_rad": math.radians(turn)})
    other = result_of("eccentric_adjuster", CAM | {"turn_rad": math.radians(-turn)})
    assert one.figure("camber_rad").value == pytest.approx(-other.figure("camber_rad").value)
    assert abs(one.figure("camber_rad").value) <= one.figure("reach_rad").value


@pytest.mark.parametrize(
    ("turn", "exact"), [(30.0, -0.48242), (-30.0, 0.48917), (90.0, -0.93676), (-90.0, 1.00223)]
)
def test_linear_form_is_near_an_exact_linkage(turn, exact):
    # computed: planar double wishbone solved exactly, cam of 5 mm at the lower inner pivot, ball joints 300 mm apart.
    found = result_of("eccentric_adjuster", CAM | {"turn_rad": math.radians(turn)})
    assert math.degrees(found.figure("camber_rad").value) == pytest.approx(exact, rel=0.05)


def test_rack_on_the_body_costs_toe():
    # computed: 0.0995° isolated against 0.0060° hard, by shift over the arm alone.
    for rate, toe in ((6e6, 0.0995), (100e6, 0.0060)):
        stated = SUBFRAME | {"across_n_per_m": rate, "offset_m": 0.0}
        found = result_of("subframe_mounting", stated, {"rack": "body"})
        assert math.degrees(found.figure("toe_rad").value) == pytest.approx(toe, abs=5e-5)


@given(area=st.floats(1.0, 8.0), behind=st.floats(0.0, 3.0))
def test_two_photos_give_the_area_back(area, behind):
    # first principles: central projection makes an outline Δ behind the reference smaller by (d/(d + Δ))².
    stated = AREA | {
        "near_m2": area * (20.0 / (20.0 + behind)) ** 2,
        "far_m2": area * (50.0 / (50.0 + behind)) ** 2,
    }
    found = result_of("frontal_area", stated)
    assert found.figure("area_m2").value == pytest.approx(area, rel=1e-9)
    assert found.figure("behind_m").value == pytest.approx(behind, abs=1e-6)


@pytest.mark.parametrize(
    ("coefficient", "letter"), [(9.1, "E"), (7.7, "B"), (12.1, "G"), (6.5, "A"), (9.0, "C"), (10.6, "F")]
)
def test_classes_of_the_old_label(coefficient, letter):
    # published: Regulation (EC) 1222/2009, annex I part A.
    low, high = CLASSES["2009"][letter]
    assert low <= coefficient <= high


def test_a_letter_that_a_regulation_does_not_have_is_refused():
    with pytest.raises(ValueError, match="has no such class"):
        result_of("tyre_label", {"mass_kg": 2150.0}, {"regulation": "2009", "letter": "D"})
    with pytest.raises(ValueError, match="has no such class"):
        result_of("tyre_label", {"mass_kg": 2150.0}, {"letter": "G"})


def test_edges_of_a_class_in_newtons():
    # computed: 2150 kg: 8.0 kg/t is 168.7 N, 10.5 is 221.4 N; the band of class D of 2020 ends at the latter.
    found = result_of("tyre_label", {"mass_kg": 2150.0}, {"letter": "D"}, n_draws=10_000)
    assert found.figure("force_n").high == pytest.approx(221.4, rel=5e-3)
    assert found.figure("force_n").low == pytest.approx(2150 * 9.80665 * 9.1e-3, rel=5e-3)


@pytest.mark.parametrize(
    ("changed", "choices", "said"),
    [
        ({}, {}, "The right shaft is the softer one"),
        # first principles: a thin short bar is softer than a thick long one.
        ({"diameter_left_m": 0.018}, {}, "The left shaft is the softer one"),
        ({}, {"differential": "locked"}, "the stiffer one, left, takes 652 N·m more"),
        ({"length_right_m": 0.300}, {}, "equally stiff"),
        ({"length_right_m": 0.300}, {"differential": "locked"}, "leaves the side of a pull open"),
    ],
)
def test_the_softer_shaft_is_named_not_the_longer(changed, choices, said):
    verdict = result_of("half_shaft_windup", SHAFTS | changed, choices).verdict
    assert said in verdict
    assert "0.0°" not in verdict


@pytest.mark.parametrize("rack", ["subframe", "body"])
def test_the_verdict_on_a_subframe_tells_both_parts_of_toe(rack):
    # first principles: a force far off the middle of narrow bushes turns the subframe more than it shifts it: shift
    # 5000/(4 · 6e6 · 0.12) rad = 0.0995°; turn 5000/(4(6e6 · 0.05² + 4e6 · 0.1²)) rad = 1.3022°.
    far = SUBFRAME | {"half_length_m": 0.05, "half_width_m": 0.1, "offset_m": 1.0}
    verdict = result_of("subframe_mounting", far, {"rack": rack}).verdict
    assert "1.3022°" in verdict
    assert "1.4016°" in verdict
    assert "almost no toe" not in verdict
    assert "Most of it" not in verdict


def test_outlines_that_no_distance_explains_are_refused():
    # first principles: seen from 20 and 50 m an outline behind the reference grows by less than (50/20)² = 6.25.
    with pytest.raises(ValueError, match="grows by more than its distances allow"):
        result_of("frontal_area", AREA | {"near_m2": 0.5, "far_m2": 0.5 * 6.26})
    result_of("frontal_area", AREA | {"near_m2": 1.0, "far_m2": 1.1})
