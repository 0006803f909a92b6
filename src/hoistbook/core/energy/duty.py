"""Range and consumption of a vehicle on a duty: one or more cycles with their weights."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.energy.cycles import Cycle
from hoistbook.core.energy.model import CycleResult, Engine, simulate
from hoistbook.core.energy.parameters import EnergyParameters

Combine = Literal["range", "energy"]


@dataclass(frozen=True, slots=True)
class Duty:
    """What a vehicle is asked to do.

    Parameters
    ----------
    name : str
    cycles : tuple of Cycle
    weights : tuple of float
        One per cycle, adding up to 1. [1]
    combine : str
        "range": the stated range is Σ w_i R_i (US label, 0.55/0.45). "energy": it is usable energy over Σ w_i EC_i.

    Raises
    ------
    ValueError
        No cycle, a wrong number of weights, weights that are negative or do not add up to 1, an unknown rule,
        or a cycle that never moves.

    Source
    ------
    US label range is combined arithmetically: computed, it reproduces the published integer of every public row with a
    city and a highway range (tests/validation).
    """

    name: str
    cycles: tuple[Cycle, ...]
    weights: tuple[float, ...]
    combine: Combine

    def __post_init__(self) -> None:
        if not self.cycles or len(self.cycles) != len(self.weights):
            msg = (
                f"duty {self.name!r}: {len(self.cycles)} cycles, {len(self.weights)} weights; give one each."
            )
            raise ValueError(msg)
        if min(self.weights) < 0.0 or not abs(sum(self.weights) - 1.0) < 1e-9:
            msg = f"duty {self.name!r}: weights {self.weights} must be positive and add up to 1."
            raise ValueError(msg)
        for cycle in self.cycles:
            if not cycle.distance_m > 0.0:
                msg = f"cycle {cycle.name!r}: the vehicle never moves, so nothing holds per distance; give a drive."
                raise ValueError(msg)
        if self.combine not in ("range", "energy"):
            msg = f"duty {self.name!r}: combine = {self.combine!r}; known rules: range, energy."
            raise ValueError(msg)


@dataclass(frozen=True, slots=True, eq=False)
class DutyResult:
    """Range [m] and wall consumption [J/m] on a duty, each cycle's range and energies beside them."""

    range_m: Array
    consumption_j_per_m: Array
    cycle_range_m: tuple[Array, ...]
    cycles: tuple[CycleResult, ...]


def drive(
    duty: Duty, parameters: EnergyParameters, *, engine: Engine = "auto", threads: int = 1
) -> DutyResult:
    """Range and consumption of a vehicle on a duty.

    Parameters
    ----------
    duty : Duty
    parameters : EnergyParameters
        One vehicle, or many draws of it.
    engine, threads
        As for `model.simulate`.

    Returns
    -------
    DutyResult

    Raises
    ------
    ValueError
        As for `model.simulate`.

    Notes
    -----
    R_i = usable energy · label factor · distance/cell energy; EC_i = wall energy/distance/label factor.
    Consumption is Σ w_i EC_i under both rules (harmonic in distance per energy).
    Range is Σ w_i R_i under "range", usable energy · label factor/Σ w_i (cell energy/distance)_i under "energy".

    Source
    ------
    first principles; published: 40 CFR 600.206-12(a)(3) for the harmonic combination of economy (seen as carried by a
    regulation text service); arithmetic combination of range: computed, see `Duty`.
    """
    results = tuple(simulate(cycle, parameters, engine=engine, threads=threads) for cycle in duty.cycles)
    reach = np.asarray(parameters.usable_energy_j) * np.asarray(parameters.label_factor_frac)
    cell = [result.cell_j / result.distance_m for result in results]
    wall = [result.wall_j / result.distance_m for result in results]
    ranges = tuple(np.asarray(reach / one) for one in cell)
    weighted_wall = np.sum([w * one for w, one in zip(duty.weights, wall, strict=True)], axis=0)
    if duty.combine == "range":
        range_m = np.sum([w * one for w, one in zip(duty.weights, ranges, strict=True)], axis=0)
    else:
        range_m = reach / np.sum([w * one for w, one in zip(duty.weights, cell, strict=True)], axis=0)
    return DutyResult(
        range_m=np.asarray(range_m),
        consumption_j_per_m=np.asarray(weighted_wall / np.asarray(parameters.label_factor_frac)),
        cycle_range_m=ranges,
        cycles=results,
    )
