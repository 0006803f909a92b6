"""The sheets and columns of a teardown workbook: one description for loading, writing, the template and the docs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

from hoistbook.core.quantities.quantity import Origin
from hoistbook.core.vehicle.records import (
    Basis,
    MassState,
    Method,
    NodeKind,
    ReasonKind,
    Rule,
    Scope,
    Seen,
    SubjectKind,
)


class Holds(StrEnum):
    """What the cells of a column hold."""

    NAME = "name"  # identifies the row, or points at another row
    NAMES = "names"  # several of them, separated by ;
    TEXT = "text"
    NUMBER = "number"
    CHOICE = "choice"
    YES_NO = "yes or no"
    DATE = "date or time"
    QUANTITY = "quantity"
    UNIT = "unit"
    COVERS = "tag × number; …"


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its heading, whether every row must fill it, what it holds and what to tell the person typing."""

    header: str
    holds: Holds
    help: str
    required: bool = False
    choices: tuple[str, ...] = ()
    refers_to: str = ""


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet: its name, its columns, what one row is.

    Where an `asked_for` sheet is not there, it is said by what asks for it and not with every load.
    """

    name: str
    row_is: str
    columns: tuple[Column, ...]
    required: bool = False
    asked_for: bool = False

    def column(self, header: str) -> Column:
        """Return the column of this heading.

        Raises
        ------
        LookupError
            The sheet has no such column.
        """
        for column in self.columns:
            if column.header == header:
                return column
        msg = f"sheet {self.name!r} has no column {header!r}; its columns: {', '.join(c.header for c in self.columns)}."
        raise LookupError(msg)


def _words(enum: type[StrEnum]) -> tuple[str, ...]:
    return tuple(member.value for member in enum)


ORIGINS = tuple(origin.value for origin in Origin)
BAND_MEANINGS = ("95 %", "standard", "limits")
BAND_SHAPES = ("normal", "rectangular", "triangular")
LIMIT_MEANINGS = ("absolute", "percent")
YES_NO = ("yes", "no")

_NOTE = Column("note", Holds.TEXT, "Anything worth keeping; never read as a number.")
_UNIT = Column(
    "unit",
    Holds.UNIT,
    "Unit of the value, e.g. kg, g, mm, N·m, kWh, Wh/km, %. Never left to be guessed.",
    True,
)
_QUANTITY = Column(
    "quantity", Holds.QUANTITY, "What the value is of, e.g. mass, drag area, usable energy.", True
)
_VALUE = Column(
    "value",
    Holds.NUMBER,
    "The number alone, with a decimal point: no unit, no ±, no formula without a result.",
    True,
)
_BAND_IS = Column(
    "band is",
    Holds.CHOICE,
    "What plus or minus means: 95 % (default), standard (1 sigma) or limits.",
    choices=BAND_MEANINGS,
)
_BAND_SHAPE = Column(
    "shape",
    Holds.CHOICE,
    "normal (default), rectangular (default for limits) or triangular.",
    choices=BAND_SHAPES,
)
_BAND_DOF = Column(
    "degrees of freedom",
    Holds.NUMBER,
    "Of the band, when it comes from few readings: readings minus one.",
)
_EVIDENCE = Column(
    "evidence", Holds.TEXT, "Where it can be looked up: photo number, log file, page of a document."
)
_SHARED_SOURCE = Column(
    "shared source",
    Holds.TEXT,
    "Name of an error this figure shares fully with every figure naming the same source, in any "
    "workbook (one dynamometer, one drag correlation).",
)
_SHARED_BAND = Column(
    "shared plus or minus",
    Holds.NUMBER,
    "The 95 % band of that shared error, in the unit of the row. Comes on top of the row's own band.",
)
_ORIGIN = Column(
    "origin",
    Holds.CHOICE,
    "measured (on this specimen), published, inferred (worked out from published figures) or assumed.",
    True,
    ORIGINS,
)

_SHEETS = (
    Sheet(
        "vehicle",
        "the one vehicle of this workbook",
        (
            Column("code", Holds.NAME, "Short code of the specimen, used in every comparison.", True),
            Column("name", Holds.TEXT, "Name as it is to be printed.", True),
            Column("maker", Holds.TEXT, "Who built it."),
            Column("family", Holds.TEXT, "Vehicles of one family share much of their model error."),
            Column("model year", Holds.NUMBER, "Model year, four digits."),
            Column(
                "VIN",
                Holds.TEXT,
                "17 characters. A wrong check digit is reported, not refused: it is compulsory in North America only.",
            ),
            Column("delivered", Holds.DATE, "Day of delivery, as 2025-03-31."),
            _NOTE,
        ),
        required=True,
    ),
    Sheet(
        "configurations",
        "a state of the vehicle that facts are true of",
        (
            Column("configuration", Holds.NAME, "Short name, e.g. delivered.", True),
            Column("wheels", Holds.TEXT, "Wheels and tyres fitted."),
            Column("options", Holds.TEXT, "Options fitted, separated by ;"),
            _NOTE,
        ),
        required=True,
    ),
    Sheet(
        "facts",
        "one figure of a configuration of the whole vehicle",
        (
            Column(
                "configuration",
                Holds.NAME,
                "Which configuration it is true of.",
                True,
                refers_to="configurations",
            ),
            _QUANTITY,
            _VALUE,
            _UNIT,
            Column(
                "plus or minus",
                Holds.NUMBER,
                "Band in the unit of the row. Blank only when an instrument is named. Type 0 for an "
                "exact figure such as a tooth ratio.",
            ),
            _BAND_IS,
            _BAND_SHAPE,
            _BAND_DOF,
            _ORIGIN,
            Column(
                "basis",
                Holds.CHOICE,
                "specimen (default: the vehicle on the hoist) or label (the type as certified).",
                choices=_words(Basis),
            ),
            Column(
                "mass state",
                Holds.CHOICE,
                "Compulsory for whole-vehicle mass: curb, running order (curb + driver 75 kg), test, as weighed, dry.",
                choices=_words(MassState),
            ),
            Column(
                "duty",
                Holds.TEXT,
                "Compulsory for range, consumption and accessory power: the cycle or use it holds for.",
            ),
            Column("instrument", Holds.NAME, "Id of the instrument it was read on.", refers_to="instruments"),
            _SHARED_SOURCE,
            _SHARED_BAND,
            _EVIDENCE,
            _NOTE,
        ),
    ),
    Sheet(
        "parts",
        "one line of the part tree",
        (
            Column("tag", Holds.NAME, "What is printed on the bag. Used once.", True),
            Column(
                "parent",
                Holds.NAME,
                "Tag of the assembly it came out of. Empty for the vehicle itself, and only there.",
                refers_to="parts",
            ),
            Column("name", Holds.TEXT, "Noun, qualifier, side: bracket, compressor, left.", True),
            Column("kind", Holds.CHOICE, "assembly, part, fastener, fluid or loose.", True, _words(NodeKind)),
            Column("count", Holds.NUMBER, "Pieces in one piece of the parent; 1 when blank."),
            Column("system", Holds.TEXT, "Code of the taxonomy, e.g. SU07; blank: as the parent."),
            Column(
                "function",
                Holds.NAME,
                "Code, name or alias of the function it mainly serves; blank: as the parent.",
                refers_to="functions",
            ),
            Column("side", Holds.TEXT, "left, right, centre."),
            Column("material", Holds.TEXT, "Class and grade as far as known."),
            _NOTE,
        ),
    ),
    Sheet(
        "joints",
        "one joint: parts held together",
        (
            Column("joint", Holds.NAME, "Tag of the joint; its fasteners are bagged under it.", True),
            Column(
                "parts", Holds.NAMES, "Tags of the parts it holds, separated by ;", True, refers_to="parts"
            ),
            Column("process", Holds.TEXT, "How: screwing, riveting, spot welding, bonding, clipping …", True),
            Column("fastener", Holds.NAME, "Tag of the fastener in the part tree.", refers_to="parts"),
            Column("fastener count", Holds.NUMBER, "How many of them, or how many spot welds."),
            Column("drive", Holds.TEXT, "Drive and size, e.g. hex 10, T30."),
            Column("access", Holds.TEXT, "What must come off first; from which side."),
            Column("removable", Holds.YES_NO, "yes if it comes apart without damage.", choices=YES_NO),
            _NOTE,
        ),
    ),
    Sheet(
        "measurements",
        "one reading; never edited, only superseded",
        (
            Column("reading", Holds.NAME, "Id of the reading. Used once.", True),
            Column("of", Holds.NAME, "Tag of the part (or joint, approach, configuration).", True),
            Column(
                "subject kind",
                Holds.CHOICE,
                "part (default), joint, approach or configuration.",
                choices=_words(SubjectKind),
            ),
            _QUANTITY,
            _VALUE,
            _UNIT,
            Column(
                "pieces",
                Holds.NUMBER,
                "Pieces on the scale together; 1 when blank. Lots are weighed below 20 divisions.",
            ),
            Column(
                "scope",
                Holds.CHOICE,
                "self (default: the piece alone) or subtree (everything still attached).",
                choices=_words(Scope),
            ),
            Column(
                "replicate", Holds.NUMBER, "1, 2, 3 … for repeat readings of the same thing; 1 when blank."
            ),
            Column(
                "method",
                Holds.CHOICE,
                "weighed for a mass (default), measured for others (default), computed from "
                "geometry, estimated, literature.",
                choices=_words(Method),
            ),
            Column(
                "instrument",
                Holds.NAME,
                "Id of the instrument; its band is used when plus or minus is blank.",
                refers_to="instruments",
            ),
            Column(
                "plus or minus",
                Holds.NUMBER,
                "95 % band in the unit of the row. Blank only when an instrument is named.",
            ),
            Column("person", Holds.TEXT, "Who read it."),
            Column("time", Holds.DATE, "When, as 2025-03-31 14:05."),
            _EVIDENCE,
            Column(
                "covers",
                Holds.COVERS,
                "What was on the scale if not simply the subject: A12 × 2; A14 × 1",
                refers_to="parts",
            ),
            Column(
                "supersedes", Holds.NAME, "Id of the reading this one corrects.", refers_to="measurements"
            ),
            _NOTE,
        ),
    ),
    Sheet(
        "instruments",
        "one instrument; an id names the same instrument in every workbook compared",
        (
            Column("instrument", Holds.NAME, "Short id, e.g. S2.", True),
            Column(
                "kind",
                Holds.TEXT,
                "bench scale, crane scale, corner pads, tape, calliper, torque wrench, …",
                True,
            ),
            Column(
                "class",
                Holds.TEXT,
                "Accuracy class as marked: I, II, III, IIII for scales; I, II, III for tapes.",
            ),
            Column("step", Holds.NUMBER, "Reading step (a scale's e), in the unit of the row."),
            Column("capacity", Holds.NUMBER, "Largest reading, in the unit of the row."),
            Column("unit", Holds.UNIT, "Unit of step, capacity, limit and certificate U."),
            Column("limit", Holds.NUMBER, "Limit of error when the class does not give it."),
            Column(
                "limit is",
                Holds.CHOICE,
                "absolute (in the unit of the row) or percent of the reading.",
                choices=LIMIT_MEANINGS,
            ),
            Column(
                "certificate U",
                Holds.NUMBER,
                "Expanded uncertainty of the calibration certificate, in the unit of the row.",
            ),
            Column("coverage factor", Holds.NUMBER, "k of the certificate; 2 when blank."),
            Column("calibrated", Holds.DATE, "Day of calibration."),
            Column("due", Holds.DATE, "Day the next calibration is due."),
            _NOTE,
        ),
    ),
    Sheet(
        "functions",
        "one function: what a group of parts is for",
        (
            Column("function", Holds.NAME, "Code, the same for every vehicle compared.", True),
            Column("name", Holds.TEXT, "In words.", True),
            Column("parent", Holds.NAME, "Code of the wider function.", refers_to="functions"),
            Column("aliases", Holds.NAMES, "Other words for it, separated by ;"),
        ),
    ),
    Sheet(
        "approaches",
        "how this vehicle does one function",
        (
            Column("approach", Holds.NAME, "Id of the approach. Used once.", True),
            Column(
                "configuration",
                Holds.NAME,
                "Which configuration it belongs to.",
                True,
                refers_to="configurations",
            ),
            Column(
                "function", Holds.NAME, "Code, name or alias of the function.", True, refers_to="functions"
            ),
            Column("present", Holds.YES_NO, "no when the vehicle does without.", True, YES_NO),
            Column("description", Holds.TEXT, "How it is done, in a sentence."),
        ),
    ),
    Sheet(
        "shares",
        "the part of a part that serves one approach, when it serves more than one",
        (
            Column("part", Holds.NAME, "Tag of the part.", True, refers_to="parts"),
            Column("approach", Holds.NAME, "Id of the approach.", True, refers_to="approaches"),
            Column("share [%]", Holds.NUMBER, "Percent; the shares of one part add up to 100.", True),
        ),
    ),
    Sheet(
        "content",
        "unlike content, listed before numbers are seen",
        (
            Column("item", Holds.NAME, "Short name of the item; several rows may share it.", True),
            Column("description", Holds.TEXT, "What is unlike.", True),
            Column(
                "rule",
                Holds.CHOICE,
                "strip (this vehicle has it), add (this vehicle lacks it) or scale (multiply).",
                True,
                _words(Rule),
            ),
            _QUANTITY,
            _VALUE,
            _UNIT,
            Column(
                "plus or minus",
                Holds.NUMBER,
                "95 % band in the unit of the row; 0 when exact. Must be filled.",
            ),
            Column(
                "function",
                Holds.NAME,
                "Function it belongs to, so that it is not counted twice.",
                refers_to="functions",
            ),
            _NOTE,
        ),
    ),
    Sheet(
        "effects",
        "what the approach to one function contributes to a quantity of the vehicle",
        (
            Column(
                "function", Holds.NAME, "Code, name or alias of the function.", True, refers_to="functions"
            ),
            _QUANTITY,
            _VALUE,
            _UNIT,
            Column(
                "plus or minus",
                Holds.NUMBER,
                "95 % band (half-width for rectangular and triangular) in the unit of the row; 0 "
                "when exact. Must be filled.",
            ),
            Column(
                "shape", Holds.CHOICE, "normal (default), rectangular or triangular.", choices=BAND_SHAPES
            ),
            _ORIGIN,
            _SHARED_SOURCE,
            _SHARED_BAND,
            _EVIDENCE,
            _NOTE,
        ),
    ),
    Sheet(
        "routes",
        "one step of how a part was made",
        (
            Column("part", Holds.NAME, "Tag of the part.", True, refers_to="parts"),
            Column("step", Holds.NUMBER, "1, 2, 3 … along the way; the first gives the part its form.", True),
            Column("process", Holds.TEXT, "Name of a process model, e.g. sheet stamping.", True),
            Column(
                "options",
                Holds.TEXT,
                "Choices of the process, as line: progressive; the first of each where blank.",
            ),
            Column("material", Holds.TEXT, "Material of this step where it is not that of the part."),
            Column(
                "seen",
                Holds.CHOICE,
                "observed (default: marks on the part say so), proposed (by the program) or assumed.",
                choices=_words(Seen),
            ),
            _EVIDENCE,
            _NOTE,
        ),
        asked_for=True,
    ),
    Sheet(
        "reasons",
        "why a part is a part of its own",
        (
            Column("part", Holds.NAME, "Tag of the part.", True, refers_to="parts"),
            Column(
                "because",
                Holds.CHOICE,
                "The physical reason, or that it is bought or carried over as a unit.",
                True,
                _words(ReasonKind),
            ),
            Column("in words", Holds.TEXT, "What it moves against, which current, which service.", True),
            Column("policy", Holds.TEXT, "The service or assembly it comes off for, when it must come off."),
        ),
        asked_for=True,
    ),
    Sheet(
        "checks",
        "one figure, or one choice, that a check asks for",
        (
            Column("check", Holds.NAME, "Name of the check, e.g. half_shaft_angle.", True),
            Column(
                "reading",
                Holds.NAME,
                "What the check reads, e.g. span_left_m, or a choice of it; listed on the sheet 'lists'.",
                True,
            ),
            Column(
                "item",
                Holds.NAME,
                "Which of several things it is of, e.g. front left mount; blank where there is one.",
            ),
            Column("value", Holds.NUMBER, f"{_VALUE.help} Blank for a choice."),
            Column("unit", Holds.UNIT, f"{_UNIT.help} Blank for a choice."),
            Column(
                "plus or minus",
                Holds.NUMBER,
                "Band in the unit of the row. Blank: that of the instrument, else that which the check states for "
                "the way it is measured. Type 0 for an exact figure such as a count.",
            ),
            _BAND_IS,
            _BAND_SHAPE,
            _BAND_DOF,
            Column(
                "origin",
                Holds.CHOICE,
                "measured (default: on this specimen), published, inferred or assumed.",
                choices=ORIGINS,
            ),
            Column("option", Holds.TEXT, "What was chosen, where the reading is a choice of the check."),
            Column("instrument", Holds.NAME, "Id of the instrument it was read on.", refers_to="instruments"),
            _EVIDENCE,
            _NOTE,
        ),
        asked_for=True,
    ),
)

SHEETS: Mapping[str, Sheet] = MappingProxyType({sheet.name: sheet for sheet in _SHEETS})
# Sheets of the template that carry no data; they are passed over in silence.
SILENT_SHEETS = ("read me", "lists")
# A heading or sheet name that starts so is the user's own: kept and reported, never compared with the known ones.
OWN_PREFIX = "_"


def squeezed(text: str) -> str:
    """Return the text in lower case with runs of blanks as one: how headings and sheet names are compared."""
    return (
        " ".join(text.replace("_", " ").split()).casefold()
        if not text.startswith(OWN_PREFIX)
        else text.casefold()
    )
