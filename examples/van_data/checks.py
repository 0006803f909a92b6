"""The checks sheet of a van: what `made.checks` says is true of it, plus an error that the band allows for."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from hoistbook.core.checks import check_named
from hoistbook.core.quantities.units import to_si, uncertainty_from_si
from van_data.noise import normal, uniform
from van_data.weighing import shown
from van_data.workshop import INSTRUMENTS, Bench, Row

STATEMENTS = Path(__file__).with_name("made.checks")
LETTERS = ("W", "T", "D")
NOT_READ = "-"
OWN_ERROR_SI = {"L1": 0.0015}
"""Standard deviation of laying the tape between centres that nobody sees, beside what the instrument shows. [SI]"""
BENCHES = {bench.record.id: bench for bench in INSTRUMENTS}


@dataclass(frozen=True, slots=True)
class Line:
    """One line of `made.checks`: a figure, or a choice, of a check, and the truth of it by the letter of the van."""

    check: str
    reading: str
    item: str
    unit: str
    by: str
    origin: str
    truth: dict[str, str]
    note: str


def statements() -> Iterator[Line]:
    """Yield the lines of `made.checks`.

    Raises
    ------
    ValueError
        A line before any check, or with another number of columns.
    """
    check = ""
    for number, line in enumerate(STATEMENTS.read_text(encoding="utf-8").splitlines(), start=1):
        text = line.strip()
        if not text or text.startswith("#"):
            continue
        if text.startswith("["):
            check = text.strip("[]")
            continue
        columns = [column.strip() for column in text.split("|")]
        if not check or len(columns) != 4 + len(LETTERS):
            msg = f"made.checks, line {number}: {text!r} is no figure of a check; see the head of the file."
            raise ValueError(msg)
        name, unit, how, *truth, note = columns
        reading, _, item = (part.strip() for part in name.partition(","))
        by, _, origin = (part.strip() for part in how.partition(","))
        yield Line(check, reading, item, unit, by, origin, dict(zip(LETTERS, truth, strict=True)), note)


def check_rows(letter: str) -> list[Row]:
    """Rows of the checks sheet of a van."""
    return [_row(line, letter) for line in statements() if line.truth[letter] != NOT_READ]


def _row(line: Line, letter: str) -> Row:
    true = line.truth[letter]
    row: Row = {"check": line.check, "reading": line.reading, "item": line.item, "note": line.note}
    if line.by == "option":
        return row | {"option": true}
    name = f"{letter}/{line.check}/{line.reading}/{line.item}"
    bench = BENCHES.get(line.by)
    read = _with(bench, line, float(true), name) if bench is not None else _by_band(line, float(true), name)
    return row | {"unit": line.unit, "origin": line.origin} | read


def _with(bench: Bench, line: Line, true: float, name: str) -> Row:
    """A figure read on an instrument, which shows distances whichever way they lie."""
    if line.unit != bench.row["unit"]:
        msg = f"made.checks, {name}: {line.by} reads in {bench.row['unit']}, not in {line.unit}."
        raise ValueError(msg)
    own = OWN_ERROR_SI.get(line.by, 0.0) * normal(f"{name}/own")
    value = shown(bench, abs(true) * bench.per_unit + own, name)
    return {"value": -value if true < 0.0 else value, "instrument": line.by}


def _by_band(line: Line, true: float, name: str) -> Row:
    if line.by == "exact":
        return {"value": true, "plus or minus": 0}
    if line.by == "check":
        reading = check_named(line.check).reading(line.reading)
        half = uncertainty_from_si(reading.half_width, to_si(true, line.unit, reading.unit)[0], line.unit)
        # Inside the limits, and as many figures as they allow.
        value = _rounded(true + 0.9 * half * (2.0 * uniform(name) - 1.0), half)
        return {"value": value, "plus or minus": float(f"{half:.4g}"), "band is": "limits"}
    half = float(line.by.strip("±% ")) * (abs(true) / 100.0 if line.by.endswith("%") else 1.0)
    half = float(f"{half:.2g}")
    # Off by half its 95 % band as a standard deviation.
    return {"value": _rounded(true + 0.5 * half * normal(name), half), "plus or minus": half}


def _rounded(value: float, half: float) -> float:
    """A figure to a tenth of its band."""
    return float(f"{value:.{max(0, 1 - _power(half))}f}")


def _power(value: float) -> int:
    return int(f"{value:e}".partition("e")[2])
