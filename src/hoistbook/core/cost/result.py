"""What a part costs: lines that add up, bands, and what was assumed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from hoistbook.core.arrays import Array


@dataclass(frozen=True, slots=True)
class Money:
    """An amount in the money of the scenario, with the ends of its 95 % band. [money]"""

    value: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the piece cost; `step` is the number of the step, counted from 1, or 0 for what comes after them."""

    step: int
    name: str
    value_money: float


@dataclass(frozen=True, slots=True)
class StepTaken:
    """What one step takes at the best estimate.

    Attributes
    ----------
    process, title : str
    stages : tuple of (str, float)
        Times per piece. [s]
    limits : str
        The stage that sets the pace most: a station beside the line that is slower than all of it, else the longest
        stage of the line.
    pace_s : float
    machine, machine_words, size_unit : str
    machine_size : float
    machine_money_per_h : float
        Capital, maintenance, insurance, floor and energy of a running hour.
    machine_need : float
        Machines kept busy by this part. [1]
    crew, reject_frac : float
    gross_kg, returned_kg : float
    energy_j : float
    tools_money, tool_life, tool_sets : float
    """

    process: str
    title: str
    stages: tuple[tuple[str, float], ...]
    limits: str
    pace_s: float
    machine: str
    machine_words: str
    size_unit: str
    machine_size: float
    machine_money_per_h: float
    machine_need: float
    crew: float
    reject_frac: float
    gross_kg: float
    returned_kg: float
    energy_j: float
    tools_money: float
    tool_life: float
    tool_sets: float


def limiting(times: Sequence[tuple[str, float]], beside: Sequence[bool]) -> str:
    """Name of the stage that a step waits for; empty where it has none.

    Parameters
    ----------
    times : sequence of (str, float)
        Stages with their time per piece. [s]
    beside : sequence of bool
        Whether each works beside the line.
    """
    line = [stage for stage, aside in zip(times, beside, strict=True) if not aside]
    slower = [
        stage
        for stage, aside in zip(times, beside, strict=True)
        if aside and stage[1] > sum(time for _, time in line)
    ]
    found = slower or line
    return max(found, key=lambda stage: stage[1])[0] if found else ""


@dataclass(frozen=True, slots=True)
class StepColumns:
    """What one step takes, for all parts of a block: see `StepTaken`; arrays of shape (n_parts,)."""

    process: str
    title: str
    stages: tuple[tuple[str, Array], ...]
    beside: tuple[bool, ...]
    pace_s: Array
    machine: str
    machine_words: str
    size_unit: str
    machine_size: Array
    machine_money_per_h: Array
    machine_need: Array
    crew: Array
    reject_frac: Array
    gross_kg: Array
    returned_kg: Array
    energy_j: Array
    tools_money: Array
    tool_life: Array
    tool_sets: Array

    def row(self, row: int) -> StepTaken:
        """Return the step of one part."""
        times = tuple((words, float(values[row])) for words, values in self.stages)
        return StepTaken(
            self.process,
            self.title,
            times,
            limiting(times, self.beside),
            float(self.pace_s[row]),
            self.machine,
            self.machine_words,
            self.size_unit,
            float(self.machine_size[row]),
            float(self.machine_money_per_h[row]),
            float(self.machine_need[row]),
            float(self.crew[row]),
            float(self.reject_frac[row]),
            float(self.gross_kg[row]),
            float(self.returned_kg[row]),
            float(self.energy_j[row]),
            float(self.tools_money[row]),
            float(self.tool_life[row]),
            float(self.tool_sets[row]),
        )


@dataclass(frozen=True, slots=True)
class Sheet:
    """Lines and steps of the parts of a block, of which each part shows its row when asked.

    `lines`: step, name and values of shape (n_parts,). [money]
    """

    lines: tuple[tuple[int, str, Array], ...]
    steps: tuple[StepColumns, ...]


@dataclass(frozen=True, slots=True)
class PartCost:
    """Cost of one piece of a part.

    Attributes
    ----------
    tag, name : str
    currency : str
    year : int
        Of the money.
    pieces_per_vehicle, pieces_per_year : float
    piece, tooling : Money
        The piece as delivered; all tools over the programme.
    rolled_yield_frac : float
    estimated, assumed : tuple of str
    draws : array, shape (n_draws,)
        Of the piece; draws of two parts with one seed go together.
    tool_draws : array, shape (n_draws,)
        Share of the tools in it; zeros where tools stand apart.
    sheet : Sheet
    row : int
        Where its lines and steps stand.
    """

    tag: str
    name: str
    currency: str
    year: int
    pieces_per_vehicle: float
    pieces_per_year: float
    piece: Money
    tooling: Money
    rolled_yield_frac: float
    estimated: tuple[str, ...]
    assumed: tuple[str, ...]
    draws: Array
    tool_draws: Array
    sheet: Sheet = field(repr=False)
    row: int = field(repr=False)

    @property
    def lines(self) -> tuple[Line, ...]:
        """Lines of the piece cost that are not 0; they add up to `piece.value`."""
        found = ((place, name, float(values[self.row])) for place, name, values in self.sheet.lines)
        return tuple(Line(*one) for one in found if one[2] != 0.0)

    @property
    def steps(self) -> tuple[StepTaken, ...]:
        """What each step takes at the best estimate."""
        return tuple(step.row(self.row) for step in self.sheet.steps)

    def by_name(self) -> Mapping[str, float]:
        """Lines of the same name added up over the steps."""
        found: dict[str, float] = {}
        for line in self.lines:
            found[line.name] = found.get(line.name, 0.0) + line.value_money
        return found


def bands(values: Array) -> list[Money]:
    """Best estimate (column 0) and the ends of the 95 % band of each row.

    Parameters
    ----------
    values : array, shape (n_parts, n_draws + 1)
    """
    if values.shape[1] == 1:
        return [Money(float(value), float(value), float(value)) for value in values[:, 0]]
    low, high = (ends.tolist() for ends in band_ends(values[:, 1:]))
    return [Money(*row) for row in zip(values[:, 0].tolist(), low, high, strict=True)]


def band_ends(draws: Array) -> tuple[Array, Array]:
    """2.5 and 97.5 % quantiles of each row, between the two nearest draws in proportion.

    Source
    ------
    published: NumPy's default, type 7 of R. J. Hyndman, Y. Fan, Sample quantiles in statistical packages, 1996 (second
    hand). Only the draws beside the quantiles are put in their place, which takes a third of the time.
    """
    last = draws.shape[1] - 1
    at = [0.025 * last, 0.975 * last]
    beside = sorted({place for one in at for place in (int(one), min(int(one) + 1, last))})
    placed = np.partition(draws, beside, axis=1)
    ends = []
    for one in at:
        below = placed[:, int(one)]
        above = placed[:, min(int(one) + 1, last)]
        ends.append(below + (above - below) * (one - int(one)))
    return ends[0], ends[1]
