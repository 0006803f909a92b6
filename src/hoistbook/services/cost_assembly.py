"""Assembly and service of a vehicle from its record: seconds with their motions, money, fasteners, reasons of parts."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from hoistbook.core.cost.assembly.book import AssemblyBook, KnownParts, assembly_book
from hoistbook.core.cost.assembly.fastening import Station
from hoistbook.core.cost.assembly.necessity import Necessity, counted
from hoistbook.core.cost.assembly.tally import JointWork, PartWork, Rates, Tally, tally
from hoistbook.core.cost.assembly.times import standard_time
from hoistbook.core.cost.assembly.work import Workshop
from hoistbook.core.cost.figure_set import figure_quantity
from hoistbook.core.cost.scenario import Scenario
from hoistbook.core.cost.service.derive import Obstacle, service_of_part
from hoistbook.core.cost.service.removal import ServiceTime
from hoistbook.core.mass.book import MassBook
from hoistbook.core.quantities.quantity import Origin, Quantity, total
from hoistbook.core.vehicle.approaches import FunctionTree, approach_parts
from hoistbook.core.vehicle.records import NodeKind, Reason, Teardown
from hoistbook.core.vehicle.tree import PartTree
from hoistbook.reference.assembly import assembly_figures, motion_plans, mtm_tables
from hoistbook.reference.fasteners import fastener_tables
from hoistbook.services.cost_inputs import part_readings
from hoistbook.services.cost_scenario import basis_of
from hoistbook.services.cost_words import closest
from hoistbook.services.loading import chosen_configuration
from hoistbook.services.mass import mass_report


def workshop() -> Workshop:
    """Return the packaged tables, motion plans and figures."""
    return Workshop(mtm_tables(), motion_plans(), assembly_figures(), fastener_tables())


def labour_money_per_s(scenario: Scenario) -> Quantity:
    """Wage of the scenario's region with overhead, in the money of the scenario. ["1/s"]"""
    figures = scenario.regions[scenario.region].figures
    wage, overhead = (
        figure_quantity(scenario.money(figures[name]), f"region/{scenario.region}/{name}")
        for name in ("wage_money_per_s", "overhead_frac")
    )
    return wage * (overhead + 1.0)


def book_of(teardown: Teardown, tree: PartTree, masses: MassBook, scenario: Scenario) -> AssemblyBook:
    """Assembly of a vehicle at the wage of the scenario's region.

    Parameters
    ----------
    teardown : Teardown
    tree : PartTree
    masses : MassBook
        A part is lifted with its reconciled mass, all that is listed below it included.
    scenario : Scenario
    """
    readings = part_readings(teardown.measurements)
    known = KnownParts(
        MappingProxyType(known_masses(tree, masses)),
        MappingProxyType({tag: one["length_m"].value for tag, one in readings.items() if "length_m" in one}),
    )
    return assembly_book(
        teardown,
        workshop(),
        known=known,
        money_per_s=labour_money_per_s(scenario),
        basis=basis_of(scenario),
    )


def known_masses(tree: PartTree, masses: MassBook) -> dict[str, Quantity]:
    """Mass of one piece with all that is below it, where all of it is known. [kg]"""
    found = {}
    for node in masses.nodes:
        if node.tag in tree and node.unknown_below == 0 and node.subtree_kg > 0.0:
            found[node.tag] = Quantity(node.subtree_kg, "kg", origin=Origin.MEASURED)
    return found


def standard_seconds(book: AssemblyBook) -> dict[str, Quantity]:
    """Standard time that each node answers for, in the whole vehicle. [s]

    Notes
    -----
    A joint belongs to the parts that are joined by it, in equal shares, and to its base where it joins nothing else;
    bringing a part to its place belongs to the part. Together they are the time of the vehicle.
    """
    shares: dict[str, list[tuple[Quantity, float]]] = {}
    works: list[JointWork | PartWork] = [*book.joints, *book.parts]
    for work in works:
        if work.normal_s is None:
            continue
        for tag in work.claimants:
            shares.setdefault(tag, []).append((work.normal_s, 1.0 / len(work.claimants)))
    allowance, form = workshop().figure("allowance_frac"), Station().allowance_form
    return {
        tag: standard_time(total([q for q, _ in found], [f for _, f in found], "s"), allowance, form)
        for tag, found in shares.items()
    }


@dataclass(frozen=True, slots=True)
class AssemblyReport:
    """Assembly of a vehicle, or of what serves one function.

    Attributes
    ----------
    vehicle, configuration : str
    function : str
        Words of the function; empty for the vehicle.
    scenario : Scenario
    book : AssemblyBook
        Of the whole vehicle.
    tally : Tally
        Of what was asked for; parts that serve other functions, too, count by their share.
    joints : tuple of (JointWork, float)
        With their shares, slowest first.
    placed : tuple of (PartWork, float)
    necessity : Necessity
    reasons : mapping of tag to tuple of Reason
        Of the parts that were asked for.
    not_counted : tuple of str
        Reasons that stand on something that is no part.
    names : mapping of tag to str
    """

    vehicle: str
    configuration: str
    function: str
    scenario: Scenario
    book: AssemblyBook
    tally: Tally
    joints: tuple[tuple[JointWork, float], ...]
    placed: tuple[tuple[PartWork, float], ...]
    necessity: Necessity
    reasons: Mapping[str, tuple[Reason, ...]]
    not_counted: tuple[str, ...]
    names: Mapping[str, str]


def assembly_report(
    teardown: Teardown,
    scenario: Scenario,
    function: str = "",
    configuration: str | None = None,
) -> AssemblyReport:
    """Assembly of a vehicle or of one function.

    Parameters
    ----------
    teardown : Teardown
    scenario : Scenario
        Its region pays.
    function : str
        Code, name or alias; empty for the whole vehicle.
    configuration : str, optional
        Needed when the vehicle has several.

    Raises
    ------
    ValueError, LookupError
        No part tree, an unknown configuration or function.
    """
    chosen = chosen_configuration(teardown, configuration)
    masses = mass_report(teardown, chosen.id, proposals=0)
    tree = PartTree(teardown.nodes)
    return part_of(teardown, book_of(teardown, tree, masses, scenario), scenario, chosen.id, function)


def part_of(
    teardown: Teardown, book: AssemblyBook, scenario: Scenario, configuration: str, function: str = ""
) -> AssemblyReport:
    """What of a book serves a function; all of it where none is named.

    Parameters
    ----------
    teardown : Teardown
    book : AssemblyBook
        Of it.
    scenario : Scenario
    configuration : str
    function : str

    Raises
    ------
    ValueError, LookupError
        An unknown function, or one without an approach.
    """
    tree = PartTree(teardown.nodes)
    words, share = "", dict.fromkeys(tree.order, 1.0)
    if function:
        words, share = function_shares(teardown, function, configuration)
    joints = [(work, _share(work.claimants, share)) for work in book.joints]
    placed = [(work, _share(work.claimants, share)) for work in book.parts]
    rates = Rates(
        workshop().figure("allowance_frac"),
        Station().allowance_form,
        labour_money_per_s(scenario),
        basis_of(scenario),
    )
    found: dict[str, list[Reason]] = {}
    aside = []
    for reason in teardown.reasons:
        if tree[reason.tag].kind is not NodeKind.PART:
            kind = tree[reason.tag].kind.value
            aside.append(f"{reason.tag}: a reason of {kind} is not counted; reasons are those of parts")
        elif share.get(reason.tag, 0.0) > 0.0:
            found.setdefault(reason.tag, []).append(reason)
    concerned = [tag for tag in tree.order if share.get(tag, 0.0) > 0.0]
    return AssemblyReport(
        teardown.vehicle.code,
        configuration,
        words,
        scenario,
        book,
        tally(joints, placed, rates),
        tuple(sorted(((w, f) for w, f in joints if f > 0.0), key=_slowest)),
        tuple(sorted(((w, f) for w, f in placed if f > 0.0), key=lambda one: -one[0].normal_s.value)),
        counted(concerned, tree, found),
        MappingProxyType({tag: tuple(several) for tag, several in found.items()}),
        tuple(aside),
        MappingProxyType({node.tag: node.name for node in tree}),
    )


def _slowest(one: tuple[JointWork, float]) -> tuple[float, str]:
    work, share = one
    return (0.0 if work.normal_s is None else -work.normal_s.value * share, work.joint)


def _share(claimants: Sequence[str], share: Mapping[str, float]) -> float:
    return sum(share.get(tag, 0.0) for tag in claimants) / len(claimants)


def function_shares(teardown: Teardown, function: str, configuration: str) -> tuple[str, dict[str, float]]:
    """Words of a function, and the share of each node that serves it or a narrower one.

    Raises
    ------
    LookupError
        No such function, or the configuration has no approach to it; the message names the closest.
    """
    functions = FunctionTree(teardown.functions)
    found = functions.find(function)
    code = teardown.vehicle.code
    if found is None:
        known = [one.name for one in teardown.functions]
        msg = f"{code}: no function {function!r}; {closest(function, known) if known else 'it has none.'}"
        raise LookupError(msg)
    ours = {
        one.id
        for one in teardown.approaches
        if one.configuration == configuration
        and found.code in functions.lineage(_code(functions, one.function))
    }
    if not ours:
        msg = (
            f"{code}: configuration {configuration} has no approach to {found.name}; list one in approaches."
        )
        raise LookupError(msg)
    share: dict[str, float] = {}
    for approach, parts in approach_parts(teardown).items():
        if approach in ours:
            for tag, fraction in parts:
                share[tag] = share.get(tag, 0.0) + fraction
    return found.name, share


def _code(functions: FunctionTree, text: str) -> str:
    found = functions.find(text)
    return text if found is None else found.code


@dataclass(frozen=True, slots=True)
class ServiceReport:
    """Remove-and-replace time of a part.

    Attributes
    ----------
    vehicle, tag, name : str
    time : ServiceTime
    money : Quantity
        At the labour rate of the scenario. ["1"]
    scenario : Scenario
    """

    vehicle: str
    tag: str
    name: str
    time: ServiceTime
    money: Quantity
    scenario: Scenario


def service_report(
    teardown: Teardown,
    scenario: Scenario,
    tag: str,
    configuration: str | None = None,
    stated_s: Mapping[str, float] | None = None,
    before: Sequence[tuple[str, str]] = (),
) -> ServiceReport:
    """Remove-and-replace time of a part from the joints that hold it.

    Parameters
    ----------
    teardown : Teardown
    scenario : Scenario
        Its region pays.
    tag : str
    configuration : str, optional
    stated_s : mapping of str to float, optional
        Removal time by joint or tag, where it was taken or nothing can be worked out. [s]
    before : sequence of (str, str)
        Joint or tag, and what must come off before it: the joints alone do not say it.

    Raises
    ------
    ValueError, LookupError
        An unknown tag, a part no joint holds, or a joint without a time.
    """
    chosen = chosen_configuration(teardown, configuration)
    masses = mass_report(teardown, chosen.id, proposals=0)
    tree = PartTree(teardown.nodes)
    if tag not in tree:
        msg = f"{teardown.vehicle.code}: no part {tag!r}; {closest(tag, tree.order)}"
        raise LookupError(msg)
    removable = [*(one.id for one in teardown.joints), *tree.order]
    for name in (*(stated_s or {}), *(one for pair in before for one in pair)):
        if name not in removable:
            msg = f"{teardown.vehicle.code}: no joint or part {name!r}; {closest(name, removable)}"
            raise LookupError(msg)
    for name, seconds in (stated_s or {}).items():
        if not seconds > 0.0:
            msg = f"{name}: {seconds!r} s to take it off; state more than 0."
            raise ValueError(msg)
    book = book_of(teardown, tree, masses, scenario)
    time = service_of_part(
        teardown,
        book,
        tag,
        workshop().figures,
        obstacles=[Obstacle(blocked, (by,)) for blocked, by in before],
        stated={name: Quantity(seconds, "s") for name, seconds in (stated_s or {}).items()},
        masses=known_masses(tree, masses),
    )
    money = (time.total_s * labour_money_per_s(scenario)).in_unit("1")
    return ServiceReport(teardown.vehicle.code, tag, tree[tag].name, time, money, scenario)
