"""Where the cheaper of two ways stops paying: every crossing of their costs over one input."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

import numpy as np

from hoistbook.core.compare.cost_sides import LABOUR, PRICES, CostSide, check_sides
from hoistbook.core.cost.engine import cost_parts
from hoistbook.core.cost.inputs import INPUTS
from hoistbook.core.cost.process import Process
from hoistbook.core.quantities.quantity import Quantity


@dataclass(frozen=True, slots=True)
class Crossing:
    """A value of the input at which the costs change places.

    Attributes
    ----------
    at : float
        In the unit of the input.
    cheaper_below, cheaper_above : str
        Codes of the sides.
    jump : bool
        The difference jumps over 0 (a further set of tools, a further machine) and is nowhere equal to it.
    """

    at: float
    cheaper_below: str
    cheaper_above: str
    jump: bool


@dataclass(frozen=True, slots=True)
class BreakEven:
    """All crossings within a reach, and the sentence that says them."""

    what: str
    unit: str
    low: float
    high: float
    crossings: tuple[Crossing, ...]
    sentence: str


def crossings(
    difference: Callable[[float], float],
    low: float,
    high: float,
    points: int = 65,
    on_grid: Callable[[Sequence[float]], Sequence[float]] | None = None,
) -> tuple[tuple[float, bool], ...]:
    """Every place between low and high where a function changes its sign, and whether it jumps there.

    Parameters
    ----------
    difference : callable
    low, high : float
        Both above 0: places are looked for on a logarithmic grid.
    points : int
        Of the grid; two crossings within one of its steps are not seen.
    on_grid : callable, optional
        The function of many values at once, where that is quicker.

    Raises
    ------
    ValueError
        No reach.

    Notes
    -----
    Each change of sign is halved down to 1e-12 of its place; it is a jump when the function is then still further from
    0 than a thousandth of its size at the ends of the step.
    """
    if not 0.0 < low < high:
        msg = f"reach {low!r}–{high!r}: give two values above 0, the smaller first."
        raise ValueError(msg)
    grid: list[float] = np.geomspace(low, high, points).tolist()
    values = [difference(x) for x in grid] if on_grid is None else on_grid(grid)
    found: list[tuple[float, bool]] = []
    for place in range(points - 1):
        left, right = grid[place], grid[place + 1]
        at_left, at_right = values[place], values[place + 1]
        if at_left == 0.0:
            # A zero on the grid is a crossing when the neighbours differ in sign; at the low end there is no neighbour.
            if place and values[place - 1] * at_right < 0.0:
                found.append((left, False))
            continue
        if at_left * at_right >= 0.0:
            continue
        size = max(abs(at_left), abs(at_right))
        while right - left > 1e-12 * right:
            middle = 0.5 * (left + right)
            if middle in (left, right):
                break
            at_middle = difference(middle)
            if at_middle == 0.0:
                left = right = middle
                at_left = 0.0
                break
            if at_middle * at_left < 0.0:
                right = middle
            else:
                left, at_left = middle, at_middle
        found.append((0.5 * (left + right), abs(at_left) > 1e-3 * size))
    return tuple(found)


def break_even(
    a: CostSide,
    b: CostSide,
    processes: Mapping[str, Process],
    what: str,
    low: float,
    high: float,
    points: int = 65,
) -> BreakEven:
    """Find where the cheaper side changes, at the best estimate.

    Parameters
    ----------
    a, b : CostSide
    processes : mapping of str to Process
    what : str
        "volume" (vehicles a year), "wage" (money per second), "price of <material>" (money per kg), or the name of a
        reading (every part of both sides that states it takes the value).
    low, high : float
        Reach.
    points : int

    Raises
    ------
    ValueError
        An input that moves nothing, or a value within the reach for which a part has no cost.
    """
    check_sides(a, b)
    unit = _unit(what)

    def difference(value: float) -> float:
        return total(set_to(b, what, value), processes) - total(set_to(a, what, value), processes)

    def on_grid(values: Sequence[float]) -> list[float]:
        first, second = (totals(side, processes, what, values) for side in (a, b))
        return [two - one for one, two in zip(first, second, strict=True)]

    found = []
    for at, jump in crossings(difference, low, high, points, on_grid):
        below = a.code if difference(at * (1.0 - 1e-6)) > 0.0 else b.code
        found.append(Crossing(at, below, b.code if below == a.code else a.code, jump))
    if found:
        said = "; ".join(
            f"{one.cheaper_below} is cheaper below {_said(one.at)} {unit}, {one.cheaper_above} above"
            + (" (a further set of tools or machine)" if one.jump else "")
            for one in found
        )
    else:
        at_low = difference(low)
        cheaper = a.code if at_low > 0.0 else b.code
        throughout = f"{cheaper} is cheaper throughout" if at_low else "both cost the same"
        said = f"none between {_said(low)} and {_said(high)} {unit}: {throughout}"
    return BreakEven(what, unit, low, high, tuple(found), f"{what}: {said}")


def _said(number: float) -> str:
    """A number to four digits, never as a power of ten that nobody reads aloud."""
    return f"{float(f'{number:.4g}'):,.10g}"


def total(side: CostSide, processes: Mapping[str, Process]) -> float:
    """Best estimate of a side per vehicle: parts, bought fasteners, assembly. [money]

    Raises
    ------
    ValueError
        A part without a cost.
    """
    costed = cost_parts(side.parts.values(), side.scenario, processes, n_draws=0)
    if costed.refused:
        raise ValueError(next(iter(costed.refused.values())))
    found = sum(one.piece.value * one.pieces_per_vehicle for one in costed.parts.values())
    return float(found) + _put_together(side)


def _put_together(side: CostSide) -> float:
    """Bought fasteners and assembly. [money]"""
    scenario = side.scenario
    found = sum(one.count * scenario.money(one.price).value for one in side.fasteners)
    if side.assembly_s is not None:
        wage, overhead = (
            scenario.money(scenario.regions[scenario.region].figures[name]).value for name in LABOUR
        )
        found += side.assembly_s.value * wage * (1.0 + overhead)
    return float(found)


def totals(
    side: CostSide, processes: Mapping[str, Process], what: str, values: Sequence[float]
) -> list[float]:
    """`total` with an input set to each of many values, in one run where the scenario need not change.

    Raises
    ------
    ValueError
        A part without a cost at one of the values.

    Notes
    -----
    A volume is set through the pooled volume of parts, which counts as the scenario's does unless people learn.
    """
    by_volume = what == "volume" and side.scenario.learning_frac == 1.0
    if not (by_volume or what in INPUTS):
        return [total(set_to(side, what, value), processes) for value in values]
    lowest = min(values)
    base = set_to(side, what, lowest) if by_volume else side
    parts = []
    for place, value in enumerate(values):
        more = value - lowest if by_volume else 0.0
        found = base if by_volume else set_to(side, what, value)
        parts += [
            replace(part, tag=f"{place}\x00{part.tag}", pooled_volume=part.pooled_volume + more)
            for part in found.parts.values()
        ]
    costed = cost_parts(parts, base.scenario, processes, n_draws=0)
    if costed.refused:
        raise ValueError(next(iter(costed.refused.values())).split("\x00", 1)[1])
    sums = [_put_together(side)] * len(values)
    for tag, one in costed.parts.items():
        sums[int(tag.split("\x00", 1)[0])] += one.piece.value * one.pieces_per_vehicle
    return sums


def _unit(what: str) -> str:
    if what in INPUTS:
        return INPUTS[what].unit
    if what == "volume":
        return "vehicles a year"
    if what == "wage":
        return "money/s"
    if what.startswith("price of "):
        return "money/kg"
    msg = f"no input named {what!r}; known: volume, wage, price of <material>, and readings such as tube_length_m."
    raise ValueError(msg)


def set_to(side: CostSide, what: str, value: float) -> CostSide:
    """The same side with one input set to an exact value; see `break_even`."""
    scenario = side.scenario
    if what == "volume":
        return replace(side, scenario=replace(scenario, volume_per_year=value))
    if what == "wage":
        region = scenario.regions[scenario.region]
        wage = scenario.money(region.figures["wage_money_per_s"])
        figures = {**region.figures, "wage_money_per_s": replace(wage, value=value, low=value, high=value)}
        regions = {**scenario.regions, scenario.region: replace(region, figures=MappingProxyType(figures))}
        return replace(side, scenario=replace(scenario, regions=MappingProxyType(regions)))
    if what.startswith("price of "):
        code = what.removeprefix("price of ")
        if code not in scenario.materials:
            msg = f"material {code!r} is not in the scenario of {side.code}; known: {'; '.join(scenario.materials)}."
            raise ValueError(msg)
        material = scenario.materials[code]
        price = scenario.money(material.figures[PRICES[0]])
        priced = {**material.figures, PRICES[0]: replace(price, value=value, low=value, high=value)}
        materials = {**scenario.materials, code: replace(material, figures=MappingProxyType(priced))}
        return replace(side, scenario=replace(scenario, materials=MappingProxyType(materials)))
    exact = Quantity(value, _unit(what))
    parts = {
        role: replace(part, readings={**part.readings, what: exact}) if what in part.readings else part
        for role, part in side.parts.items()
    }
    return replace(side, parts=parts)
