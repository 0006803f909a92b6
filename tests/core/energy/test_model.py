"""The energy chain: the worked example, limits one by one, and both engines against each other."""

import math
from dataclasses import fields

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.energy.example import BARE, FULL_CHAIN, changed
from hoistbook.core.energy.chain import N_SUMS, Columns, columns, moving_steps
from hoistbook.core.energy.cycles import Cycle
from hoistbook.core.energy.drive_unit import best_torque_n_m, drive_unit_efficiency_frac, drive_unit_loss_w
from hoistbook.core.energy.loop import sums_loop
from hoistbook.core.energy.model import CycleResult, simulate
from hoistbook.core.energy.parameters import FIELD_NAMES
from hoistbook.reference.cycles import CYCLE_NAMES, cycle

WH_PER_MILE = 3600.0 / 1609.344  # J/m
ENERGIES = [f.name for f in fields(CycleResult) if f.name != "distance_m"]

# computed: full-chain example in a separate script (NumPy 2.4, float64), Wh/mi to four decimals, in the order UDDS,
# HWFET, US06, WLTC 3b.
WORKED = {
    "traction_j": (245.4757, 199.4910, 352.4588, 266.5033),
    "braking_j": (134.8544, 32.0301, 139.7448, 101.2454),
    "returned_j": (128.8597, 31.7964, 137.7029, 99.7983),
    "shaft_j": (126.1318, 173.6047, 227.2359, 176.0334),
    "loss_j": (46.3085, 34.1231, 46.4405, 40.6534),
    "copper_j": (11.2022, 1.4821, 12.4848, 6.1021),
    "accessory_j": (12.7603, 5.1795, 5.2031, 8.6463),
    "terminal_j": (185.2006, 212.9074, 278.8795, 225.3331),
    "pack_loss_j": (4.1501, 2.8557, 14.1299, 5.7316),
    "wall_j": (210.3897, 239.7368, 325.5660, 256.7385),
}


@pytest.mark.parametrize("field", WORKED)
@pytest.mark.parametrize(("name", "place"), [(name, i) for i, name in enumerate(CYCLE_NAMES)])
def test_worked_example(field, name, place):
    found = simulate(cycle(name), FULL_CHAIN).per_metre()[field] / WH_PER_MILE
    assert float(found) == pytest.approx(WORKED[field][place], abs=5.1e-5)


def test_pack_loss_shares():
    # computed: UDDS 2.2 %, US06 4.8 % of the energy at the terminals (one decimal printed), over what leaves the cells.
    for name, percent in (("udds", 2.2), ("us06", 4.8)):
        result = simulate(cycle(name), FULL_CHAIN)
        assert 100.0 * float(result.pack_loss_j / result.cell_j) == pytest.approx(percent, abs=0.051)


def test_balances_close():
    # first principles: energy is neither made nor lost between two entries.
    r = simulate(cycle("wltc3b"), FULL_CHAIN)
    assert float(r.terminal_j) == pytest.approx(float(r.shaft_j + r.loss_j + r.accessory_j), rel=1e-12)
    assert float(r.cell_j) == pytest.approx(float(r.terminal_j + r.pack_loss_j), rel=1e-12)
    assert float(r.wall_j) == pytest.approx(float(r.cell_j) / 0.90, rel=1e-12)
    assert float(r.shaft_j) == pytest.approx(
        float(r.traction_j) / 0.975 - 0.975 * float(r.returned_j), rel=1e-12
    )


def braking(speeds=(20.0, 18.0), seconds=1.0):
    """One braking step from 20 to 18 m/s: u = 19 m/s, a = −2 m/s², 2000 N with 1000 kg."""
    return Cycle("brake", "brake", np.array(speeds), np.array([0.0, seconds]))


# first principles: one braking step of BARE has F = 2000 N over 19 m; each limit below caps the force at the wheel.
LIMITS = [
    ({}, 2000.0),
    ({"return_frac": 0.6}, 1200.0),
    ({"regen_torque_cap_n_m": 50.0}, 50.0 * 10.0 / 0.5),  # T G/r
    ({"regen_torque_cap_n_m": 50.0, "gear_efficiency_back_frac": 0.8}, 50.0 * 10.0 / 0.5 / 0.8),
    ({"regen_power_cap_w": 9500.0}, 9500.0 / 19.0),
    ({"regen_power_cap_w": 9500.0, "gear_efficiency_back_frac": 0.8}, 9500.0 / 19.0 / 0.8),
    ({"adhesion_frac": 0.2, "driven_load_frac": 0.5}, 0.2 * 1000.0 * 9.80665 * 0.5),
    # Front axle driven: braking loads it, by m a h/L; rear axle driven: unloads it.
    ({"adhesion_frac": 0.2, "driven_load_frac": 0.5, "load_transfer": 0.2}, 0.2 * 1000.0 * (4.903325 + 0.4)),
    ({"adhesion_frac": 0.2, "driven_load_frac": 0.5, "load_transfer": -0.2}, 0.2 * 1000.0 * (4.903325 - 0.4)),
    # A rear axle that braking would lift brakes nothing, it does not push.
    ({"adhesion_frac": 0.2, "driven_load_frac": 0.1, "load_transfer": -0.6}, 0.0),
    ({"cut_in_low_m_per_s": 18.0, "cut_in_full_m_per_s": 22.0}, 500.0),  # (19 − 18)/(22 − 18) of 2000 N
    ({"cut_in_low_m_per_s": 19.5, "cut_in_full_m_per_s": 22.0}, 0.0),
    ({"cut_in_low_m_per_s": 18.5, "cut_in_full_m_per_s": 18.5}, 2000.0),
    ({"cut_in_low_m_per_s": 19.5, "cut_in_full_m_per_s": 19.5}, 0.0),
    # Limits act before the driver's share and the cut-in.
    (
        {
            "regen_torque_cap_n_m": 50.0,
            "return_frac": 0.5,
            "cut_in_low_m_per_s": 18.0,
            "cut_in_full_m_per_s": 20.0,
        },
        250.0,
    ),
]


@pytest.mark.parametrize(("values", "force"), LIMITS)
@pytest.mark.parametrize("engine", ["numpy", "numba"])
def test_each_limit_of_recuperation(values, force, engine):
    if engine == "numba":
        pytest.importorskip("numba")
    result = simulate(braking(), changed(BARE, **values), engine=engine)
    back = values.get("gear_efficiency_back_frac", 1.0)
    assert float(result.braking_j) == pytest.approx(2000.0 * 19.0, rel=1e-12)
    assert float(result.returned_j) == pytest.approx(force * 19.0, rel=1e-12, abs=1e-12)
    assert float(result.shaft_j) == pytest.approx(-back * force * 19.0, rel=1e-12, abs=1e-12)


def test_copper_loss_follows_the_torque_that_is_left():
    # first principles: T = η_b F r/G = 0.8 · 2000 · 0.5/10 = 80 N·m; 0.1 · 80² W for 1 s.
    result = simulate(braking(), changed(BARE, gear_efficiency_back_frac=0.8, loss_k1=0.1))
    assert float(result.copper_j) == pytest.approx(640.0, rel=1e-12)
    # Driving: T = F r/(G η) = 2000 · 0.5/10/0.8 = 125 N·m.
    pulling = simulate(braking((18.0, 20.0)), changed(BARE, gear_efficiency_frac=0.8, loss_k1=0.1))
    assert float(pulling.copper_j) == pytest.approx(1562.5, rel=1e-12)


def test_loss_at_speed_and_at_rest():
    # first principles: 10 m/s for 2 s, r 0.5 m, G 10: ω = 200 rad/s; 5 s at rest on both sides take accessories only.
    trace = Cycle(
        "cruise",
        "cruise",
        np.array([0.0, 0.0, 10.0, 10.0, 0.0, 0.0]),
        np.array([0.0, 5.0, 6.0, 8.0, 9.0, 14.0]),
    )
    p = changed(BARE, loss_c0_w=7.0, loss_k2=2.0, loss_k3=1e-5, accessory_power_w=100.0)
    # The two ramps run at u = 5 m/s, ω = 100 rad/s, for 1 s each.
    expected = 7.0 * 4.0 + 2.0 * (200.0 * 2.0 + 2.0 * 100.0) + 1e-5 * (200.0**3 * 2.0 + 2.0 * 100.0**3)
    result = simulate(trace, p)
    assert float(result.loss_j) == pytest.approx(expected, rel=1e-12)
    assert float(result.accessory_j) == 1400.0


def test_pack_loss_at_rest():
    # first principles: P = V I − R I² with V 10 V, R 1 ohm, P 9 W gives I = 1 A, 1 W lost, for 10 s.
    trace = Cycle("stand", "stand", np.zeros(2), np.array([0.0, 10.0]))
    result = simulate(
        trace, changed(BARE, pack_voltage_v=10.0, pack_resistance_ohm=1.0, accessory_power_w=9.0)
    )
    assert float(result.pack_loss_j) == pytest.approx(10.0, rel=1e-12)
    assert float(result.cell_j) == pytest.approx(100.0, rel=1e-12)


def test_pack_loss_is_the_published_root():
    # first principles: I = (V − √(V² − 4RP))/(2R) at one power of 2000 N · 19 m/s, driving and braking.
    for speeds, power in (((18.0, 20.0), 38e3), ((20.0, 18.0), -38e3)):
        result = simulate(braking(speeds), changed(BARE, pack_voltage_v=350.0, pack_resistance_ohm=0.1))
        current = (350.0 - math.sqrt(350.0**2 - 4.0 * 0.1 * power)) / 0.2
        assert float(result.pack_loss_j) == pytest.approx(0.1 * current**2, rel=1e-10)


@pytest.mark.parametrize("engine", ["numpy", "numba"])
def test_a_pack_that_cannot_deliver_is_refused(engine):
    if engine == "numba":
        pytest.importorskip("numba")
    resistance = np.full(70, 0.08)
    resistance[41] = 0.8
    # first principles: 360²/(4 · 0.8) = 40.5 kW; the example asks for more than that in the city.
    with pytest.raises(ValueError, match=r"'udds' at \d+ s, draw 41: .*V²/\(4R\) = 40.5 kW.*0.8 ohm"):
        simulate(cycle("udds"), changed(pack_resistance_ohm=resistance), engine=engine)


def test_a_pack_that_cannot_feed_the_accessories_is_refused():
    with pytest.raises(ValueError, match=r"V²/\(4R\) = 0.2 kW"):
        simulate(Cycle("s", "s", np.zeros(2), np.array([0.0, 1.0])), changed(pack_resistance_ohm=162.0))


def random_draws(count, seed=3):
    """Draws around the example in every field, limits among them."""
    rng = np.random.default_rng(seed)
    base = changed(
        adhesion_frac=0.5, driven_load_frac=0.45, load_transfer=0.15, return_frac=0.9, drag_area_m2=0.6
    )
    return changed(
        base, **{name: getattr(base, name) * rng.uniform(0.98, 1.02, count) for name in FIELD_NAMES}
    )


@pytest.mark.parametrize("name", CYCLE_NAMES)
def test_both_engines_give_the_same_figures(name):
    pytest.importorskip("numba")
    # first principles: one set of equations; rounding of some thousand additions is far below 1e-12.
    draws = random_draws(100)
    one, other = (
        simulate(cycle(name), draws, engine=engine, threads=threads)
        for engine, threads in (("numpy", 1), ("numba", 2))
    )
    for energy in ENERGIES:
        assert getattr(one, energy) == pytest.approx(getattr(other, energy), rel=1e-12)


def test_loop_without_compiler_gives_the_same_figures():
    # first principles: the plain loop is the same text that numba compiles.
    draws, trace = random_draws(2), cycle("hwfet")
    cols, steps = columns(draws), moving_steps(trace)
    sums = np.empty((N_SUMS, 2))
    arguments = [getattr(cols, f.name) for f in fields(Columns) if f.name != "cut_in_full"]
    assert sums_loop(steps.speed, steps.acceleration, steps.duration, *arguments, 0, 2, sums) == -1
    result = simulate(trace, draws, engine="numpy")
    for row, energy in zip(
        sums, ("traction_j", "braking_j", "returned_j", "shaft_j", "copper_j"), strict=False
    ):
        assert row == pytest.approx(getattr(result, energy), rel=1e-12)


def test_draws_do_not_know_of_each_other():
    # first principles: 70 draws span three blocks; threads and neighbours change nothing but rounding.
    draws = random_draws(70)
    together = simulate(cycle("udds"), draws, engine="numpy", threads=2)
    for i in (0, 31, 32, 69):
        alone = simulate(
            cycle("udds"), changed(draws, **{n: float(getattr(draws, n)[i]) for n in FIELD_NAMES})
        )
        for energy in ENERGIES:
            assert float(getattr(together, energy)[i]) == pytest.approx(
                float(getattr(alone, energy)), rel=1e-12
            )


def test_mixed_shapes_broadcast():
    grid = simulate(
        cycle("udds"),
        changed(test_mass_kg=np.array([[1800.0], [2200.0]]), drag_force_n=np.array([100.0, 150.0, 200.0])),
    )
    assert grid.wall_j.shape == (2, 3)
    alone = simulate(cycle("udds"), changed(test_mass_kg=2200.0, drag_force_n=100.0))
    assert float(grid.wall_j[1, 0]) == pytest.approx(float(alone.wall_j), rel=1e-13)
    assert alone.wall_j.shape == ()


# first principles: sign of each parameter's effect on the wall energy of a cycle whose limits all act.
RISES = (
    {
        "test_mass_kg",
        "tyre_coefficient",
        "drag_area_m2",
        "drag_force_n",
        "drag_force_b_n_s_per_m",
        "air_density_kg_per_m3",
    }
    | {
        "drag_force_c_n_s2_per_m2",
        "gravity_m_per_s2",
        "loss_c0_w",
        "loss_k1",
        "loss_k2",
        "loss_k3",
        "accessory_power_w",
    }
    | {"cut_in_low_m_per_s", "cut_in_full_m_per_s", "pack_resistance_ohm", "rotating_frac"}
)
FALLS = {
    "gear_efficiency_frac",
    "gear_efficiency_back_frac",
    "return_frac",
    "regen_power_cap_w",
    "regen_torque_cap_n_m",
} | {"adhesion_frac", "driven_load_frac", "load_transfer", "pack_voltage_v", "charging_efficiency_frac"}


@pytest.mark.parametrize("name", sorted(RISES | FALLS))
def test_every_parameter_moves_the_result_the_right_way(name):
    base = {
        "tyre_coefficient": 0.003,
        "drag_area_m2": 0.2,
        "return_frac": 0.8,
        "driven_load_frac": 0.4,
        "load_transfer": 0.1,
    }
    # Limits low enough to act in some steps; a front-driven axle with little grip where the grip is looked at.
    base |= {"adhesion_frac": 0.25, "regen_power_cap_w": 9e3, "regen_torque_cap_n_m": 45.0}
    if name in ("adhesion_frac", "driven_load_frac", "load_transfer"):
        base |= {"regen_power_cap_w": math.inf, "regen_torque_cap_n_m": math.inf}
    before = changed(**base)
    after = changed(before, **{name: getattr(before, name) * 1.02})
    change = float(simulate(cycle("us06"), after).wall_j - simulate(cycle("us06"), before).wall_j)
    assert change > 0.0 if name in RISES else change < 0.0


@settings(max_examples=30)
@given(st.floats(0.3, 3.0))
def test_energy_scales_with_everything_that_carries_force(factor):
    # first principles: without copper and pack loss the chain is linear in mass, road load, standing and speed losses.
    base = changed(
        loss_k1=0.0, pack_resistance_ohm=0.0, regen_power_cap_w=math.inf, regen_torque_cap_n_m=math.inf
    )
    names = (
        "test_mass_kg",
        "drag_force_n",
        "drag_force_b_n_s_per_m",
        "drag_force_c_n_s2_per_m2",
        "loss_c0_w",
        "loss_k2",
        "loss_k3",
    )
    scaled = changed(base, **{name: factor * getattr(base, name) for name in (*names, "accessory_power_w")})
    one, other = (float(simulate(cycle("udds"), p).wall_j) for p in (base, scaled))
    assert other == pytest.approx(factor * one, rel=1e-11)


@pytest.mark.parametrize(
    ("values", "message"),
    [
        ({"test_mass_kg": 0.0}, "test_mass_kg = 0.0 in 1 of 1 draws"),
        ({"gear_ratio": np.array([9.0, -1.0])}, "gear_ratio = -1.0 in 1 of 2 draws"),
        ({"gear_efficiency_frac": 97.5}, r"averages 97.5: a share is at most 1; give 0.93 for 93 %"),
        ({"accessory_power_w": -10.0}, "accessory_power_w averages -10.0"),
        ({"drag_area_m2": math.nan}, "drag_area_m2 = nan"),
        ({"drag_area_m2": math.inf}, "drag_area_m2 = inf"),
        ({"adhesion_frac": math.nan}, "adhesion_frac = nan"),
        ({"cut_in_low_m_per_s": np.array([1.0, 5.0])}, "draw 1: cut_in_low_m_per_s = 5 m/s is above"),
    ],
)
def test_impossible_parameters_are_refused(values, message):
    with pytest.raises(ValueError, match=message):
        changed(**values)


def test_single_draws_may_follow_a_tail():
    # A normal error of a share near 1 has draws above 1; clipping them would shift the mean.
    assert changed(return_frac=np.array([0.9, 1.05])).shape == (2,)


def test_settings_of_a_run_are_checked():
    with pytest.raises(ValueError, match="threads = 0"):
        simulate(cycle("udds"), FULL_CHAIN, threads=0)


def test_numba_that_is_missing_is_said(monkeypatch):
    monkeypatch.setattr("hoistbook.core.energy.model.compiled", lambda loops: None)
    with pytest.raises(ValueError, match="extra `fast`"):
        simulate(cycle("udds"), FULL_CHAIN, engine="numba")
    assert float(simulate(cycle("udds"), random_draws(65)).wall_j.min()) > 0.0


# computed: closed forms in a separate script for c0 200 W, k1 0.10, k2 2.0, k3 6.0e-7: ω, T*, η*, η at 10 and 200 N·m.
MAP = (200.0, 0.10, 2.0, 6.0e-7)
BEST = [
    (200.0, 77.7689, 0.927843, 0.76488, 0.89676),
    (400.0, 101.9019, 0.951519, 0.79233, 0.94075),
    (600.0, 123.6770, 0.960407, 0.79580, 0.95595),
    (1000.0, 167.3320, 0.967617, 0.78064, 0.96712),
    (1400.0, 215.5551, 0.970126, 0.75041, 0.97005),
]


@pytest.mark.parametrize(("speed", "torque", "best", "at_ten", "at_two_hundred"), BEST)
def test_best_torque(speed, torque, best, at_ten, at_two_hundred):
    found = float(best_torque_n_m(speed, *MAP))
    assert found == pytest.approx(torque, abs=5.1e-5)
    assert float(drive_unit_efficiency_frac(found, speed, *MAP)) == pytest.approx(best, abs=5.1e-7)
    assert float(drive_unit_efficiency_frac(10.0, speed, *MAP)) == pytest.approx(at_ten, abs=5.1e-6)
    assert float(drive_unit_efficiency_frac(200.0, speed, *MAP)) == pytest.approx(at_two_hundred, abs=5.1e-6)
    # first principles: at the best torque copper loss is half of all loss.
    assert float(drive_unit_loss_w(found, speed, *MAP)) == pytest.approx(2.0 * 0.10 * found**2, rel=1e-12)


def test_no_best_torque_without_copper_loss():
    with pytest.raises(ValueError, match=r"loss_k1 = 0\.0"):
        best_torque_n_m(400.0, 200.0, 0.0, 2.0, 6.0e-7)
