"""Workbooks for the tests of capture: one that is sound, and ways to spoil it."""

from __future__ import annotations

import copy
import zipfile
from pathlib import Path
from typing import Any

import openpyxl

from hoistbook.capture.faults import Fault, LoadRefused
from hoistbook.capture.read import read_teardown
from hoistbook.capture.write import write_workbook

Rows = dict[str, list[dict[str, Any]]]

SOUND: Rows = {
    "vehicle": [{"code": "WHI", "name": "Whimbrel", "model year": 2024}],
    "configurations": [{"configuration": "delivered", "wheels": "16 in"}],
    "facts": [
        {
            "configuration": "delivered",
            "quantity": "mass",
            "value": 1800.0,
            "unit": "kg",
            "plus or minus": 3.0,
            "origin": "measured",
            "mass state": "curb",
        },
        {
            "configuration": "delivered",
            "quantity": "drag area",
            "value": 1.2,
            "unit": "m2",
            "plus or minus": 0.04,
            "origin": "inferred",
        },
    ],
    "parts": [
        {"tag": "VAN", "name": "van", "kind": "assembly"},
        {
            "tag": "A1",
            "parent": "VAN",
            "name": "arm",
            "kind": "part",
            "count": 2,
            "system": "SU02",
            "function": "guide",
        },
        {"tag": "B1", "parent": "VAN", "name": "bolt", "kind": "fastener", "count": 4},
        {"tag": "C1", "parent": "VAN", "name": "cradle", "kind": "part"},
    ],
    "joints": [
        {
            "joint": "J1",
            "parts": "A1; VAN",
            "process": "screwing",
            "fastener": "B1",
            "fastener count": 4,
            "removable": "yes",
        }
    ],
    "measurements": [
        {"reading": "R1", "of": "A1", "quantity": "mass", "value": 2.5, "unit": "kg", "instrument": "S1"},
        {
            "reading": "R2",
            "of": "B1",
            "quantity": "mass",
            "value": 120,
            "unit": "g",
            "pieces": 4,
            "instrument": "S1",
        },
        {"reading": "R3", "of": "C1", "quantity": "length", "value": 730, "unit": "mm", "plus or minus": 2.4},
    ],
    "instruments": [
        {"instrument": "S1", "kind": "bench scale", "class": "III", "step": 1, "capacity": 6000, "unit": "g"}
    ],
    "functions": [
        {"function": "F1", "name": "guide", "aliases": "cradle; subframe"},
        {"function": "F2", "name": "brake"},
    ],
    "approaches": [
        {"approach": "P1", "configuration": "delivered", "function": "F1", "present": "yes"},
        {"approach": "P2", "configuration": "delivered", "function": "F2", "present": "yes"},
    ],
    "shares": [
        {"part": "C1", "approach": "P1", "share [%]": 60},
        {"part": "C1", "approach": "P2", "share [%]": 40},
    ],
    "content": [
        {
            "item": "tow bar",
            "description": "detachable",
            "rule": "strip",
            "quantity": "mass",
            "value": 21,
            "unit": "kg",
            "plus or minus": 1,
        }
    ],
    "effects": [
        {
            "function": "subframe",
            "quantity": "drag torque",
            "value": 1.4,
            "unit": "N·m",
            "plus or minus": 0.3,
            "origin": "measured",
        }
    ],
    "routes": [
        {"part": "A1", "step": 1, "process": "sheet stamping", "options": "line: progressive; metal : steel"},
        {"part": "A1", "step": 2, "process": "coating", "seen": "assumed", "evidence": "photo 3"},
    ],
    "reasons": [
        {"part": "A1", "because": "moves against it in use", "in words": "slides along the rail"},
        {
            "part": "C1",
            "because": "must come off for service or assembly",
            "in words": "gives way to the lamp",
            "policy": "lamp replaced in the field",
        },
    ],
    "checks": [
        {
            "check": "half_shaft_angle",
            "reading": "span_left_m",
            "value": 350,
            "unit": "mm",
            "plus or minus": 3,
            "evidence": "photo 9",
        },
        {
            "check": "half_shaft_angle",
            "reading": "kingpin inclination",
            "value": 12,
            "unit": "deg",
            "plus or minus": 0.5,
            "band is": "limits",
            "origin": "inferred",
        },
    ],
}


def sound() -> Rows:
    return copy.deepcopy(SOUND)


def with_row(sheet: str, row: int = 0, **cells: Any) -> Rows:
    """Sound rows with some cells of one row (from 0) changed; __ in a name stands for a blank, None blanks a cell."""
    rows = sound()
    rows[sheet][row].update({name.replace("__", " "): value for name, value in cells.items()})
    return rows


def with_new(sheet: str, like: int = 0, **cells: Any) -> Rows:
    """Sound rows with one row more, a copy of another with some cells changed."""
    rows = sound()
    rows[sheet].append(
        {**rows[sheet][like], **{name.replace("__", " "): value for name, value in cells.items()}}
    )
    return rows


def saved(folder: Path, rows: Rows) -> Path:
    path = folder / "van.xlsx"
    write_workbook(path, rows)
    return path


def opened(folder: Path, rows: Rows) -> tuple[openpyxl.Workbook, Path]:
    """The workbook as openpyxl sees it, to do to it what the writer never would."""
    path = saved(folder, rows)
    return openpyxl.load_workbook(path), path


def faults_of(path: Path, **options: Any) -> tuple[Fault, ...]:
    try:
        read_teardown(path, **options)
    except LoadRefused as refused:
        return refused.faults
    return ()


def place(book: openpyxl.Workbook, sheet: str, header: str, row: int) -> openpyxl.cell.Cell:
    """The cell under a heading, row as the spreadsheet counts."""
    for cell in book[sheet][1]:
        if cell.value == header:
            return book[sheet].cell(row=row, column=cell.column)
    raise LookupError(header)


def edit(path: Path, entry: str, old: str, new: str) -> None:
    """Replace one piece of text inside an entry of the archive, once."""
    with zipfile.ZipFile(path) as archive:
        entries = {name: archive.read(name) for name in archive.namelist()}
    assert old.encode() in entries[entry]
    entries[entry] = entries[entry].replace(old.encode(), new.encode(), 1)
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in entries.items():
            archive.writestr(name, data)
