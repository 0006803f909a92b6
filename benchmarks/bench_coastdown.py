"""How much faster a coast-down is fitted than by dense generalised least squares, run by run.

Ten runs to and fro at 10 Hz. Baseline, in the same run: statsmodels GLS with the dense covariance of each run (noise of
readings and gusts), whose normal equations are then added up, for one ratio of the two errors; the engine tries some
twenty-five ratios on top. Also printed: how far the two estimates are apart, and what a whole evaluation takes, from
recording to bands.
"""

from __future__ import annotations

import argparse
import sys
import time
from pathlib import Path

import numpy as np
import statsmodels.api as sm

sys.path.append(str(Path(__file__).parent.parent / "tests"))

from core.trials.coasting_simulation import Day, Vehicle, recording
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.trials.coastdown import coast_down
from hoistbook.core.trials.coastdown_set_up import CoastDownTest, settle
from hoistbook.core.trials.coasting import find_runs
from hoistbook.core.trials.regression import Steps, blocks, clustered
from hoistbook.core.trials.road_equations import Factors, equations

RATIO_PER_S = 0.5


def dense(steps: Steps) -> np.ndarray:
    """Estimate by one dense fit per run, weighted by their information."""
    information, score = np.zeros((3, 3)), np.zeros(3)
    for start, end in zip(steps.bounds[:-1], steps.bounds[1:], strict=True):
        part = slice(start, end)
        sigma = np.diag(2.0 + RATIO_PER_S * steps.duration_s[part])
        for i in np.flatnonzero(steps.linked[part]):
            sigma[i, i - 1] = sigma[i - 1, i] = -1.0
        model = sm.GLS(steps.change[part], steps.common[part], sigma=sigma)
        information += model.wexog.T @ model.wexog
        score += model.wexog.T @ model.wendog
    return np.linalg.solve(information, score)


def main() -> None:
    """Print the figures."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--pairs", type=int, default=5)
    given = parser.parse_args()
    vehicle = Vehicle()
    test = CoastDownTest("bench", Quantity(vehicle.mass_kg, "kg"), Quantity(vehicle.rotating_frac, "1"))
    made = recording(vehicle, Day(), 1, pairs=given.pairs, channels=("direction", "wind", "grade"))
    found = find_runs([made], test.rules)
    set_up = settle(found.runs, found.mate, test)
    factors = Factors(vehicle.mass_kg, vehicle.rotating_frac)
    steps = equations(set_up.runs, set_up.cluster_of, factors, set_up.conditions, np.zeros(len(set_up.runs)))
    print(f"{len(set_up.runs)} runs, {len(steps.change)} steps")

    start = time.perf_counter()
    slow = dense(steps)
    slow_s = time.perf_counter() - start
    fast_s = np.inf
    for _ in range(5):
        start = time.perf_counter()
        fast = clustered(blocks(steps, RATIO_PER_S)).estimate
        fast_s = min(fast_s, time.perf_counter() - start)
    print(
        f"dense GLS run by run {slow_s:.3f} s, tridiagonal {fast_s * 1e3:.2f} ms: {slow_s / fast_s:.0f} times faster"
    )
    print(f"largest relative difference {np.max(np.abs(fast / slow - 1.0)):.1e}")

    start = time.perf_counter()
    coast_down([made], test)
    print(f"whole evaluation, wind and slope measured: {time.perf_counter() - start:.3f} s")
    pairs = recording(vehicle, Day(), 1, pairs=given.pairs, channels=("direction",))
    start = time.perf_counter()
    coast_down([pairs], test)
    print(f"whole evaluation, wind and slope from pairs: {time.perf_counter() - start:.3f} s")


if __name__ == "__main__":
    main()
