"""What one unit of an effect is worth at a vehicle: km per kg, per 0.001 m², per W, per N·m, per 0.1 kg/t."""

from __future__ import annotations

from dataclasses import dataclass, replace
from types import MappingProxyType

import numpy as np

from hoistbook.core.arrays import Array
from hoistbook.core.compare.bars import Interval, WeightedDraws
from hoistbook.core.compare.gap import Question, Side, model_value


@dataclass(frozen=True, slots=True)
class Effect:
    """One unit of change of one energy parameter."""

    name: str
    words: str
    field: str
    step: float


def effects(wheel_radius_m: float) -> tuple[Effect, ...]:
    """The units rates are quoted in.

    Parameters
    ----------
    wheel_radius_m : float
        Rolling radius that turns 1 N·m of drag torque at the wheels into a force.

    Returns
    -------
    tuple of Effect

    Raises
    ------
    ValueError
        The radius is not positive.

    Source
    ------
    first principles: F = T/r; 0.1 kg/t = 1e-4.
    """
    if not wheel_radius_m > 0.0:
        msg = f"wheel_radius_m = {wheel_radius_m!r}: give the rolling radius in metres, e.g. 0.32."
        raise ValueError(msg)
    return (
        Effect("mass", "1 kg of mass", "test_mass_kg", 1.0),
        Effect("drag_area", "0.001 m² of drag area", "drag_area_m2", 1e-3),
        Effect("accessory_power", "1 W of accessory power", "accessory_power_w", 1.0),
        Effect(
            "drag_torque", "1 N·m of drag torque, all wheels together", "drag_force_n", 1.0 / wheel_radius_m
        ),
        Effect("tyre_coefficient", "0.1 kg/t of tyre coefficient", "tyre_coefficient", 1e-4),
    )


@dataclass(frozen=True, slots=True)
class Rate:
    """Change of range [m] and of wall consumption [J/m] for one unit of an effect, with bands."""

    effect: Effect
    range: Interval
    energy: Interval


def rates(
    question: Question,
    side: Side,
    residual: Array,
    draws: WeightedDraws,
    *,
    secondary_mass_kg_per_kg: float = 0.0,
) -> tuple[Rate, ...]:
    """Rates at one vehicle.

    Parameters
    ----------
    question : Question
        Duty and surroundings; both quantities are worked out.
    side : Side
    residual : array, shape (n_draws,)
        Model residual ρ of the vehicle.
    draws : WeightedDraws
    secondary_mass_kg_per_kg : float
        Further mass that follows each kilogram once the rest of the vehicle is sized again; 0 for a vehicle as built.

    Returns
    -------
    tuple of Rate

    Raises
    ------
    ValueError
        secondary_mass_kg_per_kg is negative.

    Notes
    -----
    Central difference over one unit, (v(x + ½) − v(x − ½)); the values are those of the model times the residual.
    Secondary mass multiplies the mass rate by 1 + Γ; it is a redesign, not what this vehicle would do on the road.

    Source
    ------
    first principles; secondary mass: published, Alonso et al., Environ. Sci. Technol. 46, 2012 (0.95 kg/kg with all
    parts free), see docs/engines/gap.md.
    """
    if not secondary_mass_kg_per_kg >= 0.0:
        msg = f"secondary_mass_kg_per_kg = {secondary_mass_kg_per_kg!r}: give 0 or more, e.g. 0.95."
        raise ValueError(msg)
    radius = float(np.mean(side.fields["wheel_radius_m"]))
    found: list[Rate] = []
    for effect in effects(radius):
        factor = 1.0 + secondary_mass_kg_per_kg if effect.name == "mass" else 1.0
        changes: list[Interval] = []
        for quantity in ("range", "energy"):
            asked = replace(question, quantity=quantity)
            ends = []
            for sign in (0.5, -0.5):
                moved = dict(side.fields)
                moved[effect.field] = moved[effect.field] + sign * effect.step
                ends.append(model_value(asked, replace(side, fields=MappingProxyType(moved))))
            change = factor * (ends[0] - ends[1])
            changes.append(draws.interval(change * residual if quantity == "range" else change / residual))
        found.append(Rate(effect, *changes))
    return tuple(found)
