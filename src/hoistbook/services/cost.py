"""What a torn-down vehicle should cost: every part with a route, fasteners, assembly, rolled up over its tree."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from hoistbook.core.cost.assembly.book import AssemblyBook
from hoistbook.core.cost.engine import cost_parts
from hoistbook.core.cost.processes import PROCESSES
from hoistbook.core.cost.result import PartCost
from hoistbook.core.cost.route import PartToCost
from hoistbook.core.cost.scenario import Scenario
from hoistbook.core.mass.book import MassBook
from hoistbook.core.vehicle.approaches import approach_parts
from hoistbook.core.vehicle.records import NodeKind, Teardown
from hoistbook.core.vehicle.tree import PartTree
from hoistbook.reference.taxonomy import taxonomy
from hoistbook.services.cost_assembly import book_of, function_shares, standard_seconds
from hoistbook.services.cost_inputs import CostInputs, PricedFastener, cost_inputs
from hoistbook.services.cost_rollup import Ledger, Sum, ledger
from hoistbook.services.cost_sisters import Known, SisterPart, with_sister
from hoistbook.services.cost_words import closest
from hoistbook.services.loading import chosen_configuration
from hoistbook.services.mass import UNASSIGNED_SYSTEM, UNASSIGNED_WORDS, mass_report

COST_DRAWS, COST_SEED = 1_000, 1
NO_FUNCTION, NO_FUNCTION_WORDS = "", "in no function"


@dataclass(frozen=True, slots=True)
class NotCosted:
    """A part without a cost, and why; its share of the mass of all parts, where its mass is known. [1]"""

    tag: str
    name: str
    why: str
    mass_share_frac: float | None


@dataclass(frozen=True, slots=True)
class Covered:
    """How much of a vehicle has a cost: shares of the mass of all parts, and of the pieces. [1]"""

    mass_frac: float | None
    piece_frac: float
    pieces: float
    costed_pieces: float


@dataclass(frozen=True, slots=True)
class CostReport:
    """What a vehicle should cost.

    Attributes
    ----------
    vehicle, configuration : str
    scenario : Scenario
    draws, seed : int
    tree : PartTree
    costs : mapping of tag to PartCost
        Parts by their routes.
    inputs : CostInputs
        What they were worked out from.
    fasteners : mapping of tag to PricedFastener
    assembly_s : mapping of tag to float
        Standard time each node answers for, in the whole vehicle. [s]
    nodes : tuple of Sum
        Every node with all below it.
    systems, functions : tuple of Sum
        Each adds up to the vehicle; the last function is what is in none.
    refused, unrouted : tuple of NotCosted
        The heaviest first.
    covered : Covered
    sisters : mapping of tag to SisterPart
    sums : Ledger
        Any other sum.
    book : AssemblyBook
    masses : MassBook
    """

    vehicle: str
    configuration: str
    scenario: Scenario
    draws: int
    seed: int
    tree: PartTree
    costs: Mapping[str, PartCost]
    inputs: CostInputs
    fasteners: Mapping[str, PricedFastener]
    assembly_s: Mapping[str, float]
    nodes: tuple[Sum, ...]
    systems: tuple[Sum, ...]
    functions: tuple[Sum, ...]
    refused: tuple[NotCosted, ...]
    unrouted: tuple[NotCosted, ...]
    covered: Covered
    sisters: Mapping[str, SisterPart]
    sums: Ledger
    book: AssemblyBook
    masses: MassBook

    @property
    def whole(self) -> Sum:
        """The vehicle."""
        return self.nodes[0]

    def part(self, tag: str) -> PartToCost:
        """What a costed part was worked out from; `KeyError` where it has no cost by a route."""
        return next(one for one in self.inputs.parts if one.tag == tag)


def cost_report(
    teardown: Teardown,
    scenario: Scenario,
    configuration: str | None = None,
    *,
    n_draws: int = COST_DRAWS,
    seed: int = COST_SEED,
    sister: Teardown | None = None,
    sister_volume_per_year: float | None = None,
) -> CostReport:
    """What a vehicle should cost, part by part and rolled up.

    Parameters
    ----------
    teardown : Teardown
    scenario : Scenario
    configuration : str, optional
        Needed when the vehicle has several.
    n_draws, seed : int
    sister : Teardown, optional
        A vehicle whose parts may be the same; they then share their tools' volume.
    sister_volume_per_year : float, optional
        Sisters built; as many as the scenario's when left out. [1/year]

    Returns
    -------
    CostReport
        A part that cannot be costed is listed with its reason and hides no other.

    Raises
    ------
    ValueError
        No part tree, or no route of many can be costed.
    LookupError
        An unknown configuration, or money that cannot be carried to that of the scenario.

    Notes
    -----
    Cost of a node = its own piece by its pieces, its bought fasteners, its share of the assembly, and the cost of what
    is below it.
    """
    chosen = chosen_configuration(teardown, configuration)
    masses = mass_report(teardown, chosen.id, proposals=0)
    tree = PartTree(teardown.nodes)
    inputs = cost_inputs(teardown, tree, masses, scenario)
    parts = inputs.parts
    sisters: dict[str, SisterPart] = {}
    if sister is not None:
        volume = scenario.volume_per_year if sister_volume_per_year is None else sister_volume_per_year
        there = Known(sister, PartTree(sister.nodes), mass_report(sister, None, proposals=0))
        parts, sisters = with_sister(parts, Known(teardown, tree, masses), there, volume)
    costed = cost_parts(parts, scenario, PROCESSES, n_draws, seed)
    refused = {**inputs.refused, **costed.refused}
    routed = {step.tag for step in teardown.routes}
    if routed and not costed.parts:
        several = {tag: refused[tag] for tag in tree.order if tag in routed and tag in refused}
        msg = "\n".join([f"{teardown.vehicle.code}: no part can be costed.", *_said_once(several)])
        raise ValueError(msg)
    book = book_of(teardown, tree, masses, scenario)
    seconds = standard_seconds(book)
    sums = ledger(tree, costed.parts, inputs.fasteners, seconds, scenario, n_draws, seed)
    return CostReport(
        teardown.vehicle.code,
        chosen.id,
        scenario,
        n_draws,
        seed,
        tree,
        costed.parts,
        CostInputs(parts, inputs.fasteners, refused, inputs.unrouted),
        inputs.fasteners,
        MappingProxyType({tag: time.value for tag, time in seconds.items()}),
        sums.tree_sums(tree),
        _systems(tree, sums),
        _functions(teardown, chosen.id, tree, sums),
        _not_costed(refused, tree, masses),
        _not_costed(dict.fromkeys(inputs.unrouted, _NO_ROUTE), tree, masses),
        _covered({*costed.parts, *inputs.fasteners}, tree, masses),
        MappingProxyType(sisters),
        sums,
        book,
        masses,
    )


MOST_REASONS = 20
"""Reasons in one message; each part is told with its own."""


def _said_once(why: Mapping[str, str]) -> list[str]:
    """Reasons, each once, with the tags it holds for."""
    tags: dict[str, list[str]] = {}
    for tag, said in why.items():
        tags.setdefault(said.removeprefix(tag).lstrip(":, "), []).append(tag)
    return [
        f"{', '.join(several[:3])}{f' and {len(several) - 3} more' if len(several) > 3 else ''}: {said}"
        for said, several in list(tags.items())[:MOST_REASONS]
    ]


_NO_ROUTE = "no route; list how it is made in the sheet routes"


def _systems(tree: PartTree, sums: Ledger) -> tuple[Sum, ...]:
    known = taxonomy()
    tags: dict[str, dict[str, float]] = {}
    for tag in tree.order:
        code = tree.system(tag)
        key = known.system(code).code if code in known else UNASSIGNED_SYSTEM
        tags.setdefault(key, {})[tag] = 1.0
    return tuple(
        sums.sum_of(key, UNASSIGNED_WORDS if key == UNASSIGNED_SYSTEM else known.system(key).name, tags[key])
        for key in sorted(tags, key=lambda key: (key == UNASSIGNED_SYSTEM, key))
    )


def _functions(teardown: Teardown, configuration: str, tree: PartTree, sums: Ledger) -> tuple[Sum, ...]:
    names = {one.code: one.name for one in teardown.functions}
    left = dict.fromkeys(tree.order, 1.0)
    found = []
    parts = approach_parts(teardown)
    for approach in teardown.approaches:
        if approach.configuration != configuration:
            continue
        weights = dict(parts[approach.id])
        for tag, share in weights.items():
            left[tag] = max(left[tag] - share, 0.0) if left[tag] - share > 1e-12 else 0.0
        found.append(sums.sum_of(approach.function, names.get(approach.function, approach.function), weights))
    rest = {tag: share for tag, share in left.items() if share}
    found.sort(key=lambda one: -one.total.value)
    return (*found, sums.sum_of(NO_FUNCTION, NO_FUNCTION_WORDS, rest))


def _not_costed(why: Mapping[str, str], tree: PartTree, masses: MassBook) -> tuple[NotCosted, ...]:
    found = [
        NotCosted(tag, tree[tag].name, said, _mass_share(tag, tree, masses)) for tag, said in why.items()
    ]
    return tuple(sorted(found, key=lambda one: (-(one.mass_share_frac or 0.0), one.tag)))


def _mass_share(tag: str, tree: PartTree, masses: MassBook) -> float | None:
    own = masses.node(tag).own_kg
    if own is None or not masses.total.value > 0.0:
        return None
    return own * tree.pieces(tag) / masses.total.value


def _covered(costed: set[str], tree: PartTree, masses: MassBook) -> Covered:
    pieces = {node.tag: tree.pieces(node.tag) for node in tree if node.kind is not NodeKind.ASSEMBLY}
    with_cost = sum(count for tag, count in pieces.items() if tag in costed)
    everything = sum(pieces.values())
    shares = [_mass_share(tag, tree, masses) for tag in costed]
    return Covered(
        sum(one or 0.0 for one in shares) if masses.total.value > 0.0 else None,
        with_cost / everything if everything else 0.0,
        everything,
        with_cost,
    )


def chosen_part(report: CostReport, tag: str) -> str:
    """Tag of a part that has a cost.

    Raises
    ------
    LookupError
        No such tag; the message names the closest.
    ValueError
        The part has no cost, with the reason.
    """
    if tag in report.costs or tag in report.fasteners:
        return tag
    why = {one.tag: one.why for one in (*report.refused, *report.unrouted)}
    raise no_cost(report.vehicle, tag, report.tree.order, why)


def no_cost(vehicle: str, tag: str, known: Sequence[str], why: Mapping[str, str]) -> ValueError | LookupError:
    """Say why a tag has no cost of its own.

    Parameters
    ----------
    vehicle, tag : str
    known : sequence of str
        Tags of the vehicle.
    why : mapping of tag to str
        Of its parts that have no cost.
    """
    if tag not in known:
        return LookupError(f"{vehicle}: no part {tag!r}; {closest(tag, known)}")
    if tag not in why:
        return ValueError(
            f"{tag} is put together from parts and has no route of its own; the cost of the vehicle has what is "
            "below it."
        )
    said = why[tag]
    return ValueError(said if said.startswith(tag) else f"{tag}: {said}.")


def function_sum(report: CostReport, teardown: Teardown, function: str) -> tuple[Sum, dict[str, float]]:
    """Cost of what serves a function or a narrower one, and the share of each node in it.

    Raises
    ------
    LookupError
        No such function or approach.
    """
    words, share = function_shares(teardown, function, report.configuration)
    return report.sums.sum_of(function, words, share), share
