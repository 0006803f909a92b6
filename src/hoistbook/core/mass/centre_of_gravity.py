"""Mass and centre of gravity from four corner masses, and its height from raising the rear axle."""

from __future__ import annotations

import math
from dataclasses import dataclass

from hoistbook.core.quantities.quantity import Quantity, combine


@dataclass(frozen=True, slots=True)
class CornerMasses:
    """Readings of the four pads, each with its own and with its shared calibration error. [kg]"""

    front_left: Quantity
    front_right: Quantity
    rear_left: Quantity
    rear_right: Quantity

    @property
    def front(self) -> Quantity:
        """Front axle. [kg]"""
        return self.front_left + self.front_right

    @property
    def rear(self) -> Quantity:
        """Rear axle. [kg]"""
        return self.rear_left + self.rear_right

    @property
    def total(self) -> Quantity:
        """Whole vehicle: the calibration error common to the pads adds up, it does not average out. [kg]"""
        return self.front + self.rear

    @property
    def front_share(self) -> Quantity:
        """Share of the front axle in the mass. [1]"""
        return self.front / self.total


@dataclass(frozen=True, slots=True)
class AxleLift:
    """The rear axle raised with locked suspension: front axle mass then, angle of the vehicle, height of the axles.

    `axle_height` is the static height of the wheel centres above the pads. [kg, rad, m]
    """

    front_mass: Quantity
    angle: Quantity
    axle_height: Quantity


@dataclass(frozen=True, slots=True)
class CentreOfGravity:
    """Where the centre of gravity is. What was not measured is None, and `assumptions` says what was taken.

    `behind_front_axle` [m], `left_of_centre` [m] (positive to the left, seen in driving direction), `height` above the
    ground [m], `mass` [kg], `front_share` [1].
    """

    mass: Quantity
    front_share: Quantity
    behind_front_axle: Quantity | None
    left_of_centre: Quantity | None
    height: Quantity | None
    assumptions: tuple[str, ...] = ()


def behind_front_axle_m(corners: CornerMasses, wheelbase: Quantity) -> Quantity:
    """Distance of the centre of gravity behind the front axle. [m]

    Parameters
    ----------
    corners : CornerMasses
        Vehicle level, tyres settled.
    wheelbase : Quantity
        [m]

    Returns
    -------
    Quantity

    Notes
    -----
    x = L (m_rear) / m. Sensitivities −x/m to a front pad and (L − x)/m to a rear one: an error common to all pads
    nearly cancels.

    Source
    ------
    first principles (moments about the front axle).
    """
    return wheelbase * (corners.rear / corners.total)


def left_of_centre_m(corners: CornerMasses, track: Quantity) -> Quantity:
    """Distance of the centre of gravity to the left of the middle plane. [m]

    Parameters
    ----------
    corners : CornerMasses
    track : Quantity
        Track width, taken as the same at both axles. [m]

    Returns
    -------
    Quantity
        Positive to the left, seen in driving direction.

    Notes
    -----
    y = (t/2) (m_left − m_right) / m.

    Source
    ------
    first principles (moments about the middle plane).
    """
    left = corners.front_left + corners.rear_left
    right = corners.front_right + corners.rear_right
    return 0.5 * track * ((left - right) / corners.total)


def height_m(lift: AxleLift, mass: Quantity, front_level: Quantity, wheelbase: Quantity) -> Quantity:
    """Height of the centre of gravity above the ground. [m]

    Parameters
    ----------
    lift : AxleLift
        Rear axle raised, suspension locked, wheels free to roll.
    mass, front_level : Quantity
        Mass of the vehicle and of its front axle when level. [kg]
    wheelbase : Quantity
        [m]

    Returns
    -------
    Quantity

    Raises
    ------
    ValueError
        The angle is not between 0 and 90°.

    Notes
    -----
    h = r + L (F' − F) / (m tan θ). Height is about an order of magnitude less certain than the distance behind the
    axle: the front axle gains only tens of kilograms. A larger angle helps most. Travel of an unlocked suspension is
    not in it.

    Source
    ------
    from memory: ISO 10392 (axle lift method). Worked example K of the uncertainty reference is in the tests.
    """
    angle = lift.angle.value
    if not 0.0 < angle < 0.5 * math.pi:
        msg = f"lift_angle = {angle!r} rad is outside 0–1.57; give the angle of the raised vehicle, e.g. 12 deg."
        raise ValueError(msg)
    tangent = combine(math.tan(angle), ((lift.angle, 1.0 / math.cos(angle) ** 2),), "1")
    return lift.axle_height + wheelbase * (lift.front_mass - front_level) / (mass * tangent)


def centre_of_gravity(
    corners: CornerMasses,
    wheelbase: Quantity | None = None,
    track: Quantity | None = None,
    lift: AxleLift | None = None,
) -> CentreOfGravity:
    """Centre of gravity as far as the measurements reach.

    Parameters
    ----------
    corners : CornerMasses
    wheelbase, track : Quantity, optional
        Without them the distance behind the axle, or off the middle, is None. [m]
    lift : AxleLift, optional
        Without it, or without the wheelbase, the height is None.

    Returns
    -------
    CentreOfGravity

    Source
    ------
    first principles; see the functions for each coordinate.
    """
    assumptions: list[str] = []
    if track is not None:
        assumptions.append("the track width is taken as the same at both axles")
    height = None
    if lift is not None and wheelbase is not None:
        height = height_m(lift, corners.total, corners.front, wheelbase)
        assumptions.append(
            "the suspension was locked and the wheels free to roll while the rear axle was raised"
        )
    return CentreOfGravity(
        mass=corners.total,
        front_share=corners.front_share,
        behind_front_axle=None if wheelbase is None else behind_front_axle_m(corners, wheelbase),
        left_of_centre=None if track is None else left_of_centre_m(corners, track),
        height=height,
        assumptions=tuple(assumptions),
    )
