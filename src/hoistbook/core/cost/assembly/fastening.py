"""Steps of making one joint, and of bringing one part to its place."""

from __future__ import annotations

import math
from dataclasses import dataclass

from hoistbook.core.cost.assembly.plans import Kind
from hoistbook.core.cost.assembly.times import AllowanceForm, run_down
from hoistbook.core.cost.assembly.work import HEAVY_RULE, LINE_RULES, Counts, Step, Workshop
from hoistbook.core.quantities.quantity import Quantity

_NEED_COUNT = frozenset(
    {Kind.BOLT, Kind.BOLT_AND_NUT, Kind.CLIP, Kind.CABLE_TIE, Kind.RIVET, Kind.HOSE_AND_CLAMP}
)


@dataclass(frozen=True, slots=True)
class Station:
    """How the line is equipped and how its time is stated.

    Attributes
    ----------
    spindle_count : int
        Fasteners tightened at once. [1]
    own_tool_per_drive : bool
        Each drive has its tool hanging ready; otherwise another drive at the same place costs a change of bit.
    allowance_form : AllowanceForm

    Raises
    ------
    ValueError
        Fewer than one spindle.
    """

    spindle_count: int = 1
    own_tool_per_drive: bool = True
    allowance_form: AllowanceForm = AllowanceForm.OF_NORMAL_TIME

    def __post_init__(self) -> None:
        if self.spindle_count < 1:
            msg = f"spindle_count = {self.spindle_count!r}: a tool has at least one spindle."
            raise ValueError(msg)


@dataclass(frozen=True, slots=True)
class Fastening:
    """What one joint is made with.

    Attributes
    ----------
    kind : Kind
    count : float
        Fasteners, clips, plugs or press fits; 0 where it is not recorded. [1]
    diameter_m, pitch_m : float or None
        Thread of the fasteners; None where it is not recorded. [m]
    prestarted : bool
        Captive, or started before: not fetched and not started by hand.
    bead_m : float or None
        Length of adhesive. [m]
    """

    kind: Kind
    count: float = 1.0
    diameter_m: float | None = None
    pitch_m: float | None = None
    prestarted: bool = False
    bead_m: float | None = None

    @property
    def lacking(self) -> str:
        """Why no time can be said; empty where it can."""
        if self.kind is Kind.UNKNOWN:
            return "no motion plan for this kind of joint"
        if self.kind in _NEED_COUNT and not self.count > 0.0:
            return "the number of fasteners is not recorded"
        if self.kind is Kind.ADHESIVE and self.bead_m is None:
            return "the length of the bead is not recorded (write it in the note, e.g. 1.2 m)"
        return ""


def fastening_steps(joint: Fastening, workshop: Workshop, station: Station) -> tuple[Step, ...]:
    """Steps of making one joint once, in the open.

    Parameters
    ----------
    joint : Fastening
    workshop : Workshop
    station : Station

    Returns
    -------
    tuple of Step
        Empty for a joint made elsewhere.

    Raises
    ------
    ValueError
        The record lacks what the plan needs (`Fastening.lacking`).

    Notes
    -----
    Every fastener is fetched and started by hand; the tool is taken once, engaged ⌈count/spindles⌉ times and put
    away once. Run-down: the engaged length, `engaged_diameters` × d, less what was started by hand.

    Source
    ------
    common practice: the plan of one M10 from a bin with a balanced tool.
    """
    if joint.lacking:
        msg = f"{joint.kind}: {joint.lacking}."
        raise ValueError(msg)
    if joint.kind is Kind.ELSEWHERE:
        return ()
    threaded = joint.kind in (Kind.BOLT, Kind.BOLT_AND_NUT)
    engage = float(math.ceil(joint.count / station.spindle_count))
    hand = workshop.figure("half_turn_count") if threaded and not joint.prestarted else Quantity(0.0, "1")
    counts = Counts(
        each=0.0 if joint.prestarted else joint.count,
        engage=engage,
        half_turns=hand,
        bead_m=None if joint.bead_m is None else Quantity(joint.bead_m, "m"),
    )
    steps = list(workshop.steps(joint.kind, counts))
    if threaded:
        steps += _powered(joint, hand, engage, workshop)
    return tuple(steps)


def _powered(joint: Fastening, hand: Quantity, engage: float, workshop: Workshop) -> list[Step]:
    diameter = (
        workshop.figure("diameter_not_stated_m")
        if joint.diameter_m is None
        else Quantity(joint.diameter_m, "m")
    )
    pitch_m = _pitch_m(joint, diameter.value, workshop)
    by_hand = hand * (0.5 * pitch_m) * Quantity(1.0, "m")
    travel = (workshop.figure("engaged_diameters") * diameter).in_unit("m") - by_hand.in_unit("m")
    often = Quantity(engage, "1")
    steps = [
        Step(
            "",
            "run-down and tightening",
            often,
            run_down(travel, pitch_m, workshop.figures),
            True,
            "common practice",
        )
    ]
    if joint.diameter_m is not None and joint.diameter_m >= workshop.figure("reaction_arm_from_m").value:
        arm = workshop.figure("reaction_arm_s")
        steps.append(Step("", "reaction arm", often, arm, True, "common practice"))
    audited = workshop.figure("audit_share_frac") * joint.count
    if audited.value > 0.0:
        steps.append(Step("", "torque audit", audited, workshop.figure("audit_s"), True, "common practice"))
    return steps


def _pitch_m(joint: Fastening, diameter_m: float, workshop: Workshop) -> float:
    if joint.pitch_m is not None:
        return joint.pitch_m
    try:
        return workshop.fasteners.coarse(f"M{1e3 * diameter_m:g}").pitch_m
    except LookupError:
        return workshop.figure("pitch_frac").value * diameter_m


def line_rule(joint: Fastening, workshop: Workshop) -> Quantity | None:
    """Standard time of making one joint by the line's rules of thumb; None where no rule speaks of it. [s]"""
    name = LINE_RULES.get(joint.kind)
    if name is None or joint.lacking or not joint.count > 0.0:
        return None
    if joint.kind is Kind.BOLT:
        heavy = (
            joint.diameter_m is not None and joint.diameter_m >= workshop.figure("reaction_arm_from_m").value
        )
        name = HEAVY_RULE if heavy else "rule_prestarted_s" if joint.prestarted else name
    return workshop.figure(name) * joint.count


def placing_steps(
    mass_kg: float | None, largest_m: float | None, workshop: Workshop
) -> tuple[tuple[Step, ...], str]:
    """Steps of bringing one part to its place, and what was taken for what is not known.

    Parameters
    ----------
    mass_kg : float or None
        Mass of the part; None is carried as a light part. [kg]
    largest_m : float or None
        Its largest size; None: judged by its mass. [m]
    workshop : Workshop

    Raises
    ------
    ValueError
        A negative mass, or one beyond the table of weights for two hands (raise no limit above it).
    """
    if mass_kg is not None and mass_kg < 0.0:
        msg = f"mass_kg = {mass_kg!r}: a part has a mass above 0."
        raise ValueError(msg)
    mass = mass_kg or 0.0
    if mass >= workshop.figure("lifting_aid_from_kg").value:
        return workshop.steps("lift part with an aid", Counts()), "lifted with an aid"
    hands = 2 if mass >= workshop.figure("two_hands_from_kg").value else 1
    steps = workshop.steps("place part", Counts(mass_kg=mass, hand_count=hands))
    if largest_m is not None:
        large = largest_m >= workshop.figure("large_from_m").value
    else:
        large = mass >= workshop.figure("large_from_kg").value
    if large:
        steps = workshop.steps("fetch large part", Counts()) + steps
    return steps, "" if mass_kg is not None else "mass not known: carried as a light part"
