"""A route from what it reads to its lines of cost: the one path of figures, draws and formulas of a spreadsheet."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.cost.lines import (
    MARK_UPS,
    STEP_LINES,
    MachineFigures,
    added,
    starts,
    step_lines,
    tooling_per_piece,
    tooling_total,
)
from hoistbook.core.cost.process import Fields, Operation
from hoistbook.core.cost.shop import ZERO, Bench, Shop

CALIBRATION = "calibration"
"""Line of what quotes add to or take from the model of the first step."""


def fields_of(bench: Bench, reading: Callable[[str], Array], terms: Mapping[str, Array]) -> Fields:
    """What the model of one step reads.

    Parameters
    ----------
    bench : Bench
    reading : callable
        A reading that is stated, by its name.
    terms : mapping of str to array
        Pieces a year, years and lot.
    """
    process = bench.process
    values = dict(bench.figures)
    for name in (*process.needs, *process.optional):
        if name in bench.stated:
            values[name] = reading(name)
        else:
            values[name] = bench.figures.get(f"usual_{name}", ZERO)
    values |= terms
    return Fields(values, bench.choices, process.title)


def pieces_per_year(volume_per_year: float, pooled_volume: Array, pieces_per_vehicle: Array) -> Array:
    """Good pieces a year of all vehicles that carry the part. [1/year]"""
    return (volume_per_year + pooled_volume) * pieces_per_vehicle


def _at_least(operation: Operation, machine: MachineFigures | None) -> Operation:
    """No machine is smaller than the smallest there is."""
    if machine is None:
        return operation
    size = np.maximum(operation.machine_size, machine.machine.smallest)
    return replace(operation, machine_size=size)


@dataclass(frozen=True, slots=True)
class Breakdown:
    """What a route costs.

    Attributes
    ----------
    operations : list of Operation
        On machines that exist: none smaller than the smallest.
    machines : list of MachineFigures or None
    entering, sets : list of array
        Pieces that enter each step [1/year], and sets of tools over the programme.
    lines : list of (int, str, array)
        Step, name and amount, at the best estimate where it does not belong to a step; they add up to the piece cost.
    made, factor : array
        Manufacturing cost [money], and what mark-ups make of it.
    after : mapping of str to array
        Packaging, freight and tools. [money]
    tooling : array
        All tools over the programme. [money]
    """

    operations: list[Operation]
    machines: list[MachineFigures | None]
    entering: list[Array]
    sets: list[Array]
    lines: list[tuple[int, str, Array]]
    made: Array
    factor: Array
    after: Mapping[str, Array]
    tooling: Array


def broken_down(
    shop: Shop, fields: Sequence[Fields], operations: Sequence[Operation], good_per_year: Array
) -> Breakdown:
    """From what each step takes to the lines of the cost, by nothing but element-wise arithmetic."""
    around, scenario = shop.around, shop.around.scenario
    machines = [shop.machines.get(one.machine) for one in operations]
    taken = [_at_least(one, machine) for one, machine in zip(operations, machines, strict=True)]
    entering = starts(good_per_year, [one.reject_frac for one in taken])
    spent: Array = ZERO
    lines: list[tuple[int, str, Array]] = []
    tooling: Array = ZERO
    sets = []
    mass = fields[0].mass_kg if "mass_kg" in shop.benches[0].process.needs else ZERO
    for place, (bench, one, machine, started) in enumerate(
        zip(shop.benches, taken, machines, entering, strict=True), start=1
    ):
        found, spent = step_lines(one, machine, started, spent, mass, bench.price, bench.credit, around)
        lines += [(place, name, found[name]) for name in STEP_LINES]
        count, total = tooling_total(one, started, scenario)
        sets.append(count)
        tooling = tooling + total
    made = spent
    # Only the best estimate of these lines is shown: the draws of the piece are multiplied out at once by the engine.
    marked = {} if shop.bought else MARK_UPS
    factor = 1.0 + added([around.supplier[name] for name in marked.values()])
    for words, name in marked.items():
        lines.append((0, words, made[:, :1] * around.supplier[name][:, :1]))
    if shop.calibration is not None:
        missed = (shop.calibration - 1.0) * factor[:, :1]
        lines.append((0, CALIBRATION, made[:, :1] * missed))
    after = {
        "packaging": around.figure("packaging_money_per_kg") * mass,
        "freight": around.figure("freight_money_per_kg") * mass,
        "tools": tooling_per_piece(tooling, good_per_year, scenario),
    }
    lines += [(0, name, value) for name, value in after.items()]
    return Breakdown(taken, machines, entering, sets, lines, made, factor, after, tooling)
