"""Planted truth: vehicles with known masses, weighed with instruments that err as they say, many times over."""

import numpy as np
import pytest

from hoistbook.core.mass import Verdict, closure
from hoistbook.core.mass.admission import admit
from hoistbook.core.mass.layout import layout
from hoistbook.core.mass.ledger import ledger
from hoistbook.core.mass.reconcile import reconcile
from hoistbook.core.mass.rollup import RollUp
from hoistbook.core.quantities.quantity import Quantity, Source, total
from hoistbook.core.vehicle.records import Fact, MassState, Measurement, NodeKind, Scope
from hoistbook.core.vehicle.tree import PartTree

from .mass_bench import ASSEMBLY, PART, Bench, plain_pieces, plain_subtree_masses, random_nodes

NO_BOUND = 1e12
PADS = ("front_left", "front_right", "rear_left", "rear_right")


class Truth:
    """One invented vehicle: parts, adhesive in some assemblies, and what the readings of it would be without error."""

    def __init__(self, seed, size):
        rng = np.random.default_rng(seed)
        self.nodes = random_nodes(rng, size, most=2)
        parents = {node.parent for node in self.nodes}
        own = {
            n.tag: float(rng.uniform(1.0, 6.0)) for n in self.nodes if n.tag not in parents or n.kind is PART
        }
        self.whole = [n for n in self.nodes[1:] if n.tag in parents and rng.random() < 0.4]
        # What is in no listed piece shows only where the assembly was weighed as a whole.
        own.update(
            {
                n.tag: own.get(n.tag, 0.0) + float(rng.uniform(0.0, 0.05))
                for n in self.whole
                if n.kind is ASSEMBLY
            }
        )
        self.own = own
        self.subtree = plain_subtree_masses(self.nodes, own)
        self.pieces = plain_pieces(self.nodes)
        self.total = self.subtree["V"]
        self.parents = parents
        self.twice = [n for n in self.nodes[1:] if n.tag not in parents and rng.random() < 0.15]

    def weighed(self, rng, *, forgotten_kg=0.0):
        """One bench day: every source of error drawn once."""
        drawn: dict[str, float] = {}

        def read(true_kg, name, own_u, shared, shared_u, shape="normal"):
            spread = rng.normal() if shape == "normal" else rng.uniform(-1.0, 1.0) * np.sqrt(3.0)
            if shared not in drawn:
                drawn[shared] = rng.uniform(-1.0, 1.0) * np.sqrt(3.0)
            value = true_kg + own_u * spread + shared_u * drawn[shared]
            return Quantity(
                value, "kg", ((Source(name, shape), own_u), (Source(shared, "rectangular"), shared_u))
            )

        bench = Bench(nodes=self.nodes)
        readings = bench.readings

        def weigh(tag, true_kg, scope=Scope.SELF):
            name = f"R{len(readings) + 1}"
            scale = "S1" if true_kg < 6.0 else "S2"
            own_u = 0.004 if scale == "S1" else 0.04
            calibration = f"instrument {scale}/calibration"
            value = read(true_kg, f"reading Whimbrel/{name}/band", own_u, calibration, 0.0002 * true_kg)
            readings.append(Measurement(name, tag, "mass", value, scope=scope))

        for node in self.nodes[1:]:
            if node.tag not in self.parents or node.kind is PART:
                weigh(node.tag, self.own[node.tag])
        for node in self.whole:
            weigh(node.tag, self.subtree[node.tag], Scope.SUBTREE)
        for node in self.twice:
            weigh(node.tag, self.own[node.tag], Scope.SUBTREE)  # a second scale entry of the same piece
        for corner in PADS:
            share = (self.total + forgotten_kg) / 4.0
            mass = read(
                share, f"pad {corner}", 0.05, "instrument P1/calibration", 0.0001 * share, "rectangular"
            )
            bench.facts.append(Fact("as built", f"corner_mass_{corner}", mass, MassState.CURB))
        return bench


def run(truth, days, seed, **options):
    """Shares of days on which the vehicle's band, the nodes' bands hold, and the closure says agree, do not agree."""
    rng = np.random.default_rng(seed)
    tree = layout(PartTree(truth.nodes))
    truths = np.array([truth.subtree[node.tag] for node in tree.nodes])
    held, verdicts = [], []
    for _ in range(days):
        bench = truth.weighed(rng, **options)
        # No bound: the 5 % of sound readings beyond 2 u must not be treated as faults here.
        admission = admit(tree, ledger(bench.readings, "V", "Whimbrel").observations, NO_BOUND)
        roll = RollUp(tree, reconcile(tree, admission.observations, admission.active, "Whimbrel", NO_BOUND))
        bands = roll.bands(roll.subtree_rows)
        held.append(np.abs(bands.value_kg - truths) <= bands.half_kg)
        corners = total([fact.value for fact in bench.facts])
        verdicts.append(closure(roll.total(), corners, threshold_frac=0.5).verdict)
    inside = np.array(held)
    return (
        inside[:, 0].mean(),
        inside[:, 1:].mean(),
        verdicts.count(Verdict.AGREE) / days,
        verdicts.count(Verdict.DISAGREE) / days,
    )


def test_bands_hold_and_the_closure_statement_is_right():
    total_rate, node_rate, agree, _ = run(Truth(3, 40), 300, 1)
    # first principles: a 95 % band holds 95 % of the time; of 300 days ±2.5 % are two binomial standard deviations.
    assert 0.93 <= total_rate <= 0.97
    assert 0.93 <= node_rate <= 0.97
    assert 0.93 <= agree <= 0.97


def test_a_forgotten_part_is_found():
    truth = Truth(3, 40)
    _, _, agree, disagree = run(truth, 60, 2, forgotten_kg=8.5)
    assert (agree, disagree) == (0.0, 1.0)


@pytest.mark.slow
def test_bands_hold_over_many_vehicles_and_days():
    rates = np.array([run(Truth(seed, 60), 300, seed + 100) for seed in range(20)])
    # computed: 20 vehicles of 60 nodes, 300 days each; the planted masses are the truth.
    assert 0.93 <= rates[:, 0].mean() <= 0.97
    assert 0.93 <= rates[:, 1].mean() <= 0.97
    assert 0.93 <= rates[:, 2].mean() <= 0.97


def test_kinds_of_node_do_not_change_a_mass():
    for kind in (NodeKind.PART, NodeKind.FASTENER, NodeKind.FLUID, NodeKind.LOOSE, NodeKind.ASSEMBLY):
        assert Bench().part("P", kind=kind).weigh("P", 2.0).book().total.value == 2.0
