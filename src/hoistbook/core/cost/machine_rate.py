"""The hour of a machine, built up: capital, maintenance, insurance, floor, energy, and what wears."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.cost.drawn import SharedDraws
from hoistbook.core.cost.economics import yearly_capital
from hoistbook.core.cost.lines import grown, log_size
from hoistbook.core.cost.result import Money, bands
from hoistbook.core.cost.scenario import Scenario
from hoistbook.core.cost.shop import Machines

RATE_PARTS = ("capital", "maintenance", "insurance", "floor", "energy", "other")
"""What a machine-hour is made of, in the order it is shown."""


@dataclass(frozen=True, slots=True)
class MachineRate:
    """Cost of one running hour of a machine.

    Attributes
    ----------
    code : str
    size : float
        In the unit of the class.
    region : str
    parts : mapping of str to Money
        By `RATE_PARTS`; their values add up to that of the whole. [money/h]
    whole : Money
        [money/h]
    """

    code: str
    size: float
    region: str
    parts: dict[str, Money]
    whole: Money


def machine_rate(
    scenario: Scenario,
    code: str,
    shared: SharedDraws,
    region: str = "",
    size: float | None = None,
) -> MachineRate:
    """Hourly rate of a class of machines.

    Parameters
    ----------
    scenario : Scenario
    code : str
        Of the machine.
    shared : SharedDraws
    region : str
        Whose floor and energy; that of the scenario when empty.
    size : float, optional
        The reference size when not given.

    Raises
    ------
    LookupError
        No such machine or region.

    Notes
    -----
    An hour is one in which good or bad pieces come out: capital, maintenance, insurance and floor of a year are spread
    over days × shifts × length × availability × performance. The crew is not in it.

    Source
    ------
    published: build-up of a machine-hour rate as in L. Blank, A. Tarquin (capital recovery) and M. P. Groover sec. 1.5
    (second hand).
    """
    found = Machines(scenario, shared).get(code)
    if found is None:
        msg = f"no machine {code!r} in the scenario; known: {', '.join(scenario.machines)}."
        raise LookupError(msg)
    place = scenario.regions.get(region or scenario.region)
    if place is None:
        msg = f"no region named {region!r}; known: {', '.join(scenario.regions)}."
        raise LookupError(msg)

    def figure(name: str) -> Array:
        return shared.figure(f"scenario/{name}", scenario.money(scenario.figures[name]))

    def local(name: str) -> Array:
        return shared.figure(f"region/{place.code}/{name}", scenario.money(place.figures[name]))

    machine = found.machine
    at = machine.reference_size if size is None else size
    logarithm = log_size(found, np.full((1, 1), at))
    price = found.investment * grown(logarithm, machine.investment_exponent)
    running_h = (
        figure("days_per_year")
        * figure("shift_count")
        * (figure("shift_s") / 3600.0)
        * figure("availability_frac")
        * figure("performance_frac")
    )
    capital = yearly_capital(
        price,
        figure("install_frac"),
        price * figure("residual_frac"),
        scenario.interest_frac,
        scenario.machine_years,
    )
    area = found.area_m2 * grown(logarithm, machine.area_exponent)
    power = found.power_w * grown(logarithm, machine.power_exponent)
    rows: dict[str, Array] = {
        "capital": capital / running_h,
        "maintenance": figure("maintenance_frac") * price / running_h,
        "insurance": figure("insurance_frac") * price / running_h,
        "floor": area * local("floor_money_per_m2") / running_h,
        "energy": 3600.0 * power * local("energy_money_per_j"),
        "other": 3600.0 * found.consumables,
    }
    whole: Array = np.zeros((1, 1))
    for name in RATE_PARTS:
        whole = whole + rows[name]
    return MachineRate(
        code, at, place.code, {name: bands(rows[name])[0] for name in RATE_PARTS}, bands(whole)[0]
    )
