"""One piece of work, opened down to its motions: steps, seconds, and the line rule beside it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from hoistbook.core.cost.assembly.mtm import TMU_S, MtmTables
from hoistbook.core.cost.assembly.plans import Phase, PlanLine, Plans
from hoistbook.core.cost.fasteners.tables import FastenerTables
from hoistbook.core.cost.figure_set import FigureSet
from hoistbook.core.quantities.quantity import Quantity, Source, combine, total


@dataclass(frozen=True, slots=True)
class Step:
    """One motion or machine time of a piece of work.

    Attributes
    ----------
    code : str
        MTM-1 code; empty for machine time.
    words : str
    times : Quantity
        How often it is done; with an error where that is a figure. [1]
    each_s : Quantity
        Time of one, at normal performance. [s]
    slowed : bool
        Whether poor access slows it.
    mark : str
        Of the time.
    """

    code: str
    words: str
    times: Quantity
    each_s: Quantity
    slowed: bool
    mark: str

    @property
    def seconds(self) -> Quantity:
        """Time of all of them in the open. [s]"""
        return self.times * self.each_s if self.times.terms else self.each_s * self.times.value


@dataclass(frozen=True, slots=True)
class Counts:
    """How often the phases of a plan happen in one piece of work.

    `hand_count` hands carry `mass_kg`; `bead_m` is the length of adhesive.
    """

    each: float = 1.0
    engage: float = 1.0
    half_turns: Quantity = field(default_factory=lambda: Quantity(0.0, "1"))
    bead_m: Quantity | None = None
    mass_kg: float = 0.0
    hand_count: int = 1


class Workshop:
    """What every piece of work is made from: tables, plans, figures.

    Parameters
    ----------
    tables : MtmTables
    plans : mapping of str to tuple of PlanLine
    figures : FigureSet
    fasteners : FastenerTables
        For the pitches of coarse threads.
    """

    __slots__ = ("fasteners", "figures", "plans", "tables")

    def __init__(
        self, tables: MtmTables, plans: Plans, figures: FigureSet, fasteners: FastenerTables
    ) -> None:
        self.tables = tables
        self.plans = plans
        self.figures = figures
        self.fasteners = fasteners

    def fresh(self) -> Workshop:
        """The same with a record of its own of which figures are asked for."""
        return Workshop(self.tables, self.plans, self.figures.stating(), self.fasteners)

    def figure(self, name: str) -> Quantity:
        """Return a figure by name."""
        return self.figures[name]

    def plan(self, kind: str) -> tuple[PlanLine, ...]:
        """Return the lines of a plan.

        Raises
        ------
        LookupError
            No such plan.
        """
        if kind not in self.plans:
            msg = f"no motion plan for {kind!r}; known: {', '.join(self.plans)}."
            raise LookupError(msg)
        return self.plans[kind]

    def steps(self, kind: str, counts: Counts) -> tuple[Step, ...]:
        """Steps of a plan for given counts, in the order of the plan; what happens no time is left out.

        Raises
        ------
        ValueError
            A motion code the tables do not know, or a plan by the metre without a length.
        """
        return tuple(
            step for line in self.plan(kind) if (step := self._step(kind, line, counts)).times.value > 0.0
        )

    def _step(self, kind: str, line: PlanLine, counts: Counts) -> Step:
        times = self._times(kind, line.phase, counts)
        if line.machine:
            each, mark = self.figure(line.machine), self.figures.figure(line.machine).mark
            if line.phase == "metre":
                each = (each * Quantity(1.0, "m")).in_unit("s")
            code = ""
        else:
            motion = self.tables.motion(
                line.code, line.words, counts.mass_kg if line.code.startswith("M") else 0.0, counts.hand_count
            )
            each, mark, code = Quantity(motion.seconds, "s"), motion.mark, motion.code
        return Step(code, line.words, times, each, line.where == "joint", mark)

    def _times(self, kind: str, phase: Phase, counts: Counts) -> Quantity:
        match phase:
            case "each":
                return Quantity(counts.each, "1")
            case "engage":
                return Quantity(counts.engage, "1")
            case "once":
                return Quantity(1.0, "1")
            case "half turn":
                return counts.half_turns * counts.each
            case "metre":
                if counts.bead_m is None:
                    msg = f"{kind}: no length of the bead; write it in the note of the joint, e.g. 1.2 m."
                    raise ValueError(msg)
                return counts.bead_m / Quantity(1.0, "m")


def normal_time(
    steps: Sequence[Step], workshop: Workshop, kind: str, name: str, repeats: float, *, obstructed: bool
) -> Quantity:
    """Time of a piece of work at normal performance, with its band. [s]

    Parameters
    ----------
    steps : sequence of Step
    workshop : Workshop
    kind : str
        What is shared with other work of its kind: whether the plan is right.
    name : str
        Names the error this piece of work has for itself.
    repeats : float
        How often the work is done in one vehicle. [1]
    obstructed : bool
        Steps at the joint take longer by `obstructed_frac`.

    Notes
    -----
    Time = repeats × Σ steps × a × b; a (`analysis_frac`) is one error per kind of work, b (`joint_frac`) one per piece
    of work, so that the first does not average out over a vehicle and the second does.
    """
    return worked_time(*sums(steps), workshop, kind, name, repeats, obstructed=obstructed)


def sums(steps: Sequence[Step]) -> tuple[Quantity, Quantity]:
    """Time of the steps that poor access does not slow, and of those that it does. [s]"""
    free = total([step.seconds for step in steps if not step.slowed], unit="s")
    return free, total([step.seconds for step in steps if step.slowed], unit="s")


def worked_time(
    free: Quantity,
    slowed: Quantity,
    workshop: Workshop,
    kind: str,
    name: str,
    repeats: float,
    *,
    obstructed: bool,
) -> Quantity:
    """As `normal_time`, from the sums of the steps. [s]"""
    if obstructed:
        slowed = slowed * workshop.figure("obstructed_frac")
    time = total([free, slowed], [repeats, repeats], "s")
    kind_error = _own(workshop.figure("analysis_frac"), f"assembly analysis/{kind}")
    own_error = _own(workshop.figure("joint_frac"), name)
    factor = combine(
        kind_error.value * own_error.value,
        [(kind_error, own_error.value), (own_error, kind_error.value)],
        "1",
    )
    return time * factor


def _own(figure: Quantity, name: str) -> Quantity:
    """The figure with its errors renamed: an error of its own for whoever is named."""
    terms = tuple(
        (Source(f"{name}/{source.name}", source.shape, source.parameter, source.dof), c)
        for source, c in figure.terms
    )
    return Quantity(figure.value, figure.unit, terms, figure.origin)


def tmu(steps: Sequence[Step]) -> float:
    """Sum of the manual motions of some steps. [TMU]"""
    return sum(step.seconds.value for step in steps if step.code) / TMU_S


LINE_RULES: Mapping[str, str] = {
    "bolt": "rule_bolt_s",
    "bolt and nut": "rule_bolt_and_nut_s",
    "clip": "rule_clip_s",
    "moulded clip": "rule_clip_s",
    "connector": "rule_connector_s",
    "hose and clamp": "rule_hose_and_clamp_s",
}
HEAVY_RULE = "rule_heavy_bolt_s"
"""Line rule of a screwed joint from `reaction_arm_from_m` on."""
