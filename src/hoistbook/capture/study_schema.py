"""The sheets and columns of a study workbook: one description for loading, writing, the template and the docs."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from hoistbook.capture.schema import YES_NO, Column, Holds, Sheet
from hoistbook.core.compare.claims import Relation, ThresholdIs
from hoistbook.core.compare.strip_plan import StepStatus
from hoistbook.core.compare.study import FindingKind
from hoistbook.core.vehicle.records import Rule

_NOTE = Column("note", Holds.TEXT, "Anything worth keeping; never read as a number.")
_EVIDENCE = Column(
    "evidence", Holds.TEXT, "Where it can be looked up: photo number, log file, page of a document."
)
_PERSON = Column("person", Holds.TEXT, "Who says so.")


def _vehicle(help_text: str) -> Column:
    return Column("vehicle", Holds.NAME, help_text, True, refers_to="vehicles")


_SHEETS = (
    Sheet(
        "study",
        "the one study of this workbook",
        (
            Column("study", Holds.NAME, "Short code of the study.", True),
            Column("title", Holds.TEXT, "Title as it is to be printed.", True),
            Column(
                "question", Holds.TEXT, "What is to be decided, in one sentence. Frozen before results.", True
            ),
            Column("owner", Holds.TEXT, "Who answers for it."),
            _NOTE,
        ),
        required=True,
    ),
    Sheet(
        "vehicles",
        "one vehicle compared; the gap starts at the first row",
        (
            Column("vehicle", Holds.NAME, "Code of the vehicle, as in its own workbook.", True),
            Column("configuration", Holds.NAME, "Which configuration; may be blank where it has only one."),
            Column("role", Holds.TEXT, "Baseline, compared, sister …"),
            _NOTE,
        ),
        required=True,
    ),
    Sheet(
        "equality",
        "one property of one vehicle: that the vehicles do the same job",
        (
            Column(
                "property",
                Holds.NAME,
                "What the job asks for: load volume, payload, seats, top speed …",
                True,
            ),
            _vehicle("Whose value it is."),
            Column("value", Holds.TEXT, "A number or words."),
            Column("unit", Holds.TEXT, "Unit of a number."),
            Column(
                "equal",
                Holds.YES_NO,
                "Whether it equals the first vehicle; blank for that one.",
                choices=YES_NO,
            ),
            Column(
                "note",
                Holds.TEXT,
                "Why an unlike value does not matter, or which content item sets it equal.",
            ),
        ),
    ),
    Sheet(
        "content",
        "unlike content of one vehicle; its rows here replace the content sheet of its own workbook",
        (
            Column("item", Holds.NAME, "Short name of the item; several rows may share it.", True),
            _vehicle("Which vehicle it is done to."),
            Column("description", Holds.TEXT, "What is unlike.", True),
            Column(
                "rule",
                Holds.CHOICE,
                "strip (this vehicle has it), add (this vehicle lacks it) or scale (multiply).",
                True,
                tuple(rule.value for rule in Rule),
            ),
            Column("quantity", Holds.QUANTITY, "What the value is of, e.g. mass, drag area.", True),
            Column("value", Holds.NUMBER, "The number alone, with a decimal point.", True),
            Column("unit", Holds.UNIT, "Unit of the value; 1 or % for a scale.", True),
            Column(
                "plus or minus",
                Holds.NUMBER,
                "95 % band in the unit of the row; 0 when exact. Must be filled.",
            ),
            Column("function", Holds.NAME, "Code, name or alias of the function it belongs to."),
            _NOTE,
        ),
    ),
    Sheet(
        "assumptions",
        "one assumption, frozen before results",
        (
            Column(
                "assumption",
                Holds.NAME,
                "quantity, duty, draws, seed, sure enough and piece spread steer the figures; any other is recorded.",
                True,
            ),
            Column("value", Holds.TEXT, "As it is to hold, e.g. range, wltc3b, 4000, 95 %.", True),
            Column("source", Holds.TEXT, "Who says so, or where it stands."),
            _NOTE,
        ),
    ),
    Sheet(
        "findings",
        "one function looked at without finding a difference",
        (
            Column(
                "function",
                Holds.NAME,
                "Code, name or alias of the function, or a system of the taxonomy.",
                True,
            ),
            Column(
                "finding",
                Holds.CHOICE,
                "same (compared and equal within bands) or carried over (from the sister vehicle).",
                True,
                tuple(kind.value for kind in FindingKind),
            ),
            Column(
                "vehicles",
                Holds.NAMES,
                "same: the vehicles compared; carried over: those that took it over; separated by ;",
                True,
                refers_to="vehicles",
            ),
            Column("from", Holds.NAME, "carried over: the sister it came from.", refers_to="vehicles"),
            Column("what was compared", Holds.TEXT, "What was compared, and how.", True),
            _PERSON,
            Column("time", Holds.DATE, "When, as 2025-03-31 14:05."),
            _EVIDENCE,
            _NOTE,
        ),
    ),
    Sheet(
        "strip plan",
        "one step of taking a vehicle apart",
        (
            Column("step", Holds.NUMBER, "Place in the order of this vehicle: 1, 2, 3 …", True),
            _vehicle("Which vehicle."),
            Column("what", Holds.TEXT, "What comes off: words, with the tags of the parts.", True),
            Column("who", Holds.TEXT, "Who does it; whoever is qualified where it needs that."),
            Column("tools", Holds.TEXT, "What is needed."),
            Column(
                "record before removal",
                Holds.NAMES,
                "What must be on record first: routing; clearances; clip positions; torque; fluids weighed; photo",
            ),
            Column(
                "recorded",
                Holds.NAMES,
                "What has been recorded, in the same words; where it lies after a colon.",
            ),
            Column(
                "status",
                Holds.CHOICE,
                "planned (default), ready, removed, or put aside (not done for now).",
                choices=tuple(status.value for status in StepStatus),
            ),
            _EVIDENCE,
            _NOTE,
        ),
    ),
    Sheet(
        "claims",
        "one sentence somebody wants to say",
        (
            Column("claim", Holds.NAME, "Short name of the claim.", True),
            Column("sentence", Holds.TEXT, "The sentence as it is said.", True),
            Column(
                "quantity",
                Holds.TEXT,
                "What it speaks of: mass, drag area …, part count, fastener count, effect on range, effect on "
                "consumption, range, consumption; or a figure of a check, as check half_shaft_angle/steer_moment_n_m, "
                "with one of several in brackets: check first_touched/exposure_m[hose].",
                True,
            ),
            _vehicle("Whose figure it is."),
            Column(
                "relation",
                Holds.CHOICE,
                "less than, more than or about.",
                True,
                tuple(relation.value for relation in Relation),
            ),
            Column(
                "other",
                Holds.NAME,
                "The vehicle it is compared with; blank: with the threshold alone.",
                refers_to="vehicles",
            ),
            Column("function", Holds.NAME, "Code, name or alias of the function it speaks of."),
            Column("part", Holds.NAME, "Tag of the part it speaks of."),
            Column(
                "threshold",
                Holds.NUMBER,
                "By how much at least; the figure itself where other is blank.",
                True,
            ),
            Column("unit", Holds.UNIT, "Unit of the threshold; 1 or % for a share, 1 for a count.", True),
            Column(
                "plus or minus",
                Holds.NUMBER,
                "about, where the threshold is the figure itself: how far off it may be, in the unit of the row.",
            ),
            Column(
                "threshold is",
                Holds.CHOICE,
                "absolute (default) or share (of the figure of the other vehicle).",
                choices=tuple(meaning.value for meaning in ThresholdIs),
            ),
            Column("duty", Holds.TEXT, "For range and consumption: the cycle or use it holds for."),
            _PERSON,
            _EVIDENCE,
            _NOTE,
        ),
    ),
)

STUDY_SHEETS: Mapping[str, Sheet] = MappingProxyType({sheet.name: sheet for sheet in _SHEETS})
