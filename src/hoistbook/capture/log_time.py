"""The clock of a log in seconds: counted, of the day, or with a date; midnight, repeats and backward steps."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from hoistbook.capture.faults import counted
from hoistbook.capture.log_layout import is_missing
from hoistbook.capture.log_table import Column
from hoistbook.capture.log_units import TIME_UNITS
from hoistbook.core.arrays import Array

CLOCK, MINUTES, DATE_TIME = "clock", "minutes and seconds", "date and time"
KINDS = (*TIME_UNITS, CLOCK, MINUTES, DATE_TIME)
DAY_S = 86_400.0
MOST_DROPPED_FRAC = 0.01
"""project rule: a log that loses more than one row in a hundred to its clock is refused, since its clock is not one."""

_TEXT = re.compile(
    r"((?P<a>[0-9]{1,4})[-./](?P<b>[0-9]{1,2})[-./](?P<c>[0-9]{1,4}))?[T ,]*"
    r"((?P<h>[0-9]{1,2}):(?P<m>[0-9]{1,2})(:(?P<s>[0-9]{1,2}))?([.,:](?P<f>[0-9]+))?)?"
    r" ?(?P<half>[AaPp][Mm])?(Z| ?[+-][0-9]{2}:?[0-9]{2})?"
)


@dataclass(frozen=True, slots=True)
class Clock:
    """Seconds from the first sample, which rows they belong to, and what was met on the way.

    Parameters
    ----------
    time_s : array, shape (n,)
        Strictly rising, from 0. [s]
    rows : array of int, shape (m,)
        Rows of the table that have a time, in order; row k belongs to sample `sample[k]`.
    sample : array of int, shape (m,)
        Rows of one time stamp share a sample.
    start : str
        First stamp as the file has it.
    remarks : tuple of str
    """

    time_s: Array
    rows: np.ndarray
    sample: np.ndarray
    start: str
    remarks: tuple[str, ...]


def guess_kind(column: Column) -> tuple[str, str]:
    """Say how the times of a column are written: ``(kind, doubt)``; the doubt is empty where the file says it.

    Notes
    -----
    A number without a unit: seconds when it steps by 5 or less, or has decimals; milliseconds when it is whole and
    steps by more. Numbers near 1.7e9 and 1.7e12 count from 1970, in s and ms.
    """
    if column.texts is not None:
        there = [text for text in column.texts[:2_000] if not is_missing(text)]
        matches = [_TEXT.fullmatch(text.strip()) for text in there]
        if any(match is not None and match["a"] for match in matches):
            return DATE_TIME, ""
        if any(match is not None and match["h"] and match["s"] is None for match in matches):
            words = f"stamps such as {there[0].strip()!r} are taken as minutes and seconds" if there else ""
            return MINUTES, words
        return CLOCK, ""
    unit = column.unit.strip().casefold()
    if unit in TIME_UNITS:
        return unit, ""
    values = np.empty(0) if column.numbers is None else column.numbers[np.isfinite(column.numbers)]
    if len(values) < 2:
        return "s", "too few times to tell their unit; seconds are taken"
    step = float(np.median(np.abs(np.diff(values))))
    whole = bool(np.all(values == np.round(values)))
    if 3e4 < values[0] < 8e4 and step < 0.5 and not whole:
        return "d", "times look like the days of a spreadsheet"
    milli = values[0] > 1e11 or (whole and step > 5.0)
    return ("ms", "s")[not milli], (
        f"the heading has no unit; the step of {step:g} looks like {'milliseconds' if milli else 'seconds'}"
    )


def clock(
    column: Column, kind: str, row_numbers: Array, name: str, date_column: Column | None = None
) -> Clock:
    """Turn the time column of a log into seconds.

    Parameters
    ----------
    column : Column
    kind : str
        One of `KINDS`.
    row_numbers : array
        Row of the file of every row of the table, for messages.
    name : str
        What messages call the file.
    date_column : Column, optional
        Of a log that has day and clock apart.

    Raises
    ------
    ValueError
        A stamp that cannot be read, no time at all, a clock that starts again, or more than `MOST_DROPPED_FRAC` of the
        rows behind the one before.

    Notes
    -----
    A clock of the day that falls by more than half a day has passed midnight. A row whose stamp lies behind an earlier
    one is dropped and counted. Rows of one stamp become one sample (see `log_series`).
    """
    remarks: list[str] = []
    raw = _seconds(column, kind, row_numbers, name, date_column, remarks)
    there = np.flatnonzero(np.isfinite(raw))
    if not len(there):
        msg = f"{name}: the time column {column.heading!r} has no time in it; choose another."
        raise ValueError(msg)
    if (lost := len(raw) - len(there)) > 0:
        remarks.append(f"{counted(lost, 'row')} without a time left out.")
    times = raw[there]
    ahead = np.maximum.accumulate(times)
    back = times < ahead
    behind = int(np.count_nonzero(back))
    if behind > MOST_DROPPED_FRAC * len(times):
        first = int(np.argmax(back))
        at = int(row_numbers[there[first]])
        msg = (
            f"{name} row {at}: the clock goes back by {ahead[first] - times[first]:g} s, and {behind} of {len(times)} "
            "rows lie behind an earlier one: it looks like several recordings in one file. Cut it at that row."
        )
        raise ValueError(msg)
    if behind:
        first = int(row_numbers[there[int(np.argmax(back))]])
        remarks.append(f"{counted(behind, 'row')} behind an earlier time left out, the first in row {first}.")
    rows, times = there[~back], times[~back]
    fresh = np.concatenate(([True], np.diff(times) > 0.0))
    if (repeated := int(np.count_nonzero(~fresh))) > 0:
        remarks.append(
            f"{counted(repeated, 'row')} repeat the time of the row before and were joined with it."
        )
    sample = np.cumsum(fresh) - 1
    start = column.texts[int(rows[0])].strip() if column.texts is not None else f"{times[0]:.15g} s"
    return Clock(times[fresh] - times[0], rows, sample, start, tuple(remarks))


def _seconds(
    column: Column, kind: str, rows: Array, name: str, date_column: Column | None, remarks: list[str]
) -> Array:
    if kind in TIME_UNITS:
        if column.numbers is None:
            msg = f"{name}: column {column.heading!r} holds texts, not a time counted in {kind}; take it as {CLOCK!r}."
            raise ValueError(msg)
        # Epoch stamps are large: shifting before scaling keeps their last digits.
        there = column.numbers[np.isfinite(column.numbers)]
        zero = there[0] if len(there) else 0.0
        return (column.numbers - zero) * TIME_UNITS[kind]
    if column.texts is None:
        msg = (
            f"{name}: column {column.heading!r} holds numbers, not a {kind}; take it as one of s, ms, min, h."
        )
        raise ValueError(msg)
    texts: Sequence[str] = column.texts
    if kind == DATE_TIME and date_column is not None and date_column.texts is not None:
        texts = [f"{day.strip()} {time.strip()}" for day, time in zip(date_column.texts, texts, strict=True)]
    days, of_day = _parsed(texts, kind, rows, name, remarks)
    if kind == DATE_TIME:
        return days * DAY_S + of_day
    there_at = np.flatnonzero(np.isfinite(of_day))
    falls = np.diff(of_day[there_at])
    span = DAY_S if kind == CLOCK else 3600.0
    wraps = falls < -0.5 * span
    if wraps.any():
        words = "passes midnight" if kind == CLOCK else "passes the full hour"
        remarks.append(f"the clock {words} {counted(int(np.count_nonzero(wraps)), 'time')}.")
        # Rows out of order near the wrap come back by as much: they are undone, and dropped as backward later.
        unwraps = falls > 0.5 * span
        of_day[there_at[1:]] += span * (np.cumsum(wraps) - np.cumsum(unwraps & (np.cumsum(wraps) > 0)))
    return of_day


def _parsed(
    texts: Sequence[str], kind: str, rows: Array, name: str, remarks: list[str]
) -> tuple[Array, Array]:
    """Days and seconds of the day of every stamp; NaN where there is none."""
    if kind == CLOCK and (even := _even_clock(texts)) is not None:
        return np.zeros(len(texts)), even
    of_day, days = np.full(len(texts), np.nan), np.zeros(len(texts))
    day_first = _day_first(texts) if kind == DATE_TIME else True
    if day_first is None:
        remarks.append("dates such as 03/04/2026 are read day first; it matters where the month changes.")
    known: dict[tuple[str, str, str], int] = {}
    for i, text in enumerate(texts):
        if is_missing(text):
            continue
        match = _TEXT.fullmatch(text.strip())
        if match is None or (match["a"] is None and match["h"] is None):
            msg = f"{name} row {int(rows[i])}: {text.strip()[:40]!r} is no time of day; expected e.g. 14:03:27.5."
            raise ValueError(msg)
        if kind == DATE_TIME:
            if match["a"] is None:
                msg = f"{name} row {int(rows[i])}: {text.strip()[:40]!r} has no date while others do."
                raise ValueError(msg)
            key = (match["a"], match["b"], match["c"])
            if key not in known:
                known[key] = _ordinal(key, day_first is not False, f"{name} row {int(rows[i])}")
            days[i] = known[key]
        of_day[i] = _of_day(match, kind, f"{name} row {int(rows[i])}")
    return days, of_day


def _even_clock(texts: Sequence[str]) -> Array | None:
    """Seconds of stamps that are all written hh:mm:ss with the same number of decimals; None for any others.

    Long logs are written so, and a column of digits is read many times faster than a million patterns are matched.
    """
    width = len(texts[0])
    if width < 8 or width == 9 or any(len(text) != width or not text.isascii() for text in texts):
        return None
    letters = np.frombuffer("".join(texts).encode("ascii"), dtype=np.uint8).reshape(len(texts), width)
    digits = letters - ord("0")
    places = [0, 1, 3, 4, 6, 7, *range(9, width)]
    marks = [letters[:, place] == ord(":") for place in (2, 5)]
    if width > 9:
        marks.append((letters[:, 8] == ord(".")) | (letters[:, 8] == ord(",")))
    if (digits[:, places] > 9).any() or not all(mark.all() for mark in marks):
        return None
    hour, minute, second = (10.0 * digits[:, at] + digits[:, at + 1] for at in (0, 3, 6))
    if (hour > 24.0).any() or (minute > 59.0).any() or (second > 60.0).any():
        return None  # the slow way says in which row
    whole = 3600.0 * hour + 60.0 * minute + second
    if width < 10:
        return whole
    powers = 10.0 ** np.arange(width - 10, -1, -1)
    return whole + (digits[:, 9:] @ powers) / 10.0 ** (width - 9)


def _of_day(match: re.Match[str], kind: str, place: str) -> float:
    first, second = int(match["h"] or 0), int(match["m"] or 0)
    fraction = float(f"0.{match['f']}") if match["f"] else 0.0
    if kind == MINUTES:
        return 60.0 * first + second + fraction
    hour = first
    if match["half"]:
        hour = first % 12 + (12 if match["half"].casefold() == "pm" else 0)
    third = int(match["s"] or 0)
    if hour > 24 or second > 59 or third > 60:
        msg = f"{place}: {match[0]!r} is no time of day; a counted time is taken as s, ms, min or h."
        raise ValueError(msg)
    return 3600.0 * hour + 60.0 * second + third + fraction


def _day_first(texts: Sequence[str]) -> bool | None:
    """Whether dates with slashes put the day first; None where no date tells."""
    slashed = False
    for text in texts:
        match = _TEXT.fullmatch(text.strip())
        if match is None or not match["a"] or "/" not in text or len(match["a"]) == 4:
            continue
        slashed = True
        if int(match["a"]) > 12:
            return True
        if int(match["b"]) > 12:
            return False
    return None if slashed else True


def _ordinal(parts: tuple[str, str, str], day_first: bool, place: str) -> int:
    a, b, c = parts
    if len(a) == 4:
        year, month, day = int(a), int(b), int(c)
    else:
        year = int(c) + (2000 if len(c) == 2 else 0)
        day, month = (int(a), int(b)) if day_first else (int(b), int(a))
    try:
        return date(year, month, day).toordinal()
    except ValueError as error:
        msg = f"{place}: {a}-{b}-{c} is no date ({error})."
        raise ValueError(msg) from error
