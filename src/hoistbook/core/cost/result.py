"""What a part costs: lines that add up, bands, and what was assumed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

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
        The stage that takes longest.
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
    lines : tuple of Line
        They add up to `piece.value`.
    steps : tuple of StepTaken
    rolled_yield_frac : float
    estimated, assumed : tuple of str
    draws : array, shape (n_draws,)
        Of the piece; draws of two parts with one seed go together.
    """

    tag: str
    name: str
    currency: str
    year: int
    pieces_per_vehicle: float
    pieces_per_year: float
    piece: Money
    tooling: Money
    lines: tuple[Line, ...]
    steps: tuple[StepTaken, ...]
    rolled_yield_frac: float
    estimated: tuple[str, ...]
    assumed: tuple[str, ...]
    draws: Array

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
    ends = np.percentile(values[:, 1:], (2.5, 97.5), axis=1)
    return [
        Money(float(row[0]), float(low), float(high)) for row, low, high in zip(values, *ends, strict=True)
    ]
