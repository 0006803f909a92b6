"""Two vehicles' ways of doing one function, in money: difference, chance, walk, break-even, what drives it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from hoistbook.core.compare.break_even import BreakEven, break_even
from hoistbook.core.compare.cost_sides import PRICES, Bought, CostSide
from hoistbook.core.compare.cost_walk import CostWalk, cost_walk
from hoistbook.core.compare.tornado import Tornado, tornado
from hoistbook.core.cost.inputs import INPUTS
from hoistbook.core.cost.processes import PROCESSES
from hoistbook.core.cost.route import PartToCost
from hoistbook.core.cost.scenario import Scenario
from hoistbook.core.quantities.quantity import total
from hoistbook.core.vehicle.records import Teardown
from hoistbook.services.cost import COST_DRAWS, COST_SEED, CostReport, NotCosted, cost_report
from hoistbook.services.cost_assembly import function_shares, standard_seconds
from hoistbook.services.cost_inputs import PRICE_NAME
from hoistbook.services.cost_rollup import Sum
from hoistbook.services.cost_same_parts import one_part_on_both
from hoistbook.services.cost_sisters import same_places
from hoistbook.services.cost_words import closest
from hoistbook.services.loading import chosen_configuration

VOLUME = "volume"
VOLUME_REACH = (1_000.0, 1_000_000.0)
"""Vehicles a year between which a break-even is looked for; project rule: from a small series to the largest."""
AROUND = 5.0
"""Other inputs are looked at from a fifth of the smallest to five times the largest value; project rule."""
NEARLY_ALL = 0.9
"""Share of a function's mass that must have a cost before its difference is told without a caution; project rule."""
NO_COST = "parts of the function have no cost"


@dataclass(frozen=True, slots=True)
class SideShown:
    """One side of a comparison.

    Attributes
    ----------
    code, name : str
    sum : Sum
        Parts, fasteners and assembly of the function.
    lines : tuple of (str, float)
        Lines of its parts by name, bought fasteners and assembly; they add up to the side. [money]
    parts : tuple of (str, str, float)
        Tag, name and cost per vehicle, dearest first. [money]
    left_out : tuple of NotCosted
        Parts of the function without a cost, heaviest first.
    mass_covered_frac : float or None
        Share of the function's mass that has a cost. [1]
    """

    code: str
    name: str
    sum: Sum
    lines: tuple[tuple[str, float], ...]
    parts: tuple[tuple[str, str, float], ...]
    left_out: tuple[NotCosted, ...]
    mass_covered_frac: float | None


@dataclass(frozen=True, slots=True)
class CostComparison:
    """Two ways of doing a function.

    Attributes
    ----------
    function : str
        Its words.
    a, b : SideShown
    scenarios : two of Scenario
    walk : CostWalk
        Second side less first.
    break_even : tuple of BreakEven
    tornado : Tornado
    pairs : tuple of (str, str)
        Tags of parts that stand in the same place.
    cautions : tuple of str
    draws, seed : int
    sides : two of CostSide
        What was compared, for further questions about the pair.
    """

    function: str
    a: SideShown
    b: SideShown
    scenarios: tuple[Scenario, Scenario]
    walk: CostWalk
    break_even: tuple[BreakEven, ...]
    tornado: Tornado
    pairs: tuple[tuple[str, str], ...]
    cautions: tuple[str, ...]
    draws: int
    seed: int
    sides: tuple[CostSide, CostSide]


def cost_comparison(
    teardowns: tuple[Teardown, Teardown],
    scenarios: tuple[Scenario, Scenario],
    function: str,
    over: Sequence[str] = (VOLUME,),
    configurations: tuple[str | None, str | None] = (None, None),
    *,
    n_draws: int = COST_DRAWS,
    seed: int = COST_SEED,
) -> CostComparison:
    """Compare how two vehicles do one function.

    Parameters
    ----------
    teardowns : two of Teardown
    scenarios : two of Scenario
        One twice for the same assumptions on both sides; money of one basis.
    function : str
        Code, name or alias.
    over : sequence of str
        What break-even is looked for in: "volume", "wage", "price of <material>", or a reading such as
        "tube_length_m".
    configurations : two of str or None
    n_draws, seed : int

    Raises
    ------
    ValueError, LookupError
        An unknown function or input, a side where nothing has a cost, or sides in money of two bases.
    """
    _check_over(over, scenarios)
    for one, configuration in zip(teardowns, configurations, strict=True):
        function_shares(
            one, function, chosen_configuration(one, configuration).id
        )  # said before seconds of work
    reports = [
        cost_report(one, scenario, configuration, n_draws=n_draws, seed=seed)
        for one, scenario, configuration in zip(teardowns, scenarios, configurations, strict=True)
    ]
    return compared_reports(teardowns, (reports[0], reports[1]), function, over)


def compared_reports(
    teardowns: tuple[Teardown, Teardown],
    reports: tuple[CostReport, CostReport],
    function: str,
    over: Sequence[str] = (VOLUME,),
) -> CostComparison:
    """Compare how two vehicles do one function whose costs are known already.

    Parameters
    ----------
    teardowns : two of Teardown
    reports : two of CostReport
        Of them, with the same draws and seed.
    function : str
    over : sequence of str
        See `cost_comparison`.

    Raises
    ------
    ValueError, LookupError
        As for `cost_comparison`, or reports with other draws.

    Notes
    -----
    Parts of one role are those that stand in the same place of both trees. A part that serves the function by a share
    counts by that share at the volume it is really made in. Parts without a cost are left out on their side and listed.
    """
    n_draws, seed = reports[0].draws, reports[0].seed
    if (n_draws, seed) != (reports[1].draws, reports[1].seed):
        msg = (
            f"{reports[0].vehicle} and {reports[1].vehicle} were costed with different draws; their difference needs "
            "the same."
        )
        raise ValueError(msg)
    shares = [
        function_shares(one, function, report.configuration)
        for one, report in zip(teardowns, reports, strict=True)
    ]
    places = same_places(reports[0].tree, reports[1].tree)
    if reports[0].vehicle == reports[1].vehicle:
        places = {tag: tag for tag in reports[0].tree.order}
    codes = _codes(reports)
    roles: list[dict[str, str]] = [{tag: tag for tag in reports[0].tree.order}, {}]
    roles[1] = {other: tag for tag, other in places.items()}
    alike = one_part_on_both(teardowns, reports, places)
    sides = [
        _side(code, report, share, role, place, same)
        for place, (code, report, (_, share), role, same) in enumerate(
            zip(codes, reports, shares, roles, ({}, alike), strict=True)
        )
    ]
    walk = cost_walk(sides[0], sides[1], PROCESSES, n_draws, seed)
    shown = [
        _shown(code, one, report, share)
        for code, one, report, (_, share) in zip(codes, teardowns, reports, shares, strict=True)
    ]
    return CostComparison(
        shares[0][0],
        shown[0],
        shown[1],
        (reports[0].scenario, reports[1].scenario),
        walk,
        tuple(break_even(sides[0], sides[1], PROCESSES, what, *_reach(what, sides)) for what in over),
        tornado(sides[0], sides[1], PROCESSES),
        tuple(
            (one, other) for one, other in places.items() if one in sides[0].parts and one in sides[1].parts
        ),
        (*_same_said(sides, alike), *_cautions(shown, shares)),
        n_draws,
        seed,
        (sides[0], sides[1]),
    )


def _codes(reports: Sequence[CostReport]) -> tuple[str, str]:
    one, other = (report.vehicle for report in reports)
    return (one, other) if one != other else (f"{one} (1)", f"{other} (2)")


def _side(
    code: str,
    report: CostReport,
    share: Mapping[str, float],
    roles: Mapping[str, str],
    place: int,
    same: Mapping[str, PartToCost],
) -> CostSide:
    """Return what serves the function, by role; parts of the second vehicle that stand nowhere on the first are new."""
    scenario = report.scenario
    parts = {}
    for found in report.inputs.parts:
        part = same.get(found.tag, found)
        fraction = share.get(part.tag, 0.0)
        if fraction > 0.0 and part.tag in report.costs:
            role = roles.get(part.tag, f"{place}/{part.tag}")
            parts[role] = _by_share(part, fraction, scenario)
    fasteners = tuple(
        Bought(PRICE_NAME, fraction * report.tree.pieces(tag), one.price)
        for tag, one in report.fasteners.items()
        if (fraction := share.get(tag, 0.0)) > 0.0
    )
    times = [(time, share.get(tag, 0.0)) for tag, time in standard_seconds(report.book).items()]
    seconds = total([time for time, _ in times], [fraction for _, fraction in times], "s")
    if not (parts or fasteners or seconds.value):
        msg = f"{code}: nothing of the function has a cost; list how its parts are made in the sheet routes."
        raise ValueError(msg)
    return CostSide(code, parts, scenario, fasteners, seconds if seconds.value else None)


def _same_said(sides: Sequence[CostSide], alike: Mapping[str, PartToCost]) -> tuple[str, ...]:
    tags = [part.tag for part in sides[1].parts.values() if part.tag in alike]
    if not tags:
        return ()
    some = f"{len(tags)} parts are" if len(tags) > 1 else "1 part is"
    listed = f"{', '.join(tags[:6])}{' …' if len(tags) > 6 else ''}"
    said = (
        f"{sides[1].code}: {some} taken as the same part as on {sides[0].code} (place, route, mass and sizes), so that "
        f"the model misses alike there: {listed}"
    )
    return (said,)


def _by_share(part: PartToCost, fraction: float, scenario: Scenario) -> PartToCost:
    """Count a part by its share while it is made in the volume it really has."""
    if fraction == 1.0:
        return part
    whole = scenario.volume_per_year + part.pooled_volume
    return replace(
        part,
        pieces_per_vehicle=part.pieces_per_vehicle * fraction,
        pooled_volume=whole / fraction - scenario.volume_per_year,
    )


def _shown(code: str, teardown: Teardown, report: CostReport, share: Mapping[str, float]) -> SideShown:
    found = report.sums.sum_of(code, teardown.vehicle.name or code, share)
    lines: dict[str, float] = {}
    parts = []
    for tag, cost in report.costs.items():
        weight = share.get(tag, 0.0) * report.tree.pieces(tag)
        if weight:
            for name, value in cost.by_name().items():
                lines[name] = lines.get(name, 0.0) + weight * value
            parts.append((tag, cost.name, weight * cost.piece.value))
    lines[PRICE_NAME], lines["assembly"] = found.fasteners, found.assembly
    left = tuple(one for one in (*report.refused, *report.unrouted) if share.get(one.tag, 0.0) > 0.0)
    return SideShown(
        code,
        teardown.vehicle.name or code,
        found,
        tuple((name, value) for name, value in lines.items() if value),
        tuple(sorted(parts, key=lambda one: -one[2])),
        tuple(sorted(left, key=lambda one: (-(one.mass_share_frac or 0.0), one.tag))),
        _covered(report, share),
    )


def _covered(report: CostReport, share: Mapping[str, float]) -> float | None:
    """Share of the function's mass that has a cost. [1]"""
    whole = with_cost = 0.0
    for node in report.masses.nodes:
        kg = (node.own_kg or 0.0) * node.pieces * share.get(node.tag, 0.0)
        whole += kg
        if node.tag in report.costs or node.tag in report.fasteners:
            with_cost += kg
    return with_cost / whole if whole > 0.0 else None


def _check_over(over: Sequence[str], scenarios: Sequence[Scenario]) -> None:
    """Refuse an input nobody knows before seconds of work."""
    for what in over:
        code = what.removeprefix("price of ")
        known: Sequence[str] = (VOLUME, "wage", *INPUTS)
        if code != what:
            known = [one for scenario in scenarios for one in scenario.materials]
        if code not in known:
            hint = closest(code, dict.fromkeys(known))
            msg = (
                f"break-even over {what!r}: no such input; {hint} Known are volume, wage, price of <material>, and "
                "readings such as tube_length_m."
            )
            raise ValueError(msg)


def _reach(what: str, sides: Sequence[CostSide]) -> tuple[float, float]:
    """Reach in which a break-even is looked for."""
    if what == VOLUME:
        return VOLUME_REACH
    found = []
    for side in sides:
        scenario = side.scenario
        if what == "wage":
            found.append(scenario.money(scenario.regions[scenario.region].figures["wage_money_per_s"]).value)
        elif what.startswith("price of "):
            material = scenario.materials.get(what.removeprefix("price of "))
            if material is not None and PRICES[0] in material.figures:
                found.append(scenario.money(material.figures[PRICES[0]]).value)
        elif what in INPUTS:
            found += [part.readings[what].value for part in side.parts.values() if what in part.readings]
    positive = [value for value in found if value > 0.0]
    if not positive:
        msg = (
            f"break-even over {what!r}: no part of either side states it, and it is no input; known: volume, wage, "
            "price of <material>, and readings such as tube_length_m."
        )
        raise ValueError(msg)
    low, high = min(positive) / AROUND, max(positive) * AROUND
    if what in INPUTS:
        low, high = max(low, INPUTS[what].low), min(high, INPUTS[what].high)
    return low, high


def _cautions(
    shown: Sequence[SideShown], shares: Sequence[tuple[str, Mapping[str, float]]]
) -> tuple[str, ...]:
    said = []
    for side in shown:
        if side.left_out:
            covered = (
                ""
                if side.mass_covered_frac is None
                else f"; {side.mass_covered_frac:.0%} of its mass is costed"
            )
            said.append(f"{side.code}: {len(side.left_out)} {NO_COST}{covered}")
    for side, (_, share) in zip(shown, shares, strict=True):
        some = [tag for tag, one in share.items() if 0.0 < one < 1.0]
        if some:
            said.append(
                f"{side.code}: parts that serve other functions, too, and count by their share: {', '.join(some[:6])}"
            )
    if any(
        isinstance(side.mass_covered_frac, float) and side.mass_covered_frac < NEARLY_ALL for side in shown
    ):
        said.append("what is not costed may turn the difference; route those parts before relying on it")
    said.append(
        "prices of fasteners are those at the volume of the scenario, also where another volume is tried"
    )
    return tuple(said)
