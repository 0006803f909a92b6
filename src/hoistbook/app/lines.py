"""The table of an assembly: its lines with mass, band, origin and readings, as the templates print them."""

from __future__ import annotations

from typing import Any

from hoistbook.app.cells import Cell, column, of_quantity
from hoistbook.core.compare.bars import Interval
from hoistbook.report.figures import figure
from hoistbook.report.sentences import surplus_words
from hoistbook.services.keeping import Json
from hoistbook.services.pages.parts import (
    INSIDE,
    MISSING,
    NOT_BROKEN_DOWN,
    PARTS,
    UNALLOCATED,
    AssemblyView,
    PartLine,
    PartsBook,
)
from hoistbook.services.pages.readings import ReadingRow, readings_of
from hoistbook.services.wording import quantity_words

_ESTIMATED = "estimated"
_BASIS_WORDS = {
    PARTS: "sum of its parts",
    UNALLOCATED: "weighed as one",
    NOT_BROKEN_DOWN: "weighed as one",
    "literature": "published",
    "computed from geometry": "computed",
}


def assembly_table(
    code: str, book: PartsBook, view: AssemblyView, summary: Json, chosen: str
) -> dict[str, Any]:
    """Lines of an assembly, superseded readings below the line they were of, and the details of a chosen part.

    Parameters
    ----------
    code : str
        Of the vehicle.
    book : PartsBook
    view : AssemblyView
    summary : dict
    chosen : str
        Tag of the line that is looked at; empty for none.
    """
    set_aside = {one["reading"]: one["reason"] for one in summary["mass"]["set_aside"]}
    every = (view.whole, *view.lines)
    ids = [name for line in every for name in line.readings]
    readings = readings_of(code, ids, [line.tag for line in every], set_aside)
    masses = {tag: [row for row in rows if row.record.quantity == "mass"] for tag, rows in readings.items()}
    former = [(tag, [row for row in rows if not row.counts]) for tag, rows in masses.items()]
    struck = dict(former)
    cells = _cells(view, struck)
    rows = [
        _line(line, cells, masses.get(line.tag, []), struck.get(line.tag, []), chosen, view.whole.function)
        for line in view.lines
    ]
    place = next((number for number, line in enumerate(view.lines, view.first + 1) if line.tag == chosen), 0)
    looked_at = chosen or view.whole.tag
    return {
        "view": view,
        "head_cell": cells["head"],
        "head_origin": _origin(view.whole),
        "head_struck": _struck(struck.get(view.whole.tag, []), cells, view.whole.tag),
        "bare_cell": cells["bare"],
        "bare_basis": _BASIS_WORDS.get(view.bare_basis, view.bare_basis),
        "bare_estimated": view.bare_basis == _ESTIMATED,
        "rest_cell": cells["rest"],
        "rest_words": "Unallocated" if view.rest_basis == UNALLOCATED else "Not broken down",
        "rest_says": surplus_words(view.rest) if view.rest_basis == UNALLOCATED and view.rest else "",
        "total_cell": cells["total"],
        "rows": rows,
        "first": view.first,
        "left": max(view.count - view.first - len(view.lines), 0),
        "next": view.first + len(view.lines),
        "place": place,
        "mass": None if view.total is None else figure(view.total, unit="kg"),
        "chosen": chosen,
        "details": _details(book, looked_at, every, readings.get(looked_at, [])),
        "missing": [line for line in view.lines if line.basis == MISSING and not line.is_assembly],
        "estimated": sum(line.basis == _ESTIMATED for line in view.lines),
        "flags": [
            flag for flag in summary["mass"]["flags"] if {line.tag for line in every} & set(flag["tags"])
        ],
    }


def _cells(view: AssemblyView, struck: dict[str, list[ReadingRow]]) -> dict[Any, Cell]:
    """Every figure of the mass column, aligned together."""
    intervals: dict[Any, Interval | None] = {
        "head": view.whole.mass,
        "bare": view.bare,
        "rest": view.rest,
        "total": view.total,
    }
    for line in view.lines:
        intervals["line", line.tag] = line.mass
    for tag, rows in struck.items():
        for number, row in enumerate(rows):
            value = row.record.value
            intervals["struck", tag, number] = (
                Interval(value.value, *value.band()) if value.unit == "kg" else None
            )
    return dict(zip(intervals, column(list(intervals.values())), strict=True))


def _struck(rows: list[ReadingRow], cells: dict[Any, Cell], tag: str) -> list[dict[str, Any]]:
    return [
        {"reading": row.record, "why": row.why, "cell": cells["struck", tag, number]}
        for number, row in enumerate(rows)
    ]


def _line(
    line: PartLine,
    cells: dict[Any, Cell],
    masses: list[ReadingRow],
    struck: list[ReadingRow],
    chosen: str,
    above: str,
) -> dict[str, Any]:
    cell: Cell = cells["line", line.tag]
    function = "" if line.function == above else line.function
    return {
        "line": line,
        "cell": cell,
        "origin": _origin(line),
        "estimated": line.basis == _ESTIMATED,
        "missing": line.basis == MISSING and not line.is_assembly,
        "inside": line.held_by if line.basis == INSIDE else "",
        "readings": sum(row.counts for row in masses),
        "struck": _struck(struck, cells, line.tag),
        "function": function,
        "below": [words for words in (line.joint, line.material, function) if words],
        "chosen": line.tag == chosen,
    }


def _origin(line: PartLine) -> str:
    if line.is_assembly and line.basis in (MISSING, INSIDE):
        return "sum of its parts"
    return _BASIS_WORDS.get(line.basis, line.basis)


def _details(
    book: PartsBook, tag: str, lines: tuple[PartLine, ...], readings: list[ReadingRow]
) -> dict[str, Any]:
    line = next((one for one in lines if one.tag == tag), lines[0])
    return {
        "line": line,
        "in": book.named(book.path(tag)[:-1][-3:]),
        "readings": [
            {
                "row": row,
                "words": quantity_words(row.record.quantity),
                "told": of_quantity(row.record.value, row.record.quantity),
            }
            for row in readings
        ],
    }
