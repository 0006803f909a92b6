"""Steady speeds and cycles: planted vehicles, published totals, indices of drive quality."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoistbook.core.energy.cycles import Cycle
from hoistbook.core.energy.wheel import wheel_energy
from hoistbook.core.quantities.quantity import Quantity, Source
from hoistbook.core.trials.driving import Vehicle, evaluate_cycle, wheel_energies
from hoistbook.core.trials.meters import stated_meter
from hoistbook.core.trials.series import Series
from hoistbook.core.trials.steady import RoadLoad, SteadyRule, evaluate_steady, steady_stretches
from hoistbook.core.trials.trace_quality import drive_quality, start_of_cycle_s
from hoistbook.reference.cycles import cycle

EXACT = {}


def exact(value, unit):
    return Quantity(value, unit)


ROAD_LOAD = RoadLoad(exact(150.0, "N"), exact(1.0, "N.s/m"), exact(0.4, "N.s2/m2"))


def steady_log(wind=0.0, slope_n=0.0, auxiliaries=400.0, efficiency=0.9, noise=0.0):
    """Out and back at 50 and 90 km/h with a stop before; the planted power is force times speed over efficiency."""
    rng = np.random.default_rng(7)
    speed, direction = [np.zeros(120)], [np.full(120, np.nan)]
    for way in (1, -1):
        for km_per_h in (50, 90):
            v = km_per_h / 3.6
            ramp = np.linspace(0, v, 40)
            speed += [ramp, np.full(90, v), ramp[::-1]]
            direction += [np.full(170, way)]
    v = np.concatenate(speed)
    way = np.concatenate(direction)
    push = np.nan_to_num(way)
    force = np.where(v > 0, 150.0 + v + 0.4 * (v + push * wind) ** 2 + push * slope_n, 0.0)
    power = force * v / efficiency + auxiliaries
    v = v + noise * rng.standard_normal(len(v))
    return Series(
        "steady",
        np.arange(len(v), dtype=float),
        {"speed_m_per_s": v, "pack_power_w": power, "direction": way},
    )


def test_consumption_at_steady_speed_both_ways():
    found = evaluate_steady(steady_log(slope_n=40.0), EXACT, label="s")
    for km_per_h in (50, 90):
        v = km_per_h / 3.6
        # first principles: (F v/η + P_aux)/v; a slope acts the other way on the way back and cancels. One sample of the
        # ramp lies within ±1 km/h and belongs to the stretch: 0.03 %.
        expected = (150.0 + v + 0.4 * v * v) / 0.9 + 400.0 / v
        figure = found.figure(f"pack_consumption_at_{km_per_h}_km_per_h")
        assert figure.value.value == pytest.approx(expected, rel=3e-4)
        assert figure.value.unit == "J/m"
    assert found.figure("standing_power").value.value == pytest.approx(400.0, rel=1e-3)


def test_wind_leaves_its_square_behind():
    still, windy = (
        evaluate_steady(steady_log(wind=w), EXACT, label="s")
        .figure("pack_consumption_at_90_km_per_h")
        .value.value
        for w in (0.0, 3.0)
    )
    # first principles: ((v + w)² + (v − w)²)/2 = v² + w².
    assert windy - still == pytest.approx(0.4 * 9.0 / 0.9, rel=1e-6)


def test_the_road_load_is_held_against_the_pack():
    series = steady_log().adding(accessory_power_w=np.full(800, 400.0))
    found = evaluate_steady(
        series, EXACT, label="s", road_load=ROAD_LOAD, charging_efficiency=exact(0.88, "1")
    )
    # first principles: road load over power without accessories is the planted efficiency.
    assert found.figure("driveline_share_at_90_km_per_h").value.value == pytest.approx(0.9)
    wall = found.figure("wall_consumption_at_50_km_per_h")
    pack = found.figure("pack_consumption_at_50_km_per_h").value.value
    assert wall.value.value == pytest.approx(pack / 0.88)
    assert (wall.fact, wall.duty) == ("consumption", "steady 50 km/h")


def test_a_road_load_beyond_the_pack_is_named():
    too_much = RoadLoad(exact(600.0, "N"), exact(1.0, "N.s/m"), exact(0.4, "N.s2/m2"))
    found = evaluate_steady(steady_log(), EXACT, label="s", road_load=too_much)
    assert any("asks for more than the pack gave" in check for check in found.checks)


def test_slowing_down_is_taken_out():
    time = np.arange(0.0, 61.0)
    v = 20.0 - 0.005 * time
    force = 150.0 + v + 0.4 * v * v
    series = Series("s", time, {"speed_m_per_s": v, "pack_power_w": (force - 2000.0 * 0.005) * v})
    found = evaluate_steady(series, EXACT, label="s", effective_mass_kg=2000.0)
    # first principles: m a v is what the vehicle's own kinetic energy gave; F at the mean speed 19.85 m/s is left.
    (figure,) = [f for f in found.figures if f.key.startswith("pack_consumption")]
    assert figure.value.value == pytest.approx(150.0 + 19.85 + 0.4 * 19.85**2, rel=1e-4)


@given(st.lists(st.floats(0.0, 10.0), min_size=3, max_size=120), st.floats(0.1, 4.0))
def test_stretches_are_steady_long_enough_and_apart(values, tolerance):
    rule = SteadyRule(tolerance, 5.0)
    times, speed = np.arange(float(len(values))), np.array(values)
    found = steady_stretches(times, speed, rule)
    ends = -1.0
    for start, end in found:
        inside = speed[(times >= start) & (times <= end)]
        assert start > ends
        assert end - start >= 5.0
        assert np.ptp(inside) <= 2 * tolerance
        ends = end
    # A steady stretch of the least length that overlaps none of those found must not exist.
    for i in range(len(values) - 5):
        if np.ptp(speed[i : i + 6]) <= 2 * tolerance:
            assert any(start <= times[i + 5] and end >= times[i] for start, end in found)


def test_no_steady_speed_is_said():
    series = Series("s", range(100), {"speed_m_per_s": np.arange(100.0), "pack_power_w": np.ones(100)})
    with pytest.raises(ValueError, match="no stretch of 30 s within ±1 km/h"):
        evaluate_steady(series, EXACT, label="s")


@pytest.mark.parametrize(
    ("name", "traction", "braking"),
    [
        # computed: step rule at 1 s, effective mass 2060 kg, A 150 N, B 1.0 N·s/m, C 0.40 N·s²/m², independent script.
        ("udds", 6_300_783.375, 3_287_253.591),
        ("hwfet", 7_312_813.735, 1_049_342.635),
        ("us06", 9_879_217.579, 3_628_723.200),
        ("wltc3b", 13_505_359.388, 4_743_979.744),
    ],
)
def test_energy_at_the_wheels_of_a_driven_trace(name, traction, braking):
    mass = Quantity(2060.0, "kg", ((Source("m"), 10.0),))
    found = wheel_energies(cycle(name), ROAD_LOAD, mass)
    assert [q.value for q in found] == pytest.approx([traction, braking], abs=0.01)
    # first principles: the slope against a difference of the same sums.
    more = wheel_energy(cycle(name), 2060.1, 150.0, 1.0, 0.4)
    assert found[0].terms[0][1] / 10.0 == pytest.approx((float(more.traction_j) - traction) / 0.1, rel=1e-3)


def cycle_log(name="udds", late=37.3, factor=1.0, lead=60.0):
    trace = cycle(name)
    time = np.arange(0.0, lead + trace.duration_s + 60.0, 0.1)
    speed = factor * np.interp(time - late, trace.time_s, trace.speed_m_per_s, left=0.0, right=0.0)
    force = 150.0 + speed + 0.4 * speed**2 + 2060.0 * np.gradient(speed, time)
    power = np.where(force > 0, force * speed / 0.9, force * speed * 0.7) + 350.0
    return Series(
        "log",
        time,
        {
            "speed_m_per_s": speed,
            "pack_power_w": power,
            "accessory_power_w": np.full(len(time), 350.0),
            "distance_m": np.cumsum(speed) * 0.1 * 1.001,
        },
    )


def test_a_cycle_is_found_in_its_log_and_evaluated():
    vehicle = Vehicle(ROAD_LOAD, exact(2060.0, "kg"), exact(0.88, "1"))
    found = evaluate_cycle(cycle_log(), EXACT, label="c", vehicle=vehicle, cycle=cycle("udds"), duty="udds")
    # computed: UDDS 11,990.24 m, traction 6.3008 MJ, braking 3.2873 MJ of this vehicle (totals as in the test above).
    assert found.figure("distance").value.value == pytest.approx(11_990.24, rel=1e-3)
    assert found.figure("wheel_traction").value.value == pytest.approx(6_300_783.0, rel=0.01)
    assert found.figure("wheel_braking").value.value == pytest.approx(3_287_254.0, rel=0.01)
    # first principles: traction/0.9 − 0.7 braking + 350 W · 1369 s.
    planted = 6_300_783.0 / 0.9 - 0.7 * 3_287_254.0 + 350.0 * 1369.0
    assert found.figure("pack_energy").value.value == pytest.approx(planted, rel=0.01)
    wall = found.figure("wall_consumption")
    assert wall.value.value == pytest.approx(planted / 0.88 / 11_990.24, rel=0.01)
    assert (wall.fact, wall.duty) == ("consumption", "udds")
    assert found.figure("accessory_power").value.value == pytest.approx(350.0)
    assert 0.6 < found.figure("returned_of_braking").value.value < 0.7
    assert any("starts at 37.3 s" in check for check in found.checks)
    assert any("+0.10 %" in check for check in found.checks)


def test_repeats_are_averaged_and_numbered():
    one = cycle_log(late=0.0, lead=0.0)
    n = len(one)
    time = np.concatenate((one.time_s, one.time_s + 5000.0))
    both = Series(
        "two",
        time,
        {k: np.concatenate((v, v)) for k, v in one.channels.items() if k != "distance_m"}
        | {"run": np.repeat([1.0, 2.0], n)},
    )
    found = evaluate_cycle(
        both, EXACT, label="c", vehicle=Vehicle(charging_efficiency=exact(0.9, "1")), duty="udds"
    )
    each = [found.figure(f"wall_consumption_{k}").value.value for k in (1, 2)]
    assert each[0] == pytest.approx(each[1])
    # first principles: the mean of two equal runs.
    assert found.figure("wall_consumption").value.value == pytest.approx(each[0])
    assert found.figure("wall_consumption").fact == "consumption"
    assert found.figure("wall_consumption_1").fact == ""


def test_meters_reach_consumption():
    limits = {
        "pack_power_w": stated_meter("pack_power_w", "E1", 0.01, 0.0),
        "speed_m_per_s": stated_meter("speed_m_per_s", "roller", 0.005, 0.0),
    }
    found = evaluate_cycle(cycle_log(), limits, label="c").figure("pack_consumption").value
    # first principles: 1 % of the power and 0.5 % of the distance, both rectangular; sampling adds a little.
    u = {source.name: abs(c) / found.value for source, c in found.terms}
    assert u["E1"] == pytest.approx(0.01 / np.sqrt(3), rel=1e-9)
    assert u["roller"] == pytest.approx(0.005 / np.sqrt(3), rel=1e-9)


def test_a_log_shorter_than_its_cycle_is_refused():
    series = Series("s", range(100), {"speed_m_per_s": np.full(100, 5.0), "pack_power_w": np.ones(100)})
    with pytest.raises(ValueError, match="lasts 99 s"):
        evaluate_cycle(series, EXACT, label="c", cycle=cycle("udds"))
    still = Series("s", range(100), {"speed_m_per_s": np.zeros(100), "pack_power_w": np.ones(100)})
    with pytest.raises(ValueError, match=r"nothing was driven; run: the vehicle stood"):
        evaluate_cycle(still, EXACT, label="c")


@pytest.mark.parametrize("late", [0.0, 12.4, 55.9])
def test_the_start_of_a_cycle_is_found(late):
    log = cycle_log(late=late)
    start = start_of_cycle_s(log.time_s, log["speed_m_per_s"], cycle("udds"))
    # first principles: the log was made that much late; samples a tenth of a second apart.
    assert start == pytest.approx(late, abs=0.11)


def test_a_perfect_drive_rates_nought():
    udds = cycle("udds")
    found = drive_quality(udds, udds, (2060.0, 150.0, 1.0, 0.4))
    assert found.energy_rating_frac == found.energy_economy_rating_frac == 0.0
    assert (
        found.distance_rating_frac == found.inertial_work_rating_frac == found.rms_speed_error_m_per_s == 0.0
    )


def test_a_drive_one_percent_fast():
    udds = cycle("udds")
    fast = Cycle("fast", "fast", 1.01 * udds.speed_m_per_s, udds.time_s)
    found = drive_quality(fast, udds, (2060.0, 150.0, 1.0, 0.4))
    # first principles: distance and speed changes grow by 1 %, inertial work by 1.01² − 1, the error is 1 % of the rms.
    assert found.distance_rating_frac == pytest.approx(0.01)
    assert found.absolute_speed_change_rating_frac == pytest.approx(0.01)
    assert found.inertial_work_rating_frac == pytest.approx(0.0201)
    rms = np.sqrt(np.mean(udds.speed_m_per_s**2))
    assert found.rms_speed_error_m_per_s == pytest.approx(0.01 * rms)
    assert found.energy_economy_rating_frac == pytest.approx(1.0 - 1.01 / (1.0 + found.energy_rating_frac))
    assert found.outside_s == 0.0
