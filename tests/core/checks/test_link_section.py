"""Sections of links against Pilkey's examples, finite elements, and column formulas."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.checks.worked import Worked, hold, result_of
from hoistbook.core.checks.link_section.model import buckling_pa, transition
from hoistbook.core.checks.link_section.sections import angle, box, channel

LINK = {"length_m": 0.350, "yield_pa": 420e6, "mass_kg": 0.940}
FOLDED = LINK | {"depth_m": 0.060, "width_m": 0.030, "wall_m": 0.003}
ROUND = LINK | {"depth_m": 0.036, "width_m": 0.036, "wall_m": 0.003}
FORGED = LINK | {"depth_m": 0.040, "width_m": 0.028, "wall_m": 0.006, "yield_pa": 280e6}
# Examples in any unit of length, taken as 10 mm; the yield only has to be low enough for the walls to be stocky.
PILKEY = LINK | {"yield_pa": 100e6}
UNIT4 = 0.01**4
WORKED = (
    Worked(
        "link_section",
        "published: Pilkey 2002, example 5.7 (second hand): tube of 8, wall 0.25, closed: J 91.49",
        PILKEY | {"depth_m": 0.080, "width_m": 0.080, "wall_m": 0.0025},
        {"torsion_m4": (91.49 * UNIT4, 1e-4)},
        {"shape": "tube"},
    ),
    Worked(
        "link_section",
        "published: Pilkey 2002, example 5.7 (second hand): the same tube slit: J 0.13; computed: 2π r t³/3 = 0.1268",
        PILKEY | {"depth_m": 0.080, "width_m": 0.080, "wall_m": 0.0025},
        {"torsion_m4": (0.1268 * UNIT4, 1e-3), "shear_centre_m": (0.0775, 1e-6)},
        {"shape": "slit tube"},
    ),
    Worked(
        "link_section",
        (
            "published: Pilkey 2002, examples 1.1, 5.14 (second hand): angle, legs 1 and 2 from the middle of the "
            "corner, "
            "wall 0.1: A 0.3, I 0.1336 and 0.0252, J 0.00099"
        ),
        PILKEY | {"depth_m": 0.0205, "width_m": 0.0105, "wall_m": 0.001},
        {
            "area_m2": (0.3e-4, 1e-9),
            "second_x_m4": (0.1336 * UNIT4, 1e-3),
            "second_y_m4": (0.0252 * UNIT4, 1e-3),
            "torsion_m4": (0.00099 * UNIT4, 0.0152),
        },
        {"shape": "angle"},
    ),
    Worked(
        "link_section",
        (
            "published: Pilkey 2002, example 6.2 (second hand): channel, flanges 1, overall 2.1, wall 0.1: shear "
            "centre "
            "0.62056 from the centroid, J 0.00133"
        ),
        PILKEY | {"depth_m": 0.021, "width_m": 0.0105, "wall_m": 0.001},
        {"shear_centre_m": (0.62056e-2, 0.01), "torsion_m4": (0.00133 * UNIT4, 4e-3)},
        {"shape": "channel"},
    ),
    Worked(
        "link_section",
        (
            "computed: finite elements (sectionproperties 3.10.2), channel 60 × 30 × 3: 342 mm², 185 706 and 29 161 "
            "mm⁴, "
            "J 1022.6 mm⁴, shear centre 17.67 mm off"
        ),
        FOLDED,
        {
            "area_m2": (342e-6, 1e-9),
            "second_x_m4": (185_706e-12, 1e-5),
            "second_y_m4": (29_161e-12, 2e-5),
            "torsion_m4": (1022.6e-12, 5e-3),
            "shear_centre_m": (17.67e-3, 0.01),
        },
    ),
    Worked(
        "link_section",
        (
            "computed: that channel in steel, 350 mm, yield 420 MPa, pinned: 0.940 kg, 205.2 kN/mm, slenderness 37.9, "
            "Johnson 133.19 kN, yield 143.6 kN, 0.236 kN·m/rad; any steel section: 218.38 kN/mm per kg"
        ),
        FOLDED,
        {
            "section_mass_kg": (0.940, 1e-3),
            "axial_n_per_m": (205.2e6, 1e-4),
            "slenderness": (37.9, 1e-3),
            "buckling_n": (133.19e3, 1e-4),
            "capacity_n": (133.19e3, 1e-4),
            "squash_n": (143.6e3, 5e-4),
            "torsion_n_m_per_rad": (236.0, 4e-3),
            "straight_per_mass": (218.38e6, 1e-4),
            "transition": (99.346, 1e-5),
        },
    ),
    Worked(
        "link_section",
        "computed: the same bowed by 20 mm: 147.32 kN/mm, 28 % less",
        FOLDED | {"bow_m": 0.020},
        {"axial_n_per_m": (147.32e6, 1e-4), "bow_loss_frac": (0.282, 2e-3)},
    ),
    Worked(
        "link_section",
        (
            "computed: finite elements, box 60 × 30 × 3: 225 072 and 72 792 mm⁴, J 175 522 mm⁴ (Bredt 169 180); "
            "steel link "
            "1.385 kg, 302.4 kN/mm, slenderness 29.1, 202.6 kN, 40.5 kN·m/rad"
        ),
        FOLDED,
        {
            "second_x_m4": (225_072e-12, 1e-5),
            "second_y_m4": (72_792e-12, 1e-5),
            "torsion_m4": (169_180e-12, 1e-5),
            "section_mass_kg": (1.385, 1e-3),
            "axial_n_per_m": (302.4e6, 1e-4),
            "slenderness": (29.1, 1e-3),
            "buckling_n": (202.6e3, 1e-3),
            "torsion_n_m_per_rad": (40.5e3, 0.04),
        },
        {"shape": "box"},
    ),
    Worked(
        "link_section",
        (
            "computed: tube 36 × 3: 311.02 mm², 42 687 mm⁴, J 85 374 mm⁴; steel link 0.855 kg, 186.6 kN/mm, "
            "slenderness "
            "29.9, 124.7 kN, 19.7 kN·m/rad"
        ),
        ROUND,
        {
            "area_m2": (311.02e-6, 1e-5),
            "second_x_m4": (42_687e-12, 1e-4),
            "torsion_m4": (85_374e-12, 1e-4),
            "section_mass_kg": (0.855, 1e-3),
            "axial_n_per_m": (186.6e6, 1e-4),
            "slenderness": (29.9, 1e-3),
            "buckling_n": (124.7e3, 1e-3),
            "squash_n": (130.6e3, 5e-4),
            "torsion_n_m_per_rad": (19.7e3, 1e-3),
            "tube_torsion_ratio": (1.0, 1e-12),
        },
        {"shape": "tube"},
    ),
    Worked(
        "link_section",
        (
            "computed: finite elements, I 40 × 28 × 6: 109 088 and 22 456 mm⁴, J 6279 mm⁴ (Σbt³/3: 6048); forged "
            "aluminium "
            "0.476 kg, 100.8 kN/mm, slenderness 52.4, 101.8 kN, transition 70.25"
        ),
        FORGED,
        {
            "second_x_m4": (109_088e-12, 1e-5),
            "second_y_m4": (22_456e-12, 1e-4),
            "torsion_m4": (6048e-12, 1e-6),
            "section_mass_kg": (0.476, 1e-3),
            "axial_n_per_m": (100.8e6, 1e-4),
            "slenderness": (52.4, 1e-3),
            "buckling_n": (101.8e3, 1e-3),
            "transition": (70.25, 1e-4),
        },
        {"shape": "I", "material": "aluminium"},
    ),
)


@pytest.mark.parametrize("worked", WORKED, ids=lambda one: one.source[:70])
def test_worked_examples(worked):
    hold(worked)


def test_centroid_of_a_channel():
    # published: Pilkey 2002, example 6.2 (second hand): 0.24937 from the middle of the web; by thin walls the shear
    # centre lies 3/8 behind it.
    found = channel(*(np.array([x]) for x in (2.1, 1.05, 0.1, 0.0)))
    assert found.shear_centre_m[0] - 3.0 / 8.0 == pytest.approx(0.24937, abs=1e-5)


def test_a_bow_that_sets_the_load():
    # first principles: squeezing and bending at first yield, stiff enough not to grow: Sy/(1/A + c e/I), e = 30 mm.
    found = result_of("link_section", FOLDED | {"bow_m": 0.020, "length_m": 0.03})
    assert found.figure("capacity_n").value == pytest.approx(
        420e6 / (1 / 342e-6 + 0.020 * 0.030 / 185_706e-12), rel=2e-3
    )
    assert "its bow sets that" in found.verdict


def test_closed_and_slit_tube_are_worlds_apart():
    # published: Pilkey 2002, example 5.7 (second hand): 91.49 against 0.13, about 720 times.
    readings = PILKEY | {"depth_m": 0.080, "width_m": 0.080, "wall_m": 0.0025}
    closed, slit = (result_of("link_section", readings, {"shape": name}) for name in ("tube", "slit tube"))
    ratio = closed.figure("torsion_m4").value / slit.figure("torsion_m4").value
    assert ratio == pytest.approx(720, rel=5e-3)
    assert slit.figure("tube_torsion_ratio").value == pytest.approx(ratio)
    assert "times as stiff in torsion" in slit.verdict


@pytest.mark.parametrize("shape", [channel, box, angle])
def test_rounded_corners_against_a_sum_over_small_squares(shape):
    # computed: counting squares of 20 µm of the outline with outer radius 6, inner 3 mm.
    depth, width, wall, radius = 0.040, 0.024, 0.003, 0.006
    step = 2e-5
    x, y = np.meshgrid(np.arange(0.5 * step, width, step), np.arange(0.5 * step, depth, step))

    def rounded(left, low, right, high, r, corners):
        inside = (x > left) & (x < right) & (y > low) & (y < high)
        for at_x, at_y in corners:
            cx, cy = (left + r if at_x else right - r), (low + r if at_y else high - r)
            beyond = ((x < cx) if at_x else (x > cx)) & ((y < cy) if at_y else (y > cy))
            inside &= ~(beyond & (np.hypot(x - cx, y - cy) > r))
        return inside

    every = [(True, True), (True, False), (False, True), (False, False)]
    outer = {channel: every[:2], box: every, angle: every[:1]}[shape]
    right = {channel: 1.0, box: width - wall, angle: 1.0}[shape]
    high = {channel: depth - wall, box: depth - wall, angle: 1.0}[shape]
    whole = rounded(0.0, 0.0, width, depth, radius, outer) & ~rounded(
        wall, wall, right, high, radius - wall, outer
    )
    area = whole.sum() * step**2
    cx, cy = x[whole].mean(), y[whole].mean()
    found = shape(*(np.array([one]) for one in (depth, width, wall, radius)))
    assert found.area_m2[0] == pytest.approx(area, rel=2e-3)
    assert found.second_x_m4[0] == pytest.approx(((y[whole] - cy) ** 2).sum() * step**2, rel=2e-3)
    assert found.second_y_m4[0] == pytest.approx(((x[whole] - cx) ** 2).sum() * step**2, rel=3e-3)
    product = ((x[whole] - cx) * (y[whole] - cy)).sum() * step**2
    assert found.product_m4[0] == pytest.approx(product, rel=3e-3, abs=1e-12)


@given(thicker=st.floats(1.05, 2.0))
@settings(max_examples=30)
def test_shape_buys_no_axial_stiffness_per_mass(thicker):
    # first principles: E/(ρ L²) whatever the section, 210e9/(7850 × 0.35²).
    for shape in ("channel", "box", "I"):
        found = result_of("link_section", FOLDED | {"wall_m": 0.003 * thicker}, {"shape": shape})
        assert found.figure("straight_per_mass").value == pytest.approx(210e9 / (7850 * 0.35**2))


@given(bow=st.floats(0.002, 0.05), length=st.floats(0.1, 0.8))
@settings(max_examples=30)
def test_a_bow_costs_stiffness_and_strength(bow, length):
    # first principles: bending adds to squeezing.
    straight, bowed = (
        result_of("link_section", FOLDED | {"length_m": length, "bow_m": x}) for x in (0.0, bow)
    )
    assert bowed.figure("axial_n_per_m").value < straight.figure("axial_n_per_m").value
    assert bowed.figure("capacity_n").value <= straight.figure("capacity_n").value
    assert straight.figure("bow_loss_frac").value == pytest.approx(0.0, abs=1e-12)


@given(slender=st.floats(5.0, 300.0))
def test_buckling_stays_below_yield_and_euler_and_is_continuous(slender):
    # first principles: a column bears neither more than its yield nor more than Euler allows.
    yields = np.array([420e6])
    stress = buckling_pa(210e9, yields, np.array([slender]))[0]
    assert stress <= 420e6
    assert stress <= math.pi**2 * 210e9 / slender**2 * (1.0 + 1e-12)
    edge = transition(210e9, yields)
    below, above = (buckling_pa(210e9, yields, edge * x)[0] for x in (1.0 - 1e-9, 1.0 + 1e-9))
    assert below == pytest.approx(above, rel=1e-6)
    assert below == pytest.approx(210e6, rel=1e-6)  # from memory: Johnson meets Euler at half the yield


def test_scale_and_section_that_disagree_stop_the_quoting():
    wrong = result_of("link_section", FOLDED | {"mass_kg": 0.88})
    assert "before any figure" in wrong.verdict
    # first principles: 0.940 over 0.88 is 6.8 % too heavy.
    assert wrong.figure("mass_gap_frac").value == pytest.approx(0.0677, abs=1e-3)
    right = result_of("link_section", FOLDED | {"mass_kg": 1.10, "ends_kg": 0.16})
    assert "before any figure" not in right.verdict


def test_refusals():
    with pytest.raises(ValueError, match="walls are so thin"):
        result_of("link_section", FOLDED | {"wall_m": 0.001})
    with pytest.raises(ValueError, match="no such section"):
        result_of("link_section", ROUND | {"wall_m": 0.019}, {"shape": "tube"})
    with pytest.raises(ValueError, match="rounder than half"):
        result_of("link_section", FOLDED | {"corner_m": 0.02})
