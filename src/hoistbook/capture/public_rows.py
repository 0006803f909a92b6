"""Read a table of published figures: one vehicle per row, a source in every row, units in the headings or in a row."""

from __future__ import annotations

import csv
import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from hoistbook.capture.archive import opened
from hoistbook.capture.faults import Findings, LoadRefused
from hoistbook.capture.schema import OWN_PREFIX, squeezed
from hoistbook.capture.spreadsheet import read_workbook
from hoistbook.capture.tables import (
    LEAST_FIGURE,
    MOST_FIGURE,
    Cell,
    Limits,
    Odd,
    Table,
    column_letters,
    is_out_of_reach,
    seen,
)
from hoistbook.core.compare.published_rows import BASES, CYCLES, Printed, PublishedRow, Span
from hoistbook.core.quantities.units import to_si
from hoistbook.reference.csv_text import decoded, lines, separator
from hoistbook.reference.files import bytes_of

SHEET = "published"
TEXTS = ("vehicle", "maker", "source", "note")
REQUIRED = ("vehicle", "source")
_SIGNED = ("road load b",)

_LITRES_PER_GALLON = 3.785411784  # exact, US gallon
LITRE_J = 33.705 * 3.6e6 / _LITRES_PER_GALLON
"""Energy of a litre equivalent, 8.904 kWh: 33.705 kWh per US gallon (from memory: 40 CFR 600.002)."""
_LITRES = re.compile(r"(?i)^l(itres?|iters?)?[-. ]?e?/100 ?km([- ]?e(q(uivalent)?)?)?$")


def _columns() -> dict[str, tuple[str, tuple[str, ...]]]:
    """Heading of each figure: its SI unit and the units people use."""
    energy = ("kWh", "MJ")
    found: dict[str, tuple[str, tuple[str, ...]]] = {
        "test mass": ("kg", ("lb", "kg")),
        "road load a": ("N", ("lbf", "N")),
        "road load b": ("N.s/m", ("lbf/mph", "N/(m/s)", "N/(km/h)")),
        "road load c": ("N.s2/m2", ("lbf/mph2", "N/(m/s)2", "N/(km/h)2")),
        "battery gross": ("J", energy),
        "battery usable": ("J", energy),
        "wall energy": ("J", energy),
    }
    for cycle in CYCLES:
        for basis in BASES:
            found[f"{cycle} economy {basis}"] = ("J/m", ("MPGe", "mi/kWh", "km/kWh"))
            found[f"{cycle} consumption {basis}"] = (
                "J/m",
                ("kWh/100 mi", "Wh/mi", "kWh/100 km", "Wh/km", "l/100 km"),
            )
            found[f"{cycle} range {basis}"] = ("m", ("mi", "km"))
    return found


FIGURES: Mapping[str, tuple[str, tuple[str, ...]]] = _columns()
"""Headings a table may hold besides the texts: SI unit, and units in use."""

_HEADING = re.compile(r"^(?P<name>[^\[(]*?)\s*(?:\[(?P<unit>[^\]]+)\]|\((?P<other>.+)\))?\s*$")
_NUMBER = re.compile(r"[+-]?([0-9]+(\.[0-9]*)?|\.[0-9]+)([eE][+-]?[0-9]{1,4})?")


@dataclass(frozen=True, slots=True)
class PublicTable:
    """Rows read, and remarks on what was set aside."""

    rows: tuple[PublishedRow, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Place:
    """Where a figure stands and in which unit."""

    key: str
    heading: str
    unit: str
    index: int


def read_public_rows(path: Path, limits: Limits | None = None) -> PublicTable:
    """Read a table of published figures.

    Parameters
    ----------
    path : Path
        A .csv file, or an .xlsx workbook with the sheet "published" (or with one sheet only).
    limits : Limits, optional

    Returns
    -------
    PublicTable

    Raises
    ------
    LoadRefused
        With every fault found: heading unknown, basis not stated, unit missing or wrong, source missing, no number, a
        vehicle twice. Nothing is half-loaded.
    FileNotFoundError

    Notes
    -----
    A figure is known to half a unit of its last printed digit; zeros at the end after the decimal point do not count,
    since programs write them to whole numbers too. So a figure is never taken for finer than it may be.

    Source
    ------
    first principles.
    """
    limits = limits or Limits()
    findings = Findings(limits.faults)
    table = _table(path, findings, limits)
    rows: tuple[PublishedRow, ...] = ()
    if table is not None:
        rows = _rows(table, findings)
    if findings.faults:
        raise LoadRefused(findings.faults)
    return PublicTable(rows, tuple(findings.notes))


def _table(path: Path, findings: Findings, limits: Limits) -> Table | None:
    try:
        data = bytes_of(path, limits.file_bytes, "raise limits.file_bytes.")
    except ValueError as error:
        findings.fault(str(error))
        return None
    if path.suffix.casefold() == ".csv":
        return _delimited(data, path.name, findings, limits)
    archive = opened(data, findings, limits)
    if archive is None:
        return None
    tables = read_workbook(archive, lambda name: True, findings, limits)
    named = [table for table in tables if squeezed(table.name) == SHEET]
    if not named and len(tables) != 1:
        findings.fault(
            f"the workbook has no sheet named {SHEET!r}; name the sheet of the figures so.", value=path.name
        )
        return None
    return (named or tables)[0]


def _delimited(data: bytes, name: str, findings: Findings, limits: Limits) -> Table | None:
    try:
        text, remark = decoded(data)
    except ValueError as error:
        findings.fault(str(error), value=name)
        return None
    if remark:
        findings.note(f"{name}: {remark}")
    kept = text.splitlines(keepends=True)
    heading = next((line for line in kept if line.strip() and not line.startswith("#")), "")
    mark = separator(heading, lambda field: _split(field)[0] in (*TEXTS, *FIGURES))
    table = Table(SHEET, typed=False)
    reader = csv.reader(lines(text), delimiter=mark, strict=True)
    try:
        for fields in reader:
            if len(fields) > limits.columns or reader.line_num > limits.rows:
                findings.fault(
                    f"{len(fields)} columns in row {reader.line_num}: more than {limits.columns} columns or "
                    f"{limits.rows} rows are no table of vehicles; cut it down, or raise these limits.",
                    sheet=name,
                    row=reader.line_num,
                )
                return None
            if fields and not fields[0].startswith("#") and any(field.strip() for field in fields):
                table.rows[reader.line_num] = dict(enumerate(fields))
    except csv.Error as error:
        findings.fault(f"the file is not proper CSV ({error}).", sheet=name, row=reader.line_num)
        return None
    return table


def _split(heading: str) -> tuple[str, str]:
    """Name and unit of a heading; the words of a name in any order of case and underscores."""
    found = _HEADING.match(heading.strip())
    if found is None:
        return squeezed(heading), ""
    return squeezed(found["name"]), (found["unit"] or found["other"] or "").strip()


def _rows(table: Table, findings: Findings) -> tuple[PublishedRow, ...]:
    numbers = sorted(table.rows)
    if not numbers:
        findings.fault("the table is empty; row 1 names the columns.", sheet=SHEET)
        return ()
    head, body = numbers[0], numbers[1:]
    texts: dict[str, int] = {}
    figures: list[tuple[str, str, str, int]] = []
    for index, cell in sorted(table.rows[head].items()):
        heading = seen(cell).strip()
        name, unit = _split(heading)
        if not heading or heading.startswith(OWN_PREFIX):
            continue
        if name in TEXTS:
            texts[name] = index
        elif name in FIGURES:
            figures.append((name, unit, heading, index))
        else:
            findings.fault(_unknown(name), sheet=SHEET, row=head, column=heading, value=heading)
    for name in REQUIRED:
        if name not in texts:
            findings.fault(
                f"the column {name!r} is missing; every row needs it.", sheet=SHEET, row=head, column=name
            )
    units: Mapping[int, Cell] = {}
    if body and _is_units_row(table.rows[body[0]], texts):
        units, body = table.rows[body[0]], body[1:]
    places = [place for one in figures if (place := _place(*one, units, head, findings)) is not None]
    seen_keys: dict[str, str] = {}
    for place in places:
        if place.key in seen_keys:
            findings.fault(
                f"{seen_keys[place.key]!r} states the same figure; keep one.",
                sheet=SHEET, row=head, column=place.heading, value=place.heading,
            )  # fmt: skip
        seen_keys[place.key] = place.heading
    found: dict[str, PublishedRow] = {}
    for number in body:
        row = _row(table, number, texts, places, findings)
        if row is None:
            continue
        if row.name in found:
            findings.fault("stands twice in the table; give each row a name of its own.",
                           sheet=SHEET, row=number, column="vehicle", value=row.name)  # fmt: skip
        found[row.name] = row
    if not body:
        findings.fault("the table has headings and no vehicle.", sheet=SHEET)
    return tuple(found.values())


def _unknown(name: str) -> str:
    words = name.split()
    if any(form in words for form in ("economy", "consumption", "range")):
        return (
            "says not all that is needed; write cycle, figure and basis, e.g. 'city economy unadjusted [MPGe]', "
            "'combined range adjusted [mi]' (adjusted: as on the label; unadjusted: two-cycle test)."
        )
    if "battery" in words:
        return "does not say which battery energy; write 'battery gross [kWh]' or 'battery usable [kWh]'."
    return (
        f"is no heading of this table; known: {', '.join((*TEXTS, *list(FIGURES)[:7]))} and city, highway, combined "
        f"with economy, consumption, range. Start a column of your own with {OWN_PREFIX!r}."
    )


def _is_units_row(cells: Mapping[int, Cell], texts: Mapping[str, int]) -> bool:
    name = seen(cells.get(texts.get("vehicle", -1))).strip().casefold()
    return name in ("unit", "units")


def _place(
    name: str, unit: str, heading: str, index: int, units: Mapping[int, Cell], head: int, findings: Findings
) -> _Place | None:
    expected, usual = FIGURES[name]
    below = seen(units.get(index)).strip()
    trouble = ""
    if unit and below and unit != below:
        trouble = f"has the unit {unit!r} in the heading and {below!r} below; keep one."
    unit = unit or below
    if not unit:
        trouble = f"has no unit; write e.g. '{name} [{usual[0]}]', or a row of units under the headings."
    elif not trouble:
        try:
            _si(1.0, unit, expected)
        except ValueError as error:
            trouble = f"{error}"
        else:
            economy = _falls(unit, expected)
            if ("economy" in name) != economy and expected == "J/m":
                trouble = (
                    f"{unit} is distance per energy: call the column economy."
                    if economy
                    else f"{unit} is energy per distance: call the column consumption."
                )
    if trouble:
        findings.fault(trouble, sheet=SHEET, row=head, column=heading, value=heading)
        return None
    return _Place(name.replace(" ", "_"), heading, unit, index)


def _si(value: float, unit: str, expected: str) -> float:
    if expected == "J/m" and _LITRES.match(unit):
        return value * LITRE_J / 1e5
    return to_si(value, unit, expected)[0]


def _falls(unit: str, expected: str) -> bool:
    return _si(2.0, unit, expected) < _si(1.0, unit, expected)


def _row(
    table: Table,
    number: int,
    texts: Mapping[str, int],
    places: Sequence[_Place],
    findings: Findings,
) -> PublishedRow | None:
    cells = table.rows[number]
    words = {name: seen(cells.get(index)).strip() for name, index in texts.items()}
    for name in REQUIRED:
        if name in texts and not words[name]:
            why = (
                "say where the figures of this row were published" if name == "source" else "name the vehicle"
            )
            findings.fault(f"is blank; {why}.", sheet=SHEET, row=number, column=name)
    figures: dict[str, Printed] = {}
    for place in places:
        printed = _printed(cells.get(place.index), place, number, table.typed, findings)
        if printed is not None:
            figures[place.key] = printed
    known = {*texts.values(), *(place.index for place in places)}
    beyond = max((*known, *table.rows[min(table.rows)]), default=0)
    for index, cell in cells.items():
        if index > beyond and seen(cell).strip():
            findings.fault("there is content but no heading above it.", sheet=SHEET, row=number,
                           column=f"column {column_letters(index)}", value=seen(cell))  # fmt: skip
    if not words.get("vehicle"):
        return None
    return PublishedRow(
        words["vehicle"],
        words.get("maker", ""),
        words.get("source", ""),
        figures,
        words.get("note", ""),
        number,
    )


def _printed(
    cell: Cell | None, place: _Place, number: int, typed: bool, findings: Findings
) -> Printed | None:
    text = seen(cell).strip()
    if not text:
        return None
    if isinstance(cell, bool | Odd) or (typed and isinstance(cell, str)) or not _NUMBER.fullmatch(text):
        findings.fault("is not a plain number; digits with a decimal point, nothing else.",
                       sheet=SHEET, row=number, column=place.heading, value=text)  # fmt: skip
        return None
    value = float(text)
    name = place.key.replace("_", " ")
    if not math.isfinite(value) or (value <= 0.0 and name not in _SIGNED):
        findings.fault("must be a finite number above 0; leave the cell blank where nothing is published.",
                       sheet=SHEET, row=number, column=place.heading, value=text)  # fmt: skip
        return None
    digits = _digits(text)
    if is_out_of_reach(value) or is_out_of_reach(10.0 ** min(max(-digits, -300), 300)):
        findings.fault(f"is no figure, or is printed to a digit that none has: all lie within {LEAST_FIGURE:g} to "
                       f"{MOST_FIGURE:g}.", sheet=SHEET, row=number, column=place.heading, value=text)  # fmt: skip
        return None
    half = 0.5 * 10.0**-digits
    expected = FIGURES[name][0]
    if value > 0.0 and value - half <= 0.0:
        half = 0.5 * value  # a figure printed to one digit below 1: half of it, so that its reciprocal exists
    ends = sorted(_si(end, place.unit, expected) for end in (value - half, value + half))
    return Printed(Span(_si(value, place.unit, expected), *ends), text, place.unit, digits <= 0)


def _digits(text: str) -> int:
    """Digits after the decimal point that are sure to have been printed; negative with a power of ten."""
    mantissa, _, power = text.lower().partition("e")
    decimals = mantissa.partition(".")[2].rstrip("0")
    return len(decimals) - int(power or 0)


TEMPLATE_HEADINGS: tuple[str, ...] = (
    *TEXTS,
    "test mass [lb]",
    "road load a [lbf]",
    "road load b [lbf/mph]",
    "road load c [lbf/mph2]",
    "battery gross [kWh]",
    "battery usable [kWh]",
    *(f"{cycle} economy {basis} [MPGe]" for basis in BASES for cycle in CYCLES),
    *(f"{cycle} consumption adjusted [kWh/100 mi]" for cycle in CYCLES),
    *(f"{cycle} range adjusted [mi]" for cycle in CYCLES),
)


def write_public_template(path: Path) -> None:
    """Write an empty table with the usual headings as CSV."""
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file, lineterminator="\n").writerow(TEMPLATE_HEADINGS)
