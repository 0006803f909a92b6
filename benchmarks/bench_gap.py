"""How much faster the gap engine is than simulating every combination of causes.

Full model (loss map, recuperation limits, pack resistance), ten causes, every coalition, UDDS + HWFET. Baseline, in the
same run: the step-by-step energy model in cache-sized NumPy blocks over every coalition, on a subset of the draws and
scaled to all of them. Also printed: how far the engine's shares are from the baseline's on that subset.
"""

from __future__ import annotations

import argparse
import time
from collections.abc import Callable

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.compare.causes import CAUSES, RESIDUAL
from hoistbook.core.compare.engine import Surroundings
from hoistbook.core.compare.gap import Question, ResidualPrior, Side, reconcile
from hoistbook.core.compare.kernels_numba import sum_powers
from hoistbook.core.compare.shapley import shapley
from hoistbook.core.compiling import compiled
from hoistbook.core.energy.duty import Duty, drive
from hoistbook.core.energy.parameters import EnergyParameters
from hoistbook.core.quantities.quantity import Origin
from hoistbook.reference.cycles import cycle

SURROUNDINGS = Surroundings(9.80665, 1.167)
DUTY = Duty("us", (cycle("udds"), cycle("hwfet")), (0.55, 0.45), "range")

# Two made-up vehicles: value of X, value of Y, relative standard deviation of either.
VEHICLES = {
    "test_mass_kg": (1720.0, 1830.0, 0.002),
    "rotating_frac": (0.03, 0.032, 0.05),
    "tyre_coefficient": (0.0076, 0.0089, 0.03),
    "drag_area_m2": (0.92, 0.98, 0.02),
    "drag_force_n": (28.0, 34.0, 0.10),
    "drag_force_b_n_s_per_m": (0.7, 0.9, 0.10),
    "drag_force_c_n_s2_per_m2": (0.0, 0.0, 0.0),
    "wheel_radius_m": (0.325, 0.335, 0.001),
    "gear_ratio": (9.5, 10.1, 0.0),
    "gear_efficiency_frac": (0.975, 0.970, 0.003),
    "gear_efficiency_back_frac": (0.975, 0.970, 0.003),
    "loss_c0_w": (200.0, 230.0, 0.10),
    "loss_k1": (0.10, 0.11, 0.08),
    "loss_k2": (2.0, 2.3, 0.10),
    "loss_k3": (6e-7, 7e-7, 0.10),
    "return_frac": (0.71, 0.58, 0.03),
    "cut_in_low_m_per_s": (1.4, 1.9, 0.05),
    "cut_in_full_m_per_s": (4.0, 4.4, 0.03),
    "regen_power_cap_w": (60e3, 45e3, 0.03),
    "regen_torque_cap_n_m": (250.0, 220.0, 0.02),
    "adhesion_frac": (0.8, 0.8, 0.0),
    "driven_load_frac": (0.55, 0.45, 0.01),
    "load_transfer": (0.2, -0.2, 0.0),
    "accessory_power_w": (318.0, 412.0, 0.05),
    "pack_voltage_v": (360.0, 355.0, 0.005),
    "pack_resistance_ohm": (0.08, 0.09, 0.10),
    "usable_energy_j": (52.0 * 3.6e6, 55.1 * 3.6e6, 0.008),
    "charging_efficiency_frac": (0.89, 0.88, 0.01),
    "label_factor_frac": (0.70, 0.71, 0.005),
}
CONSTANT_EFFICIENCY = ("loss_c0_w", "loss_k1", "loss_k2", "loss_k3", "pack_resistance_ohm")


def fields(which: int, n_draws: int, seed: int, *, constant_efficiency: bool = False) -> dict[str, Array]:
    """Draws of one of the two vehicles."""
    rng = np.random.default_rng([seed, which])
    made = {
        name: row[which] * (1.0 + row[2] * rng.standard_normal(n_draws)) for name, row in VEHICLES.items()
    }
    if constant_efficiency:
        made.update({name: np.zeros(n_draws) for name in CONSTANT_EFFICIENCY})
        made.update(
            dict.fromkeys(("gear_efficiency_frac", "gear_efficiency_back_frac"), np.full(n_draws, 0.86))
        )
    return made


def brute_force(x: dict[str, Array], y: dict[str, Array]) -> Array:
    """Range of every coalition of the ten causes with the residual left out, step by step in NumPy."""
    causes = [cause for cause in CAUSES if cause.name != "charging"]
    values = []
    for coalition in range(2 ** len(causes)):
        chosen = {
            name: (y if cause in causes and coalition >> causes.index(cause) & 1 else x)[name]
            for cause in CAUSES
            for name in cause.fields
        }
        parameters = EnergyParameters(
            gravity_m_per_s2=SURROUNDINGS.gravity_m_per_s2,
            air_density_kg_per_m3=SURROUNDINGS.air_density_kg_per_m3,
            **chosen,
        )
        values.append(drive(DUTY, parameters, engine="numpy", threads=2).range_m)
    return np.array(values)


def timed(call: Callable[[], object], repeats: int = 3) -> float:
    """Shortest of a few runs after one that warms up. [s]"""
    call()
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        call()
        times.append(time.perf_counter() - start)
    return min(times)


def sides(n_draws: int, seed: int, *, constant_efficiency: bool = False) -> tuple[Side, Side]:
    """Both vehicles with stated ranges."""
    rng = np.random.default_rng([seed, 9])
    made = []
    for which, stated in ((0, 268.4e3), (1, 248.0e3)):
        drawn = fields(which, n_draws, seed, constant_efficiency=constant_efficiency)
        made.append(
            Side(
                "XY"[which],
                "",
                drawn,
                dict.fromkeys(drawn, Origin.MEASURED),
                stated + 1.5e3 * rng.standard_normal(n_draws),
            )
        )
    return made[0], made[1]


def main() -> None:
    """Print the figures."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--draws", type=int, default=10_000)
    parser.add_argument("--subset", type=int, default=128, help="draws of the brute-force baseline")
    given = parser.parse_args()
    x, y = sides(given.draws, 1)

    def question(*, use_fast: bool) -> Question:
        return Question("range", DUTY, SURROUNDINGS, ResidualPrior(0.3, 0.0), use_fast=use_fast)

    start = time.perf_counter()
    base = brute_force(
        {name: values[: given.subset] for name, values in x.fields.items()},
        {name: values[: given.subset] for name, values in y.fields.items()},
    )
    brute = (time.perf_counter() - start) * given.draws / given.subset
    print(
        f"every coalition step by step (NumPy, blocks, 2 threads): {brute:.0f} s for {given.draws} draws "
        f"(measured on {given.subset})"
    )
    found = None
    for use_fast in (False, True):
        if use_fast and compiled(sum_powers) is None:
            print("numba is not installed (extra `fast`)")
            continue
        name = "numba" if use_fast else "NumPy"
        took = timed(lambda fast=use_fast: reconcile(question(use_fast=fast), x, y))
        print(f"gap engine, full model, {name}: {took:.2f} s, {brute / took:.0f} times faster")
        constant = sides(given.draws, 1, constant_efficiency=True)
        took = timed(lambda fast=use_fast, pair=constant: reconcile(question(use_fast=fast), *pair))
        print(f"gap engine, constant efficiency, {name}: {took:.2f} s")
        found = reconcile(question(use_fast=use_fast), x, y)
    if found is None:
        return
    subset = slice(given.subset)
    rho_x, rho_y = found.residual_x[subset], found.residual_y[subset]
    expected = shapley(np.concatenate([base * rho_x, base * rho_y]))
    causes = [cause.name for cause in CAUSES if cause.name != "charging"] + [RESIDUAL]
    worst = max(
        float(np.max(np.abs(found.shares[name][subset] - expected[i]))) for i, name in enumerate(causes)
    )
    allowed = max(1e-3 * abs(float(found.gap.mean())), 20.0)
    print(f"worst share of any draw against every coalition: {worst:.3f} m (allowed {allowed:.0f} m)")


if __name__ == "__main__":
    main()
