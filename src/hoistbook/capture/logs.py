"""A log becomes a series of known channels in SI, once somebody has said which column is which."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from hoistbook.capture.channel_map import LABELS, ChannelMap, Mapped
from hoistbook.capture.faults import counted
from hoistbook.capture.log_guess import Proposed, propose
from hoistbook.capture.log_table import Column, LogTable, read_log_table
from hoistbook.capture.log_text import LogLimits
from hoistbook.capture.log_time import Clock, clock
from hoistbook.core.arrays import Array
from hoistbook.core.trials.channels import CHANNELS
from hoistbook.core.trials.series import Series

Progress = Callable[[int, int, str], None]


@dataclass(frozen=True, slots=True, eq=False)
class LogRead:
    """A log as the engines use it.

    Attributes
    ----------
    series : Series
        Time from the first sample on.
    channels : ChannelMap
        The mapping that was used.
    guessed : bool
        Whether it was a proposal accepted as printed, and not one a person wrote or saved.
    start : str
        First time stamp, as the file has it.
    sha256 : str
        Of the file.
    remarks : tuple of str
        What was met, left out or joined while reading.
    """

    series: Series
    channels: ChannelMap
    guessed: bool
    start: str
    sha256: str
    remarks: tuple[str, ...]


def look_at_log(
    path: Path, limits: LogLimits | None = None, progress: Progress | None = None, sheet: str | None = None
) -> tuple[LogTable, Proposed]:
    """Read a log and propose which column is which channel; see `log_table.read_log_table` and `log_guess.propose`."""
    table = read_log_table(path, limits, progress, sheet)
    return table, propose(table)


def read_log(
    path: Path,
    channels: ChannelMap | None = None,
    *,
    guess: bool = False,
    limits: LogLimits | None = None,
    progress: Progress | None = None,
    sheet: str | None = None,
) -> LogRead:
    """Read a log into a series.

    Parameters
    ----------
    path : Path
        CSV in any dialect, or a workbook.
    channels : ChannelMap, optional
        Which column is which channel.
    guess : bool
        Take the proposal of `log_guess.propose` where no mapping is given; `hoistbook channels` prints it.
    limits : LogLimits, optional
    progress : callable, optional
    sheet : str, optional
        Of a workbook with several.

    Raises
    ------
    ValueError
        No mapping and no leave to guess; no proposal possible; the file is refused.
    LookupError
        The mapping names a column the file has not.
    """
    table = read_log_table(path, limits, progress, sheet)
    guessed = channels is None
    if channels is None:
        proposed = propose(table)
        if not guess:
            msg = (
                f"{path.name}: nobody said which column is which channel. `hoistbook channels {path.name}` proposes "
                "a mapping; accept it as printed with --guess, or give a saved one with --channels."
            )
            raise ValueError(msg)
        if proposed.channels is None:
            msg = f"{path.name}: {' '.join(proposed.doubts)}"
            raise ValueError(msg)
        channels = proposed.channels
    series, start, remarks = series_of(table, channels)
    if guessed:
        remarks += [f"{said}." for said in proposed.by_figures]
    return LogRead(series, channels, guessed, start, table.sha256, tuple(remarks))


def series_of(table: LogTable, channels: ChannelMap) -> tuple[Series, str, list[str]]:
    """Apply a mapping to a table: the series, its first time stamp, and what was met.

    Notes
    -----
    Rows of one time stamp become one sample: of every channel its first reading; readings that differ from it are
    counted and said. So a logger that writes one signal per row, several rows per stamp, loses nothing.
    """
    remarks = list(table.remarks)
    date_column = table.column(channels.date_column) if channels.date_column else None
    ticks = clock(table.column(channels.time_column), channels.time_is, table.rows, table.name, date_column)
    remarks += ticks.remarks
    found: dict[str, Array] = {}
    for mapped in channels.channels:
        column = table.column(mapped.column)
        raw = _labels(column, table.name, remarks) if mapped.unit == LABELS else column.numbers
        if raw is None:
            msg = (
                f"{table.name}: column {mapped.column!r} holds texts such as {(column.texts or [''])[0].strip()!r}, no "
                f"numbers for {CHANNELS[mapped.channel].words}; only runs may be texts, with the unit {LABELS!r}."
            )
            raise ValueError(msg)
        values, clashes = _joined(raw if mapped.unit == LABELS else _in_si(raw, mapped, table.name), ticks)
        if clashes:
            remarks.append(
                f"{mapped.column}: {counted(clashes, 'reading')} of a repeated time stamp differ from the first and "
                "were left out."
            )
        if not np.isfinite(values).any():
            remarks.append(f"{mapped.column}: no reading at all; the channel is left out.")
            continue
        found[mapped.channel] = values
    if not found:
        msg = f"{table.name}: none of the mapped columns has a reading."
        raise ValueError(msg)
    used = {channels.time_column, channels.date_column, *(m.column for m in channels.channels)}
    folded = {" ".join(name.split()).casefold() for name in used}
    unused = [c.heading for c in table.columns if c.heading.casefold() not in folded]
    if unused:
        remarks.append(f"columns not used: {', '.join(unused)}.")
    return Series(table.name, ticks.time_s, found), ticks.start, remarks


def _in_si(raw: Array, mapped: Mapped, name: str) -> Array:
    with np.errstate(over="ignore"):
        values = mapped.in_si(raw)
    if (np.abs(values) > LogLimits().reading).any():
        msg = (
            f"{name}: column {mapped.column!r} times {mapped.scale:g} plus {mapped.offset:g} in {mapped.unit} leads to "
            f"readings beyond {LogLimits().reading:g}; mend scale and offset of the channel map."
        )
        raise ValueError(msg)
    return values


def _labels(column: Column, name: str, remarks: list[str]) -> Array:
    """Number the texts of a column in the order in which they appear."""
    if column.texts is None:
        msg = f"{name}: column {column.heading!r} holds numbers; its unit is 1, not {LABELS!r}."
        raise ValueError(msg)
    order: dict[str, int] = {}
    values = np.full(len(column.texts), np.nan)
    for i, text in enumerate(column.texts):
        if word := text.strip():
            values[i] = order.setdefault(word, len(order) + 1)
    shown = ", ".join(f"{number} = {word}" for word, number in list(order.items())[:10])
    remarks.append(f"runs numbered: {shown}{', …' if len(order) > 10 else ''}.")
    return values


def _joined(values: Array, ticks: Clock) -> tuple[Array, int]:
    """One value per time stamp: the first reading of its rows; how many others differ from it."""
    taken = values[ticks.rows]
    there = np.isfinite(taken)
    joined = np.full(len(ticks.time_s), np.nan)
    places, readings = ticks.sample[there], taken[there]
    # Written backwards, so that the first reading of a stamp is the one that stays.
    joined[places[::-1]] = readings[::-1]
    return joined, int(np.count_nonzero(joined[places] != readings))
