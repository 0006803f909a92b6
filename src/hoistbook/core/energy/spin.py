"""Spin loss of the driveline moved from the loss map into the road load, so that two vehicles keep it in one place."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType

from hoistbook.core.energy.resolve import SPIN_FIELDS
from hoistbook.core.energy.resolved import Resolved
from hoistbook.core.quantities.assumption import definition
from hoistbook.core.quantities.quantity import Origin, Quantity, weakest

MOVED_TO = {"loss_k2": "drag_force_n", "loss_k3": "drag_force_c_n_s2_per_m2"}
"""Where a coast-down finds each spin loss: a force at every speed, and one with speed squared."""


def as_wheel_force(resolved: Resolved, name: str, value: Quantity) -> Quantity:
    """Spin loss of the drive unit as the force a coast-down would see at the wheels.

    Parameters
    ----------
    resolved : Resolved
        Gives gear ratio, wheel radius and gear efficiency.
    name : str
        "loss_k2" or "loss_k3".
    value : Quantity
        The loss constant, or a part of it. [W s/rad] or [W s³/rad³]

    Returns
    -------
    Quantity
        [N] or [N s²/m²]

    Raises
    ------
    ValueError
        name is no spin loss.

    Notes
    -----
    The wheels turn the motor through the gear: F u = (k2 ω + k3 ω³)/η with ω = G u/r, so F_0 = k2 G/(r η) and
    F_2 = k3 (G/r)³/η.

    Source
    ------
    first principles.
    """
    if name not in MOVED_TO:
        msg = f"{name!r} is no spin loss; spin losses are {', '.join(SPIN_FIELDS)}."
        raise ValueError(msg)
    lever = resolved.values["gear_ratio"] / resolved.values["wheel_radius_m"]
    efficiency = resolved.values["gear_efficiency_frac"]
    power = lever if name == "loss_k2" else lever * lever * lever
    force = value * power / efficiency
    # Radians are no unit of their own: W s/rad per metre is a newton.
    return replace(force, unit="N" if name == "loss_k2" else "N.s2/m2")


def spin_into_road_load(resolved: Resolved) -> Resolved:
    """Move the spin loss of a loss map into the road load, as a coast-down would have found it.

    Parameters
    ----------
    resolved : Resolved
        A vehicle whose road load was given by its parts.

    Returns
    -------
    Resolved
        The same vehicle with loss_k2 = loss_k3 = 0 and more drag force; unchanged when there is no spin loss.

    Source
    ------
    first principles, see `as_wheel_force`.
    """
    if all(resolved.values[name].value == 0.0 for name in SPIN_FIELDS):
        return resolved
    values = dict(resolved.values)
    for name, target in MOVED_TO.items():
        moved = as_wheel_force(resolved, name, values[name])
        origin = weakest((values[target].origin, moved.origin))
        values[target] = replace(values[target] + moved, origin=origin)
        values[name] = Quantity(0.0, values[name].unit, origin=Origin.INFERRED)
    note = definition(
        "spin loss of the drive unit is counted with the drag force, because the other vehicle's "
        "road load is known by its coefficients alone and holds its own"
    )
    # What was moved goes by the origin of its field; only the rest of the fields keep what they were worked out from.
    kept = {name: of for name, of in resolved.worked_out.items() if name not in MOVED_TO.values()}
    return replace(
        resolved,
        values=MappingProxyType(values),
        assumed=(*resolved.assumed, note),
        worked_out=MappingProxyType(kept),
    )
