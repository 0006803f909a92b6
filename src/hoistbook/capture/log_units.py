"""Units as loggers write them, in headings and in rows of their own."""

from __future__ import annotations

import re

from hoistbook.core.quantities.units import unit

_SPELLINGS = {
    "1/min": "rpm",
    "u/min": "rpm",
    "/min": "rpm",
    "min-1": "rpm",
    "min^-1": "rpm",
    "min⁻¹": "rpm",
    "r/min": "rpm",
    "km/hr": "km/h",
    "volt": "V",
    "volts": "V",
    "amp": "A",
    "amps": "A",
    "ampere": "A",
    "watt": "W",
    "watts": "W",
    "celsius": "°C",
    "deg c": "°C",
    "grad c": "°C",
    "c": "°C",
    "fahrenheit": "°F",
    "deg f": "°F",
    "grad": "deg",
    "meter": "m",
    "metre": "m",
    "newton": "N",
    "prozent": "%",
    "sec": "s",
    "secs": "s",
    "seconds": "s",
    "sek": "s",
}
_PLAIN = {"-", "–", "[-]", "none", "bool", "#", "1"}
TIME_UNITS = {
    "s": 1.0,
    "ms": 1e-3,
    "us": 1e-6,
    "µs": 1e-6,
    "μs": 1e-6,
    "ns": 1e-9,
    "min": 60.0,
    "h": 3600.0,
    "hr": 3600.0,
    "hours": 3600.0,
    "d": 86_400.0,
    "days": 86_400.0,
}
"""Factors of a counted time to seconds; first principles."""

_BRACKETS = re.compile(r"(?P<words>.*?)\s*[\[(](?P<unit>[^\[\]()]*(\([^()]*\)[^\[\]()]*)?)[\])]\s*$")
_AFTER = re.compile(r"(?P<words>.+?)(\s+in\s+|\s+/\s+|\s*,\s+|\s*:\s*)(?P<unit>\S+( ?C)?)$")
_SUFFIX = re.compile(r"(?P<words>.+?)_(?P<unit>[A-Za-z%]+)$")
_SUFFIXES = {
    "kmh": "km/h", "kph": "km/h", "mph": "mph", "mps": "m/s", "v": "V", "mv": "mV", "a": "A", "ma": "mA", "w": "W",
    "kw": "kW", "wh": "Wh", "kwh": "kWh", "degc": "°C", "nm": "N.m", "rpm": "rpm", "pct": "%", "hpa": "hPa",
    "mbar": "mbar", "kpa": "kPa", "deg": "deg", "s": "s", "ms": "ms", "us": "us", "km": "km",
}  # fmt: skip
"""Units glued to a name by an underscore, in small letters; a single m is left out, it ends too many names."""


def spelled(text: str) -> str:
    """Return a unit in a spelling the unit table knows; unknown ones come back as they are."""
    bare = text.strip().strip("[]").strip()
    if bare in _PLAIN:
        return "1"
    return _SPELLINGS.get(bare.casefold(), bare)


def is_unit(text: str) -> bool:
    """Whether a text is a unit, of time or of anything else."""
    bare = text.strip()
    if bare in _PLAIN or bare in TIME_UNITS:
        return True
    try:
        unit(spelled(bare))
    except ValueError:
        return False
    return True


def split_heading(heading: str) -> tuple[str, str]:
    """Split a heading into its words and its unit: "Speed [km/h]", "U / V", "pack_kw"; the unit may be empty.

    Notes
    -----
    Brackets at the end always hold the unit. What follows " in ", " / ", ", " or ":" is one only if it is known as a
    unit, and a suffix after an underscore only if it is one of a short list.
    """
    words = " ".join(heading.split())
    if (match := _BRACKETS.fullmatch(words)) is not None:
        return match["words"].strip(" _-:"), match["unit"].strip()
    if (match := _AFTER.fullmatch(words)) is not None and is_unit(match["unit"]):
        return match["words"].strip(), match["unit"]
    if (match := _SUFFIX.fullmatch(words)) is not None and match["unit"].casefold() in _SUFFIXES:
        return match["words"], _SUFFIXES[match["unit"].casefold()]
    return words, ""
