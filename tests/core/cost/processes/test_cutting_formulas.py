"""Worked examples of chips: turning, drilling, milling, tapping, tool life, what a speed costs, hobbing.

Groover: M. P. Groover, Fundamentals of Modern Manufacturing. Answers are as printed; tolerances cover the rounding of
the book's own steps.
"""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoistbook.core.cost.formulas import cutting, gears

MM = 1e-3
PER_MIN = 1.0 / 60.0


def test_power_of_a_cut():
    # published: Groover example 20.4: 1557 N at 100 m/min, chip 0.5 x 3 mm: 2595 W, 1.038 J/mm3.
    energy = cutting.specific_energy_j_per_m3(1557.0, 0.5 * MM, 3.0 * MM)
    assert energy * 1e-9 == pytest.approx(1.038, abs=5e-4)
    removal = cutting.turning_removal_m3_per_s(100.0 * PER_MIN, 0.5 * MM, 3.0 * MM)
    assert cutting.cutting_power_w(energy, removal) == pytest.approx(2595.0, abs=0.5)


def test_a_shaft_is_turned():
    # published: Groover example 21.1: D 120, L 450 mm, 2 m/s, feed 0.25, depth 2.2 mm: 339.3 s, 1100 mm3/s.
    assert cutting.turning_s(0.120, 0.450, 0.25 * MM, 2.0) == pytest.approx(339.3, abs=0.05)
    assert cutting.turning_removal_m3_per_s(2.0, 0.25 * MM, 2.2 * MM) * 1e9 == pytest.approx(1100.0, abs=0.5)


def test_a_hole_is_drilled():
    # published: Groover example 21.2: 15 mm through, drill 20 mm, point 118 deg, 0.5 m/s, 0.22 mm: 12.0 s, 549.8 mm3/s.
    time_s = cutting.drilling_s(15 * MM, 20 * MM, math.radians(118.0), 0.5, 0.22 * MM)
    assert time_s == pytest.approx(12.0, rel=1e-3)
    assert cutting.drilling_removal_m3_per_s(20 * MM, 0.5, 0.22 * MM) * 1e9 == pytest.approx(549.8, rel=1e-3)


def test_a_slab_is_milled():
    # published: Groover example 21.3: 320 x 60 mm, depth 6, cutter 65 mm, 4 teeth, 0.24 mm each, 0.5 m/s: 144.2 s,
    # 846 mm3/s.
    advance = cutting.milling_advance_m_per_s(0.5, 65 * MM, 4, 0.24 * MM)
    way = 320 * MM + cutting.slab_mill_approach_m(6 * MM, 65 * MM)
    assert way / advance == pytest.approx(144.2, rel=1e-3)
    assert 60 * MM * 6 * MM * advance * 1e9 == pytest.approx(846.0, rel=1e-3)


def test_a_face_cutter_spans_its_face():
    # first principles: as wide as the cutter it must come in by its radius; a narrow face hardly at all.
    assert cutting.face_mill_approach_m(0.05, 0.05) == pytest.approx(0.025, rel=1e-12)
    assert cutting.face_mill_approach_m(0.03, 0.05) == pytest.approx(0.005, rel=1e-12)  # 3-4-5 triangle
    assert cutting.face_mill_approach_m(0.20, 0.05) == pytest.approx(0.025, rel=1e-12)


def test_an_m8_is_tapped():
    # computed: 2 (16 + 3 x 1.25)/(1.25 x 596.83/min) = 3.17678 s at 15 m/min.
    assert cutting.tapping_s(16 * MM, 1.25 * MM, 8 * MM, 15.0 * PER_MIN) == pytest.approx(3.17678, rel=1e-4)


def test_tool_life_through_two_trials():
    # published: Groover example 22.1: 160 m/min lives 5 min, 100 m/min 41 min: n 0.223, C 229.
    exponent, constant = cutting.taylor_fit((160 * PER_MIN, 300.0), (100 * PER_MIN, 41 * 60.0))
    assert exponent == pytest.approx(0.223, rel=3e-3)
    assert constant * 60.0 == pytest.approx(229.0, rel=3e-3)
    assert cutting.taylor_life_s(160 * PER_MIN, constant, exponent) == pytest.approx(300.0, rel=1e-9)
    with pytest.raises(ValueError, match=r"both edges lived 300\.0 s"):
        cutting.taylor_fit((1.0, 300.0), (2.0, 300.0))


def test_best_speeds():
    # published: Groover example 23.3: n 0.125, C 70 m/min, change 2 min, 0.5 USD/min, 3 USD per edge: 50 and 42 m/min.
    c, n, change = 70 * PER_MIN, 0.125, 120.0
    assert cutting.fastest_speed_m_per_s(c, n, change) * 60 == pytest.approx(50.0, rel=0.01)
    assert cutting.cheapest_speed_m_per_s(c, n, change, 0.5 / 60, 3.0) * 60 == pytest.approx(42.0, rel=0.01)
    # computed: Ghosh & Mallik 4.28 (its inputs; no answer read): n 0.25, C 75, change 2 min: 47.921 m/min.
    assert cutting.fastest_speed_m_per_s(75 * PER_MIN, 0.25, 120.0) * 60 == pytest.approx(47.921, rel=1e-4)


# published: Groover example 23.4: D 100, L 500 mm, feed 0.25 mm, handling 5 min. At 50 m/min 12.57 min, life 14.76 min,
# one piece per edge, 19.57 min, 12.79 USD, 3.1/h; at 42 m/min 14.96, 59.54, 3, 20.63 min, 11.32 USD, 2.9/h.
@pytest.mark.parametrize(
    ("speed", "cut", "life", "count", "whole", "cost", "per_h"),
    [(50.0, 12.57, 14.76, 1, 19.57, 12.79, 3.1), (42.0, 14.96, 59.54, 3, 20.63, 11.32, 2.9)],
)
def test_cost_at_those_speeds(speed, cut, life, count, whole, cost, per_h):
    cut_s = cutting.turning_s(0.100, 0.500, 0.25 * MM, speed * PER_MIN)
    life_s = cutting.taylor_life_s(speed * PER_MIN, 70 * PER_MIN, 0.125)
    pieces = cutting.pieces_per_edge(life_s, cut_s)
    assert cut_s / 60 == pytest.approx(cut, rel=2e-3)
    assert life_s / 60 == pytest.approx(life, rel=2e-3)
    assert pieces == count
    time_s = cutting.cut_piece_money(300.0, cut_s, 120.0, pieces, 1.0, 0.0)
    assert time_s / 60 == pytest.approx(whole, rel=2e-3)
    money = cutting.cut_piece_money(300.0, cut_s, 120.0, pieces, 0.5 / 60, 3.0)
    assert money == pytest.approx(cost, rel=2e-3)
    assert 3600.0 / time_s == pytest.approx(per_h, rel=0.015)


def test_a_piece_that_takes_two_edges():
    # first principles: half a piece per edge.
    assert cutting.pieces_per_edge(np.array([600.0]), np.array([1200.0])) == pytest.approx([0.5])


def test_machinability():
    # published: Groover example 23.1: v T^0.28 = 350 and v T^0.27 = 440: 111 and 146 m/min for 60 min, rating 1.31.
    base = cutting.taylor_speed_m_per_s(3600.0, 350 * PER_MIN, 0.28)
    other = cutting.taylor_speed_m_per_s(3600.0, 440 * PER_MIN, 0.27)
    assert base * 60 == pytest.approx(111.0, rel=5e-3)
    assert other * 60 == pytest.approx(146.0, rel=5e-3)
    assert other / base == pytest.approx(1.31, rel=5e-3)


def test_a_thin_steel_rod_is_turned():
    # from memory: Kalpakjian & Schmid: 12.5 to 12 mm, 150 mm, 400/min, 200 mm/min, 4 W s/mm3: 15.7 m/min, 1924 mm3/min,
    # 0.75 min, 128 W. The volume per time is taken at the mean diameter.
    outer, mean, feed = 12.5 * MM, 12.25 * MM, 0.5 * MM
    speed = math.pi * outer * 400 * PER_MIN
    assert cutting.spindle_per_s(speed, outer) * 60 == pytest.approx(400.0, rel=1e-12)
    assert speed * 60 == pytest.approx(15.7, rel=5e-3)
    assert cutting.turning_s(outer, 150 * MM, feed, speed) / 60 == pytest.approx(0.75, rel=5e-3)
    removal = cutting.turning_removal_m3_per_s(speed * mean / outer, feed, 0.25 * MM)
    assert removal * 60e9 == pytest.approx(1924.0, rel=5e-3)
    assert cutting.cutting_power_w(4e9, removal) == pytest.approx(128.0, rel=5e-3)


# published (question-and-answer page): titanium 75 to 65 mm, 200 mm, 400/min, 0.5 mm, U 3.0 and 4.1 W s/mm3:
# 94.25 m/min, 1 min, 10.996 to 15.027 kW, 7 to 9.57 kN.
@pytest.mark.parametrize(
    ("energy", "power", "force"), [(3.0e9, 10_996.0, 7_000.0), (4.1e9, 15_027.0, 9_570.0)]
)
def test_a_titanium_rod_is_turned(energy, power, force):
    speed = math.pi * 75 * MM * 400 * PER_MIN
    assert speed * 60 == pytest.approx(94.25, rel=1e-3)
    assert cutting.turning_s(75 * MM, 200 * MM, 0.5 * MM, speed) == pytest.approx(60.0, rel=1e-3)
    removal = cutting.turning_removal_m3_per_s(speed * 70 / 75, 0.5 * MM, 5.0 * MM)
    found = cutting.cutting_power_w(energy, removal)
    assert found == pytest.approx(power, rel=1e-3)
    assert found / speed == pytest.approx(force, rel=1e-3)


def test_forces_of_merchant():
    # published: Ghosh & Mallik example 4.3: rake 10 deg, chip 0.2 x 2 mm, friction 0.5, 400 MPa: 420 and 125 N; the
    # book rounds its steps, hence 3 %.
    cut, thrust = cutting.merchant_forces_n(math.radians(10.0), 0.5, 0.2 * MM, 2.0 * MM, 400e6)
    assert cut == pytest.approx(420.0, rel=0.03)
    assert thrust == pytest.approx(125.0, rel=0.03)
    # computed: the same without rounding, shear angle 36.717 deg: 429.04 and 127.62 N.
    assert (cut, thrust) == pytest.approx((429.04, 127.62), rel=1e-4)


def test_a_gear_is_hobbed():
    # computed: z 41, b 25, hob 80, depth 4.5, feed 2.5 mm, 70 m/min, 2 starts, overrun 4 mm: approach 18.432 mm, 278.52
    # /min, 1.39646 min.
    assert cutting.slab_mill_approach_m(4.5 * MM, 80 * MM) == pytest.approx(18.432 * MM, rel=1e-4)
    time_s = gears.hobbing_s(41, 25 * MM, 4.5 * MM, 80 * MM, 4 * MM, 2.5 * MM, 70 * PER_MIN, 2)
    assert time_s / 60 == pytest.approx(1.39646, rel=1e-4)


def test_sizes_of_a_gear():
    # first principles: module 2, 41 teeth: outer diameter 86 mm; slots and teeth fill the ring between them.
    module = gears.module_m(86 * MM, 41)
    assert module == pytest.approx(2 * MM, rel=1e-12)
    ring = math.pi / 4 * ((82 + 4.5) ** 2 - (82 - 4.5) ** 2) * 25
    assert gears.slots_m3(module, 41, 25 * MM) * 1e9 == pytest.approx(ring / 2, rel=1e-12)
    assert gears.flanks_m2(module, 41, 25 * MM) * 1e6 == pytest.approx(2 * 41 * 25 * 4.5, rel=1e-12)


@given(st.floats(0.05, 5.0), st.floats(0.1, 0.5), st.floats(0.5, 10.0))
def test_the_fastest_speed_is_the_fastest(change_min, exponent, constant):
    change_s = 60.0 * change_min

    def time_s(speed):  # of a way of cut of 100 m: cutting, and its share of changes
        cut = 100.0 / speed
        return cut + change_s * cut / cutting.taylor_life_s(speed, constant, exponent)

    best = cutting.fastest_speed_m_per_s(constant, exponent, change_s)
    # first principles: a minimum.
    assert time_s(best) <= min(time_s(0.98 * best), time_s(1.02 * best))


@given(st.floats(10.0, 600.0), st.floats(0.1, 0.5), st.floats(1e-3, 0.1), st.floats(0.1, 20.0))
def test_the_cheapest_speed_is_the_cheapest(change_s, exponent, rate, edge):
    def money(speed):
        cut = 100.0 / speed
        pieces = cutting.taylor_life_s(speed, 3.0, exponent) / cut
        return cutting.cut_piece_money(0.0, cut, change_s, pieces, rate, edge)

    best = cutting.cheapest_speed_m_per_s(3.0, exponent, change_s, rate, edge)
    # first principles: a minimum.
    assert money(best) <= min(money(0.98 * best), money(1.02 * best))
    # first principles: tools that cost money make the cheapest speed slower than the fastest.
    assert best < cutting.fastest_speed_m_per_s(3.0, exponent, change_s)
