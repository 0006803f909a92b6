"""Time of the energy chain: plain Python loop, NumPy blocks, compiled loop, and what memory allows.

All ratios come from one run on one machine. The plain loop is timed on a few draws and scaled up.
"""

from __future__ import annotations

import argparse
import time
from collections.abc import Callable
from dataclasses import fields

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.compiling import compiled
from hoistbook.core.energy.chain import N_SUMS, Columns, columns, moving_steps
from hoistbook.core.energy.cycles import Cycle
from hoistbook.core.energy.loop import sums_loop
from hoistbook.core.energy.model import EnergyParameters, simulate
from hoistbook.reference.cycles import cycle
from hoistbook.reference.energy import energy_defaults

LOOP_DRAWS = 20


def parameters(n_draws: int) -> EnergyParameters:
    """A vehicle with the illustrative loss map, every field drawn within 1 %."""
    rng = np.random.default_rng(1)
    centre = {
        name: default.value for name, default in energy_defaults().joined("loss_map_example", "eu").items()
    }
    centre |= {"test_mass_kg": 2100.0, "usable_energy_j": 2.5e8, "return_frac": 0.95}
    values: dict[str, float | Array] = {
        name: value * (1.0 + 0.01 * rng.uniform(-1.0, 1.0, n_draws)) for name, value in centre.items()
    }
    return EnergyParameters(**values)


def best_of(repeats: int, call: Callable[[], object]) -> float:
    """Shortest of several runs. [s]"""
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        call()
        times.append(time.perf_counter() - start)
    return min(times)


def plain_loop_s(trace: Cycle, n_draws: int) -> float:
    """Time of the loop in plain Python, from a few draws. [s]"""
    cols, steps = columns(parameters(LOOP_DRAWS)), moving_steps(trace)
    arguments = [getattr(cols, f.name) for f in fields(Columns) if f.name != "cut_in_full"]
    sums = np.empty((N_SUMS, LOOP_DRAWS))

    def run() -> None:
        sums_loop(steps.speed, steps.acceleration, steps.duration, *arguments, 0, LOOP_DRAWS, sums)

    return best_of(1, run) * n_draws / LOOP_DRAWS


def one_pass_s(n_draws: int, n_steps: int, repeats: int) -> float:
    """Time to add one array of (draws, steps) to another in memory: the least any whole-array step can take. [s]"""
    a, b = np.ones((n_draws, n_steps)), np.ones((n_draws, n_steps))
    return best_of(repeats, lambda: np.add(a, b, out=a))


def main() -> None:
    """Print the table."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--draws", type=int, default=10_000)
    options.add_argument("--repeats", type=int, default=3)
    given = options.parse_args()
    trace = cycle("wltc3b")
    draws = parameters(given.draws)
    loop = plain_loop_s(trace, given.draws)
    one_pass = one_pass_s(given.draws, len(trace.moving), given.repeats)
    print(f"{given.draws} draws x {len(trace.moving)} moving steps of {trace.title}")
    print(f"{'plain Python loop (scaled up)':34}{loop:9.3f} s")
    engines: list[tuple[str, int]] = [("numpy", 1), ("numpy", 2)]
    if compiled(sums_loop) is None:
        print("numba is not installed: compiled loop left out")
    else:
        simulate(trace, parameters(64), engine="numba")  # compile outside the timing
        engines += [("numba", 1), ("numba", 2)]
    for engine, threads in engines:

        def run(engine: str = engine, threads: int = threads) -> object:
            return simulate(trace, draws, engine=engine, threads=threads)  # type: ignore[arg-type]

        seconds = best_of(given.repeats, run)
        print(
            f"{f'{engine}, {threads} thread(s)':34}{seconds:9.3f} s   {loop / seconds:7.0f} x the loop   "
            f"{seconds / one_pass:6.1f} memory passes"
        )
    gigabytes = 3 * 8 * given.draws * len(trace.moving) / 1e9
    print(f"{'one memory pass (a += b)':34}{one_pass:9.3f} s   {gigabytes / one_pass:7.1f} GB/s")


if __name__ == "__main__":
    main()
