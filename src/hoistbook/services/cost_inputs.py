"""What of a teardown goes into a cost: routes, readings, masses, materials, and fasteners bought by their size."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from hoistbook.core.cost.estimates import with_estimates
from hoistbook.core.cost.fasteners.designation import read_designation
from hoistbook.core.cost.fasteners.price import fastener_price
from hoistbook.core.cost.figure import Figure
from hoistbook.core.cost.figure_set import FigureSet
from hoistbook.core.cost.inputs import INPUT_OF_KIND, INPUTS
from hoistbook.core.cost.processes import PROCESSES
from hoistbook.core.cost.route import PartToCost, Step
from hoistbook.core.cost.scenario import Scenario
from hoistbook.core.mass.book import MassBook
from hoistbook.core.mass.nodes import MassBasis
from hoistbook.core.quantities.quantity import Quantity, total
from hoistbook.core.vehicle.records import Measurement, NodeKind, RouteStep, SubjectKind, Teardown
from hoistbook.core.vehicle.tree import PartTree
from hoistbook.reference.fasteners import fastener_tables
from hoistbook.services.cost_scenario import basis_of, fasteners_in, process_named
from hoistbook.services.cost_words import material_code

MASS = "mass_kg"
PRICE_NAME = "bought fasteners"
"""All prices of fasteners share one error: they rest on the same few figures, and many kinds do not average it out."""
_OWN = (
    MassBasis.WEIGHED,
    MassBasis.COMPUTED,
    MassBasis.ESTIMATED,
    MassBasis.LITERATURE,
    MassBasis.DIFFERENCE,
)


@dataclass(frozen=True, slots=True)
class PricedFastener:
    """A fastener bought by its designation.

    Attributes
    ----------
    tag, name : str
    price : Figure
        Of one piece, in the money of the scenario.
    lines : tuple of (str, float)
        What the price is made of; they add up to it. [money]
    pieces_per_year : float
        Of all that read alike.
    assumed : tuple of str
    """

    tag: str
    name: str
    price: Figure
    lines: tuple[tuple[str, float], ...]
    pieces_per_year: float
    assumed: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CostInputs:
    """Everything of one vehicle that is costed, and why the rest is not.

    Attributes
    ----------
    parts : tuple of PartToCost
        In the order of the tree.
    fasteners : mapping of tag to PricedFastener
    refused : mapping of tag to str
        Parts with a route that cannot be costed, and fasteners that cannot be priced.
    unrouted : tuple of str
        Tags of parts without a route.
    """

    parts: tuple[PartToCost, ...]
    fasteners: Mapping[str, PricedFastener]
    refused: Mapping[str, str]
    unrouted: tuple[str, ...]


def cost_inputs(teardown: Teardown, tree: PartTree, book: MassBook, scenario: Scenario) -> CostInputs:
    """Gather what is costed.

    Parameters
    ----------
    teardown : Teardown
    tree : PartTree
        Of its nodes.
    book : MassBook
    scenario : Scenario

    Raises
    ------
    LookupError
        Prices of fasteners that cannot be carried to the money of the scenario.

    Notes
    -----
    A part that has parts below it and whose route begins with work on a piece is put together from them: its mass is
    that of all of it. Any other part is its own mass, without what is listed below it.
    """
    routes: dict[str, list[RouteStep]] = {}
    for step in teardown.routes:
        routes.setdefault(step.tag, []).append(step)
    readings = part_readings(teardown.measurements)
    own = own_masses(book)
    names = error_names(teardown.vehicle.code, tree)
    parts: list[PartToCost] = []
    refused: dict[str, str] = {}
    for node in tree:
        if node.tag not in routes:
            continue
        try:
            parts.append(
                _part(node.tag, routes[node.tag], readings, own, tree, book, scenario, names[node.tag])
            )
        except (ValueError, LookupError) as error:
            refused[node.tag] = _with_tag(node.tag, str(error.args[0]))
    fasteners, not_priced = _fasteners(teardown, tree, routes, scenario)
    unrouted = [
        node.tag
        for node in tree
        if node.tag not in routes and node.kind not in (NodeKind.ASSEMBLY, NodeKind.FASTENER)
    ]
    return CostInputs(
        tuple(parts),
        MappingProxyType(fasteners),
        MappingProxyType(refused | not_priced),
        tuple(unrouted),
    )


def part_readings(measurements: Sequence[Measurement]) -> dict[str, dict[str, Quantity]]:
    """Readings of each part by the names of `INPUTS`, of one piece, repeats averaged; masses are the mass book's.

    Notes
    -----
    A reading that another one supersedes does not count. Readings of several pieces together are shared evenly.
    """
    superseded = {one.supersedes for one in measurements if one.supersedes}
    found: dict[tuple[str, str], list[Measurement]] = {}
    for one in measurements:
        known = INPUT_OF_KIND.get(one.quantity)
        counts = one.id not in superseded and one.subject_kind is SubjectKind.PART
        if counts and known is not None and known.name != MASS:
            found.setdefault((one.subject, known.name), []).append(one)
    readings: dict[str, dict[str, Quantity]] = {}
    for (tag, name), several in found.items():
        weights = [1.0 / (len(several) * one.pieces) for one in several]
        value = total([one.value for one in several], weights, INPUTS[name].unit)
        readings.setdefault(tag, {})[name] = value
    return readings


def own_masses(book: MassBook) -> dict[str, Quantity]:
    """Reconciled mass of one piece of every node that has one of its own, without what is listed below it. [kg]"""
    index = book.roll.tree.index
    tags = [node.tag for node in book.nodes if node.basis in _OWN]
    rows = book.roll.rows([{index[tag]: 1.0} for tag in tags])
    return dict(zip(tags, book.roll.quantities(rows), strict=True))


def error_names(vehicle: str, tree: PartTree) -> dict[str, str]:
    """Name of the own errors of each part: vehicle and tag; the left and the right of one part miss alike.

    Notes
    -----
    Left and right are one part where their names and those of all above them are the same but for the words left and
    right, and a side is stated or named on the way.
    """
    first: dict[tuple[str, ...], str] = {}
    found = {}
    for node in tree:
        way = [node, *tree.ancestors(node.tag)[:-1]]
        names = [_WORD.findall(one.name.casefold()) for one in way]
        plain = tuple(" ".join(word for word in words if word not in _SIDES) for words in names)
        sided = any(one.side for one in way) or any(word in _SIDES for words in names for word in words)
        tag = first.setdefault(plain, node.tag) if sided else node.tag
        found[node.tag] = f"{vehicle}/{tag}"
    return found


_WORD = re.compile(r"\w+")
_SIDES = frozenset({"left", "right"})


def _part(
    tag: str,
    route: Sequence[RouteStep],
    readings: Mapping[str, Mapping[str, Quantity]],
    own: Mapping[str, Quantity],
    tree: PartTree,
    book: MassBook,
    scenario: Scenario,
    error_name: str,
) -> PartToCost:
    ordered = sorted(route, key=lambda step: step.number)
    first = process_named(ordered[0].process)
    assembled = not first.adds_material and not tree.is_leaf(tag)
    taken = dict(readings.get(tag, {}))
    if assembled:
        if book.node(tag).unknown_below == 0:
            taken[MASS] = book.mass(tag)
    elif tag in own:
        taken[MASS] = own[tag]
    steps = [
        Step(
            process_named(step.process).name,
            MappingProxyType(dict(step.options)),
            material=material_code(step.material, scenario) if step.material and place else "",
            note=step.note,
            origin=step.seen.value,
        )
        for place, step in enumerate(ordered)
    ]
    # An assembly has no material of its own; what its steps bring is theirs.
    said = ordered[0].material or tree[tag].material
    material = next(iter(scenario.materials)) if assembled and not said else material_code(said, scenario)
    part = PartToCost(
        tag,
        tree[tag].name,
        material,
        MappingProxyType(taken),
        tuple(steps),
        pieces_per_vehicle=tree.pieces(tag),
        assembled=assembled,
        error_name=error_name,
    )
    return with_estimates(part, PROCESSES, scenario.materials)[0]


def _with_tag(tag: str, message: str) -> str:
    return message if message.startswith(tag) else f"{tag}: {message}"


def _fasteners(
    teardown: Teardown, tree: PartTree, routed: Iterable[str], scenario: Scenario
) -> tuple[dict[str, PricedFastener], dict[str, str]]:
    """Fasteners of the tree without a route, priced by what their names say; and why others are not."""
    with_route = set(routed)
    nodes = [node for node in tree if node.kind is NodeKind.FASTENER and node.tag not in with_route]
    drives = {joint.fastener: joint.drive for joint in teardown.joints if joint.fastener}
    yearly: dict[str, float] = {}
    for node in nodes:
        yearly[node.name] = yearly.get(node.name, 0.0) + tree.pieces(node.tag) * scenario.volume_per_year
    figures = fasteners_in(scenario)
    read: dict[tuple[str, str], PricedFastener | str] = {}
    priced: dict[str, PricedFastener] = {}
    refused: dict[str, str] = {}
    for node in nodes:
        key = (node.name, drives.get(node.tag, ""))
        if key not in read:
            try:
                read[key] = _priced(node.tag, *key, figures, yearly[node.name], scenario)
            except ValueError as error:
                read[key] = str(error.args[0])
        found = read[key]
        if isinstance(found, str):
            refused[node.tag] = f"{node.tag}: {found}"
        else:
            priced[node.tag] = PricedFastener(
                node.tag, node.name, found.price, found.lines, found.pieces_per_year, found.assumed
            )
    return priced, refused


def _priced(
    tag: str, text: str, drive: str, figures: FigureSet, per_year: float, scenario: Scenario
) -> PricedFastener:
    designation = read_designation(text, fastener_tables(), drive)
    price = fastener_price(designation.piece, figures, per_year)
    value = price.piece_money.value
    half = (
        math.sqrt(6.0) * price.piece_money.standard_uncertainty
    )  # limits of a triangle with this uncertainty
    basis = basis_of(scenario)
    return PricedFastener(
        tag,
        text,
        Figure(
            "price_money",
            f"price of {text}",
            "money",
            value,
            max(value - half, 0.0),
            value + half,
            "common practice",
            "mass-based should-cost of fasteners, see the figures of fastener prices",
            currency=basis.currency,
            year=basis.year,
            drawn_as=f"fastener/{PRICE_NAME}",
        ),
        tuple((name, amount.value) for name, amount in price.lines),
        per_year,
        tuple(one.sentence for one in designation.assumed),
    )
