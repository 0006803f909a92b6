"""A bench for the tests: invented part trees, weighed by invented instruments with known errors."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

import numpy as np

from hoistbook.core.mass import MassBook, mass_book
from hoistbook.core.quantities.instruments import Instrument
from hoistbook.core.quantities.quantity import Quantity, Source
from hoistbook.core.vehicle.records import (
    Approach,
    Configuration,
    Fact,
    Function,
    Measurement,
    Method,
    Node,
    NodeKind,
    Scope,
    Share,
    Teardown,
    Vehicle,
)

ASSEMBLY, PART, FASTENER, FLUID = NodeKind.ASSEMBLY, NodeKind.PART, NodeKind.FASTENER, NodeKind.FLUID


def kg(value, u=0.01, name=None, shared=()):
    """A mass with an error of its own and, if wanted, shared ones as (name, u)."""
    own = ((Source(name), u),) if u else ()
    return Quantity(value, "kg", own + tuple((Source(source), c) for source, c in shared))


@dataclass
class Bench:
    """Collects the rows of one teardown. `part` and `weigh` return the bench, so rows can be chained."""

    code: str = "Whimbrel"
    nodes: list = field(default_factory=lambda: [Node("V", None, "vehicle", ASSEMBLY)])
    readings: list = field(default_factory=list)
    facts: list = field(default_factory=list)
    functions: list = field(default_factory=list)
    approaches: list = field(default_factory=list)
    shares: list = field(default_factory=list)
    instruments: Mapping = field(default_factory=dict)

    def part(self, tag, parent="V", kind=PART, count=1.0, **more):
        self.nodes.append(Node(tag, parent, f"part {tag}", kind, count, **more))
        return self

    def weigh(
        self, of, value, u=0.01, *, scope=Scope.SELF, pieces=1.0, shared=(), method=Method.WEIGHED, **more
    ):
        reading = more.pop("id", f"R{len(self.readings) + 1}")
        mass = kg(value, u, f"reading {self.code}/{reading}/band", shared)
        self.readings.append(
            Measurement(reading, of, "mass", mass, scope=scope, pieces=pieces, method=method, **more)
        )
        return self

    def whole(self, of, value, u=0.01, **more):
        return self.weigh(of, value, u, scope=Scope.SUBTREE, **more)

    def fact(self, quantity, value, **more):
        self.facts.append(Fact("as built", quantity, value, **more))
        return self

    def teardown(self):
        return Teardown(
            Vehicle(self.code, self.code),
            (Configuration("as built", self.code),),
            facts=tuple(self.facts),
            nodes=tuple(self.nodes),
            measurements=tuple(self.readings),
            instruments=self.instruments,
            functions=tuple(self.functions),
            approaches=tuple(self.approaches),
            shares=tuple(self.shares),
        )

    def book(self, *args, **options) -> MassBook:
        return mass_book(self.teardown(), *args, **options)

    def function(self, code, *, name="", parent="", aliases=(), approach=""):
        self.functions.append(Function(code, name or code, parent, aliases))
        if approach:
            self.approaches.append(Approach(approach, "as built", code))
        return self

    def share(self, tag, approach, fraction):
        self.shares.append(Share(tag, approach, fraction))
        return self


SMALL = Instrument("S1", "scale", accuracy_class="III", step_si=0.001, capacity_si=6.0)
MIDDLE = Instrument("S2", "scale", accuracy_class="III", step_si=0.02, capacity_si=60.0)
LARGE = Instrument("S3", "scale", accuracy_class="III", step_si=0.5, capacity_si=1500.0)
SCALES = (SMALL, MIDDLE, LARGE)


def random_nodes(rng: np.random.Generator, size: int, *, assembly_share=0.3, most=3) -> list[Node]:
    """A random tree with counts."""
    nodes = [Node("V", None, "vehicle", ASSEMBLY)]
    parents = ["V"]
    for i in range(1, size):
        kind = ASSEMBLY if rng.random() < assembly_share else PART
        tag = f"N{i:04d}"
        parent = parents[rng.integers(len(parents))]
        nodes.append(Node(tag, parent, tag, kind, float(rng.integers(1, most + 1))))
        # A part may carry others now and then, as a housing carries its bushes.
        if kind is ASSEMBLY or rng.random() < 0.1:
            parents.append(tag)
    return nodes


def plain_subtree_masses(nodes: Iterable[Node], own: Mapping[str, float]) -> dict[str, float]:
    """Mass of one piece of every node with everything below it, by plain recursion."""
    children: dict[str, list[Node]] = {}
    for node in nodes:
        if node.parent is not None:
            children.setdefault(node.parent, []).append(node)

    def mass(tag: str) -> float:
        return own.get(tag, 0.0) + sum(child.count * mass(child.tag) for child in children.get(tag, ()))

    return {node.tag: mass(node.tag) for node in nodes}


def plain_pieces(nodes: Iterable[Node]) -> dict[str, float]:
    """Pieces in the whole vehicle, by plain recursion."""
    by_tag = {node.tag: node for node in nodes}

    def pieces(node: Node) -> float:
        return 1.0 if node.parent is None else node.count * pieces(by_tag[node.parent])

    return {tag: pieces(node) for tag, node in by_tag.items()}
