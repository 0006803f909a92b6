"""Numbers as people read them: no more digits than the band carries."""

import math
from decimal import ROUND_HALF_EVEN, Context, Decimal

from hoistbook.core.quantities.quantity import Quantity
from hoistbook.core.quantities.units import from_si, uncertainty_from_si

NOT_MEASURED = "not measured"
MINUS = "\u2212"
NARROW_SPACE = "\u202f"  # narrow no-break space

# Between the two examples of GUM 7.2.6: 10.47 goes up to 11, 28.05 goes down to 28. A remainder of a tenth of the last
# digit or less is dropped (project rule).
_DROPPED = Decimal("0.1")
_WIDE = Context(prec=800)  # more digits than any float has


def _two_digits_up(size: float, digits: int) -> Decimal:
    exact = Decimal(repr(size))
    place = exact.adjusted() - digits + 1
    for _ in range(2):
        whole, rest = divmod(_WIDE.scaleb(exact, -place), 1)
        steps = int(whole) + (1 if rest > _DROPPED else 0)
        if steps < 10**digits:
            break
        place += 1  # 99.6 became 100: two digits are 10 tens
    return Decimal(steps).scaleb(place)


def _to_place(value: float, place: int) -> Decimal:
    rounded = Decimal(repr(value)).quantize(Decimal(1).scaleb(place), ROUND_HALF_EVEN, _WIDE)
    return abs(rounded) if rounded == 0 else rounded  # no "−0.0"


def _written(number: Decimal, plain: bool) -> str:
    text = format(number, "f")
    if plain:
        return text
    sign, text = (MINUS, text[1:]) if text.startswith("-") else ("", text)
    whole, point, fraction = text.partition(".")
    whole = f"{int(whole):,}".replace(",", NARROW_SPACE)
    return f"{sign}{whole}{point}{fraction}"


def _check(value: float, sizes: tuple[float, ...]) -> None:
    if not math.isfinite(value) or not all(math.isfinite(s) for s in sizes):
        msg = f"cannot print {value!r} with {sizes!r}: not finite; a value that is missing is None."
        raise ValueError(msg)


def text(
    value: float | None,
    band: float | tuple[float, float] | None = None,
    unit: str = "",
    *,
    plain: bool = False,
    digits: int = 2,
) -> str:
    """A value with its band, rounded once.

    Parameters
    ----------
    value : float or None
        None prints "not measured".
    band : float or (float, float), optional
        Half width (U, or u where that is what is shown), or the two ends of an interval. None or 0: exact, all digits.
    unit : str
        Appended as it is; the value is not converted.
    plain : bool
        ASCII: ``+/-`` and ``-``, no thousands separators; for files and terminals.
    digits : int
        Significant digits of the band.

    Returns
    -------
    str
        ``"730.2 ± 2.4 mm"``; an interval whose sides differ at the digits shown is ``"730.2 (728.1 to 735.0) mm"``.

    Raises
    ------
    ValueError
        Not finite, a negative half width, or ends that do not enclose the value.

    Notes
    -----
    The half width has at most two significant digits and is rounded up unless the remainder is a tenth of the last
    digit or less; the value is rounded to the same place, half to even; ends are rounded outwards by the same rule. In
    the display form the minus is U+2212 and U+202F stands after ±, before the unit and between thousands.

    Source
    ------
    published: GUM 7.2.6 (quoted in a calibration-software support note). common practice: the limit of a tenth.

    Examples
    --------
    >>> text(730.2, 2.3495, "mm", plain=True)
    '730.2 +/- 2.4 mm'
    >>> text(-12345.678, 120.0, plain=True)
    '-12350 +/- 120'
    """
    if value is None:
        return NOT_MEASURED
    gap = " " if plain else NARROW_SPACE
    tail = f"{gap}{unit}" if unit else ""
    if isinstance(band, tuple):
        return _interval(value, band, plain, digits) + tail
    _check(value, (band or 0.0,))
    if not band:
        return _written(Decimal(repr(float(value))).normalize(_WIDE), plain) + tail
    if band < 0.0:
        msg = f"half width {band!r} is negative; give U, or the interval as (low, high)."
        raise ValueError(msg)
    half = _two_digits_up(float(band), digits)
    place = int(half.as_tuple().exponent)
    sign = "+/-" if plain else "±"
    return f"{_written(_to_place(float(value), place), plain)} {sign}{gap}{_written(half, plain)}{tail}"


def _interval(value: float, band: tuple[float, float], plain: bool, digits: int) -> str:
    low, high = band
    _check(value, band)
    if not low <= value <= high:
        msg = f"the interval ({low!r}, {high!r}) does not enclose the value {value!r}."
        raise ValueError(msg)
    if low == high:
        return text(value, plain=plain)
    place = int(_two_digits_up(0.5 * (high - low), digits).as_tuple().exponent)
    if _outwards(high - value, place, 1) == _outwards(value - low, place, 1):
        return text(value, max(high - value, value - low), plain=plain, digits=digits)
    middle = _to_place(value, place)
    return f"{_written(middle, plain)} ({' to '.join(ends_text(low, high, plain=plain, digits=digits))})"


def ends_text(low: float, high: float, *, plain: bool = False, digits: int = 2) -> tuple[str, str]:
    """Write the ends of an interval that stand without their value, rounded outwards as `text` does.

    Parameters
    ----------
    low, high : float
    plain : bool
    digits : int
        As for `text`.

    Returns
    -------
    tuple of str

    Raises
    ------
    ValueError
        Ends that are not finite, or not in this order.

    Examples
    --------
    >>> ends_text(45.58, 73.99, plain=True)
    ('45', '74')
    """
    _check(low, (high,))
    if not low < high:
        msg = f"the ends {low!r} and {high!r} are not in order; give the lower one first."
        raise ValueError(msg)
    place = int(_two_digits_up(0.5 * (high - low), digits).as_tuple().exponent)
    return _written(_outwards(low, place, -1), plain), _written(_outwards(high, place, 1), plain)


def _outwards(value: float, place: int, direction: int) -> Decimal:
    """Round to a place, up (1) or down (−1) unless no more than a tenth of the last digit is left over."""
    scaled = _WIDE.scaleb(Decimal(repr(value)), -place) * direction
    whole = scaled.to_integral_value("ROUND_FLOOR")
    steps = whole + (1 if scaled - whole > _DROPPED else 0)
    result = (steps * direction).scaleb(place)
    return abs(result) if result == 0 else result


def quantity_text(quantity: Quantity | None, unit: str | None = None, *, plain: bool = False) -> str:
    """A quantity with its expanded uncertainty (95 %) in a unit of choice.

    Parameters
    ----------
    quantity : Quantity or None
        None prints "not measured".
    unit : str, optional
        A unit `units.from_si` knows; the quantity's own SI symbol when left out.
    plain : bool
        ASCII form.

    Returns
    -------
    str

    Raises
    ------
    ValueError
        The unit is unknown or of another kind.
    """
    if quantity is None:
        return NOT_MEASURED
    if unit is None:
        return text(
            quantity.value, quantity.expanded(), "" if quantity.unit == "1" else quantity.unit, plain=plain
        )
    value = from_si(quantity.value, unit, expected=quantity.unit)
    return text(value, uncertainty_from_si(quantity.expanded(), quantity.value, unit), unit, plain=plain)
