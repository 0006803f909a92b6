"""Dimensions of SI symbols such as ``N.s2/m2``: what may be added, and what a product is called.

A symbol is a product of SI names separated by ``.``, each with an optional whole exponent, and at most one
division: ``kg/m3``, ``W/(N.m)2``, ``W.s3/rad3``, ``1``. The radian has dimension one (SI brochure, 2.3.4), so
``rad`` and ``1`` may be added and ``W.s/rad`` times ``rad/s`` is ``W``.
"""

import re
from functools import lru_cache

Dimension = tuple[int, int, int, int, int]

BASE_SYMBOLS = ("kg", "m", "s", "A", "K")
DIMENSIONLESS: Dimension = (0, 0, 0, 0, 0)

# SI brochure, 9th edition, tables 2 and 4 (from memory): coherent derived units in base units.
_NAMED: dict[str, Dimension] = {
    "1": DIMENSIONLESS,
    "rad": DIMENSIONLESS,
    "kg": (1, 0, 0, 0, 0),
    "m": (0, 1, 0, 0, 0),
    "s": (0, 0, 1, 0, 0),
    "A": (0, 0, 0, 1, 0),
    "K": (0, 0, 0, 0, 1),
    "N": (1, 1, -2, 0, 0),
    "Pa": (1, -1, -2, 0, 0),
    "J": (1, 2, -2, 0, 0),
    "W": (1, 2, -3, 0, 0),
    "V": (1, 2, -3, -1, 0),
    "ohm": (1, 2, -3, -2, 0),
}

# Names given to a product or a quotient when several are possible; the first of equal dimension wins, so
# N times m is J: say q.in_unit("N.m") where a torque is meant.
_PREFERRED = (
    "1",
    *BASE_SYMBOLS,
    "N",
    "Pa",
    "J",
    "W",
    "V",
    "ohm",
    "m2",
    "m3",
    "m/s",
    "m/s2",
    "kg/m3",
    "N/m",
    "N.s/m",
    "N.s2/m2",
)

_FACTOR = re.compile(r"(?P<name>[A-Za-z]+|1)(?P<power>-?\d+)?$")


def _times(a: Dimension, b: Dimension, power: int = 1) -> Dimension:
    return (
        a[0] + power * b[0],
        a[1] + power * b[1],
        a[2] + power * b[2],
        a[3] + power * b[3],
        a[4] + power * b[4],
    )


def _product_text(text: str, symbol: str) -> Dimension:
    result = DIMENSIONLESS
    for factor in text.split("."):
        match = _FACTOR.match(factor)
        if match is None or match["name"] not in _NAMED:
            msg = (
                f"{symbol!r} is not an SI symbol this program knows (at {factor!r}); write a product of "
                f"{', '.join(_NAMED)} such as 'N.s2/m2', or convert with units.to_si first."
            )
            raise ValueError(msg)
        result = _times(result, _NAMED[match["name"]], int(match["power"] or 1))
    return result


def _group(text: str, symbol: str) -> Dimension:
    match = re.fullmatch(r"\((?P<inner>[^()]+)\)(?P<power>\d+)?", text)
    if match is None:
        return _product_text(text, symbol)
    return _times(DIMENSIONLESS, _product_text(match["inner"], symbol), int(match["power"] or 1))


@lru_cache(maxsize=4096)
def dimension(symbol: str) -> Dimension:
    """Exponents of kg, m, s, A, K in an SI symbol.

    Parameters
    ----------
    symbol : str
        For example ``"N.s2/m2"``.

    Returns
    -------
    tuple of five int

    Raises
    ------
    ValueError
        The text is not a product of SI names with at most one division.

    Source
    ------
    from memory: SI brochure, 9th edition (2019), tables 2 and 4.

    Examples
    --------
    >>> dimension("N.s2/m2") == dimension("kg/m")
    True
    """
    parts = symbol.split("/")
    if len(parts) > 2:
        msg = f"{symbol!r} has {len(parts) - 1} divisions; write one, e.g. 'W/(N.m)2'."
        raise ValueError(msg)
    result = _group(parts[0], symbol)
    if len(parts) == 2:
        result = _times(result, _group(parts[1], symbol), -1)
    return result


def _built(wanted: Dimension) -> str:
    above = [f"{name}{p if p > 1 else ''}" for name, p in zip(BASE_SYMBOLS, wanted, strict=True) if p > 0]
    below = [f"{name}{-p if p < -1 else ''}" for name, p in zip(BASE_SYMBOLS, wanted, strict=True) if p < 0]
    text = ".".join(above) or "1"
    if not below:
        return text
    return f"{text}/{below[0]}" if len(below) == 1 else f"{text}/({'.'.join(below)})"


_BY_DIMENSION: dict[Dimension, str] = {}
for _symbol in _PREFERRED:
    _BY_DIMENSION.setdefault(dimension(_symbol), _symbol)


def symbol_of(wanted: Dimension) -> str:
    """Return the usual SI symbol of a dimension, or a product of base units when it has none."""
    return _BY_DIMENSION.get(wanted) or _built(wanted)


def product_symbol(a: str, b: str) -> str:
    """Return the symbol of a product; a factor ``1`` leaves the other symbol as it is."""
    if b == "1":
        return a
    if a == "1":
        return b
    return symbol_of(_times(dimension(a), dimension(b)))


def quotient_symbol(a: str, b: str) -> str:
    """Return the symbol of a quotient; equal symbols give ``1``."""
    if b == "1":
        return a
    return symbol_of(_times(dimension(a), dimension(b), -1))


def power_symbol(a: str, exponent: float) -> str:
    """Return the symbol of a power.

    Raises
    ------
    ValueError
        The power leaves a base unit with a fractional exponent.
    """
    powers = [exponent * p for p in dimension(a)]
    whole = [round(p) for p in powers]
    if any(abs(p - w) > 1e-12 for p, w in zip(powers, whole, strict=True)):
        msg = f"{a!r} to the power {exponent!r} has no SI symbol; take the power of a dimensionless ratio instead."
        raise ValueError(msg)
    if exponent == 1.0:
        return a
    return symbol_of((whole[0], whole[1], whole[2], whole[3], whole[4]))
