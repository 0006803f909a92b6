"""Columns whose heading says nothing, known by unit and figures: direction of a run, temperature, pressure of the air.

Only what a coast-down can use is looked for, and only in a log that holds the speed of the vehicle.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from hoistbook.capture.log_table import Column, LogTable
from hoistbook.capture.log_units import spelled
from hoistbook.core.arrays import Array
from hoistbook.core.quantities.units import to_si
from hoistbook.core.trials.channels import CHANNELS

DIRECTION, TEMPERATURE, PRESSURE = "direction", "ambient_temperature_k", "ambient_pressure_pa"

AIR_USUAL = {TEMPERATURE: (230.0, 330.0), PRESSURE: (6e4, 1.1e5)}
"""common practice: reach of the air on a road. [K], [Pa]"""

_STEADY = {TEMPERATURE: 15.0, PRESSURE: 2_000.0}
"""project rule: the air of one log changes by no more; parts that warm up do. [K], [Pa]"""

_HEADED = {
    TEMPERATURE: frozenset({"temp", "temperature", "temperatur", "oat"}),
    PRESSURE: frozenset({"pressure", "press", "druck", "baro"}),
}
_WITHOUT_UNIT = {TEMPERATURE: ("°C", "K"), PRESSURE: ("hPa", "kPa", "Pa")}
"""Words that make a column without a unit one to look at, and the units its figures are tried in."""

_OF_A_PART = frozenset({
    "battery", "batterie", "akku", "pack", "cell", "zelle", "bms", "hv", "motor", "engine", "inverter",
    "umrichter", "stator", "rotor", "gear", "getriebe", "oil", "oel", "coolant", "kuehlmittel", "water",
    "wasser", "tyre", "tire", "reifen", "brake", "bremse", "cabin", "innenraum", "charger", "lader", "dcdc",
    "boost", "hydraulic", "hydraulik", "pump", "pumpe", "fluid", "refrigerant", "kaeltemittel", "setpoint",
    "target", "soll",
})  # fmt: skip
"""common practice: a heading with one of these names a part of the vehicle, not the air around it."""

_LONG = 4
"""project rule: letters a name needs to be looked for inside a word."""

_LEAST_HOLD = 10.0
"""project rule: a direction holds for this many readings on average, a switch or a sign does not."""

_USED_FOR = {
    DIRECTION: "it pairs runs to and fro, so that wind and slope can be told from the vehicle",
    TEMPERATURE: "with the pressure it gives the density of the air, which a coast-down is corrected for",
    PRESSURE: "with the temperature it gives the density of the air, which a coast-down is corrected for",
}


@dataclass(frozen=True, slots=True)
class Plausible:
    """A column that fits a channel by its figures: its place, the channel, the unit, and what is to be looked at."""

    place: int
    channel: str
    unit: str
    doubt: str


def by_figures(
    table: LogTable,
    free: Collection[int],
    taken: Collection[str],
    words_of: Callable[[str], frozenset[str]],
) -> tuple[tuple[Plausible, ...], dict[int, str]]:
    """Columns without a channel that a coast-down could use.

    Parameters
    ----------
    table : LogTable
    free : collection of int
        Places of the columns that are no channel yet and whose headings fit none.
    taken : collection of str
        Channels that have a column.
    words_of : callable
        Cuts a heading into words.

    Returns
    -------
    tuple of Plausible
        One column for a channel; none where several fit alike.
    dict of int to str
        Why a column that would fit is not used, by its place.

    Source
    ------
    common practice for units and reach; the limits in this module are project rules.
    """
    if "speed_m_per_s" not in taken:
        return (), {}
    found: list[Plausible] = []
    unused: dict[int, str] = {}
    for channel in (DIRECTION, TEMPERATURE, PRESSURE):
        if channel in taken:
            continue
        fits = []
        for place in sorted(free):
            column = table.columns[place]
            unit = _direction_unit(column) if channel == DIRECTION else _air_unit(column, channel, words_of)
            if unit is not None:
                fits.append((place, unit))
        words = CHANNELS[channel].words
        if channel == DIRECTION and not fits:
            unused |= _by_words(table, free)
        if len(fits) == 1:
            place, unit = fits[0]
            seen = "its figures" if channel == DIRECTION else "unit and figures"
            found.append(
                Plausible(
                    place,
                    channel,
                    unit,
                    f"taken for the {words}, by {seen} alone; {_USED_FOR[channel]}. If it is something else, take it "
                    "out of the mapping",
                )
            )
        for place, _ in fits if len(fits) > 1 else ():
            others = ", ".join(table.columns[other].heading for other, _ in fits if other != place)
            unused[place] = (
                f"not used: it could be the {words}, and so could {others}; name one of them in a mapping of your own"
            )
    return tuple(found), unused


def _by_words(table: LogTable, free: Collection[int]) -> dict[int, str]:
    """Columns of two words in turn: they may be the direction, which a mapping takes as a number alone."""
    found = {}
    for place in sorted(free):
        texts = [text.strip() for text in table.columns[place].texts or () if text.strip()]
        words = list(dict.fromkeys(texts))
        changes = sum(one != other for one, other in pairwise(texts))
        if len(words) == 2 and len(texts) >= _LEAST_HOLD * (changes + 1):
            found[place] = (
                f"not used: {words[0]} and {words[1]} may be the {CHANNELS[DIRECTION].words}; write them as 1 and -1, "
                "or say that runs go to and fro in turn"
            )
    return found


def _readings(column: Column) -> Array | None:
    if column.numbers is None:
        return None
    there = column.numbers[np.isfinite(column.numbers)]
    return there if len(there) else None


def _direction_unit(column: Column) -> str | None:
    """The unit 1 where a column is +1 or −1, both, and holds either for a while."""
    values = _readings(column)
    if (
        values is None
        or (column.unit and spelled(column.unit) != "1")
        or set(np.unique(values)) != {-1.0, 1.0}
    ):
        return None
    changes = int(np.count_nonzero(np.diff(values)))
    return "1" if len(values) >= _LEAST_HOLD * (changes + 1) else None


def _among(words: Collection[str], names: Collection[str]) -> bool:
    """Whether a word is one of the names, or is put together with a long one: "Reifendruck", "gearbox"."""
    return any(word == name or (len(name) >= _LONG and name in word) for word in words for name in names)


def _air_unit(column: Column, channel: str, words_of: Callable[[str], frozenset[str]]) -> str | None:
    """Unit in which the figures are those of the air around a vehicle; None where they are not, or a part is named."""
    values, words = _readings(column), words_of(column.heading)
    if values is None or _among(words, _OF_A_PART):
        return None
    units: Sequence[str] = (column.unit,) if column.unit else ()
    if not column.unit and _among(words, _HEADED[channel]):
        units = _WITHOUT_UNIT[channel]
    for unit in units:
        try:
            low, high = (
                to_si(float(end), spelled(unit), expected=CHANNELS[channel].unit)[0]
                for end in (values.min(), values.max())
            )
        except ValueError:
            continue
        least, most = AIR_USUAL[channel]
        if least <= low and high <= most and high - low <= _STEADY[channel]:
            return unit
    return None
