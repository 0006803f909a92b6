"""Which cell styles show a number as a date or as a percentage."""

from __future__ import annotations

import re
from datetime import datetime, timedelta

from hoistbook.capture.tables import Oddity

# ECMA-376 part 1, 18.8.30 (from memory): built-in number formats that show days or times, and percentages.
# 27–36 and 50–58 are the East Asian day formats of the same list.
_DATE_IDS = frozenset({*range(14, 23), *range(27, 37), *range(45, 48), *range(50, 59)})
_PERCENT_IDS = frozenset({9, 10})
# Parts of a format code that are shown as they stand: "text", \x, _x, *x, [colour or condition].
_LITERAL = re.compile(r'"[^"]*"|\\.|_.|\*.|\[(?!h+\]|m+\]|s+\])[^\]]*\]', re.IGNORECASE)
_EPOCH_1900 = datetime(1899, 12, 30)  # noqa: DTZ001 - a spreadsheet day has no zone
_EPOCH_1904 = datetime(1904, 1, 1)  # noqa: DTZ001


def oddity_of(format_id: int, format_code: str) -> Oddity | None:
    """Say whether a number format shows a date, a percentage or just a number.

    Parameters
    ----------
    format_id : int
        numFmtId of the cell style.
    format_code : str
        Its code when the workbook defines it, else empty.

    Source
    ------
    from memory: ECMA-376 part 1, 18.8.30 (numFmt) and 18.8.31 (numFmts).
    """
    if not format_code:
        if format_id in _DATE_IDS:
            return Oddity.DATE
        return Oddity.PERCENT if format_id in _PERCENT_IDS else None
    bare = _LITERAL.sub("", format_code.split(";")[0]).casefold()
    if "%" in bare:
        return Oddity.PERCENT
    if bare == "general":
        return None
    return Oddity.DATE if re.search(r"[dmyhs]", bare) else None


def day_text(serial: float, *, from_1904: bool) -> str:
    """Return the day and time a serial number stands for, as ISO 8601 text.

    Notes
    -----
    To the millisecond, so that the samples of a log stay apart; a double holds a day of this century to 1 µs.
    Serial 60 of the 1900 system is the 29 February 1900 that never was; days before it are one off, as everywhere.
    """
    epoch = _EPOCH_1904 if from_1904 else _EPOCH_1900
    try:
        moment = epoch + timedelta(milliseconds=round(serial * 86_400_000.0))
    except (OverflowError, ValueError):
        return f"{serial!r} (no day)"
    if 0.0 <= serial < 1.0:
        return moment.time().isoformat()
    midnight = moment.hour == moment.minute == moment.second == moment.microsecond == 0
    return moment.date().isoformat() if midnight else moment.isoformat(sep=" ")
