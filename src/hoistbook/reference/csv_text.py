"""The text of a CSV file: encoding and separator are found out and said, never guessed in silence."""

from __future__ import annotations

import codecs
import csv
import io
from collections.abc import Callable

SEPARATORS = (",", ";", "\t")
_BYTE_ORDER_MARKS = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)


def decoded(data: bytes) -> tuple[str, str]:
    """Decode the bytes of a CSV file.

    Parameters
    ----------
    data : bytes

    Returns
    -------
    text, remark
        `remark` says which encoding was taken unless it was UTF-8.

    Raises
    ------
    ValueError
        Neither UTF-8, nor what its first bytes announce, nor Windows-1252; the message says where.

    Notes
    -----
    A byte order mark decides; without one it is UTF-8, and where that fails Windows-1252.
    """
    for mark, encoding in _BYTE_ORDER_MARKS:
        if data.startswith(mark):
            return _tried(
                data, encoding
            ), "read as UTF-16, as its first bytes say." if encoding == "utf-16" else ""
    try:
        return data.decode("utf-8"), ""
    except UnicodeDecodeError:
        remark = "not UTF-8; read as Windows-1252. Look at the accented letters, or save it as UTF-8."
        return _tried(data, "cp1252"), remark


def _tried(data: bytes, encoding: str) -> str:
    try:
        return data.decode(encoding)
    except UnicodeDecodeError as error:
        msg = f"the file is neither UTF-8 nor {encoding} ({error.reason} at byte {error.start}); save it as UTF-8."
        raise ValueError(msg) from error


def separator(heading: str, known: Callable[[str], bool]) -> str:
    """Return the separator of a heading line: the one that finds most known headings, then most columns.

    Parameters
    ----------
    heading : str
    known : callable
        Whether a heading is one of those expected.
    """

    def found(mark: str) -> tuple[int, int]:
        try:
            fields = next(csv.reader([heading.rstrip("\r\n")], delimiter=mark), [])
        except csv.Error:
            return 0, 0  # the reading proper says what is wrong
        return sum(known(field) for field in fields), len(fields)

    return max(SEPARATORS, key=found)


def lines(text: str) -> io.StringIO:
    """Return the text as a stream of lines that keeps the line ends inside quotes, for `csv.reader`."""
    return io.StringIO(text, newline="")
