"""The four columns of a drawn walk, by the width of the sheet."""

from __future__ import annotations

from dataclasses import dataclass

MARGIN = 36.0
"""From the trim to the text. [px]"""

OVERHANG = 10.0
"""By how much a number of an axis may stand out of its column; the last column leaves it free at the trim. [px]"""

_ORIGIN = 178.0
_LEAST_WIDTH = 900.0


@dataclass(frozen=True, slots=True)
class Columns:
    """Left and right end of each column; `walk` and `origin` are empty where there is none. [px]"""

    cause: tuple[float, float]
    walk: tuple[float, float]
    worth: tuple[float, float]
    origin: tuple[float, float]


def columns(width: float, *, stairs: bool, origins: bool = True) -> Columns:
    """Divide a sheet.

    Parameters
    ----------
    width : float
        Of the whole sheet. [px]
    stairs : bool
        Whether there is a staircase.
    origins : bool
        Whether there is a column of origins.

    Returns
    -------
    Columns

    Raises
    ------
    ValueError
        The sheet is too narrow for lettering of readable size.
    """
    if not width >= _LEAST_WIDTH:
        msg = f"width = {width!r} px: a drawn walk needs at least {_LEAST_WIDTH:.0f} px; give 1440, or print the table."
        raise ValueError(msg)
    inner = width - 2.0 * MARGIN
    gap = round(0.032 * inner)
    cause = round(min(max(0.19 * inner, 172.0), 280.0))
    walk = round(min(max(0.215 * inner, 190.0), 320.0)) if stairs else 0.0
    left = MARGIN + cause + gap
    walk_end = left + walk
    worth = walk_end + gap if stairs else left
    right = width - MARGIN
    origin = right - _ORIGIN if origins else right
    return Columns(
        (MARGIN, MARGIN + cause),
        (left, walk_end),
        (worth, origin - gap if origins else right - OVERHANG),
        (origin, right),
    )
