"""The four standard drive cycles, and cycle files of the user's own."""

from __future__ import annotations

import csv
import difflib
import io
import re
from collections.abc import Iterable
from functools import cache
from importlib import resources
from pathlib import Path

import numpy as np

from hoistbook.core.energy.cycles import Cycle, Phase
from hoistbook.core.quantities.units import to_si
from hoistbook.reference.csv_text import decoded, separator
from hoistbook.reference.files import bytes_of

CYCLE_NAMES: tuple[str, ...] = ("udds", "hwfet", "us06", "wltc3b")

MOST_SPEED_KM_PER_H = 1_000.0
"""project rule: no road vehicle is faster; a trace that is has its speeds in another unit than its heading says."""

LONGEST_GAP_S = 60.0
"""project rule: between two samples further apart, one of them in motion, a straight line says nothing of the drive."""

MOST_FILE_BYTES = 50_000_000
"""project rule: a day at 10 samples a second has about 10 million bytes."""

_SPEED_UNITS = ("km/h", "mph", "m/s")
_HEADER = re.compile(r"\s*(?P<what>time|speed)\s*\[\s*(?P<unit>[^\]]*?)\s*\]\s*", re.IGNORECASE)
# [0-9], and no float() alone: it would read 1_0 and the digits of other scripts.
_NUMBER = re.compile(r"[+-]?([0-9]+(\.[0-9]*)?|\.[0-9]+)([eE][+-]?[0-9]+)?")
_PHASE = re.compile(r"\s*(?P<name>.+?)\s+(?P<start>[0-9]+(\.[0-9]+)?)\s*[-–]\s*(?P<end>[0-9]+(\.[0-9]+)?)\s*")


@cache
def cycle(name: str) -> Cycle:
    """Return one of the packaged cycles.

    Parameters
    ----------
    name : str
        "udds", "hwfet", "us06" or "wltc3b".

    Raises
    ------
    LookupError
        There is no such cycle; the message lists the known ones.

    Notes
    -----
    Files hold time and the published speed; conversion to m/s is exact (1 mph = 0.44704 m/s, 1 km/h = 1/3.6 m/s).

    Source
    ------
    published: the regulation named in `Cycle.source`; how copies were compared stands in each file's header.
    """
    wanted = name.strip().lower()
    if wanted not in CYCLE_NAMES:
        close = difflib.get_close_matches(wanted, CYCLE_NAMES, n=1, cutoff=0.3)
        hint = f"; did you mean {close[0]!r}?" if close else "."
        msg = f"no cycle named {name!r}; packaged cycles: {', '.join(CYCLE_NAMES)}{hint}"
        raise LookupError(msg)
    file = resources.files("hoistbook.reference") / "data" / "cycles" / f"{wanted}.csv"
    with file.open(encoding="utf-8") as lines:
        return parse_cycle(lines, wanted, f"{wanted}.csv")


def read_cycle(path: Path | str) -> Cycle:
    """Read a cycle from a CSV file.

    Parameters
    ----------
    path : Path or str
        A header line names the columns "time [s]" and "speed [km/h]" (or mph, or m/s), in any order; further columns
        are left alone. Lines that start with # may say "# title: …", "# source: …" and
        "# phases: town 0-589; motorway 589-1200". Any sampling up to `LONGEST_GAP_S` while moving. Separated by commas,
        semicolons or tabs; UTF-8, UTF-16 with its mark, else Windows-1252; numbers with a decimal point.

    Returns
    -------
    Cycle
        Named after the file.

    Raises
    ------
    ValueError
        A column is missing or its unit unknown, a row is longer than the heading, a cell is not a number, a speed above
        `MOST_SPEED_KM_PER_H`, a gap above `LONGEST_GAP_S`, no motion at all, or the trace itself is faulty (see
        `Cycle`); the message names file and line. Above `MOST_FILE_BYTES` nothing is read.
    FileNotFoundError
        There is no such file.
    """
    path = Path(path)
    data = bytes_of(path, MOST_FILE_BYTES, "give one drive, with fewer samples a second.")
    try:
        text, _ = decoded(data)
    except ValueError as error:
        msg = f"{path.name}: {error}"
        raise ValueError(msg) from error
    return parse_cycle(io.StringIO(text, newline=None), path.stem, path.name)


def parse_cycle(lines: Iterable[str], name: str, place: str) -> Cycle:
    """Build a cycle from the lines of a CSV file; `place` is what messages call the file."""
    notes: dict[str, str] = {}
    header: dict[str, int] = {}
    speed_unit, mark, width = "", ",", 0
    times: list[float] = []
    speeds: list[float] = []
    numbers: list[int] = []
    for number, line in enumerate(lines, start=1):
        if not line.strip():
            continue
        if line.startswith("#"):
            key, colon, text = line[1:].partition(":")
            if colon:
                notes.setdefault(key.strip().lower(), text.strip())
            continue
        here = f"{place} line {number}"
        if not header:
            mark = separator(line, lambda heading: _HEADER.fullmatch(heading) is not None)
            row = _cells(line, mark, here)
            header, speed_unit = _columns(row, here)
            width = len(row)
            continue
        row = _cells(line, mark, here)
        if any(cell.strip() for cell in row[width:]):
            msg = (
                f"{here}: {len(row)} cells below {width} headings; write numbers with a decimal point, and put double "
                "quotes round text that holds the separator."
            )
            raise ValueError(msg)
        times.append(_number(row, header["time"], "time", here))
        speeds.append(_number(row, header["speed"], "speed", here))
        numbers.append(number)
    if not header:
        msg = f"{place}: no header line; the first line must name the columns, e.g. time [s],speed [km/h]."
        raise ValueError(msg)
    speed_m_per_s = np.array([to_si(v, speed_unit)[0] for v in speeds])
    time_s = np.array(times)
    try:
        found = Cycle(
            name=name,
            title=notes.get("title", name),
            speed_m_per_s=speed_m_per_s,
            time_s=time_s,
            phases=_phases(notes.get("phases", ""), place),
            source=notes.get("source", place),
        )
    except ValueError as error:
        msg = f"{place}: {error}"
        raise ValueError(msg) from error
    _check_drive(found, speed_unit, place, numbers)
    return found


def _check_drive(trace: Cycle, speed_unit: str, place: str, lines: list[int]) -> None:
    """Refuse what is a trace but no drive: wrong units, a recording with holes."""
    km_per_h = trace.speed_m_per_s * 3.6
    fastest = int(np.argmax(km_per_h))
    if km_per_h[fastest] > MOST_SPEED_KM_PER_H:
        msg = (
            f"{place} line {lines[fastest]}: {km_per_h[fastest]:.4g} km/h is faster than any road vehicle "
            f"({MOST_SPEED_KM_PER_H:g} km/h); check the unit in the heading, speed [{speed_unit}]."
        )
        raise ValueError(msg)
    holes = trace.moving[trace.step_duration[trace.moving] > LONGEST_GAP_S]
    if len(holes):
        first = int(holes[0])
        msg = (
            f"{place} line {lines[first + 1]}: {trace.step_duration[first]:g} s since the sample before, while moving; "
            f"more than {LONGEST_GAP_S:g} s apart, samples do not tell the drive. Fill the gap, or end the cycle "
            "there; check that the times are seconds."
        )
        raise ValueError(msg)


def _cells(line: str, mark: str, place: str) -> list[str]:
    try:
        return next(csv.reader([line], delimiter=mark, strict=True))
    except csv.Error as error:
        msg = f"{place}: not proper CSV ({error}); leave quotes out, or close them on the same line."
        raise ValueError(msg) from error


def _columns(row: list[str], place: str) -> tuple[dict[str, int], str]:
    found: dict[str, int] = {}
    units: dict[str, str] = {}
    for index, cell in enumerate(row):
        match = _HEADER.fullmatch(cell)
        if match is not None:
            what = match["what"].lower()
            if what in found:
                msg = f"{place}: two columns are headed {what}; keep one."
                raise ValueError(msg)
            found[what], units[what] = index, match["unit"]
    for what, example in (("time", "time [s]"), ("speed", "speed [km/h]")):
        if what not in found:
            msg = (
                f"{place}: no column headed like {example!r} among {row}; name it with its unit in brackets."
            )
            raise ValueError(msg)
    if units["time"] != "s":
        msg = f"{place}: time is in {units['time']!r}; give seconds: time [s]."
        raise ValueError(msg)
    if units["speed"] not in _SPEED_UNITS:
        msg = f"{place}: speed is in {units['speed']!r}; give one of {', '.join(_SPEED_UNITS)}, e.g. speed [km/h]."
        raise ValueError(msg)
    return found, units["speed"]


def _number(row: list[str], index: int, what: str, place: str) -> float:
    cell = row[index].strip() if index < len(row) else ""
    if cell.lower() in ("nan", "inf", "-inf", "+inf"):
        msg = f"{place}: {what} = {cell!r} is not a finite number; leave the line out."
        raise ValueError(msg)
    if _NUMBER.fullmatch(cell) is None:
        msg = f"{place}: {what} = {cell!r} is not a number; write it with the digits 0-9 and a decimal point."
        raise ValueError(msg)
    return float(cell)


def _phases(text: str, place: str) -> tuple[Phase, ...]:
    phases = []
    for part in filter(None, (piece.strip() for piece in text.split(";"))):
        match = _PHASE.fullmatch(part)
        if match is None:
            msg = (
                f"{place}: phase {part!r} is not understood; write a name and its seconds, e.g. 'town 0-589'."
            )
            raise ValueError(msg)
        phases.append(Phase(match["name"], float(match["start"]), float(match["end"])))
    return tuple(phases)
