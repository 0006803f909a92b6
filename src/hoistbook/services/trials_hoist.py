"""Tests on the hoist and the pads: what a person states beside the readings, brought to the evaluation."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from hoistbook.capture.pads import PadRow
from hoistbook.core.quantities.evaluation import stated_band
from hoistbook.core.quantities.instruments import Instrument, reading
from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.trials.corners import CornerWeights, LiftGeometry, PadReading, corner_weights
from hoistbook.core.trials.outcome import Outcome
from hoistbook.core.trials.road_outcomes import corner_outcome, spin_down_outcome
from hoistbook.core.trials.series import Series
from hoistbook.core.trials.spindown import (
    Slowing,
    SpinRules,
    WheelDrag,
    inertia_from_added,
    inertia_from_pull,
    slowing,
    wheel_drag,
)
from hoistbook.core.vehicle.records import MassState, Teardown


@dataclass(frozen=True, slots=True)
class SpinDownAsked:
    """What is asked of a spin-down beside its recordings.

    Parameters
    ----------
    inertia_kg_m2, inertia_band_kg_m2 : float
        Of all that turns, at the wheel, and the half width of its 95 % band; 0 where it is to be found out.
    added_kg_m2, added_band_kg_m2 : float
        What was added to the wheel in the recording `added`.
    torque_n_m, torque_band_n_m : float
        Known torque that sped the wheel up in the recording `pulled`.
    attached : str
        What turned with the wheel.
    at_rad_per_s : float, optional
        Speed where the torque is stated; left out, the mean of the readings of all wheels.
    with_speed : bool
    rules : SpinRules
    """

    inertia_kg_m2: float = 0.0
    inertia_band_kg_m2: float = 0.0
    added_kg_m2: float = 0.0
    added_band_kg_m2: float = 0.0
    torque_n_m: float = 0.0
    torque_band_n_m: float = 0.0
    attached: str = ""
    at_rad_per_s: float | None = None
    with_speed: bool = True
    rules: SpinRules = field(default_factory=SpinRules)


def evaluate_spin_down(
    wheels: Mapping[str, Sequence[Series]],
    asked: SpinDownAsked,
    *,
    name: str,
    added: Sequence[Series] = (),
    pulled: Sequence[Series] = (),
    breakaway: Mapping[str, float] | None = None,
) -> tuple[dict[str, WheelDrag], Outcome]:
    """Drag torque of lifted wheels.

    Parameters
    ----------
    wheels : mapping of str to sequence of Series
        Recordings by corner.
    asked : SpinDownAsked
    name : str
        Of the test, with the vehicle.
    added, pulled : sequence of Series
        Recordings with an added inertia, or of a known torque speeding the wheel up; of the first wheel, whose inertia
        then stands for all.
    breakaway : mapping of str to float, optional
        Torque when a wheel began to turn, by corner. [N m]

    Raises
    ------
    ValueError
        No wheel, no way to the inertia or several, or recordings that give no torque.
    """
    if not wheels:
        msg = "no wheel to evaluate: give the recording of at least one, e.g. 'front left=spin.csv'."
        raise ValueError(msg)

    def slow(recordings: Sequence[Series], what: str, at: float | None, rising: bool = False) -> Slowing:
        return slowing(
            recordings,
            f"{name} {what}",
            rules=asked.rules,
            at_rad_per_s=at,
            with_speed=asked.with_speed,
            rising=rising,
        )

    at = asked.at_rad_per_s
    if at is None:
        means = [slow(recordings, corner, None).at_rad_per_s for corner, recordings in wheels.items()]
        at = sum(means) / len(means)
    found = {corner: slow(recordings, corner, at) for corner, recordings in wheels.items()}
    first = next(iter(found.values()))
    ways = [bool(asked.inertia_kg_m2), bool(added), bool(pulled)]
    if sum(ways) != 1:
        msg = (
            "the inertia of the wheel: state it, or give a recording with an added inertia, or one of a known torque; "
            f"one of the three, not {sum(ways)}."
        )
        raise ValueError(msg)
    if added:
        extra = _banded(asked.added_kg_m2, asked.added_band_kg_m2, "kg.m2", f"test {name}/added inertia")
        inertia = inertia_from_added(first.rate, slow(added, "added", at).rate, extra)
    elif pulled:
        torque = _banded(asked.torque_n_m, asked.torque_band_n_m, "N.m", f"test {name}/pulling torque")
        inertia = inertia_from_pull(torque, slow(pulled, "pulled", at, rising=True).rate, first.rate)
    else:
        inertia = _banded(asked.inertia_kg_m2, asked.inertia_band_kg_m2, "kg.m2", f"test {name}/inertia")
    drags = {corner: wheel_drag(corner, one, inertia, asked.attached) for corner, one in found.items()}
    return drags, spin_down_outcome(drags, breakaway or {})


def _banded(value: float, half_width: float, unit: str, source: str) -> Quantity:
    return stated_band(value, half_width, unit, source) if half_width else Quantity(value, unit)


@dataclass(frozen=True, slots=True)
class CornersAsked:
    """What is asked of corner weights beside the table; lengths and angle 0 where they were not measured.

    Parameters
    ----------
    state : MassState
        What stood in the vehicle.
    wheelbase_m, track_m, axle_height_m : float
        By a steel tape of class II, unless `tape` names another of the vehicle's instruments.
    lift_angle_rad : float
        By a digital angle gauge, unless `gauge` names another.
    tape, gauge : str
    """

    state: MassState = MassState.AS_WEIGHED
    wheelbase_m: float = 0.0
    track_m: float = 0.0
    axle_height_m: float = 0.0
    lift_angle_rad: float = 0.0
    tape: str = ""
    gauge: str = ""


def evaluate_corners(
    rows: Sequence[PadRow], asked: CornersAsked, *, name: str, teardown: Teardown | None = None
) -> tuple[CornerWeights, Outcome]:
    """Masses and centre of gravity from pad readings.

    Parameters
    ----------
    rows : sequence of PadRow
    asked : CornersAsked
    name : str
        Of the test, with the vehicle.
    teardown : Teardown, optional
        Its instruments are used where a pad, the tape or the gauge is one of them; otherwise the default of the kind.

    Raises
    ------
    ValueError
        A reading its instrument does not allow, a corner without one, or an angle out of reach.
    LookupError
        An instrument that the vehicle does not list.

    Notes
    -----
    A reading less the reading of its empty pad is a difference: its step and repeatability enter twice.
    """
    known = {} if teardown is None else teardown.instruments
    pads = {
        pad: known[pad] if pad in known else Instrument(pad or f"{name} pads", "corner pad")
        for pad in {row.pad for row in rows}
    }
    readings = [
        PadReading(
            f"{name} row {row.row}",
            row.corner,
            reading(
                pads[row.pad],
                row.mass_kg - row.zero_kg,
                f"{name} row {row.row}",
                difference=bool(row.zero_kg),
            ),
            row.turned,
            row.raised,
        )
        for row in rows
    ]
    tape = _instrument(asked.tape, known, Instrument(f"{name} tape", "tape", accuracy_class="II"))
    gauge = _instrument(asked.gauge, known, Instrument(f"{name} angle gauge", "angle gauge"))

    def length(value: float, what: str) -> Quantity | None:
        return reading(tape, value, f"{name} {what}") if value else None

    wheelbase, track = length(asked.wheelbase_m, "wheelbase"), length(asked.track_m, "track")
    angle = reading(gauge, asked.lift_angle_rad, f"{name} lift angle") if asked.lift_angle_rad else None
    geometry = LiftGeometry(wheelbase, track, angle, length(asked.axle_height_m, "axle height"))
    found = corner_weights(readings, geometry, name)
    assumed = [
        f"{'pads' if not pad else f'pad {pad}'}: not among the instruments of the vehicle; a usual corner pad"
        for pad in sorted(pads)
        if pad not in known
    ]
    if not asked.tape and (wheelbase or track):
        assumed.append("lengths by a steel tape of class II")
    if not asked.gauge and angle is not None:
        assumed.append("angle by a usual digital gauge")
    found = replace(found, assumptions=(*assumed, *found.assumptions))
    stated = {"wheelbase": wheelbase, "track": track, "lift_angle": angle}
    return found, corner_outcome(found, asked.state, {k: v for k, v in stated.items() if v is not None})


def _instrument(wanted: str, known: Mapping[str, Instrument], otherwise: Instrument) -> Instrument:
    if not wanted:
        return otherwise
    if wanted not in known:
        msg = f"the vehicle lists no instrument {wanted!r}; it has: {', '.join(known) or 'none'}."
        raise LookupError(msg)
    return known[wanted]
