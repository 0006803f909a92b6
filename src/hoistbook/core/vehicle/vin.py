"""Vehicle identification numbers: check digit, model year, slips of the pen.

A wrong check digit is a remark, never a refusal: it is compulsory in North America only.
"""

from __future__ import annotations

from dataclasses import dataclass

# published: 49 CFR 565.15, tables III (values) and IV (weights). I, O and Q are not used.
_VALUES = {
    **{str(digit): digit for digit in range(10)},
    **dict(zip("ABCDEFGH", range(1, 9), strict=True)),
    **dict(zip("JKLMN", range(1, 6), strict=True)),
    "P": 7,
    "R": 9,
    **dict(zip("STUVWXYZ", range(2, 10), strict=True)),
}
_WEIGHTS = (8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2)
_LENGTH = 17
_CHECK_PLACE = 8  # position 9, counted from 0
_YEAR_PLACE = 9
_GENERATION_PLACE = 6  # position 7: numeric in the cycle 1980–2009, alphabetic in 2010–2039

# published: 30-code cycle of ISO 3779 / 49 CFR 565 (second hand: two public encyclopedias). A = 1980 and 2010.
_YEAR_CODES = "ABCDEFGHJKLMNPRSTVWXY123456789"
_FIRST_YEARS = (1980, 2010)


@dataclass(frozen=True, slots=True)
class VinReport:
    """What a VIN says. `remarks` are sentences for a person; none of them is a fault.

    `check_digit_expected` is the digit the rule asks for; `model_years` the one or two years its code stands for,
    `model_year` the likely one for a passenger car or light truck, None when the code means no year.
    """

    vin: str
    check_digit: str
    check_digit_expected: str
    model_year: int | None
    model_years: tuple[int, ...]
    remarks: tuple[str, ...]

    @property
    def check_digit_holds(self) -> bool:
        """Whether the digit at position 9 is the one the rule asks for."""
        return self.check_digit == self.check_digit_expected


def check_digit(vin: str) -> str:
    """Check digit of a VIN; what stands at position 9 does not matter.

    Parameters
    ----------
    vin : str
        17 characters, capitals or not.

    Returns
    -------
    str
        ``0`` … ``9`` or ``X``.

    Raises
    ------
    ValueError
        Not 17 characters, or a character that no VIN holds.

    Notes
    -----
    Σ value·weight mod 11, 10 written X. Any single wrong character of another value is caught; letters of one value
    (A, J, 1; B, K, S, 2; …) are not told apart: S typed for 2 passes.

    Source
    ------
    published: 49 CFR 565.15 tables III–V.

    Examples
    --------
    >>> check_digit("1G4AH59H_5G118341".replace("_", "0"))
    '4'
    """
    text = _plain(vin)
    rest = sum(
        weight * _VALUES[c]
        for place, (c, weight) in enumerate(zip(text, _WEIGHTS, strict=True))
        if place != _CHECK_PLACE
    )
    return "X" if rest % 11 == 10 else str(rest % 11)


def _plain(vin: str) -> str:
    text = vin.strip().upper()
    if len(text) != _LENGTH:
        msg = f"VIN {vin!r} has {len(text)} characters; a VIN has 17. Read it again from the label."
        raise ValueError(msg)
    for place, character in enumerate(text, start=1):
        if character not in _VALUES:
            advice = {"I": "1", "O": "0", "Q": "0 or 9"}.get(character)
            hint = (
                f"{character} is never used; perhaps {advice}?"
                if advice
                else "only digits and capital letters are used."
            )
            msg = f"VIN {vin!r}: {character!r} at position {place}; {hint} Read it again from the label."
            raise ValueError(msg)
    return text


def inspect(vin: str, model_year: int | None = None) -> VinReport:
    """Check a VIN and say what is odd about it.

    Parameters
    ----------
    vin : str
        As on the label.
    model_year : int, optional
        As stated elsewhere; compared with the code at position 10.

    Returns
    -------
    VinReport

    Raises
    ------
    ValueError
        Not 17 characters, or a character that no VIN holds.

    Notes
    -----
    Position 7 of a passenger car or light truck (up to 4536 kg gross) is numeric in the cycle 1980–2009 and alphabetic
    in 2010–2039. Vehicles outside North America need not follow any of this.

    Source
    ------
    published: 49 CFR 565.15, 565.25; model-year codes as above.
    """
    text = _plain(vin)
    expected = check_digit(text)
    remarks: list[str] = []
    if text[_CHECK_PLACE] != expected:
        remarks.append(
            f"VIN {text}: position 9 is {text[_CHECK_PLACE]}, the North American check digit would be {expected}; "
            "read it again from the label, or ignore this for a vehicle from elsewhere."
        )
    code = text[_YEAR_PLACE]
    years: tuple[int, ...] = ()
    year: int | None = None
    if code in _YEAR_CODES:
        years = tuple(first + _YEAR_CODES.index(code) for first in _FIRST_YEARS)
        year = years[0] if text[_GENERATION_PLACE].isdigit() else years[1]
    else:
        remarks.append(f"VIN {text}: {code} at position 10 stands for no model year.")
    if model_year is not None and years and model_year not in years:
        remarks.append(
            f"VIN {text}: {code} at position 10 stands for {years[0]} or {years[1]}, but the model "
            f"year is given as {model_year}."
        )
    return VinReport(text, text[_CHECK_PLACE], expected, year, years, tuple(remarks))
