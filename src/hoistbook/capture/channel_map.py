"""Which column of a log is which channel: kept by name, written as TOML, never guessed in silence."""

from __future__ import annotations

import json
import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from hoistbook.capture.log_time import KINDS
from hoistbook.capture.log_units import spelled
from hoistbook.core.arrays import Array
from hoistbook.core.quantities.units import to_si
from hoistbook.core.trials.channels import CHANNELS
from hoistbook.reference.files import toml_of

LABELS = "labels"
"""Unit of a column of texts that number runs in the order in which they appear."""


@dataclass(frozen=True, slots=True)
class Mapped:
    """One column of a log as a channel.

    Parameters
    ----------
    column : str
        Heading without its unit.
    channel : str
        Key of `channels.CHANNELS`.
    unit : str
        Of the column; "labels" for texts that number runs.
    scale, offset : float
        Applied to the figures of the column before the unit: scale · x + offset.
    sign : int
        +1 or −1, where the logger counts the other way round.

    Raises
    ------
    ValueError
        An unknown unit or one of another kind, a scale of 0, a sign other than ±1.
    LookupError
        No such channel; the message lists those there are.

    Notes
    -----
    SI value = sign · to_si(scale · x + offset, unit).
    """

    column: str
    channel: str
    unit: str
    scale: float = 1.0
    offset: float = 0.0
    sign: int = 1

    def __post_init__(self) -> None:
        kind = CHANNELS.get(self.channel)
        if kind is None:
            msg = (
                f"column {self.column!r}: no channel is named {self.channel!r}; known: {', '.join(CHANNELS)}."
            )
            raise LookupError(msg)
        if not (math.isfinite(self.scale) and math.isfinite(self.offset) and self.scale != 0.0):
            msg = f"column {self.column!r}: scale {self.scale!r}, offset {self.offset!r}; finite, and the scale not 0."
            raise ValueError(msg)
        if self.sign not in (1, -1):
            msg = f"column {self.column!r}: sign {self.sign!r}; it is 1, or -1 where the logger counts the other way."
            raise ValueError(msg)
        if self.unit == LABELS:
            if self.channel != "run":
                msg = f"column {self.column!r}: texts can only number runs, not give {kind.words}."
                raise ValueError(msg)
            return
        try:
            to_si(1.0, spelled(self.unit), expected=kind.unit)
        except ValueError as error:
            msg = f"column {self.column!r} as {self.channel}: {error}"
            raise ValueError(msg) from error

    def in_si(self, values: Array) -> Array:
        """Convert the figures of the column."""
        unit = spelled(self.unit)
        # Every unit of a channel is linear, so two points fix it exactly.
        zero, one = to_si(0.0, unit)[0], to_si(1.0, unit)[0]
        return self.sign * ((self.scale * values + self.offset) * (one - zero) + zero)


@dataclass(frozen=True, slots=True)
class ChannelMap:
    """How the columns of one kind of log become channels.

    Parameters
    ----------
    name : str
    time_column : str
    time_is : str
        One of `log_time.KINDS`: s, ms, min, h, clock, date and time …
    channels : tuple of Mapped
    date_column : str
        Where day and clock stand apart.

    Raises
    ------
    ValueError
        An unknown kind of time, or a channel or column used twice.
    """

    name: str
    time_column: str
    time_is: str
    channels: tuple[Mapped, ...]
    date_column: str = ""

    def __post_init__(self) -> None:
        if self.time_is not in KINDS:
            msg = f"channels {self.name!r}: time is {self.time_is!r}; one of: {', '.join(KINDS)}."
            raise ValueError(msg)
        for what in ("channel", "column"):
            seen: set[str] = set()
            for mapped in self.channels:
                word = getattr(mapped, what)
                if word in seen:
                    msg = f"channels {self.name!r}: the {what} {word!r} is used twice; keep one."
                    raise ValueError(msg)
                seen.add(word)


def as_toml(channels: ChannelMap) -> str:
    """Write a channel map as TOML, to be read back by `from_toml`."""
    lines = [
        f"name = {_quoted(channels.name)}",
        "",
        "[time]",
        f"column = {_quoted(channels.time_column)}",
        f"is = {_quoted(channels.time_is)}",
    ]
    if channels.date_column:
        lines.append(f"date_column = {_quoted(channels.date_column)}")
    for mapped in channels.channels:
        lines += [
            "",
            "[[channel]]",
            f"column = {_quoted(mapped.column)}",
            f"channel = {_quoted(mapped.channel)}",
            f"unit = {_quoted(mapped.unit)}",
        ]
        if mapped.scale != 1.0:
            lines.append(f"scale = {mapped.scale!r}")
        if mapped.offset != 0.0:
            lines.append(f"offset = {mapped.offset!r}")
        if mapped.sign != 1:
            lines.append(f"sign = {mapped.sign}")
    return "\n".join(lines) + "\n"


def _quoted(text: str) -> str:
    # The escapes of JSON are escapes of TOML, too; the delete sign is the one it would leave bare.
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def from_toml(text: str, place: str) -> ChannelMap:
    """Read a channel map.

    Parameters
    ----------
    text : str
    place : str
        What messages call the file.

    Raises
    ------
    ValueError
        Not TOML, a key missing, unknown or of the wrong kind, or what `ChannelMap` and `Mapped` refuse.
    """
    return from_mapping(toml_of(text, place, "`hoistbook channels LOG --out FILE.toml` writes one"), place)


def from_mapping(data: Mapping[str, Any], place: str) -> ChannelMap:
    """Build a channel map from plain values, as `from_toml` finds them and a store keeps them."""
    _known(data, {"name", "time", "channel"}, place)
    time = data.get("time")
    rows = data.get("channel", [])
    if not isinstance(time, Mapping) or not isinstance(rows, list) or not rows:
        msg = f"{place}: needs a table [time] with column and is, and at least one [[channel]]."
        raise ValueError(msg)
    _known(time, {"column", "is", "date_column"}, f"{place} [time]")
    channels = []
    for number, row in enumerate(rows, start=1):
        here = f"{place} channel {number}"
        if not isinstance(row, Mapping):
            msg = f"{here}: not a table; write [[channel]] above its keys."
            raise ValueError(msg)
        _known(row, {"column", "channel", "unit", "scale", "offset", "sign"}, here)
        try:
            channels.append(
                Mapped(
                    _text(row, "column", here),
                    _text(row, "channel", here),
                    _text(row, "unit", here),
                    _number(row, "scale", 1.0, here),
                    _number(row, "offset", 0.0, here),
                    int(_number(row, "sign", 1.0, here)),
                )
            )
        except LookupError as error:
            msg = f"{here}: {error.args[0]}"
            raise ValueError(msg) from error
    return ChannelMap(
        _text(data, "name", place) if "name" in data else place,
        _text(time, "column", f"{place} [time]"),
        _text(time, "is", f"{place} [time]"),
        tuple(channels),
        _text(time, "date_column", f"{place} [time]") if "date_column" in time else "",
    )


def as_mapping(channels: ChannelMap) -> dict[str, Any]:
    """Return a channel map as plain values: what its TOML file holds."""
    return tomllib.loads(as_toml(channels))


def _known(data: Mapping[str, Any], keys: set[str], place: str) -> None:
    if unknown := sorted(set(data) - keys):
        msg = f"{place}: unknown {', '.join(unknown)}; known: {', '.join(sorted(keys))}."
        raise ValueError(msg)


def _text(data: Mapping[str, Any], key: str, place: str) -> str:
    value = data.get(key)
    if not isinstance(value, str) or not value.strip():
        msg = f"{place}: {key} = {value!r}; write a text in quotes."
        raise ValueError(msg)
    return value


def _number(data: Mapping[str, Any], key: str, otherwise: float, place: str) -> float:
    value = data.get(key, otherwise)
    if isinstance(value, bool) or not isinstance(value, int | float):
        msg = f"{place}: {key} = {value!r} is no number; write it without quotes."
        raise ValueError(msg)
    return float(value)
