"""What a parameter of the energy model was worked out from, so that a bar can name the figures that carry it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from hoistbook.core.quantities.quantity import Origin, Quantity, weakest


@dataclass(frozen=True, slots=True)
class Input:
    """One figure that a parameter was worked out from.

    Attributes
    ----------
    name : str
        Field it sets itself, or key of the stated quantity (road_load_a, wall_energy …).
    value, u : float
        Best estimate and standard uncertainty, in SI.
    origin : Origin
    slope : float
        What one unit of it does to the parameter.
    """

    name: str
    value: float
    u: float
    origin: Origin
    slope: float


def worked_out(
    quantity: Quantity, unit: str, of: Sequence[tuple[str, Quantity, float]]
) -> tuple[Quantity, tuple[Input, ...]]:
    """Mark a figure worked out from others: measured when all of them were measured, otherwise inferred at best.

    Parameters
    ----------
    quantity : Quantity
    unit : str
    of : sequence of (name, Quantity, slope)
        Gravity and reference air are left out: they are conventions and not known of this vehicle.

    Returns
    -------
    Quantity, tuple of Input
    """
    origin = weakest(one.origin for _, one, _ in of)
    if origin is not Origin.MEASURED and origin.rank < Origin.INFERRED.rank:
        origin = Origin.INFERRED
    inputs = tuple(Input(name, q.value, q.standard_uncertainty, q.origin, slope) for name, q, slope in of)
    return replace(quantity.in_unit(unit), origin=origin), inputs
