"""Sums over pieces of work: of a vehicle, an approach, or what no approach claims."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from hoistbook.core.cost.assembly.plans import Kind
from hoistbook.core.cost.assembly.reading import NOT_STATED, JointReading
from hoistbook.core.cost.assembly.times import AllowanceForm, standard_time
from hoistbook.core.cost.assembly.work import Step
from hoistbook.core.cost.money import MoneyBasis
from hoistbook.core.quantities.quantity import Quantity, total


@dataclass(frozen=True, slots=True)
class JointWork:
    """Making one recorded joint, in every place of the vehicle where it occurs.

    Attributes
    ----------
    joint, base : str
        Id of the joint; tag of the part the others are joined to.
    parts : tuple of str
        Tags of the parts joined to it.
    reading : JointReading
    occurrences : float
        Pieces of the base in the vehicle. [1]
    count : float
        Fasteners in one occurrence. [1]
    steps : tuple of Step
        Of one occurrence.
    normal_s : Quantity or None
        All occurrences, at normal performance; None where the record does not suffice (`missing`). [s]
    rule_s : Quantity or None
        Standard time by the line's rules of thumb, all occurrences. [s]
    notes : tuple of str
    missing : str
        Why there is no time; empty where there is one.
    """

    joint: str
    base: str
    parts: tuple[str, ...]
    reading: JointReading
    occurrences: float
    count: float
    steps: tuple[Step, ...]
    normal_s: Quantity | None
    rule_s: Quantity | None
    notes: tuple[str, ...]
    missing: str

    @property
    def claimants(self) -> tuple[str, ...]:
        """Tags whose approach the work belongs to: the parts joined, else the base."""
        return self.parts or (self.base,)


@dataclass(frozen=True, slots=True)
class PartWork:
    """Bringing a part to its place, all pieces of the vehicle. `joint` is the one it is placed for."""

    tag: str
    joint: str
    pieces: float
    steps: tuple[Step, ...]
    normal_s: Quantity
    note: str

    @property
    def claimants(self) -> tuple[str, ...]:
        """Tag whose approach the work belongs to."""
        return (self.tag,)


@dataclass(frozen=True, slots=True)
class Rates:
    """Allowance and labour rate: money per second of standard time, in `basis`; both None where only time is asked."""

    allowance: Quantity
    form: AllowanceForm
    money_per_s: Quantity | None = None
    basis: MoneyBasis | None = None

    def __post_init__(self) -> None:
        if (self.money_per_s is None) != (self.basis is None):
            msg = "a labour rate needs its currency and year, and a currency needs a rate; give both or neither."
            raise ValueError(msg)


@dataclass(frozen=True, slots=True)
class Tally:
    """Sums of some work.

    Attributes
    ----------
    normal_s, standard_s : Quantity
        At normal performance, and with the allowance. Joints without a time (`missing`) are not in it. [s]
    cost_money : Quantity or None
        Standard time × rate, in `basis`. ["1", units of the currency]
    basis : MoneyBasis or None
    joining_s, placing_s : Quantity
        The two parts of `normal_s`: joints, and bringing parts to their place. [s]
    rule_s : Quantity
        Standard time by line rules, of the joints they speak of (`ruled_joints`). [s]
    ruled_s : Quantity
        Standard time by motions, of the same joints, to set beside it. [s]
    fastener_count, quick_count : float
        Threaded fasteners; clips, ties and the like. Shared parts count by their share. [1]
    drives, directions : tuple of str
        Distinct ones, sorted; directions as recorded.
    joint_count, elsewhere_count, direction_not_stated, obstructed_count : int
        Joints; those made elsewhere; of the others, those whose access is not recorded, and those reached past
        something. [1]
    ruled_joints : int
    missing : tuple of str
        Joints without a time, each with its reason.
    """

    normal_s: Quantity
    standard_s: Quantity
    cost_money: Quantity | None
    basis: MoneyBasis | None
    joining_s: Quantity
    placing_s: Quantity
    rule_s: Quantity
    ruled_s: Quantity
    fastener_count: float
    quick_count: float
    drives: tuple[str, ...]
    directions: tuple[str, ...]
    joint_count: int
    elsewhere_count: int
    direction_not_stated: int
    obstructed_count: int
    ruled_joints: int
    missing: tuple[str, ...]


def tally(
    joints: Iterable[tuple[JointWork, float]], parts: Iterable[tuple[PartWork, float]], rates: Rates
) -> Tally:
    """Add up pieces of work, each with the fraction of it that counts.

    Parameters
    ----------
    joints, parts : iterable of (work, fraction)
        Fractions from 0 to 1; work of fraction 0 is left out.
    rates : Rates

    Returns
    -------
    Tally
        Tallies of fractions that add up to 1 add up to the tally of the whole, in value and in every source of error.
    """
    some = sorted(((work, f) for work, f in joints if f > 0.0), key=lambda pair: pair[0].joint)
    placed = sorted(((work, f) for work, f in parts if f > 0.0), key=lambda pair: pair[0].tag)
    by_hand = [work for work, _ in some if work.reading.kind is not Kind.ELSEWHERE]
    timed = [(work.normal_s, f) for work, f in some if work.normal_s is not None]
    joining = _sum(timed)
    placing = _sum([(work.normal_s, f) for work, f in placed])
    ruled = [(work, f) for work, f in some if work.rule_s is not None and work.normal_s is not None]
    normal = joining + placing
    standard = standard_time(normal, rates.allowance, rates.form)
    return Tally(
        normal_s=normal,
        standard_s=standard,
        cost_money=None if rates.money_per_s is None else (standard * rates.money_per_s).in_unit("1"),
        basis=rates.basis,
        joining_s=joining,
        placing_s=placing,
        rule_s=_sum([(work.rule_s, f) for work, f in ruled if work.rule_s is not None]),
        ruled_s=standard_time(
            _sum([(work.normal_s, f) for work, f in ruled if work.normal_s is not None]),
            rates.allowance,
            rates.form,
        ),
        fastener_count=sum(f * w.count * w.occurrences for w, f in some if w.reading.threaded),
        quick_count=sum(f * w.count * w.occurrences for w, f in some if w.reading.quick),
        drives=tuple(sorted({w.reading.drive for w, _ in some if w.reading.drive})),
        directions=tuple(sorted({w.reading.direction for w in by_hand} - {NOT_STATED})),
        joint_count=len(some),
        elsewhere_count=len(some) - len(by_hand),
        direction_not_stated=sum(w.reading.direction == NOT_STATED for w in by_hand),
        obstructed_count=sum(w.reading.obstructed for w in by_hand),
        ruled_joints=len(ruled),
        missing=tuple(f"{w.joint}: {w.missing}" for w, _ in some if w.missing),
    )


def _sum(weighted: Sequence[tuple[Quantity, float]]) -> Quantity:
    return total([q for q, _ in weighted], [f for _, f in weighted], unit="s")
