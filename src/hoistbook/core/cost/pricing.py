"""A block of parts of one route, from readings to costs: best estimate and draws in one go."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import partial

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.cost.breakdown import broken_down, fields_of, pieces_per_year
from hoistbook.core.cost.drawn import ReadingDraws
from hoistbook.core.cost.inputs import known_input
from hoistbook.core.cost.lines import (
    MachineFigures,
    Surroundings,
    added,
    fixed_parts,
    fixed_per_year,
    grown,
    log_size,
    pace_s,
)
from hoistbook.core.cost.process import Fields, Operation, Stage
from hoistbook.core.cost.result import PartCost, Sheet, StepColumns, bands
from hoistbook.core.cost.route import PartToCost
from hoistbook.core.cost.scenario import Scenario
from hoistbook.core.cost.shop import Bench, Shop


def evaluated(
    shop: Shop, parts: Sequence[PartToCost], readings: ReadingDraws
) -> tuple[list[PartCost], dict[str, str]]:
    """Cost of the parts of one block; those no process can make, or no number comes of, are named with the reason."""
    drawn = readings.block(parts)
    scenario = shop.around.scenario
    terms = {
        "pieces_per_year": _pieces(parts, scenario),
        "programme_years": np.full((1, 1), scenario.programme_years),
        "lot_count": np.full((1, 1), scenario.lot_count),
    }
    fields = [fields_of(bench, partial(drawn.rows, place), terms) for place, bench in enumerate(shop.benches)]
    refused = _refused(shop, fields, parts)
    if refused:
        kept = [part for part in parts if part.tag not in refused]
        done, more = evaluated(shop, kept, readings) if kept else ([], {})
        return done, {**refused, **more}
    with np.errstate(all="ignore"):
        operations = [bench.process.evaluate(one) for bench, one in zip(shop.benches, fields, strict=True)]
    refused = _no_machine(shop, operations, parts)
    if refused:
        kept = [part for part in parts if part.tag not in refused]
        done, more = evaluated(shop, kept, readings) if kept else ([], {})
        return done, {**refused, **more}
    # A figure that leads to no number is told below, by part and line; a warning would name neither.
    with np.errstate(all="ignore"):
        costs = _priced(shop, parts, fields, operations, _advised(shop, fields, parts))
    unsound = {cost.tag: _why_unsound(cost) for cost in costs if not _sound(cost)}
    return [cost for cost in costs if cost.tag not in unsound], unsound


def _sound(cost: PartCost) -> bool:
    """Whether the cost and all its draws are numbers, and its best estimate is not below 0."""
    ends = (cost.piece.value, cost.piece.low, cost.piece.high, cost.tooling.value, cost.tooling.high)
    return all(map(math.isfinite, ends)) and cost.piece.value >= 0.0 and bool(np.isfinite(cost.draws).all())


def _why_unsound(cost: PartCost) -> str:
    lines = cost.lines
    broken = [one for one in lines if not math.isfinite(one.value_money)] or sorted(
        lines, key=lambda one: one.value_money
    )
    at = (
        f", first in {broken[0].name!r}" + (f" of step {broken[0].step}" if broken[0].step else "")
        if broken
        else ""
    )
    what = (
        "is below 0" if math.isfinite(cost.piece.value) and cost.piece.value < 0.0 else "is no finite number"
    )
    return (
        f"{cost.tag}: what comes out {what}{at}; a figure of the scenario is far off for this part: check those of its "
        "steps and of its material."
    )


def _pieces(parts: Sequence[PartToCost], scenario: Scenario) -> Array:
    pooled = np.array([[part.pooled_volume] for part in parts])
    count = np.array([[part.pieces_per_vehicle] for part in parts])
    return pieces_per_year(scenario.volume_per_year, pooled, count)


def _rows(value: Array, count: int) -> Array:
    """Column 0 of an array that broadcasts to (count, n), one entry per part; a copy, so that the rest can go."""
    value = np.asarray(value)
    if value.ndim == 2 and value.shape[0] == count:
        return value[:, 0].copy()
    return np.full(count, value.flat[0])


def _advised(shop: Shop, fields: Sequence[Fields], parts: Sequence[PartToCost]) -> dict[str, tuple[str, ...]]:
    """Return what the processes have to say about parts that they do cost."""
    found: dict[str, tuple[str, ...]] = {}
    for place, (bench, one) in enumerate(zip(shop.benches, fields, strict=True), start=1):
        for advice in bench.process.advice:
            rows = _rows(np.asarray(advice.breaks(one)), len(parts))
            words = f"step {place} ({bench.process.title}): {advice.words}"
            for part, holds in zip(parts, rows, strict=True):
                if holds:
                    found[part.tag] = (*found.get(part.tag, ()), words)
    return found


def _refused(shop: Shop, fields: Sequence[Fields], parts: Sequence[PartToCost]) -> dict[str, str]:
    refused: dict[str, str] = {}
    for place, (bench, one) in enumerate(zip(shop.benches, fields, strict=True), start=1):
        for limit in bench.process.limits:
            broken = _rows(np.asarray(limit.breaks(one)), len(parts))
            for part, bad in zip(parts, broken, strict=True):
                if bad:
                    refused.setdefault(
                        part.tag, f"{part.tag}, step {place} ({bench.process.title}): {limit.words}"
                    )
    return refused


def _no_machine(shop: Shop, operations: Sequence[Operation], parts: Sequence[PartToCost]) -> dict[str, str]:
    refused: dict[str, str] = {}
    for place, (bench, one) in enumerate(zip(shop.benches, operations, strict=True), start=1):
        if not one.machine:
            continue
        found = shop.machines.get(one.machine)
        if found is None:
            why = f"the scenario has no machine {one.machine!r}; add one"
            return {part.tag: f"{part.tag}, step {place} ({bench.process.title}): {why}." for part in parts}
        machine = found.machine
        for part, size in zip(parts, _rows(one.machine_size, len(parts)), strict=True):
            if size > machine.largest:
                refused.setdefault(
                    part.tag,
                    f"{part.tag}, step {place} ({bench.process.title}): needs a {machine.words} with "
                    f"{machine.size_words} {size:,.3g} {machine.size_unit}; the largest of the scenario has "
                    f"{machine.largest:,.3g}. Check "
                    "the readings, or extend the scenario.",
                )
    return refused


def _priced(
    shop: Shop,
    parts: Sequence[PartToCost],
    fields: Sequence[Fields],
    operations: Sequence[Operation],
    advised: Mapping[str, tuple[str, ...]],
) -> list[PartCost]:
    around, scenario = shop.around, shop.around.scenario
    cost = broken_down(shop, fields, operations, _pieces(parts, scenario))
    made, after, tooling = cost.made, cost.after, cost.tooling
    missed = shop.shared.model_factor(
        shop.miss, shop.benches[0].process.name, [part.error_name or part.tag for part in parts]
    )
    width = max(value.shape[1] for value in (made, tooling, missed, *after.values()))
    # A copy of its own: column 0 is written below.
    piece = np.array(
        np.broadcast_to(missed * (made * cost.factor) + added(after.values()), (len(parts), width))
    )
    # The factors above are multiplied in another order than the lines are added up: column 0 is the sum of the lines.
    shown = [(place, name, _rows(value, len(parts))) for place, name, value in cost.lines]
    nominal = np.zeros(len(parts))
    for _, _, value in shown:
        nominal = nominal + value
    piece[:, 0] = nominal
    tools = np.broadcast_to(after["tools"], (len(parts), width))
    tool_bands = bands(np.broadcast_to(tooling, (len(parts), tooling.shape[1])))
    taken = tuple(
        _taken(bench, one, machine, started, count, around, len(parts))
        for bench, one, machine, started, count in zip(
            shop.benches, cost.operations, cost.machines, cost.entering, cost.sets, strict=True
        )
    )
    sheet = Sheet(tuple(shown), taken)
    yields = np.ones(len(parts))
    for one in cost.operations:
        yields = yields * (1.0 - _rows(one.reject_frac, len(parts)))
    silent = _not_stated(shop)
    return [
        PartCost(
            part.tag,
            part.name,
            scenario.currency,
            scenario.year,
            part.pieces_per_vehicle,
            (scenario.volume_per_year + part.pooled_volume) * part.pieces_per_vehicle,
            money,
            tool_bands[row],
            float(yields[row]),
            part.estimated,
            (*advised.get(part.tag, ()), *shop.assumed, *silent, *_origins(part)),
            piece[row, 1:],
            tools[row, 1:],
            sheet,
            row,
        )
        for row, (part, money) in enumerate(zip(parts, bands(piece), strict=True))
    ]


def _not_stated(shop: Shop) -> tuple[str, ...]:
    none = [
        f"{known_input(name).words}: not stated, taken as usual for {bench.process.title}"
        if f"usual_{name}" in bench.figures
        else f"{known_input(name).words}: none stated, taken as none"
        for bench in shop.benches
        for name in bench.process.optional
        if name not in bench.stated
    ]
    return tuple(dict.fromkeys(none))


def _origins(part: PartToCost) -> tuple[str, ...]:
    return tuple(
        f"step {place} ({step.process}) is {step.origin}"
        for place, step in enumerate(part.steps, start=1)
        if step.origin != "observed"
    )


def _taken(
    bench: Bench,
    one: Operation,
    machine: MachineFigures | None,
    started: Array,
    sets: Array,
    around: Surroundings,
    count: int,
) -> StepColumns:
    def rows(value: Array) -> Array:
        return _rows(value, count)

    stages = tuple((stage.words, rows(stage.time_s)) for stage in one.stages)
    pace = rows(pace_s(replace(one, stages=tuple(_best(stage) for stage in one.stages))))
    size, per_h, power = rows(one.machine_size), np.zeros(count), np.zeros(count)
    if machine is not None:
        logarithm = log_size(machine, size[:, None])
        power = rows(machine.power_w[:, :1] * grown(logarithm, machine.machine.power_exponent))
        by_price, by_area = (part[:, :1] for part in fixed_parts(machine, around))
        fixed = rows(fixed_per_year(machine.machine, (by_price, by_area), logarithm))
        fixed = fixed / rows(around.running_s_per_year)
        per_h = 3600.0 * (fixed + power * rows(around.region["energy_money_per_j"]))
    need = rows(started) * pace / rows(around.running_s_per_year)
    return StepColumns(
        bench.process.name,
        bench.process.title,
        stages,
        tuple(stage.beside for stage in one.stages),
        pace,
        one.machine,
        machine.machine.words if machine is not None else "",
        machine.machine.size_unit if machine is not None else "",
        size,
        per_h,
        need if machine is not None else np.zeros(count),
        rows(one.crew),
        rows(one.reject_frac),
        rows(one.gross_kg),
        rows(one.returned_kg),
        rows(one.heat_j) + power * pace,
        rows(one.tools),
        rows(one.tool_life),
        rows(sets),
    )


def _best(stage: Stage) -> Stage:
    return replace(stage, time_s=np.atleast_2d(stage.time_s)[:, :1])
