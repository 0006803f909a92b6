"""Wheel energy against complete examples, and the laws it must obey."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoistbook.core.energy.cycles import Cycle, moments
from hoistbook.core.energy.wheel import braking_plane, net_wheel_energy_j, wheel_energy
from hoistbook.reference.cycles import CYCLE_NAMES, cycle
from validation_energy import road_loads

LBF = 4.4482216152605  # N, exact by definition
MPH = 0.44704  # m/s, exact by definition
POUND = 0.45359237  # kg, exact by definition

EX1 = (2060.0, 150.0, 1.0, 0.40)
EX2 = (4750.0 * POUND * 1.03, 31.11 * LBF, 0.2191 * LBF / MPH, 0.01625 * LBF / MPH**2)

# computed: separate script (NumPy 2.4, float64) from the published traces; E+ J, E- J, steps with F > 0 and F < 0.
EXAMPLES = [
    (EX1, "udds", 6300783.375, 3287253.591, 751, 377),
    (EX1, "hwfet", 7312813.735, 1049342.635, 666, 95),
    (EX1, "us06", 9879217.579, 3628723.200, 404, 157),
    (EX1, "wltc3b", 13505359.388, 4743979.744, 1074, 500),
    (EX2, "udds", 6584003.065, 3616982.631, 743, 385),
    (EX2, "hwfet", 7366026.452, 1182682.293, 659, 102),
    (EX2, "us06", 10160929.329, 4028659.838, 392, 169),
    (EX2, "wltc3b", 13870213.616, 5269336.492, 1050, 524),
]


@pytest.mark.parametrize(("vehicle", "name", "traction", "braking", "pulling", "slowing"), EXAMPLES)
def test_complete_examples(vehicle, name, traction, braking, pulling, slowing):
    energy = wheel_energy(cycle(name), *vehicle)
    assert (float(energy.traction_j), float(energy.braking_j)) == pytest.approx((traction, braking), abs=6e-4)
    plane = braking_plane(cycle(name), *vehicle)
    assert plane.steps == slowing
    assert len(cycle(name).moving) - plane.steps == pulling


def test_second_example_is_the_row_it_is_said_to_be():
    # computed: 2219.200670 kg, 138.384174 N, 2.180130 N·s/m, 0.361699 N·s²/m², six decimals printed.
    assert list(EX2) == pytest.approx([2219.200670, 138.384174, 2.180130, 0.361699], abs=5.1e-7)


def test_energy_per_distance():
    # computed: EX1 on the WLTC, Wh/km: 161.241465, 56.638718, net 104.602747.
    energy = wheel_energy(cycle("wltc3b"), *EX1)
    per_km = [float(e) / 3.6 / energy.distance_m for e in (energy.traction_j, energy.braking_j, energy.net_j)]
    assert per_km == pytest.approx([161.241465, 56.638718, 104.602747], abs=5e-7)


vehicles = st.tuples(
    st.floats(800.0, 4000.0), st.floats(0.0, 400.0), st.floats(0.0, 10.0), st.floats(0.1, 1.2)
)
traces = st.lists(st.floats(0.0, 40.0), min_size=1, max_size=30).map(
    lambda speeds: Cycle(
        "drawn",
        "drawn",
        np.array([0.0, *speeds, 0.0]),
        np.cumsum([0.0, 0.5, *([1.5, 0.7] * 30)[: len(speeds)]]),
    )
)


@given(traces, vehicles, st.floats(0.1, 10.0))
def test_net_energy_does_not_depend_on_mass(trace, vehicle, factor):
    # first principles: kinetic energy comes back on a cycle from rest to rest, so E+ − E− = A S1 + B S2 + C S3.
    mass, *load = vehicle
    light, heavy = (wheel_energy(trace, m, *load) for m in (mass, factor * mass))
    expected = float(net_wheel_energy_j(moments(trace), mass, *load))
    scale = float(light.traction_j + heavy.traction_j) + 1.0
    assert float(light.net_j) == pytest.approx(expected, abs=1e-11 * scale)
    assert float(heavy.net_j) == pytest.approx(expected, abs=1e-11 * scale)


@given(st.lists(st.floats(0.0, 40.0), min_size=2, max_size=30), vehicles)
def test_net_energy_holds_the_kinetic_energy_of_the_ends(speeds, vehicle):
    # first principles: Σ u a dt telescopes to the difference of v²/2.
    trace = Cycle("open", "open", np.array(speeds), np.arange(len(speeds), dtype=float))
    energy = wheel_energy(trace, *vehicle)
    ends = 0.5 * vehicle[0] * (speeds[-1] ** 2 - speeds[0] ** 2)
    m = moments(trace)
    load = vehicle[1] * m.s1_m + vehicle[2] * m.s2_m2_per_s + vehicle[3] * m.s3_m3_per_s2
    assert float(energy.net_j) == pytest.approx(
        load + ends, abs=1e-9 * (float(energy.traction_j) + abs(ends) + 1.0)
    )


@given(traces, vehicles)
def test_braking_energy_is_bounded_by_kinetic_energy(trace, vehicle):
    # first principles: road load helps to slow the vehicle, so brakes take at most what the vehicle loses.
    braking = float(wheel_energy(trace, *vehicle).braking_j)
    limit = vehicle[0] * moments(trace).kinetic_down_j_per_kg
    assert 0.0 <= braking <= limit * (1.0 + 1e-12) + 1e-9


@given(traces, vehicles, vehicles, st.floats(0.0, 1.0))
def test_energies_are_convex(trace, one, other, share):
    # first principles: each is a sum of max(0, linear function of mass and road load).
    between = tuple(share * a + (1.0 - share) * b for a, b in zip(one, other, strict=True))
    ends = [wheel_energy(trace, *vehicle) for vehicle in (one, other)]
    middle = wheel_energy(trace, *between)
    for name in ("traction_j", "braking_j"):
        chord = share * float(getattr(ends[0], name)) + (1.0 - share) * float(getattr(ends[1], name))
        assert float(getattr(middle, name)) <= chord * (1.0 + 1e-12) + 1e-6


@given(traces, vehicles, vehicles)
def test_any_braking_set_bounds_from_below(trace, one, other):
    # first principles: E− is a maximum over sets of steps, so the set of another vehicle gives no more.
    plane = braking_plane(trace, *one)
    assert (
        float(plane.braking_j(*other)) <= float(wheel_energy(trace, *other).braking_j) * (1.0 + 1e-12) + 1e-6
    )
    assert float(plane.braking_j(*one)) == pytest.approx(
        float(wheel_energy(trace, *one).braking_j), rel=1e-9, abs=1e-6
    )


@given(traces, vehicles, st.integers(0, 3), st.floats(1.001, 1.5))
def test_braking_rises_with_mass_and_falls_with_road_load(trace, vehicle, which, factor):
    # first principles: sign of the derivative of each term.
    more = list(vehicle)
    more[which] *= factor
    before, after = (float(wheel_energy(trace, *v).braking_j) for v in (vehicle, more))
    slack = 1e-12 * before + 1e-6
    assert after >= before - slack if which == 0 else after <= before + slack


# computed: separate script, braking set of the median vehicle m_e 2569.6008 kg, A 171.1008, B 3.2753, C 0.3668 (SI):
# steps, kb J/kg, b1 m, b2 m²/s, b3 m³/s², and error over the 51 public rows in %: lowest, highest, mean.
MEDIAN = (2569.6008, 171.1008, 3.2753, 0.3668)
PLANES = {
    "udds": (382, 1997.59728, 3542.993, 43736.219, 637375.85, -0.91, 0.00, -0.14),
    "hwfet": (102, 808.43601, 1843.548, 36846.959, 762928.74, -4.38, 0.00, -0.69),
    "us06": (169, 2419.72437, 3133.437, 76423.161, 2048565.30, -3.28, 0.00, -0.37),
    "wltc3b": (520, 3163.58951, 5922.944, 96820.620, 1992597.16, -2.57, 0.00, -0.40),
}


@pytest.mark.parametrize("name", CYCLE_NAMES)
def test_tangent_plane_of_the_median_vehicle(name):
    steps, kb, b1, b2, b3, lowest, highest, mean = PLANES[name]
    plane = braking_plane(cycle(name), *MEDIAN)
    assert plane.steps == steps
    assert plane.kb_j_per_kg == pytest.approx(kb, abs=5.1e-6)
    assert (plane.b1_m, plane.b2_m2_per_s) == pytest.approx((b1, b2), abs=5.1e-4)
    assert plane.b3_m3_per_s2 == pytest.approx(b3, abs=5.1e-3)
    fleet = road_loads()
    error = 100.0 * (plane.braking_j(*fleet) / wheel_energy(cycle(name), *fleet).braking_j - 1.0)
    assert (error.min(), error.max(), error.mean()) == pytest.approx((lowest, highest, mean), abs=0.0051)


@pytest.mark.parametrize("name", CYCLE_NAMES)
def test_fine_steps_change_little(name):
    # computed: splitting each step 200-fold with linear speed changes E+ by +0.0006 to +0.0034 %, E− by −0.005 to
    # −0.009 % over the four cycles (vehicle EX2).
    trace = cycle(name)
    time = np.linspace(0.0, trace.duration_s, 200 * len(trace.step_speed) + 1)
    fine = Cycle("fine", "fine", np.interp(time, trace.time_s, trace.speed_m_per_s), time)
    split, whole = wheel_energy(fine, *EX2), wheel_energy(trace, *EX2)
    assert 0.00055 <= 100.0 * (float(split.traction_j / whole.traction_j) - 1.0) <= 0.00345
    assert -0.0095 <= 100.0 * (float(split.braking_j / whole.braking_j) - 1.0) <= -0.0045


def test_draws_are_computed_like_single_vehicles():
    # first principles: a draw does not know of the others; 70 draws span three blocks.
    rng = np.random.default_rng(5)
    draws = [value * rng.uniform(0.8, 1.2, 70) for value in EX2]
    together = wheel_energy(cycle("udds"), *draws)
    for i in (0, 31, 32, 69):
        alone = wheel_energy(cycle("udds"), *(float(column[i]) for column in draws))
        assert float(together.traction_j[i]) == pytest.approx(float(alone.traction_j), rel=1e-13)
        assert float(together.braking_j[i]) == pytest.approx(float(alone.braking_j), rel=1e-13)
