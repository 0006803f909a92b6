"""From what a piece takes to what it costs: machine, energy, labour, material, rejects, mark-ups, tools."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.cost.economics import (
    average_learned_frac,
    capital_recovery_frac,
    good_piece,
    yearly_capital,
)
from hoistbook.core.cost.process import Operation
from hoistbook.core.cost.scenario import Machine, Scenario

STEP_LINES = (
    "material",
    "bought",
    "machine",
    "energy",
    "consumables",
    "labour",
    "overhead",
    "set-up",
    "rejects",
)
"""Lines of one step, in the order they are shown."""
MARK_UPS = {
    "allowance for scrap": "scrap_frac",
    "sales and administration": "sga_frac",
    "profit": "profit_frac",
    "development": "development_frac",
}
"""Lines of the mark-up with the figure of the supplier each one takes."""


@dataclass(frozen=True, slots=True)
class Surroundings:
    """Figures of scenario, region and supplier as arrays of shape (1, n + 1) or (1, 1), by name.

    `learned`: labour time over that of the models, see `learning`.
    """

    scenario: Scenario
    figures: Mapping[str, Array]
    region: Mapping[str, Array]
    supplier: Mapping[str, Array]
    learned: float

    def figure(self, name: str) -> Array:
        """Return a figure of the scenario."""
        return self.figures[name]

    @property
    def running_s_per_year(self) -> Array:
        """Productive time of one machine: rejects are counted as such, and nowhere else. [s/year]"""
        found: Array = (
            self.figures["days_per_year"]
            * self.figures["shift_count"]
            * self.figures["shift_s"]
            * self.figures["availability_frac"]
            * self.figures["performance_frac"]
        )
        return found


def pace_s(operation: Operation) -> Array:
    """Time between two pieces of one machine: stages after one another add up, stations beside it may be slower. [s]"""
    found = added([stage.time_s for stage in operation.stages if not stage.beside])
    for stage in operation.stages:
        if stage.beside:
            found = np.maximum(found, stage.time_s)
    return found


@dataclass(frozen=True, slots=True)
class MachineFigures:
    """Figures of one class of machines as arrays, by name; see `scenario.Machine`."""

    machine: Machine
    investment: Array
    power_w: Array
    area_m2: Array
    consumables: Array


def log_size(found: MachineFigures, size: Array) -> Array:
    """Natural logarithm of size over reference size: taken once for all powers of a step. [1]"""
    with np.errstate(divide="ignore"):
        found_log: Array = np.log(size / found.machine.reference_size)
    return found_log


def grown(logarithm: Array, exponent: float) -> Array:
    """Return (size/reference)^exponent from its logarithm; an exponential is a fifth of the work of a power. [1]"""
    if exponent == 0.0:
        return np.ones((1, 1))
    power: Array = np.exp(exponent * logarithm)
    return power


def fixed_parts(found: MachineFigures, around: Surroundings) -> tuple[Array, Array]:
    """Capital, maintenance and insurance of one machine of the reference size, and its floor. [money/year]

    Source
    ------
    published: build-up of a machine-hour rate as in L. Blank, A. Tarquin (capital recovery) and M. P. Groover sec. 1.5.
    """
    scenario = around.scenario
    capital = yearly_capital(
        found.investment,
        around.figure("install_frac"),
        found.investment * around.figure("residual_frac"),
        scenario.interest_frac,
        scenario.machine_years,
    )
    kept = (around.figure("maintenance_frac") + around.figure("insurance_frac")) * found.investment
    return capital + kept, found.area_m2 * around.region["floor_money_per_m2"]


def fixed_per_year(machine: Machine, parts: tuple[Array, Array], logarithm: Array) -> Array:
    """Fixed cost of one machine of a size: what `fixed_parts` gives, carried there by powers. [money/year]"""
    by_price, by_area = parts
    total: Array = by_price * grown(logarithm, machine.investment_exponent)
    return total + by_area * grown(logarithm, machine.area_exponent)


def added(values: Iterable[Array]) -> Array:
    """Sum of arrays that broadcast to each other, small ones first: most lines of a step are the same for all parts."""
    total: Array = np.zeros((1, 1))
    for value in sorted(values, key=np.size):
        total = total + value
    return total


def step_lines(
    operation: Operation,
    machine: MachineFigures | None,
    starts_per_year: Array,
    spent: Array,
    piece_kg: Array,
    price_per_kg: Array,
    credit_frac: Array,
    around: Surroundings,
) -> tuple[dict[str, Array], Array]:
    """Lines of one step per piece, and what a good piece has cost after it.

    Parameters
    ----------
    operation : Operation
    machine : MachineFigures or None
        None where nothing runs.
    starts_per_year : array
        Pieces that enter the step. [1/year]
    spent : array
        Cost of the piece that enters. [money]
    piece_kg, price_per_kg, credit_frac : array
        Of the material of the step; what offal brings is a share of the price.
    around : Surroundings

    Returns
    -------
    dict of str to array, array
        `STEP_LINES` in money per good piece of this step, and the new `spent`. The lines add up to the difference.

    Notes
    -----
    Crew stands idle while the machine does; of that time `standing_paid_frac` is paid (1: as M. P. Groover sec. 1.5,
    labour over availability; 0: the crew works elsewhere meanwhile).
    """
    scenario = around.scenario
    zero = np.zeros((1, 1))
    lines = dict.fromkeys(STEP_LINES, zero)
    lines["material"] = operation.gross_kg * price_per_kg - operation.returned_kg * (
        price_per_kg * credit_frac
    )
    lines["bought"] = operation.bought
    lines["consumables"] = operation.consumables
    pace = pace_s(operation)
    running = around.running_s_per_year
    stand = around.figure("availability_frac") * around.figure("performance_frac")
    paid = 1.0 + around.figure("standing_paid_frac") * (1.0 / stand - 1.0)
    wage = around.region["wage_money_per_s"] * operation.crew * paid
    overhead = around.region["overhead_frac"]
    lines["labour"] = wage * pace * around.learned
    lines["overhead"] = lines["labour"] * overhead
    per_s = zero
    if machine is not None:
        logarithm = log_size(machine, operation.machine_size)
        fixed = fixed_per_year(machine.machine, fixed_parts(machine, around), logarithm)
        power_cost = (machine.power_w * around.region["energy_money_per_j"]) * grown(
            logarithm, machine.machine.power_exponent
        )
        per_s = fixed / running
        need = starts_per_year * pace / running
        lines["machine"] = fixed * np.ceil(need) / starts_per_year if scenario.dedicated else per_s * pace
        lines["energy"] = power_cost * pace
        lines["consumables"] = lines["consumables"] + machine.consumables * pace
    lines["energy"] = lines["energy"] + operation.heat_j * around.region["energy_money_per_j"]
    # A dedicated machine is paid for already while it is set up.
    standing = zero if scenario.dedicated else per_s
    lines["set-up"] = (standing + wage * (1.0 + overhead)) * (operation.setup_s / scenario.lot_count)
    before = added([spent, *lines.values()])
    credit = (operation.recycled_frac * price_per_kg) * piece_kg
    good = good_piece(before, operation.reject_frac, credit)
    lines["rejects"] = good - before
    return lines, good


def learning(scenario: Scenario) -> float:
    """Labour time over that of the models; 1 where nothing is learned. [1]

    Notes
    -----
    Mean of all pieces of the programme over the mean of the first `learning_from`, for which the models hold.
    """
    if scenario.learning_frac == 1.0:
        return 1.0
    pieces = scenario.volume_per_year * scenario.programme_years
    mean = average_learned_frac(pieces, scenario.learning_frac, scenario.learning_theory)
    reference = average_learned_frac(scenario.learning_from, scenario.learning_frac, scenario.learning_theory)
    return mean / reference


def tooling_total(operation: Operation, starts_per_year: Array, scenario: Scenario) -> tuple[Array, Array]:
    """Sets of tools over the programme, and what they cost. [1], [money]"""
    sets = np.maximum(np.ceil(starts_per_year * (scenario.programme_years / operation.tool_life)), 1.0)
    return sets, operation.tools * sets


def tooling_per_piece(total: Array, pieces_per_year: Array, scenario: Scenario) -> Array:
    """Share of the tools in the piece cost: none where they stand apart. [money]"""
    if scenario.tooling == "apart":
        return np.zeros((1, 1))
    if scenario.tooling == "simple":
        return total / (pieces_per_year * scenario.programme_years)
    return total * capital_recovery_frac(scenario.interest_frac, scenario.programme_years) / pieces_per_year


def starts(good_per_year: Array, reject_fracs: Sequence[Array]) -> list[Array]:
    """Pieces that enter each step so that `good_per_year` leave the last one: N over the product of the later yields.

    Source
    ------
    published: rolled yield as in a process-based cost model (eff. volume N / prod (1 - q)).
    """
    found: list[Array] = []
    needed = good_per_year
    for reject in reversed(reject_fracs):
        needed = needed / (1.0 - reject)
        found.append(needed)
    return found[::-1]
