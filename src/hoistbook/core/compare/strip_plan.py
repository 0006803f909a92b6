"""The strip plan: in what order a vehicle comes apart, and what must be on record before each step cannot be undone."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from hoistbook.core.vehicle.tree import PartTree


class StepStatus(StrEnum):
    """How far a step is. Put aside: decided against for now; it is judged no further."""

    PLANNED = "planned"
    READY = "ready"
    REMOVED = "removed"
    PUT_ASIDE = "put aside"


class FlagWeight(StrEnum):
    """How much a flag matters."""

    LOST = "lost"  # cannot be recovered
    ORDER = "order"
    OPEN = "open"


@dataclass(frozen=True, slots=True)
class StripStep:
    """One step of taking a vehicle apart.

    Attributes
    ----------
    step : float
        Place in the order of this vehicle.
    vehicle : str
    what : str
        What comes off: words, with the tags of the parts in them.
    who, tools : str
    record_before : tuple of str
        What must be on record before it comes off: routing, clearances, fluids weighed, clip positions, torque …
    recorded : tuple of str
        What has been recorded; where it lies may follow a colon ("routing: photos T-0310 to T-0316").
    status : StepStatus
    evidence, note : str
    """

    step: float
    vehicle: str
    what: str
    who: str = ""
    tools: str = ""
    record_before: tuple[str, ...] = ()
    recorded: tuple[str, ...] = ()
    status: StepStatus = StepStatus.PLANNED
    evidence: str = ""
    note: str = ""

    @property
    def unrecorded(self) -> tuple[str, ...]:
        """What must be recorded before and is not."""
        done = {_folded(text.partition(":")[0]) for text in self.recorded}
        return tuple(item for item in self.record_before if _folded(item.partition(":")[0]) not in done)

    @property
    def name(self) -> str:
        """The step as people call it: vehicle, number, what."""
        return f"{self.vehicle} step {self.step:g}, {self.what}"


@dataclass(frozen=True, slots=True)
class StepFlag:
    """Something wrong with a step of a plan."""

    vehicle: str
    step: float
    weight: FlagWeight
    message: str


def _folded(text: str) -> str:
    return " ".join(text.split()).casefold()


def tags_in(text: str, tags: Iterable[str]) -> tuple[str, ...]:
    """Tags of the part tree that stand in a text as words of their own, in the order of the text.

    Parameters
    ----------
    text : str
    tags : iterable of str

    Returns
    -------
    tuple of str

    Examples
    --------
    >>> tags_in("T-0600 traction battery; T-0612 cover", ["T-0600", "T-0612", "T-06"])
    ('T-0600', 'T-0612')
    """
    known = set(tags)
    return tuple(dict.fromkeys(word for word in words_of(text) if word in known))


def words_of(text: str) -> tuple[str, ...]:
    """Words of a text that may be tags: without the marks that set them apart."""
    return tuple(word.rstrip(".:") for word in text.replace(";", " ").replace(",", " ").split())


def plan_flags(steps: Sequence[StripStep], trees: Mapping[str, PartTree]) -> tuple[StepFlag, ...]:
    """What is wrong with a strip plan.

    Parameters
    ----------
    steps : sequence of StripStep
        Of any vehicles, in any order.
    trees : mapping of vehicle code to PartTree
        Vehicles without a tree are judged without it.

    Returns
    -------
    tuple of StepFlag
        By vehicle and step. `lost`: removed although something was not on record. `order`: a part comes off before the
        assembly that holds it, or a step was done before an earlier one. `open`: nothing asked to be recorded, nobody
        named, ready without its record, words that name no part.

    Notes
    -----
    The part tree says what came out of what. A part that is taken off before the assembly above it was taken off the
    vehicle, and the tree then says something else than the plan: one of them is wrong.

    Source
    ------
    common practice: what teardowns lose for good is the order of clips, routing, clearances and torques.
    """
    flags: list[StepFlag] = []
    for vehicle in dict.fromkeys(step.vehicle for step in steps):
        own = sorted((s for s in steps if s.vehicle == vehicle), key=lambda s: s.step)
        tree = trees.get(vehicle)
        for step in own:
            flags.extend(_of_one(step))
        flags.extend(_overtaken(own))
        if tree is not None:
            flags.extend(_against_the_tree(own, tree))
    return tuple(
        sorted(flags, key=lambda flag: (flag.vehicle, flag.step, list(FlagWeight).index(flag.weight)))
    )


def _of_one(step: StripStep) -> Iterator[StepFlag]:
    def flag(weight: FlagWeight, message: str) -> StepFlag:
        return StepFlag(step.vehicle, step.step, weight, message)

    if step.status is StepStatus.PUT_ASIDE:
        return
    missing = ", ".join(step.unrecorded)
    if missing and step.status is StepStatus.REMOVED:
        yield flag(
            FlagWeight.LOST,
            f"{step.what} is off the vehicle and this was not recorded: {missing}. It cannot be recovered; look for "
            f"it in "
            "photos and notes taken before, and say in the note what is lost.",
        )
    elif missing and step.status is StepStatus.READY:
        yield flag(
            FlagWeight.OPEN,
            f"marked ready, but not yet recorded: {missing}. Record it before anything comes off.",
        )
    if not step.record_before:
        yield flag(
            FlagWeight.OPEN,
            "nothing is asked to be recorded before it comes off; name at least a photo in place, or routing, "
            "clearances, "
            "clip positions, torque, fluids weighed.",
        )
    if not step.who and step.status is not StepStatus.REMOVED:
        yield flag(FlagWeight.OPEN, "nobody is named for it.")


def _overtaken(own: Sequence[StripStep]) -> Iterator[StepFlag]:
    waiting: StripStep | None = None
    for step in own:
        if step.status in (StepStatus.PLANNED, StepStatus.READY):
            waiting = waiting or step
        elif step.status is StepStatus.REMOVED and waiting is not None:
            yield StepFlag(
                step.vehicle,
                step.step,
                FlagWeight.ORDER,
                f"removed before step {waiting.step:g} ({waiting.what}), which stands earlier in the plan; correct "
                f"the order "
                "or the status.",
            )


def _against_the_tree(own: Sequence[StripStep], tree: PartTree) -> Iterator[StepFlag]:
    at: dict[str, StripStep] = {}
    judged = [step for step in own if step.status is not StepStatus.PUT_ASIDE]
    tags: list[tuple[StripStep, tuple[str, ...]]] = [(s, tags_in(s.what, tree.order)) for s in judged]
    for step, found in tags:
        if not found:
            yield StepFlag(
                step.vehicle,
                step.step,
                FlagWeight.OPEN,
                "names no tag of the part tree, so its order could not be checked; write the tag beside the words.",
            )
        for tag in found:
            if tag in at and tree.pieces(tag) <= 1.0:
                yield StepFlag(
                    step.vehicle,
                    step.step,
                    FlagWeight.ORDER,
                    f"{tag} comes off in step {at[tag].step:g} already, and the vehicle has one of it.",
                )
            at.setdefault(tag, step)
    for step, found in tags:
        for tag in found:
            later = next(
                (at[a.tag] for a in tree.ancestors(tag) if a.tag in at and at[a.tag].step > step.step), None
            )
            if later is not None:
                yield StepFlag(
                    step.vehicle,
                    step.step,
                    FlagWeight.ORDER,
                    f"{tag} comes off before the assembly that holds it (step {later.step:g}, {later.what}); the "
                    f"part tree "
                    "says it came out of that assembly. Correct the order, or hang the part where it was.",
                )
