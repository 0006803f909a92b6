"""How long the mass roll-up with bands takes, against one error-propagating number per part in plain Python.

A vehicle of 10,000 nodes on three scales, some assemblies weighed as a whole. Timed: (1) value and band of all subtrees
and of all systems from the solved weighings, (2) everything from the readings on: which count, reconciling, bands,
(3) the whole mass book. Baseline, in the same run: the recursive sum of `uncertainties` numbers over the same parts,
all weighed one by one, with the band of every subtree; and the same recursion with bare floats, which has no bands.
Also printed: the largest difference from the baseline's values and bands.
"""

from __future__ import annotations

import argparse
import statistics
import time
from collections.abc import Callable

import numpy as np
from uncertainties import ufloat

from hoistbook.core.mass.admission import admit
from hoistbook.core.mass.book import mass_book
from hoistbook.core.mass.layout import layout
from hoistbook.core.mass.ledger import ledger
from hoistbook.core.mass.reconcile import reconcile
from hoistbook.core.mass.rollup import RollUp
from hoistbook.core.quantities.instruments import Instrument, reading
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.vehicle.records import (
    Configuration,
    Measurement,
    Node,
    NodeKind,
    Scope,
    Teardown,
    Vehicle,
)
from hoistbook.core.vehicle.tree import PartTree

SCALES = (
    Instrument("S1", "scale", accuracy_class="III", step_si=0.001, capacity_si=6.0),
    Instrument("S2", "scale", accuracy_class="III", step_si=0.02, capacity_si=60.0),
    Instrument("S3", "scale", accuracy_class="III", step_si=0.5, capacity_si=1500.0),
)


def vehicle(size: int, *, assemblies: bool) -> Teardown:
    """A made-up vehicle: 15 systems, assemblies of about 12 parts nested three deep."""
    rng = np.random.default_rng(1)
    nodes = [Node("V", None, "vehicle", NodeKind.ASSEMBLY)]
    nodes += [Node(f"S{i:02d}", "V", f"system {i}", NodeKind.ASSEMBLY, system=f"S{i:02d}") for i in range(15)]
    parents = [node.tag for node in nodes[1:]]
    mass: dict[str, float] = {}
    for i in range(len(nodes), size):
        parent = parents[rng.integers(len(parents))]
        tag = f"N{i:05d}"
        if rng.random() < 0.08:
            parents.append(tag)
            nodes.append(Node(tag, parent, tag, NodeKind.ASSEMBLY))
        else:
            mass[tag] = float(rng.lognormal(-2.5, 1.2))
            nodes.append(Node(tag, parent, tag, count=float(rng.integers(1, 3))))
    pieces = {node.tag: node.count for node in nodes}
    below: dict[str, float] = dict.fromkeys(pieces, 0.0)
    for node in reversed(nodes):
        below[node.tag] += mass.get(node.tag, 0.0)
        if node.parent is not None:
            below[node.parent] += pieces[node.tag] * below[node.tag]
    readings = [_weigh(tag, kg, Scope.SELF) for tag, kg in mass.items()]
    if assemblies:
        whole = [tag for tag in parents[15:] if 0.4 < below[tag] < 1400.0 and rng.random() < 0.4]
        readings += [_weigh(tag, below[tag] * 1.001, Scope.SUBTREE) for tag in whole]
    return Teardown(
        Vehicle("W", "made up"),
        (Configuration("c", "W"),),
        nodes=tuple(nodes),
        measurements=tuple(readings),
        instruments={scale.id: scale for scale in SCALES},
    )


def _weigh(tag: str, kg: float, scope: Scope) -> Measurement:
    scale = next(s for s in SCALES if kg <= (s.capacity_si or 0.0))
    lot = max(1.0, np.ceil(20.0 * (scale.step_si or 0.0) / kg))
    return Measurement(
        f"R-{tag}", tag, "mass", reading(scale, lot * kg, f"W/R-{tag}"), pieces=lot, scope=scope
    )


def best_of(repeats: int, work: Callable[[], object]) -> float:
    """Median time of a few runs. [s]"""
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def recursive_totals(teardown: Teardown, number: Callable[[Quantity], object]) -> dict[str, object]:
    """Mass of every subtree by recursion, one number per reading."""
    children: dict[str, list[Node]] = {}
    for node in teardown.nodes:
        if node.parent is not None:
            children.setdefault(node.parent, []).append(node)
    own = {m.subject: number(m.value / m.pieces) for m in teardown.measurements}
    totals: dict[str, object] = {}

    def mass(tag: str) -> object:
        total = own.get(tag, 0.0)
        for child in children.get(tag, ()):
            total = total + child.count * mass(child.tag)
        totals[tag] = total
        return total

    mass("V")
    return totals


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--size", type=int, default=10_000, help="nodes of the vehicle")
    parser.add_argument("--repeats", type=int, default=7)
    options = parser.parse_args()

    teardown = vehicle(options.size, assemblies=True)
    tree = layout(PartTree(teardown.nodes))

    def from_readings() -> RollUp:
        entries = ledger(teardown.measurements, "V", "W")
        admission = admit(tree, entries.observations)
        roll = RollUp(tree, reconcile(tree, admission.observations, admission.active, "W"))
        roll.bands(roll.subtree_rows)
        return roll

    roll = from_readings()
    systems = sorted({node.system for node in teardown.nodes if node.system})
    by_system = [
        {p: float(tree.pieces[p]) for p, node in enumerate(tree.nodes) if tree.tree.system(node.tag) == code}
        for code in systems
    ]

    def roll_up() -> None:
        fresh = RollUp(tree, roll.solution)
        fresh.bands(fresh.subtree_rows)
        fresh.bands(fresh.rows(by_system))

    seconds = best_of(options.repeats, roll_up)
    all_seconds = best_of(options.repeats, from_readings)
    book_seconds = best_of(3, lambda: mass_book(teardown))

    single = vehicle(options.size, assemblies=False)
    names: dict[str, object] = {}

    def propagating(value: Quantity) -> object:
        result = value.value
        for source, c in value.terms:
            result = result + c * names.setdefault(source.name, ufloat(0.0, 1.0))
        return result

    start = time.perf_counter()
    oracle = recursive_totals(single, propagating)
    deviations = {tag: getattr(total, "std_dev", 0.0) for tag, total in oracle.items()}
    oracle_seconds = time.perf_counter() - start
    plain_seconds = best_of(options.repeats, lambda: recursive_totals(teardown, lambda q: q.value))

    single_tree = layout(PartTree(single.nodes))
    admission = admit(single_tree, ledger(single.measurements, "V", "W").observations)
    single_roll = RollUp(single_tree, reconcile(single_tree, admission.observations, admission.active, "W"))
    bands = single_roll.bands(single_roll.subtree_rows)
    worst_value = worst_u = 0.0
    for place, node in enumerate(single_tree.nodes):
        total = oracle[node.tag]
        nominal = float(getattr(total, "nominal_value", total))
        worst_value = max(worst_value, abs(bands.value_kg[place] - nominal) / max(nominal, 1e-3))
        worst_u = max(
            worst_u, abs(bands.u_kg[place] - deviations[node.tag]) / max(deviations[node.tag], 1e-9)
        )

    sources = len(roll.solution.table.sources)
    print(f"nodes {len(teardown.nodes)}, readings {len(teardown.measurements)}, named sources {sources}")
    for words, taken in (
        ("roll-up with bands, all subtrees and systems", seconds),
        ("from the readings: ledger, reconcile, bands", all_seconds),
        ("whole mass book", book_seconds),
        ("recursion with uncertainties", oracle_seconds),
        ("recursion with bare floats, no bands", plain_seconds),
    ):
        print(f"{words:46s} {1e3 * taken:9.1f} ms   {taken / seconds:7.2f} x the roll-up")
    print(f"largest relative difference: value {worst_value:.1e}, standard uncertainty {worst_u:.1e}")


if __name__ == "__main__":
    main()
