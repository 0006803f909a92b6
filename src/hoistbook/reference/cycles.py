"""The four standard drive cycles, and cycle files of the user's own."""

from __future__ import annotations

import csv
import difflib
import re
from collections.abc import Iterable
from functools import cache
from importlib import resources
from pathlib import Path

import numpy as np

from hoistbook.core.energy.cycles import Cycle, Phase
from hoistbook.core.quantities.units import to_si

CYCLE_NAMES: tuple[str, ...] = ("udds", "hwfet", "us06", "wltc3b")

_SPEED_UNITS = ("km/h", "mph", "m/s")
_HEADER = re.compile(r"\s*(?P<what>time|speed)\s*\[\s*(?P<unit>[^\]]*?)\s*\]\s*", re.IGNORECASE)
_PHASE = re.compile(r"\s*(?P<name>.+?)\s+(?P<start>[\d.]+)\s*[-–]\s*(?P<end>[\d.]+)\s*")


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
        "# phases: town 0-589; motorway 589-1200". Any sampling.

    Returns
    -------
    Cycle
        Named after the file.

    Raises
    ------
    ValueError
        A column is missing or its unit unknown, a cell is not a number, or the trace itself is faulty (see `Cycle`);
        the message names file and line.
    FileNotFoundError
        There is no such file.
    """
    path = Path(path)
    with path.open(encoding="utf-8-sig", newline="") as lines:
        return parse_cycle(lines, path.stem, path.name)


def parse_cycle(lines: Iterable[str], name: str, place: str) -> Cycle:
    """Build a cycle from the lines of a CSV file; `place` is what messages call the file."""
    notes: dict[str, str] = {}
    header: dict[str, int] = {}
    speed_unit = ""
    times: list[float] = []
    speeds: list[float] = []
    for number, line in enumerate(lines, start=1):
        if not line.strip():
            continue
        if line.startswith("#"):
            key, colon, text = line[1:].partition(":")
            if colon:
                notes.setdefault(key.strip().lower(), text.strip())
            continue
        row = next(csv.reader([line]))
        if not header:
            header, speed_unit = _columns(row, f"{place} line {number}")
            continue
        times.append(_number(row, header["time"], "time", f"{place} line {number}"))
        speeds.append(_number(row, header["speed"], "speed", f"{place} line {number}"))
    if not header:
        msg = f"{place}: no header line; the first line must name the columns, e.g. time [s],speed [km/h]."
        raise ValueError(msg)
    try:
        return Cycle(
            name=name,
            title=notes.get("title", name),
            speed_m_per_s=np.array([to_si(v, speed_unit)[0] for v in speeds]),
            time_s=np.array(times),
            phases=_phases(notes.get("phases", ""), place),
            source=notes.get("source", place),
        )
    except ValueError as error:
        msg = f"{place}: {error}"
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
    try:
        return float(cell)
    except ValueError:
        msg = f"{place}: {what} = {cell!r} is not a number; write it with a decimal point."
        raise ValueError(msg) from None


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
