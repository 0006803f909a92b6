"""Propose which column is which channel, with every doubt said; nothing here is used before a person accepts it."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass, replace

import numpy as np

from hoistbook.capture.channel_map import LABELS, ChannelMap, Mapped
from hoistbook.capture.log_plausible import AIR_USUAL, by_figures
from hoistbook.capture.log_table import Column, LogTable
from hoistbook.capture.log_time import DATE_TIME, guess_kind
from hoistbook.capture.log_units import TIME_UNITS, spelled
from hoistbook.core.arrays import Array
from hoistbook.core.quantities.units import to_si
from hoistbook.core.trials.channels import CHANNELS
from hoistbook.reference.channel_words import channel_words

_SI_GUESS = {
    "pack_voltage_v": ("V",),
    "accessory_voltage_v": ("V",),
    "pack_current_a": ("A",),
    "accessory_current_a": ("A",),
    "speed_m_per_s": ("km/h", "m/s", "mph"),
    "pack_power_w": ("kW", "W"),
    "wall_power_w": ("kW", "W"),
    "accessory_power_w": ("W", "kW"),
    "wall_energy_j": ("kWh", "Wh"),
    "ambient_temperature_k": ("°C", "K"),
    "ambient_pressure_pa": ("hPa", "kPa", "Pa"),
    "state_of_charge_1": ("%", "1"),
    "altitude_m": ("m",),
    "distance_m": ("km", "m"),
    "run": ("1",),
    "direction": ("1",),
    "grade_1": ("%", "1"),
    "wheel_torque_n_m": ("N.m",),
    "wheel_force_n": ("N",),
    "wheel_speed_rad_per_s": ("rpm", "rad/s"),
    "wheel_angle_rad": ("deg", "rad"),
    "wind_speed_m_per_s": ("m/s", "km/h"),
    "wind_direction_rad": ("deg", "rad"),
}
"""common practice: the units loggers use, the likeliest first; a guess of this kind is always a doubt."""

_USUAL = {
    "speed_m_per_s": (-1.0, 90.0),
    "pack_voltage_v": (20.0, 1_000.0),
    "pack_current_a": (-1_500.0, 1_500.0),
    "pack_power_w": (-6e5, 6e5),
    "wall_power_w": (-100.0, 4e5),
    "accessory_voltage_v": (5.0, 60.0),
    **AIR_USUAL,
    "state_of_charge_1": (-0.01, 1.05),
    "wind_speed_m_per_s": (0.0, 40.0),
    "altitude_m": (-450.0, 5_500.0),
    "direction": (-1.0, 1.0),
}
"""common practice: reach of sound readings of a road vehicle in SI; outside it the unit is in doubt, no more."""

_LIVELY = frozenset(
    (
        "speed_m_per_s",
        "pack_voltage_v",
        "pack_current_a",
        "pack_power_w",
        "accessory_current_a",
        "accessory_power_w",
        "wheel_torque_n_m",
        "wheel_speed_rad_per_s",
        "wheel_force_n",
        "wind_speed_m_per_s",
    )
)
"""Readings that never stand still for long while a test runs; air, road and counters may."""

_FROZEN_FRAC = 0.2
"""project rule: a reading that never changes for a fifth of the log may be a dead sensor; 0 is left alone."""


@dataclass(frozen=True, slots=True)
class Proposal:
    """What is proposed for one column, or why nothing is.

    `first`, `least`, `most` are in the unit of the column; `missing_frac` is the share of rows without a reading.
    """

    column: str
    channel: str
    unit: str
    first: tuple[str, ...]
    least: float | None
    most: float | None
    missing_frac: float
    doubts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Proposed:
    """A proposed mapping (None where no clock or no channel was recognised), column by column."""

    channels: ChannelMap | None
    proposals: tuple[Proposal, ...]
    doubts: tuple[str, ...]
    by_figures: tuple[str, ...] = ()
    """Columns that are channels by their figures alone, each with what is to be looked at."""


def propose(table: LogTable) -> Proposed:
    """Propose a mapping from headings, units and figures.

    Parameters
    ----------
    table : LogTable

    Notes
    -----
    A heading is read as words; the entry of `channel_words` with most words that fits heading and unit is taken. A
    channel goes to the column that fits best; others that fit it too are named. Where the unit is missing the likeliest
    is taken from the size of the figures, which is always a doubt. The sign of pack current and power is read off the
    wall (it gives power in a charge), else the state of charge, else the voltage: it falls when the pack discharges.
    Of columns whose heading says nothing, direction and air are looked for by their figures (`log_plausible`).

    Source
    ------
    first principles for the sign (V = V_oc − R I); the rest common practice.
    """
    scores = [_scores(column) for column in table.columns]
    time_at = _time_column(table, scores)
    date_at = next(
        (
            i
            for i, s in enumerate(scores)
            if i != time_at and "date" in s and table.columns[i].texts is not None
        ),
        None,
    )
    best: dict[str, tuple[int, int]] = {}
    for i, found in enumerate(scores):
        if i in (time_at, date_at):
            continue
        for channel, score in found.items():
            if channel in CHANNELS and score > best.get(channel, (0, -1))[0]:
                best[channel] = (score, i)
    chosen = _one_each(best, scores)
    free = [i for i, found in enumerate(scores) if not found and i not in (time_at, date_at)]
    plausible, unused = by_figures(table, free, set(chosen.values()), heading_words)
    seen = {one.place: one for one in plausible}
    kind, doubt = ("", "")
    if time_at is not None:
        kind, doubt = guess_kind(table.columns[time_at])
        if date_at is not None and kind == "clock":
            kind = DATE_TIME
    proposals, mapped = [], []
    for i, column in enumerate(table.columns):
        if i == time_at:
            proposals.append(_described(column, "(time)", kind, [doubt] if doubt else []))
            continue
        if i == date_at:
            proposals.append(_described(column, "(date)", "", []))
            continue
        taken = chosen.get(i, "")
        doubts: list[str] = [unused[i]] if i in unused else []
        unit = column.unit
        if i in seen:
            taken, unit, doubts = seen[i].channel, seen[i].unit, [seen[i].doubt]
            mapped.append(Mapped(column.heading, taken, unit))
        elif taken:
            unit, doubts = _unit(column, taken)
            rivals = [c.heading for j, c in enumerate(table.columns) if j != i and taken in scores[j]]
            if rivals:
                doubts.append(f"also fits: {', '.join(rivals)}")
            mapped.append(Mapped(column.heading, taken, unit))
        elif scores[i]:
            doubts.append(f"{', '.join(scores[i])} fits, but another column fits better")
        proposals.append(_described(column, taken, unit, doubts))
    mapped, proposals = _signed(table, mapped, proposals)
    proposals = [_frozen(table, p) for p in proposals]
    doubts_of_all = (
        [] if time_at is not None else ["no column looks like the time; write the mapping by hand."]
    )
    if not mapped:
        doubts_of_all.append("no column looks like a known channel; write the mapping by hand.")
    channels = (
        ChannelMap(
            table.name,
            table.columns[time_at].heading,
            kind,
            tuple(mapped),
            "" if date_at is None else table.columns[date_at].heading,
        )
        if time_at is not None and mapped
        else None
    )
    told = tuple(f"{table.columns[one.place].heading}: {one.doubt}" for one in plausible)
    return Proposed(channels, tuple(proposals), tuple(doubts_of_all), told)


def heading_words(heading: str) -> frozenset[str]:
    """Cut a heading into words: "BMS_PackVoltage" and "Bms pack voltage" are alike; umlauts become two letters."""
    apart = re.sub(r"(?<=[a-z])(?=[A-Z][a-z])", " ", heading)
    plain = apart.casefold()
    for umlaut, letters in (("ä", "ae"), ("ö", "oe"), ("ü", "ue"), ("ß", "ss")):
        plain = plain.replace(umlaut, letters)
    plain = "".join(c for c in unicodedata.normalize("NFKD", plain) if not unicodedata.combining(c))
    return frozenset(re.findall(r"[a-z0-9]+", plain))


def _scores(column: Column) -> dict[str, int]:
    words = heading_words(column.heading)
    found: dict[str, int] = {}
    for entry in channel_words():
        if entry.words <= words and not entry.excluded & words and _unit_fits(column, entry.channel):
            score = 2 * len(entry.words) + bool(column.unit)
            found[entry.channel] = max(found.get(entry.channel, 0), score)
    return found


def _unit_fits(column: Column, channel: str) -> bool:
    if channel in ("time", "date"):
        return column.texts is not None or not column.unit or column.unit.strip().casefold() in TIME_UNITS
    if column.texts is not None:
        return channel == "run"
    if channel == "run" and not _holds_whole_numbers(column):
        return False
    if not column.unit:
        return True
    try:
        to_si(1.0, spelled(column.unit), expected=CHANNELS[channel].unit)
    except ValueError:
        return False
    return True


def _holds_whole_numbers(column: Column) -> bool:
    """Whether it can number runs: a heading alone ("drive") may stand over anything."""
    values = column.numbers
    return values is None or bool(np.all(np.mod(values[np.isfinite(values)], 1.0) == 0.0))


def _time_column(table: LogTable, scores: list[dict[str, int]]) -> int | None:
    named = [i for i, found in enumerate(scores) if "time" in found]
    if named:
        return max(named, key=lambda i: (scores[i]["time"], table.columns[i].texts is not None, -i))
    dated = [i for i, found in enumerate(scores) if "date" in found and _holds_clock(table.columns[i])]
    if dated:
        return dated[0]
    counted = [i for i, c in enumerate(table.columns) if c.unit.strip().casefold() in TIME_UNITS]
    if counted:
        return counted[0]
    clocks = [i for i, c in enumerate(table.columns) if _holds_clock(c)]
    return clocks[0] if clocks else None


def _holds_clock(column: Column) -> bool:
    return column.texts is not None and any(":" in text for text in column.texts[:50])


def _one_each(best: dict[str, tuple[int, int]], scores: list[dict[str, int]]) -> dict[int, str]:
    """Column → channel: a column that is best for two channels takes the one it fits with more words."""
    chosen: dict[int, str] = {}
    for channel, (score, i) in best.items():
        if i not in chosen or score > scores[i][chosen[i]]:
            chosen[i] = channel
    return chosen


def _unit(column: Column, channel: str) -> tuple[str, list[str]]:
    if column.texts is not None:
        return LABELS, ["texts number the runs in the order in which they appear"]
    if column.unit:
        return column.unit, _outside(column, channel, column.unit)
    choices = _SI_GUESS[channel]
    fitting = [unit for unit in choices if not _outside(column, channel, unit)]
    unit = (fitting or list(choices))[0]
    if channel in ("run", "direction") or len(choices) == 1:
        return unit, _outside(column, channel, unit)
    others = [other for other in fitting if other != unit]
    more = f"; {' and '.join(others)} would fit as well" if others else ""
    return unit, [f"the heading has no unit; {unit} is guessed from the figures{more}"]


def _outside(column: Column, channel: str, unit: str) -> list[str]:
    usual, values = _USUAL.get(channel), column.numbers
    if usual is None or values is None or not np.isfinite(values).any():
        return []
    low, high = (to_si(float(f(values)), spelled(unit))[0] for f in (np.nanmin, np.nanmax))
    if usual[0] <= low and high <= usual[1]:
        return []
    symbol = CHANNELS[channel].unit
    return [
        f"in {unit} the figures reach from {low:.4g} to {high:.4g} {symbol}; usual are {usual[0]:g} to {usual[1]:g}"
    ]


def _described(column: Column, channel: str, unit: str, doubts: list[str]) -> Proposal:
    if column.numbers is None:
        texts = column.texts or []
        blank = sum(not text.strip() for text in texts)
        return Proposal(
            column.heading,
            channel,
            unit,
            tuple(text.strip()[:24] for text in texts[:3]),
            None,
            None,
            blank / max(len(texts), 1),
            tuple(doubts),
        )
    there = column.numbers[np.isfinite(column.numbers)]
    missing = 1.0 - len(there) / max(len(column.numbers), 1)
    if not len(there):
        return Proposal(
            column.heading, channel, unit, (), None, None, missing, (*doubts, "no reading at all")
        )
    first = tuple(f"{value:.6g}" for value in there[:3])
    return Proposal(
        column.heading, channel, unit, first, float(there.min()), float(there.max()), missing, tuple(doubts)
    )


def _signed(
    table: LogTable, mapped: list[Mapped], proposals: list[Proposal]
) -> tuple[list[Mapped], list[Proposal]]:
    """Turn pack current and pack power round where the log shows that charging counts as positive."""
    by_channel = {m.channel: table.column(m.column).numbers for m in mapped if m.unit != LABELS}
    turned: dict[str, Mapped] = {}
    words: dict[str, str] = {}
    for one in mapped:
        if one.channel not in ("pack_current_a", "pack_power_w"):
            continue
        positive, said = _discharge_is_positive(by_channel[one.channel], by_channel)
        words[one.column] = said + ("" if positive else ": the sign is turned")
        turned[one.column] = one if positive else replace(one, sign=-1)
    mapped = [turned.get(m.column, m) for m in mapped]
    return mapped, [
        replace(p, doubts=(*p.doubts, words[p.column])) if p.column in words else p for p in proposals
    ]


def _discharge_is_positive(flow: Array | None, others: dict[str, Array | None]) -> tuple[bool, str]:
    """Whether discharge counts as positive, and what shows it: the wall, the state of charge, or the voltage."""
    if flow is None or not np.isfinite(flow).any():
        return True, "discharge is taken as positive; the file does not tell the sign"
    middle = float(np.nanmean(flow))
    wall = others.get("wall_power_w")
    if wall is not None and np.isfinite(wall).any() and np.nanmean(wall) > 0.0 and middle != 0.0:
        return middle < 0.0, f"{'negative' if middle < 0.0 else 'positive'} while the wall gives power"
    charge = others.get("state_of_charge_1")
    if charge is not None and np.isfinite(charge).sum() > 1 and middle != 0.0:
        there = charge[np.isfinite(charge)]
        change = float(there[-1] - there[0])
        if change != 0.0:
            what = "rises" if change > 0.0 else "falls"
            return (middle > 0.0) == (change < 0.0), (
                f"{'positive' if middle > 0.0 else 'negative'} on the whole while the state of charge {what}"
            )
    slope = _slope(flow, others.get("pack_voltage_v"))
    if slope is None:
        return True, "discharge is taken as positive; the file does not tell the sign"
    what = "falls" if slope < 0.0 else "rises"
    return slope < 0.0, f"the voltage {what} as it rises"


def _slope(current: Array | None, voltage: Array | None) -> float | None:
    """Change of voltage per change of current from sample to sample; None where it is not clear."""
    if current is None or voltage is None:
        return None
    both = np.isfinite(current) & np.isfinite(voltage)
    di, dv = np.diff(current[both]), np.diff(voltage[both])
    scatter = float(np.sqrt(np.sum(di * di) * np.sum(dv * dv)))
    if len(di) < 10 or scatter == 0.0:
        return None
    correlation = float(np.sum(di * dv)) / scatter
    # A correlation of n pure-noise pairs has a standard deviation of 1/√n; five of them are no accident.
    return correlation if abs(correlation) > 5.0 / np.sqrt(len(di)) else None


def _frozen(table: LogTable, proposal: Proposal) -> Proposal:
    if proposal.channel not in _LIVELY or proposal.least is None:
        return proposal
    numbers = table.column(proposal.column).numbers
    if numbers is None:
        return proposal
    there = np.flatnonzero(np.isfinite(numbers))
    values = numbers[there]
    change = np.flatnonzero(np.diff(values) != 0.0)
    edges = np.concatenate(([-1], change, [len(values) - 1]))
    lengths = np.diff(edges)
    lengths = np.where(values[edges[1:]] == 0.0, 0, lengths)
    k = int(np.argmax(lengths))
    if lengths[k] < max(100, _FROZEN_FRAC * len(values)):
        return proposal
    first, last = int(table.rows[there[edges[k] + 1]]), int(table.rows[there[edges[k + 1]]])
    return replace(
        proposal,
        doubts=(
            *proposal.doubts,
            f"stays at {values[edges[k + 1]]:g} from row {first} to row {last}: frozen?",
        ),
    )
