"""The study workbook to start from, empty or filled with a small invented study."""

from __future__ import annotations

from pathlib import Path

from hoistbook.capture.study_schema import STUDY_SHEETS
from hoistbook.capture.template import write_form
from hoistbook.capture.write import Rows
from hoistbook.core.vehicle.kinds import QUANTITY_KINDS

READ_ME = (
    ("What this is", ""),
    (
        "",
        (
            "One study: what is asked of which vehicles, under which rules, what was found, how one is taken apart, "
            "and what people claim."
        ),
    ),
    (
        "",
        "Rest the pointer on a heading to read what the column holds; headings in bold must be filled in every row.",
    ),
    ("Order of work", ""),
    (
        "1",
        "study, vehicles: the question in one sentence; the vehicle the comparison starts from stands first.",
    ),
    (
        "2",
        (
            "equality: that the vehicles do the same job. What is unlike goes to the content list, or the note "
            "says why not."
        ),
    ),
    (
        "3",
        (
            "content: strip, add or scale, before any number is seen. Rows of a vehicle here replace its own "
            "content sheet."
        ),
    ),
    ("4", "assumptions: quantity, duty, draws, seed, how sure is sure enough; and any other worth fixing."),
    (
        "5",
        "Load the study and its vehicles into a store and freeze it. No gap is worked out under it before that.",
    ),
    (
        "6",
        (
            "findings: what was compared and found the same, or carried over from the sister. Noticing only "
            "differences fools."
        ),
    ),
    (
        "7",
        "strip plan: what must be on record before a part comes off. What is removed without it cannot be recovered.",
    ),
    ("8", "claims: sentences people want to say, each with the figure that would decide it."),
    ("Usual cautions", ""),
    (
        "",
        (
            "Not an instruction. Local law, the maker's rescue and dismantling sheets and licensed people decide what "
            "is done: lifting, high voltage, refrigerant, airbags and belt tensioners, springs, fire."
        ),
    ),
)
_EXAMPLE = ("Example", "An invented study of two invented vans. Delete the rows to start.")

_EXAMPLE_ROWS: Rows = {
    "study": [
        {
            "study": "red-grey",
            "title": "Redshank against Greyling",
            "question": "Which decisions make Redshank heavier?",
            "owner": "Kim",
            "note": "Invented. Every figure below is invented.",
        }
    ],
    "vehicles": [
        {"vehicle": "GREY", "role": "start of the comparison"},
        {"vehicle": "RED", "configuration": "delivered", "role": "compared"},
    ],
    "equality": [
        {"property": "load volume", "vehicle": "GREY", "value": 4.1, "unit": "m3"},
        {"property": "load volume", "vehicle": "RED", "value": 4.1, "unit": "m3", "equal": "yes"},
        {"property": "bulkhead", "vehicle": "GREY", "value": "none"},
        {
            "property": "bulkhead",
            "vehicle": "RED",
            "value": "steel, with window",
            "equal": "no",
            "note": "content: partition",
        },
    ],
    "content": [
        {
            "item": "partition",
            "vehicle": "RED",
            "description": "steel bulkhead with window behind the seats",
            "rule": "strip",
            "quantity": QUANTITY_KINDS["mass"].words,
            "value": 14.2,
            "unit": "kg",
            "plus or minus": 0.3,
        }
    ],
    "assumptions": [
        {"assumption": "quantity", "value": "mass", "source": "the question"},
        {"assumption": "draws", "value": 4000},
        {"assumption": "seed", "value": 1},
        {"assumption": "sure enough", "value": "95 %", "source": "agreed with the client"},
    ],
    "findings": [
        {
            "function": "seats and restraints",
            "finding": "same",
            "vehicles": "GREY; RED",
            "what was compared": "part marks, frames and foam side by side",
            "person": "Kim",
            "time": "2025-03-12",
            "evidence": "photos 210 to 224",
        }
    ],
    "strip plan": [
        {
            "step": 1,
            "vehicle": "RED",
            "what": "front wheels",
            "who": "Ada",
            "tools": "torque wrench",
            "record before removal": "photo in place; breakaway torque",
            "recorded": "photo in place: 231",
            "status": "planned",
        }
    ],
    "claims": [
        {
            "claim": "heavier",
            "sentence": "Redshank is at least 20 kg heavier.",
            "quantity": QUANTITY_KINDS["mass"].words,
            "vehicle": "RED",
            "relation": "more than",
            "other": "GREY",
            "threshold": 20,
            "unit": "kg",
            "person": "Ada",
        }
    ],
}


def write_study_template(path: str | Path, example: bool = False) -> None:
    """Write the study workbook to start from.

    Parameters
    ----------
    path : str or Path
        File to write; an existing one is replaced.
    example : bool
        Fill it with a small invented study, which loads without a fault.

    Notes
    -----
    The same call gives the same bytes.
    """
    lists = {"quantity": tuple(kind.words for kind in QUANTITY_KINDS.values())}
    lines = (_EXAMPLE, *READ_ME) if example else READ_ME
    write_form(path, STUDY_SHEETS, _EXAMPLE_ROWS if example else {}, lines, lists)
