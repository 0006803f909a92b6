"""Spin-down of a lifted wheel on runs made from a known drag torque and inertia."""

import math

import numpy as np
import pytest

from hoistbook.core.quantities.evaluation import normal
from hoistbook.core.quantities.quantity import Quantity, correlation
from hoistbook.core.trials.series import Series
from hoistbook.core.trials.spindown import (
    CORNERS,
    SpinRules,
    all_wheels,
    inertia_from_added,
    inertia_from_pull,
    slowing,
    wheel_drag,
)

INERTIA, TORQUE, PER_SPEED = 1.4, 1.1, 0.02  # kg m², N m, N m s


def speed_after(time, start, inertia=INERTIA, torque=TORQUE, push=0.0):
    """Exact solution of J dω/dt = push − T0 − T1 ω (first principles)."""
    end = (push - torque) / PER_SPEED
    return end + (start - end) * np.exp(-PER_SPEED * time / inertia)


def spins(count=4, *, noise=0.02, seed=1, start=60.0, varies=0.0, inertia=INERTIA, backwards=False):
    """Spins one after another: half a second of being spun up by hand, then left alone until it stands."""
    random = np.random.default_rng(seed)
    times, speeds, clock = [], [], 0.0
    for _ in range(count):
        torque = TORQUE * (1.0 + varies * random.normal())
        time = np.arange(0.0, 80.0, 0.05)
        speed = np.maximum(speed_after(time, start * random.uniform(0.8, 1.2), inertia, torque), 0.0)
        up = np.arange(0.0, 2.0, 0.05)
        times += [clock + up, clock + 2.0 + time]
        speeds += [speed[0] * up / 2.0, speed]
        clock += 85.0
    time, speed = np.concatenate(times), np.concatenate(speeds)
    speed = speed + random.normal(0.0, noise, len(speed)) if noise else speed
    return Series("wheel.csv", time, {"wheel_speed_rad_per_s": -speed if backwards else speed})


def torque_at(speed):
    return TORQUE + PER_SPEED * speed


def test_torque_comes_back_without_noise():
    found = wheel_drag("front left", slowing([spins(noise=0.0)], "t"), Quantity(INERTIA, "kg.m2"))
    # first principles: the spins were made from this torque; a step of 0.05 s is linear to 1e-6.
    assert found.at_rest.value == pytest.approx(TORQUE, rel=1e-4)
    assert found.per_speed.value == pytest.approx(PER_SPEED, rel=1e-4)
    assert found.torque.value == pytest.approx(torque_at(found.slowing.at_rad_per_s), rel=1e-5)
    assert (found.torque.unit, found.per_speed.unit) == ("N.m", "N.m.s")
    assert any("not stated" in note for note in found.assumptions)
    assert any("taken as exact" in note for note in found.assumptions)


def test_the_other_way_round_and_by_angle_it_says_the_same():
    plain = slowing([spins(noise=0.0)], "t", at_rad_per_s=30.0)
    back = slowing([spins(noise=0.0, backwards=True)], "t", at_rad_per_s=30.0)
    assert back.rate.value == pytest.approx(plain.rate.value, rel=1e-12)
    one = spins(noise=0.0)
    speed = one["wheel_speed_rad_per_s"]
    angle = np.concatenate(([0.0], np.cumsum(0.5 * (speed[1:] + speed[:-1]) * np.diff(one.time_s))))
    counted = slowing([Series("angle", one.time_s, {"wheel_angle_rad": angle})], "t", at_rad_per_s=30.0)
    assert counted.rate.value == pytest.approx(plain.rate.value, rel=1e-3)


def test_inertia_is_an_error_all_of_the_torque_shares():
    found = slowing([spins(noise=0.0)], "t")
    inertia = normal(INERTIA, 0.03 * INERTIA, "kg.m2", "wheel inertia")
    drag = wheel_drag("rear left", found, inertia, "disc and hub")
    # first principles: T is proportional to J.
    assert drag.torque.standard_uncertainty / drag.torque.value == pytest.approx(0.03, rel=1e-3)
    assert correlation(drag.torque, inertia) == pytest.approx(1.0, abs=1e-3)
    both = [wheel_drag(corner, found, inertia) for corner in CORNERS]
    whole = all_wheels({one.corner: one for one in both})
    assert whole.value == pytest.approx(4.0 * drag.torque.value)
    assert whole.standard_uncertainty / whole.value == pytest.approx(0.03, rel=1e-3)
    assert all_wheels({one.corner: one for one in both[:3]}) is None


def test_spins_that_differ_make_the_band_and_one_spin_says_so():
    # computed: of 60 tests with spins that differ by 8 %, at least 50 bands of 95 % hold the truth (99.9 % likely).
    hits = 0
    for seed in range(60):
        found = slowing([spins(5, seed=seed, varies=0.08)], "t", at_rad_per_s=30.0)
        low, high = (INERTIA * found.rate).band()
        hits += low <= torque_at(30.0) <= high
    assert hits >= 50
    alone = slowing([spins(1)], "t")
    assert math.isinf(alone.dof)
    assert any("one spin only" in note for note in alone.assumptions)


def test_torque_may_be_taken_as_constant():
    found = slowing([spins(noise=0.0)], "t", with_speed=False, at_rad_per_s=10.0)
    assert found.per_speed.value == 0.0
    assert found.rate.value == found.constant.value
    assert any("same at every speed" in note for note in found.assumptions)


def test_speed_nobody_reached_is_said():
    found = slowing([spins()], "t", at_rad_per_s=150.0)
    assert any("no spin reached it" in note for note in found.assumptions)


def test_inertia_from_an_added_mass():
    plain = slowing([spins(noise=0.0)], "plain", at_rad_per_s=30.0)
    loaded = slowing([spins(noise=0.0, inertia=INERTIA + 0.5)], "loaded", at_rad_per_s=30.0)
    found = inertia_from_added(plain.rate, loaded.rate, normal(0.5, 0.002, "kg.m2", "weights"))
    # first principles: the inertia the spins were made from.
    assert found.value == pytest.approx(INERTIA, rel=1e-4)
    assert found.standard_uncertainty == pytest.approx(INERTIA * 0.002 / 0.5, rel=1e-2)
    with pytest.raises(ValueError, match="which recording is which"):
        inertia_from_added(loaded.rate, plain.rate, Quantity(0.5, "kg.m2"))


def test_inertia_from_a_known_torque():
    time = np.arange(0.0, 20.0, 0.05)
    up = Series("pull", time, {"wheel_speed_rad_per_s": speed_after(time, 5.0, push=6.0)})
    gaining = slowing([up], "pull", at_rad_per_s=30.0, rising=True)
    losing = slowing([spins(noise=0.0)], "plain", at_rad_per_s=30.0)
    # first principles: J α = T − T0 − T1 ω.
    assert gaining.rate.value == pytest.approx((6.0 - torque_at(30.0)) / INERTIA, rel=1e-4)
    assert inertia_from_pull(Quantity(6.0, "N.m"), gaining.rate, losing.rate).value == pytest.approx(
        INERTIA, rel=1e-4
    )


def test_what_cannot_be_evaluated_is_refused():
    time = np.arange(0.0, 20.0, 0.05)
    still = Series("still", time, {"wheel_speed_rad_per_s": np.full(len(time), 20.0)})
    with pytest.raises(ValueError, match="No wheel speed falls"):
        slowing([still], "t")
    short = Series("short", time, {"wheel_speed_rad_per_s": 60.0 - 0.5 * time})
    with pytest.raises(ValueError, match=r"loses \d+ % of its speed, 40 % are asked for"):
        slowing([short], "t")
    with pytest.raises(ValueError, match="neither the speed nor the angle"):
        slowing([Series("car", time, {"speed_m_per_s": time})], "t")
    with pytest.raises(ValueError, match="from high to low"):
        SpinRules(low_rad_per_s=5.0, high_rad_per_s=4.0)
    with pytest.raises(LookupError, match="no corner 'spare'"):
        wheel_drag("spare", slowing([spins()], "t"), Quantity(1.0, "kg.m2"))
    with pytest.raises(ValueError, match="above 0"):
        wheel_drag("front left", slowing([spins()], "t"), Quantity(0.0, "kg.m2"))
