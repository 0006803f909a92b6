"""How much faster draws of assembly time are than a scalar loop, and how long a book and a removal take.

Baseline, in the same run: a plain loop over draws and joints in scalars. It takes the same random numbers and the same
steps (motions of the open and of the slowed kind, error of the kind, error of the joint), with the sums of the motions
worked out beforehand. The engine draws the vehicle's quantity, whose errors are already added up by name.
Also printed: how far mean and spread of the two are apart.
"""

from __future__ import annotations

import argparse
import math
import sys
import time
from pathlib import Path

import numpy as np

sys.path.append(str(Path(__file__).parent.parent / "tests"))

from core.cost.assembly_bench import packaged, van
from hoistbook.core.cost.assembly.book import AssemblyBook, assembly_book
from hoistbook.core.cost.assembly.work import Workshop
from hoistbook.core.cost.service.operations import Operation, OperationGraph, SetUp
from hoistbook.core.cost.service.sequence import sequence_count, shortest
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.quantities.sampling import draw_source, draws
from hoistbook.core.vehicle.records import Joint, Node, Teardown

SEED = 5


def many_joints(count: int) -> Teardown:
    """One vehicle with many screwed and clipped joints."""
    base = van()
    nodes = [Node(f"N{i}", "V", f"Part {i}") for i in range(count)]
    joints = [
        Joint(
            f"K{i:05d}",
            (f"N{i}", "V"),
            "screwing",
            "Screw M6×16, flanged, T30",
            1 + i % 6,
            "T30",
            "from below",
        )
        if i % 3
        else Joint(
            f"K{i:05d}", (f"N{i}", "V"), "clipping", "Trim clip", 1 + i % 9, "", "from inside, behind lining"
        )
        for i in range(count)
    ]
    return Teardown(base.vehicle, base.configurations, nodes=(*base.nodes, *nodes), joints=tuple(joints))


def scalar_loop(book: AssemblyBook, shop: Workshop, n_draws: int) -> list[float]:
    """Draw by draw, joint by joint."""
    z: dict[str, list[float]] = {}
    rows = []
    for work in [*book.joints, *book.parts]:
        assert work.normal_s is not None
        for source, _ in work.normal_s.terms:
            if source.name not in z:
                z[source.name] = draw_source(source, n_draws, SEED).tolist()
        rows.append((work.normal_s.value, [(z[source.name], c) for source, c in work.normal_s.terms]))
    allowance = shop.figure("allowance_frac")
    ((source, c),) = allowance.terms
    spread = draw_source(source, n_draws, SEED).tolist()
    found = []
    for k in range(n_draws):
        normal = 0.0
        for value, terms in rows:
            seconds = value
            for series, coefficient in terms:
                seconds += coefficient * series[k]
            normal += seconds
        found.append(normal * (1.0 + allowance.value + c * spread[k]))
    return found


def main() -> None:
    """Print the figures."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--joints", type=int, default=2_000)
    parser.add_argument("--draws", type=int, default=1_000)
    given = parser.parse_args()
    shop = packaged()
    teardown = many_joints(given.joints)
    start = time.perf_counter()
    book = assembly_book(teardown, shop)
    print(
        f"assembly book of {given.joints:,} joints, every one with its motions: {time.perf_counter() - start:.2f} s"
    )

    start = time.perf_counter()
    slow = np.array(scalar_loop(book, shop, given.draws))
    slow_s = time.perf_counter() - start
    fast_s = math.inf
    for _ in range(3):
        start = time.perf_counter()
        fast = draws(book.whole.standard_s, given.draws, SEED)
        fast_s = min(fast_s, time.perf_counter() - start)
    print(
        f"{given.draws:,} draws of the vehicle's standard time: scalar loop over joints and draws {slow_s:.2f} s, "
        f"draws of the quantity {fast_s:.3f} s: {slow_s / fast_s:.0f} times faster"
    )
    print(
        f"mean {fast.mean() / slow.mean() - 1.0:+.1e} and spread {fast.std() / slow.std() - 1.0:+.1e} against the loop"
    )

    wide = OperationGraph(
        [Operation(f"o{i}", "", Quantity(10.0 + i, "s"), f"t{i % 5}", f"p{i % 3}") for i in range(19)]
        + [Operation("X", "", Quantity(5.0, "s"), after=tuple(f"o{i}" for i in range(19)))]
    )
    start = time.perf_counter()
    best = shortest(wide, "X", SetUp(8.0, 20.0))
    print(
        f"shortest of 19! = {sequence_count(wide, best.order):.1e} sequences: {time.perf_counter() - start:.2f} s"
    )


if __name__ == "__main__":
    main()
