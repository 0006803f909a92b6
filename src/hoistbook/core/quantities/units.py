"""Units people type, and their exact factors to SI.

Spellings are case-sensitive where case carries meaning (``mJ``/``MJ``, ``nm``/``Nm``); ``²``, ``^2`` and ``2`` are
alike, and so are ``·``, ``*``, ``-`` and a blank between units. An SI symbol such as ``N.s2/m2`` is a unit of its own.
Words that mean two things in a workshop (``mil``, ``pound``, ``ton``) are refused with the choices.
"""

import difflib
import math
import re
import unicodedata
from functools import lru_cache

from hoistbook.core.quantities.dimension import dimension
from hoistbook.core.quantities.unit_table import TWO_MEANINGS, UNITS, WORDS, Unit


def _plain(text: str) -> str:
    # The single-character degree signs decompose to '°C', the ohm and micro signs to their Greek letters.
    word = unicodedata.normalize("NFKC", text).strip().replace("μ", "u").replace("^", "").replace("**", "")
    word = re.sub(r"\s*([/()])\s*", r"\1", word)
    return re.sub(r"\s*[·⋅∙*×\-\s]\s*", ".", word)


def _described(symbol: str) -> str:
    word = WORDS.get(symbol)
    return f"{word} ({symbol})" if word else symbol


@lru_cache(maxsize=4096)
def unit(text: str) -> Unit:
    """Look up a unit by what somebody typed.

    Raises
    ------
    ValueError
        Empty, unknown (the closest known spellings are listed) or ambiguous.
    """
    word = _plain(text)
    if not word:
        msg = "the unit is missing; write it beside the value, '1' for a pure number."
        raise ValueError(msg)
    known = UNITS.get(word)
    if known is not None:
        return known
    if word in TWO_MEANINGS or word.lower() in TWO_MEANINGS:
        choices = TWO_MEANINGS.get(word) or TWO_MEANINGS[word.lower()]
        msg = f"unit {text!r} has more than one meaning; write {choices}."
        raise ValueError(msg)
    try:
        dimension(word)
    except ValueError:
        pass
    else:
        return Unit(word, 1.0)
    folded = [name for name in UNITS if name.lower() == word.lower()]
    close = list(dict.fromkeys(folded + difflib.get_close_matches(word, UNITS, n=4, cutoff=0.5)))
    hint = f"did you mean {', '.join(close)}?" if close else "write an SI unit such as kg, m, N.m or J/m."
    msg = f"no unit named {text!r}; {hint}"
    raise ValueError(msg)


def _expect(found: Unit, text: str, expected: str | None) -> None:
    if expected is None or found.symbol == expected:
        return
    # An SI symbol may be written several ways (N.s2/m2 = kg/m), but an energy is no torque and a slope in % no angle.
    if found.symbol not in WORDS and dimension(found.symbol) == dimension(expected):
        return
    fitting = [name for name, row in UNITS.items() if row.symbol == expected][:4]
    advice = f"; write it in {', '.join(fitting)}" if fitting else ""
    msg = f"{text!r} is {_described(found.symbol)}, but {_described(expected)} is expected here{advice}."
    raise ValueError(msg)


def _finite(value: float, text: str) -> None:
    if not math.isfinite(value):
        msg = f"value = {value!r} {text} is not a finite number; leave out what was not measured."
        raise ValueError(msg)


def _positive(value: float, text: str) -> None:
    if value <= 0.0:
        msg = f"{value!r} {text} has no counterpart in energy per distance; it must be above 0."
        raise ValueError(msg)


def to_si(value: float, unit_text: str, expected: str | None = None) -> tuple[float, str]:
    """Convert a value to SI.

    Parameters
    ----------
    value : float
        In `unit_text`.
    unit_text : str
        As typed: ``"kWh/100 km"``, ``"lbf·ft"``, ``"°C"``.
    expected : str, optional
        SI symbol that is wanted here; another kind of quantity is then refused.

    Returns
    -------
    (float, str)
        Value in SI and its SI symbol. Temperatures become absolute, mpg-e becomes J/m (reciprocal), a slope in mm/m
        becomes the angle atan(x/1000) in rad.

    Raises
    ------
    ValueError
        Not finite; unit missing, unknown, ambiguous or of another kind; mpg-e not above 0.

    Source
    ------
    from memory: exact definitions of NIST SP 811; 33.705 kWh per gallon equivalent, 40 CFR 600.002.

    Examples
    --------
    >>> to_si(120.0, "lbf·ft")
    (162.69815379976805, 'N.m')
    >>> to_si(2.5, "mm", expected="kg")
    Traceback (most recent call last):
    ...
    ValueError: 'mm' is a length (m), but a mass (kg) is expected here; write it in kg, g, mg, t.
    """
    found = unit(unit_text)
    _expect(found, unit_text, expected)
    _finite(value, unit_text)
    symbol = expected or found.symbol
    if found.form == "reciprocal":
        _positive(value, unit_text)
        return found.factor / value, symbol
    if found.form == "slope":
        return math.atan(value * found.factor), symbol
    return value * found.factor + found.offset, symbol


def from_si(value_si: float, unit_text: str, expected: str | None = None) -> float:
    """Convert an SI value to a unit; the inverse of `to_si`.

    Parameters
    ----------
    value_si : float
        In the SI symbol of the unit.
    unit_text : str
        The unit wanted.
    expected : str, optional
        SI symbol the value is in; a unit of another kind is then refused.

    Returns
    -------
    float

    Raises
    ------
    ValueError
        Not finite, no such unit, a unit of another kind, or no counterpart (0 J/m in mpg-e).
    """
    found = unit(unit_text)
    _expect(found, unit_text, expected)
    _finite(value_si, found.symbol)
    if found.form == "reciprocal":
        _positive(value_si, found.symbol)
        return found.factor / value_si
    if found.form == "slope":
        return math.tan(value_si) / found.factor
    return (value_si - found.offset) / found.factor


def uncertainty_to_si(uncertainty: float, value: float, unit_text: str) -> float:
    """Convert an uncertainty (a small interval) that belongs to a value: |d si/d x| times the uncertainty.

    Parameters
    ----------
    uncertainty : float
        Standard or expanded, in `unit_text`.
    value : float
        The value it belongs to, in `unit_text`; matters for mpg-e and mm/m only.
    unit_text : str

    Returns
    -------
    float
        In SI. 1 °C of uncertainty is 1 K; 1 mpg-e is J/m in proportion to 1/value².

    Raises
    ------
    ValueError
        Negative or not finite, or as `to_si`.
    """
    if not 0.0 <= uncertainty < math.inf:
        msg = f"uncertainty {uncertainty!r} {unit_text}: give a finite figure that is not negative."
        raise ValueError(msg)
    found = unit(unit_text)
    _finite(value, unit_text)
    return uncertainty * _slope(found, value, unit_text)


def uncertainty_from_si(uncertainty_si: float, value_si: float, unit_text: str) -> float:
    """Convert an SI uncertainty that belongs to an SI value to a unit; the inverse of `uncertainty_to_si`."""
    return uncertainty_si / _slope(unit(unit_text), from_si(value_si, unit_text), unit_text)


def _slope(found: Unit, value: float, unit_text: str) -> float:
    if found.form == "reciprocal":
        _positive(value, unit_text)
        return found.factor / (value * value)
    if found.form == "slope":
        return found.factor / (1.0 + (value * found.factor) ** 2)
    return found.factor


def known_units(symbol: str | None = None) -> tuple[str, ...]:
    """Spellings that are understood, all or those of one SI symbol."""
    return tuple(name for name, row in UNITS.items() if symbol in (None, row.symbol))
