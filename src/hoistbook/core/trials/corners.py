"""Corner weights and axle lift: pad readings, turned and repeated, to masses and the centre of gravity."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from hoistbook.core.mass.centre_of_gravity import AxleLift, CentreOfGravity, CornerMasses, centre_of_gravity
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.quantities.repeats import repeats
from hoistbook.core.trials.spindown import CORNERS

SMALLEST_ANGLE_RAD = 0.13962634015954636
"""8°: below it the height is hardly worth stating; common practice, and from memory ISO 10392."""


@dataclass(frozen=True, slots=True)
class PadReading:
    """One reading of one pad. `turned`: the vehicle stood the other way round; `raised`: the rear axle was up. [kg]"""

    id: str
    corner: str
    value: Quantity
    turned: bool = False
    raised: bool = False


@dataclass(frozen=True, slots=True)
class LiftGeometry:
    """What is needed besides the pads, all optional: wheelbase and track [m], angle [rad], axle height [m]."""

    wheelbase: Quantity | None = None
    track: Quantity | None = None
    angle: Quantity | None = None
    axle_height: Quantity | None = None


@dataclass(frozen=True, slots=True)
class CornerWeights:
    """Corner masses, the front axle with the rear raised, and the centre of gravity as far as it goes.

    `turned_by_kg` is by how much each corner read more the one way than the other, empty when not turned.
    """

    corners: CornerMasses
    lifted_front: Quantity | None
    centre: CentreOfGravity
    turned_by_kg: tuple[tuple[str, float], ...]
    checks: tuple[str, ...]
    assumptions: tuple[str, ...]


def corner_weights(
    readings: Sequence[PadReading], geometry: LiftGeometry | None = None, name: str = "corner weights"
) -> CornerWeights:
    """Take pad readings together.

    Parameters
    ----------
    readings : sequence of PadReading
        At least one of each corner, level; any number of repeats, and of readings with the vehicle turned round.
    geometry : LiftGeometry, optional
    name : str
        Names the errors of the means.

    Returns
    -------
    CornerWeights

    Raises
    ------
    ValueError
        A corner has no level reading, one front corner alone was read raised, or an id repeats.
    LookupError
        No such corner.

    Notes
    -----
    Readings of one corner and one way round are repeats (`quantities.repeats`). The mean of both ways is then taken,
    each with the same weight however often it was read: a slope of the floor and what belongs to a place cancel.

    Source
    ------
    common practice (pads zeroed, turned by 180° and repeated); the centre of gravity: `mass.centre_of_gravity`.
    """
    geometry = geometry or LiftGeometry()
    for one in readings:
        if one.corner not in CORNERS:
            msg = f"reading {one.id}: no corner {one.corner!r}; known: {', '.join(CORNERS)}."
            raise LookupError(msg)
    checks: list[str] = []
    notes: list[str] = []
    turned: list[tuple[str, float]] = []
    level = []
    for corner in CORNERS:
        mean, difference = _corner(readings, corner, False, name, checks)
        if mean is None:
            msg = f"{corner}: no reading with the vehicle level; weigh all four corners."
            raise ValueError(msg)
        level.append(mean)
        if difference is not None:
            turned.append((corner, difference))
    if len(turned) < len(CORNERS):
        there = "not turned round" if not turned else "turned round for some corners only"
        notes.append(
            f"the vehicle was {there}: a slope of the floor and what belongs to one place stay in the figures"
        )
    corners = CornerMasses(*level)
    lifted = _lifted_front(readings, name, checks)
    lift = None
    if lifted is not None and geometry.angle is not None and geometry.axle_height is not None:
        lift = AxleLift(lifted, geometry.angle, geometry.axle_height)
        if geometry.angle.value < SMALLEST_ANGLE_RAD:
            checks.append(
                "the lift is below 8°: raise it further, the height of the centre of gravity depends on it"
            )
    elif lifted is not None:
        notes.append("no height of the centre of gravity: the angle or the height of the axles is not stated")
    centre = centre_of_gravity(corners, geometry.wheelbase, geometry.track, lift)
    return CornerWeights(
        corners,
        lifted,
        centre,
        tuple(turned),
        tuple(checks),
        (*notes, *centre.assumptions),
    )


def _corner(
    readings: Sequence[PadReading], corner: str, raised: bool, name: str, checks: list[str]
) -> tuple[Quantity | None, float | None]:
    """Mean of a corner over both ways round, and by how much the two differ."""
    ways = []
    for turned in (False, True):
        own = [r for r in readings if (r.corner, r.raised, r.turned) == (corner, raised, turned)]
        if not own:
            continue
        words = f"{name}: {corner}{', raised' if raised else ''}{', turned round' if turned else ''}"
        taken = repeats([r.value for r in own], [r.id for r in own], words)
        if taken.contradicted:
            checks.append(taken.message)
        ways.append(taken.quantity)
    if not ways:
        return None, None
    if len(ways) == 1:
        return ways[0], None
    return 0.5 * (ways[0] + ways[1]), ways[1].value - ways[0].value


def _lifted_front(readings: Sequence[PadReading], name: str, checks: list[str]) -> Quantity | None:
    left, right = (_corner(readings, corner, True, name, checks)[0] for corner in CORNERS[:2])
    if left is None and right is None:
        return None
    if left is None or right is None:
        msg = "front axle with the rear raised: one of its two pads has no reading; read both, or neither."
        raise ValueError(msg)
    return left + right
