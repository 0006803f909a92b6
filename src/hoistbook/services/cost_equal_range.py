"""Cost at equal range: a way of doing a function in money, with the battery that pays back what it costs in range."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from hoistbook.core.compare.equal_range import EqualRange, equal_range
from hoistbook.core.quantities.quantity import Quantity, total
from hoistbook.core.vehicle.approaches import FunctionTree
from hoistbook.core.vehicle.records import Teardown
from hoistbook.services.cost_compare import CostComparison
from hoistbook.services.energy import range_report
from hoistbook.services.loading import chosen_configuration
from hoistbook.services.mass_sides import function_masses
from hoistbook.services.rates import rates_report

MASS = "mass"
PRICE = "battery_money_per_j"


@dataclass(frozen=True, slots=True)
class CostAtEqualRange:
    """Difference of two ways, second less first, on one vehicle that goes equally far with either.

    Attributes
    ----------
    vehicle, duty : str
        On which vehicle, and how it is driven.
    range_m, usable_energy_j : float
        Of that vehicle.
    changes : mapping of str to Quantity
        What the second way changes, by names of effects; SI.
    found : EqualRange
    assumed : tuple of str
    """

    vehicle: str
    duty: str
    range_m: float
    usable_energy_j: float
    changes: Mapping[str, Quantity]
    found: EqualRange
    assumed: tuple[str, ...]


def cost_at_equal_range(
    teardowns: tuple[Teardown, Teardown],
    comparison: CostComparison,
    function: str,
    *,
    on_second: bool = False,
    configurations: tuple[str | None, str | None] = (None, None),
    duty: str = "wltc3b",
    changes: Mapping[str, Quantity] | None = None,
) -> CostAtEqualRange:
    """Cost of two ways of doing a function once both go equally far.

    Parameters
    ----------
    teardowns : two of Teardown
    comparison : CostComparison
        Of them; its draws and seed are used.
    function : str
        Code, name or alias, as compared.
    on_second : bool
        Whether both ways are judged on the second vehicle instead of the first.
    configurations : two of str or None
    duty : str
        See `duties.named_duty`.
    changes : mapping of str to Quantity, optional
        What else the second way changes, second less first, by names of `compare.rates.effects`: `drag_area` [m2],
        `accessory_power` [W], `drag_torque` [N at the tyres], `tyre_coefficient` [1]; or `mass` [kg] instead of the
        difference of what was weighed.

    Raises
    ------
    ValueError, LookupError
        No mass of the function on one side, an unknown effect or duty, or money that cannot be carried over.

    Notes
    -----
    Unless stated, mass changes by the difference of the masses of the function, parts and surplus. Rates are those of
    the vehicle as built: no secondary mass.
    """
    place = 1 if on_second else 0
    teardown = teardowns[place]
    configuration, draws, seed = configurations[place], comparison.draws, comparison.seed
    driven = range_report(teardown, duty=duty, configuration=configuration, n_draws=draws, seed=seed)
    worth = rates_report(teardown, duty=duty, configuration=configuration, n_draws=draws, seed=seed)
    changed = dict(changes or {})
    if MASS not in changed:
        masses = [_mass(one, chosen, function) for one, chosen in zip(teardowns, configurations, strict=True)]
        changed = {MASS: masses[1] - masses[0], **changed}
    usable = next(row.value for row in driven.parameters if row.field == "usable_energy_j")
    far = driven.stated_range if driven.stated_range is not None else driven.range
    scenario = comparison.scenarios[place]
    found = equal_range(
        comparison.walk,
        changed,
        {rate.effect.name: rate for rate in worth.as_built},
        far.value,
        usable,
        scenario.money(scenario.figures[PRICE]),
        comparison.seed,
    )
    return CostAtEqualRange(
        teardown.vehicle.code, driven.duty, far.value, usable, changed, found, worth.assumptions
    )


def _mass(teardown: Teardown, configuration: str | None, function: str) -> Quantity:
    """Mass of everything that serves a function or a narrower one. [kg]"""
    chosen = chosen_configuration(teardown, configuration).id
    known = function_masses(teardown, chosen)
    functions = FunctionTree(teardown.functions)
    asked = functions.find(function)
    code = teardown.vehicle.code
    if asked is None:
        msg = f"{code}: no function {function!r}; name one of its functions."
        raise LookupError(msg)
    parts = [
        mass
        for name, mass in known.items()
        if (one := functions.find(name)) is not None and asked.code in functions.lineage(one.code)
    ]
    if not parts:
        msg = f"{code}: nothing of {asked.name} has a mass; weigh its parts, or state the change of mass."
        raise ValueError(msg)
    return total(parts, [1.0] * len(parts), "kg")
