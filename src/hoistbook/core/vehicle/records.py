"""The records of one torn-down vehicle: what a workbook holds and every engine reads.

A `Teardown` is the whole of it. Records are plain and frozen; they hold values, never rows or cells.
Numbers are `Quantity` objects in SI with their named error sources.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from types import MappingProxyType

from hoistbook.core.quantities.instruments import Instrument
from hoistbook.core.quantities.quantity import Quantity


class MassState(StrEnum):
    """What is in or on the vehicle when a mass is stated.

    The words are the trade's: curb (no driver, fluids filled), running order (EU: curb + driver 75 kg),
    test (the mass of an energy test), as weighed (whatever stood on the pads; say what in the note), dry (no fluids).
    """

    CURB = "curb"
    RUNNING_ORDER = "running order"
    TEST = "test"
    AS_WEIGHED = "as weighed"
    DRY = "dry"


class Basis(StrEnum):
    """Whether a figure speaks of the specimen on the hoist or of the type as labelled."""

    SPECIMEN = "specimen"
    LABEL = "label"


class NodeKind(StrEnum):
    """What a node of the part tree is."""

    ASSEMBLY = "assembly"
    PART = "part"
    FASTENER = "fastener"
    FLUID = "fluid"
    LOOSE = "loose"


class SubjectKind(StrEnum):
    """What a measurement was taken of."""

    PART = "part"
    JOINT = "joint"
    APPROACH = "approach"
    CONFIGURATION = "configuration"


class Scope(StrEnum):
    """Whether a mass reading of a node holds the node alone or everything still attached below it."""

    SELF = "self"
    SUBTREE = "subtree"


class Method(StrEnum):
    """How a figure was come by."""

    WEIGHED = "weighed"
    MEASURED = "measured"
    COMPUTED = "computed from geometry"
    ESTIMATED = "estimated"
    LITERATURE = "literature"


class Rule(StrEnum):
    """What is done with unlike content before a like-for-like comparison."""

    STRIP = "strip"
    ADD = "add"
    SCALE = "scale"


class Seen(StrEnum):
    """How a step of a route is known."""

    OBSERVED = "observed"
    PROPOSED = "proposed"
    ASSUMED = "assumed"


class ReasonKind(StrEnum):
    """Why a part is not one piece with its neighbour. All but the last are physical.

    Source
    ------
    common practice: list of this project, after general design literature (from memory: Pahl and Beitz, Engineering
    Design; VDI 2223, VDI 2243).
    """

    MOVES = "moves against it in use"
    MATERIAL = "must be another material, or insulated from it"
    COMES_OFF = "must come off for service or assembly"
    MAKING = "could not be made in one piece by an affordable process"
    ADJUSTED = "is adjusted, matched or sealed there"
    BOUGHT = "is carried over or bought as a unit"

    @property
    def physical(self) -> bool:
        """Whether it is a physical reason; being bought as a unit is an economic one, said apart."""
        return self is not ReasonKind.BOUGHT


@dataclass(frozen=True, slots=True)
class Vehicle:
    """One torn-down specimen. `family` groups vehicles of one maker whose model errors are alike."""

    code: str
    name: str
    maker: str = ""
    family: str = ""
    model_year: int | None = None
    vin: str = ""
    delivered: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Configuration:
    """A state of the vehicle (wheels, options) that facts are true of."""

    id: str
    vehicle: str
    wheels: str = ""
    options: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Fact:
    """One figure of a configuration: measured on the specimen, published, inferred or assumed.

    `quantity` is a key of `kinds.QUANTITY_KINDS`. A mass fact must name its `mass_state`, a range, consumption or
    accessory-power fact its `duty`. `value.origin` says where the figure comes from.
    """

    configuration: str
    quantity: str
    value: Quantity
    mass_state: MassState | None = None
    duty: str = ""
    basis: Basis = Basis.SPECIMEN
    instrument: str = ""
    evidence: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Node:
    """One line of the part tree. `count` is the number of pieces in one piece of the parent.

    `system` is a subsystem code of the taxonomy (`SU07`) or empty: then the parent's holds.
    `function` is the primary function code or empty: then the parent's holds.
    """

    tag: str
    parent: str | None
    name: str
    kind: NodeKind = NodeKind.PART
    count: float = 1.0
    system: str = ""
    function: str = ""
    side: str = ""
    material: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Joint:
    """How parts are held together (terms of DIN 8593 and ISO 4063)."""

    id: str
    parts: tuple[str, ...]
    process: str
    fastener: str = ""
    fastener_count: int = 0
    drive: str = ""
    access: str = ""
    removable: bool | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class Measurement:
    """One reading. `value` is of everything that was on the scale or in the calliper: `pieces` pieces together.

    `covers` lists what was on the scale when it was not simply the subject: (tag, number of pieces, scope is `scope`).
    Slot = (subject_kind, subject, quantity, scope, covers); another `replicate` of a slot is a repeat reading.
    """

    id: str
    subject: str
    quantity: str
    value: Quantity
    subject_kind: SubjectKind = SubjectKind.PART
    pieces: float = 1.0
    scope: Scope = Scope.SELF
    replicate: int = 1
    method: Method = Method.WEIGHED
    instrument: str = ""
    person: str = ""
    at: str = ""
    evidence: str = ""
    covers: tuple[tuple[str, float], ...] = ()
    supersedes: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Function:
    """What a group of parts is for. Codes are shared by every vehicle compared."""

    code: str
    name: str
    parent: str = ""
    aliases: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Approach:
    """How one vehicle does one function. `present` is False when the vehicle does without."""

    id: str
    configuration: str
    function: str
    present: bool = True
    description: str = ""


@dataclass(frozen=True, slots=True)
class Share:
    """The part of a node's mass and cost that serves an approach, when a node serves more than one."""

    tag: str
    approach: str
    share_frac: float


@dataclass(frozen=True, slots=True)
class ContentItem:
    """Unlike content, listed before numbers are seen, with the rule that makes vehicles alike.

    strip: this vehicle has it; take `value` of `quantity` off. add: this vehicle lacks it; add `value`.
    scale: multiply this vehicle's `quantity` by `value` (unit 1); mass of a
    `function` is scaled by itself. Several rows may share one `item`.
    `function` ties the item to a decision so that it is not counted twice.
    """

    item: str
    description: str
    rule: Rule
    quantity: str
    value: Quantity
    function: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Effect:
    """What this vehicle's approach to a function contributes to a quantity of the vehicle.

    The contribution itself is stated (drag torque of these bearings, power of this pump); differences between
    vehicles are taken by the comparison. Mass effects come from the part tree and are not typed here.
    """

    function: str
    quantity: str
    value: Quantity
    evidence: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class RouteStep:
    """One step of how a part was made.

    `number` counts from 1 along the route. `options` are the choices of the process ("line": "progressive"); `material`
    stands where the step brings in another material than the part is of. `seen` says how the step is known.
    """

    tag: str
    number: int
    process: str
    options: tuple[tuple[str, str], ...] = ()
    material: str = ""
    seen: Seen = Seen.OBSERVED
    evidence: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Reason:
    """Why a part is a part of its own and not one with its neighbour.

    `text` says it in the engineer's words: what it moves against, which current, which service. `policy` is the service
    or assembly it comes off for.
    """

    tag: str
    kind: ReasonKind
    text: str
    policy: str = ""


@dataclass(frozen=True, slots=True)
class Replaced:
    """A figure that a later one took the place of: it stands in the record, and no result rests on it.

    `was` is the fact set aside and `now` the one that counts, each with the statement it comes from. `at` is when the
    later one was taken as written down, empty where nobody wrote it down; `entered` the day it came into the record.
    """

    was: Fact
    was_from: str
    now: Fact
    now_from: str
    at: str = ""
    entered: str = ""


@dataclass(frozen=True, slots=True)
class CheckReading:
    """One figure read at the vehicle for a check, or what was chosen there for a choice of it.

    A figure has a `value` and no `option`, a choice an `option` and no `value`. `item` names which of several things
    the figure is of (a mount, a part under the body); empty where there is one. Slot = (check, reading, item).
    """

    check: str
    reading: str
    value: Quantity | None
    item: str = ""
    option: str = ""
    instrument: str = ""
    evidence: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Kept:
    """A filled cell of a column the schema does not know: the user's own, kept as text and used by nothing."""

    sheet: str
    row: int
    column: str
    text: str


@dataclass(frozen=True, slots=True)
class Teardown:
    """Everything recorded about one vehicle.

    `reported` says what was met on loading and set aside, `kept` holds the cells of the user's own columns. `replaced`
    names the figures that later ones took the place of; a workbook by itself has none.
    """

    vehicle: Vehicle
    configurations: tuple[Configuration, ...]
    facts: tuple[Fact, ...] = ()
    nodes: tuple[Node, ...] = ()
    joints: tuple[Joint, ...] = ()
    measurements: tuple[Measurement, ...] = ()
    instruments: Mapping[str, Instrument] = field(default_factory=lambda: MappingProxyType({}))
    functions: tuple[Function, ...] = ()
    approaches: tuple[Approach, ...] = ()
    shares: tuple[Share, ...] = ()
    content: tuple[ContentItem, ...] = ()
    effects: tuple[Effect, ...] = ()
    routes: tuple[RouteStep, ...] = ()
    reasons: tuple[Reason, ...] = ()
    check_readings: tuple[CheckReading, ...] = ()
    reported: tuple[str, ...] = ()
    kept: tuple[Kept, ...] = ()
    replaced: tuple[Replaced, ...] = ()
