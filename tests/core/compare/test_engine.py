import numpy as np
import pytest

from hoistbook.core.compare.causes import CAUSES
from hoistbook.core.compare.condense import Reach, condense
from hoistbook.core.compare.gap import reconcile
from hoistbook.core.compare.shapley import shapley
from hoistbook.core.energy.duty import drive
from hoistbook.core.energy.model import simulate
from hoistbook.reference.cycles import cycle

from . import vans

N_DRAWS = 24


def brute_force(x, y, duty, quantity):
    """Every coalition simulated step by step by the energy model, with the residual as the last player."""
    causes = [cause.name for cause in CAUSES]
    values = []
    for s in range(2 ** len(causes)):
        fields = vans.mixed(x, y, {name for i, name in enumerate(causes) if s >> i & 1})
        result = drive(duty, vans.energy_parameters(fields), engine="numpy")
        values.append(result.range_m if quantity == "range" else result.consumption_j_per_m)
    return causes, np.array(values)


@pytest.mark.parametrize("use_fast", [False, True])
@pytest.mark.parametrize("quantity", ["range", "energy"])
def test_shares_equal_brute_force_over_every_coalition(quantity, use_fast):
    # first principles: 2^10 coalitions, each simulated second by second with core.energy.model (another code path),
    # shared by the weights of Shapley. Tolerance: 0.02 km is asked of the engine, 1 m here.
    if use_fast:
        pytest.importorskip("numba")
    x, y = vans.parameter_draws(N_DRAWS, 1), vans.parameter_draws(N_DRAWS, 2, shift=0.02)
    duty = vans.wltc_duty()
    causes, base = brute_force(x, y, duty, quantity)
    rng = np.random.default_rng(3)
    stated_x = base[0] * np.exp(0.02 * rng.standard_normal(N_DRAWS))
    stated_y = base[-1] * np.exp(0.02 * rng.standard_normal(N_DRAWS))
    expected = shapley(np.concatenate([base * (stated_x / base[0]), base * (stated_y / base[-1])]))
    found = reconcile(
        vans.question(duty, quantity, use_fast=use_fast),
        vans.side("X", x, stated_x),
        vans.side("Y", y, stated_y),
    )
    tolerance = 1.0 if quantity == "range" else 1.0 / 250e3 * float(base.mean())
    for i, name in enumerate([*causes, "not_explained"]):
        assert found.shares[name] == pytest.approx(expected[i], abs=tolerance), name
    assert sum(found.shares.values()) == pytest.approx(stated_y - stated_x, abs=1e-6)
    first = base[1] - base[0]
    assert found.first_in["mass"] == pytest.approx(first * stated_x / base[0], abs=tolerance)


@pytest.mark.parametrize("use_fast", [False, True])
@pytest.mark.parametrize("losses", [(), ("loss_c0_w", "loss_k1", "loss_k2", "loss_k3")])
def test_pack_without_resistance_needs_no_series(losses, use_fast):
    # first principles: as above, with a pack without resistance, and with every loss constant zero besides.
    x, y = vans.parameter_draws(N_DRAWS, 1), vans.parameter_draws(N_DRAWS, 2, shift=0.02)
    for fields in (x, y):
        for name in (*losses, "pack_resistance_ohm"):
            fields[name] = np.zeros(N_DRAWS)
    duty = vans.us_duty()
    _, base = brute_force(x, y, duty, "range")
    found = reconcile(
        vans.question(duty, use_fast=use_fast),
        vans.side("X", x, base[0].copy()),
        vans.side("Y", y, base[-1].copy()),
    )
    expected = shapley(base)
    for i, cause in enumerate(CAUSES):
        # No series is left out here: exact to rounding.
        assert found.shares[cause.name] == pytest.approx(expected[i], abs=1e-5), cause.name
    assert found.shares["not_explained"] == pytest.approx(np.zeros(N_DRAWS), abs=1e-5)


@pytest.mark.parametrize("name", ["udds", "hwfet", "us06", "wltc3b"])
def test_condensed_cycle_keeps_every_sum(name):
    # first principles: Σ u^i a^j dt over the steps of certain traction, of certain braking and the single ones must be
    # the sums over the whole cycle, for every term with i + 2j ≤ 12.
    trace = cycle(name)
    rng = np.random.default_rng(4)
    mass = 2000.0 * (1.0 + 0.02 * rng.standard_normal(500))
    reach = Reach(mass, 150.0 + 10 * rng.standard_normal(500), 1.0 + 0.3 * rng.standard_normal(500),
                  0.4 + 0.02 * rng.standard_normal(500), 4.5, 1e4, 1e6)  # fmt: skip
    condensed = condense(trace, reach, exact_powers=3)
    sets = (condensed.traction, condensed.braking, condensed.single)
    assert sum(s.weight.size for s in sets) < 0.35 * np.count_nonzero(trace.step_speed)
    for s in sets:
        assert np.all(s.weight > 0.0)
    moving = trace.step_speed > 0.0
    u, a, w = trace.step_speed[moving], trace.step_acceleration[moving], trace.step_duration[moving]
    for j in range(7):
        for i in range(13 - 2 * j):
            whole = np.sum(w * u**i * a**j)
            scale = np.sum(w * u**i * np.abs(a) ** j)
            parts = sum(np.sum(s.weight * s.speed**i * s.acceleration**j) for s in sets)
            assert parts == pytest.approx(whole, abs=1e-9 * scale), (i, j)


def test_pack_that_cannot_deliver_is_refused():
    x = vans.parameter_draws(N_DRAWS, 1)
    y = {**x, "pack_resistance_ohm": np.full(N_DRAWS, 8.0)}
    with pytest.raises(ValueError, match="check pack_resistance"):
        reconcile(vans.question(vans.wltc_duty()), vans.side("X", x), vans.side("Y", y))


def test_equal_vehicles_have_no_gap():
    # first principles: the same coordinates and residual leave nothing to share.
    x = vans.parameter_draws(N_DRAWS, 1)
    range_m = simulate(cycle("wltc3b"), vans.energy_parameters(x))
    stated = x["usable_energy_j"] * x["label_factor_frac"] * range_m.distance_m / range_m.cell_j
    found = reconcile(
        vans.question(vans.wltc_duty()), vans.side("X", x, stated), vans.side("Y", dict(x), stated.copy())
    )
    for share in found.shares.values():
        assert np.all(share == 0.0)


def test_swapping_the_vehicles_turns_every_sign():
    # first principles: φ_i(Y → X) = −φ_i(X → Y).
    x, y = vans.parameter_draws(N_DRAWS, 1), vans.parameter_draws(N_DRAWS, 2, shift=0.02)
    stated_x, stated_y = np.full(N_DRAWS, 250e3), np.full(N_DRAWS, 230e3)
    asked = vans.question(vans.wltc_duty())
    one = reconcile(asked, vans.side("X", x, stated_x), vans.side("Y", y, stated_y))
    other = reconcile(asked, vans.side("Y", y, stated_y), vans.side("X", x, stated_x))
    for name, share in one.shares.items():
        assert other.shares[name] == pytest.approx(-share, abs=1e-6), name
