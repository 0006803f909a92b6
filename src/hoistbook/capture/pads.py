"""A small table of pad readings: which corner, how much, which pad, which way round, level or raised."""

from __future__ import annotations

import csv
import math
from dataclasses import dataclass
from pathlib import Path

from hoistbook.capture.faults import Fault, LoadRefused
from hoistbook.core.quantities.units import to_si
from hoistbook.reference.csv_text import decoded, lines, separator
from hoistbook.reference.files import bytes_of

CORNER_WORDS = {
    "fl": "front left",
    "fr": "front right",
    "rl": "rear left",
    "rr": "rear right",
}
MOST_BYTES = 1_000_000
"""project rule: a table of pad readings has a few kilobytes."""

COLUMNS = ("corner", "mass", "pad", "turned", "state", "zero")
_YES, _NO = ("yes", "y", "1", "true", "turned"), ("", "no", "n", "0", "false")
_STATES = {"": False, "level": False, "raised": True, "lifted": True}


@dataclass(frozen=True, slots=True)
class PadRow:
    """One reading as typed, in kg. `pad` names the instrument, `zero_kg` what the empty pad read."""

    row: int
    corner: str
    mass_kg: float
    pad: str
    turned: bool
    raised: bool
    zero_kg: float


def read_pads(path: Path) -> tuple[PadRow, ...]:
    """Read a CSV file of pad readings.

    Parameters
    ----------
    path : Path
        Columns corner (front left … or FL …) and mass [kg] (or lb); optional: pad, turned (yes, no), state (level,
        raised), zero [kg].

    Raises
    ------
    LoadRefused
        With every fault found.
    FileNotFoundError
        There is no such file.
    """
    try:
        data = bytes_of(path, MOST_BYTES, "a table of pad readings is small.")
    except ValueError as error:
        raise _refused(path.name, 0, "", "", str(error).removeprefix(f"{path.name}: ")) from error
    try:
        text, _ = decoded(data)
        kept = text.splitlines(keepends=True)
        heading = next((line for line in kept if line.strip()), "")
        mark = separator(heading, lambda field: _split(field)[0] in COLUMNS)
        table = list(csv.reader(lines(text), delimiter=mark, strict=True))
    except (ValueError, csv.Error) as error:
        raise _refused(path.name, 0, "", "", f"not proper CSV ({error}); save it as CSV in UTF-8.") from error
    if not any(cell.strip() for cells in table for cell in cells):
        raise _refused(
            path.name, 0, "", "", "empty; write a heading with corner and mass [kg], and one row a reading."
        )
    places, units, faults = _headings(path.name, table[0])
    rows = []
    for number, cells in enumerate(table[1:], start=2):
        if not any(cell.strip() for cell in cells):
            continue
        found = _row(path.name, number, cells, places, units, faults)
        if found is not None:
            rows.append(found)
    if faults:
        raise LoadRefused(faults)
    return tuple(rows)


def _refused(name: str, row: int, column: str, value: str, message: str) -> LoadRefused:
    return LoadRefused([Fault(name, row, column, value, message)])


def _split(heading: str) -> tuple[str, str]:
    """Name and unit of a heading."""
    words, _, rest = heading.partition("[")
    return " ".join(words.split()).casefold(), rest.rstrip("] ")


def _headings(name: str, cells: list[str]) -> tuple[dict[str, int], dict[str, str], list[Fault]]:
    places: dict[str, int] = {}
    units = {"mass": "kg", "zero": "kg"}
    faults = []
    for i, cell in enumerate(cells):
        key, rest = _split(cell)
        if not key:
            continue
        if key not in COLUMNS or key in places:
            why = "stands twice" if key in places else f"is not known; known: {', '.join(COLUMNS)}"
            faults.append(Fault(name, 1, cell, cell, f"column {cell.strip()!r} {why}."))
            continue
        places[key] = i
        if rest:
            units[key] = rest
    faults += [
        Fault(name, 1, key, "", f"there is no column {key!r}; add it to the heading.")
        for key in ("corner", "mass")
        if key not in places
    ]
    return places, units, faults


def _row(
    name: str,
    number: int,
    cells: list[str],
    places: dict[str, int],
    units: dict[str, str],
    faults: list[Fault],
) -> PadRow | None:
    def cell(key: str) -> str:
        place = places.get(key)
        return "" if place is None or place >= len(cells) else cells[place].strip()

    before = len(faults)
    corner = " ".join(cell("corner").replace("_", " ").split()).casefold()
    corner = CORNER_WORDS.get(corner, corner)
    if corner not in CORNER_WORDS.values():
        known = ", ".join(CORNER_WORDS.values())
        faults.append(
            Fault(name, number, "corner", cell("corner"), f"no corner {cell('corner')!r}; one of: {known}.")
        )
    mass = _number(name, number, "mass", cell("mass"), units, faults)
    zero = _number(name, number, "zero", cell("zero"), units, faults) if cell("zero") else 0.0
    turned, state = cell("turned").casefold(), cell("state").casefold()
    if turned not in (*_YES, *_NO):
        faults.append(Fault(name, number, "turned", cell("turned"), "turned is yes or no."))
    if state not in _STATES:
        faults.append(Fault(name, number, "state", cell("state"), "state is level or raised."))
    if len(faults) > before or mass is None or zero is None:
        return None
    return PadRow(number, corner, mass, cell("pad"), turned in _YES, _STATES[state], zero)


def _number(
    name: str, number: int, column: str, text: str, units: dict[str, str], faults: list[Fault]
) -> float | None:
    plain = text.replace(",", ".") if text.count(",") == 1 and "." not in text else text
    try:
        value, _ = to_si(float(plain), units[column], expected="kg")
    except ValueError as error:
        why = f"{error}" if _is_number(plain) else f"{text!r} is no number; write e.g. 452.5."
        faults.append(Fault(name, number, column, text, why))
        return None
    if not math.isfinite(value):
        faults.append(Fault(name, number, column, text, "not a finite number."))
        return None
    return value


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True
