"""The text of a log file as a stream of whole lines: encoding found out and said, lines and bytes bounded."""

from __future__ import annotations

import codecs
import hashlib
import stat
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

_MARKS = (
    (codecs.BOM_UTF8, "utf-8-sig", "UTF-8"),
    (codecs.BOM_UTF16_LE, "utf-16", "UTF-16"),
    (codecs.BOM_UTF16_BE, "utf-16", "UTF-16"),
)
_ARCHIVES = {
    b"PK\x03\x04": "an archive or a workbook",
    b"\x1f\x8b": "packed by gzip",
    b"\xd0\xcf\x11\xe0": "an old .xls",
}


@dataclass(frozen=True, slots=True)
class LogLimits:
    """How much of a log is read before it is refused. Every one can be raised by the caller.

    Attributes
    ----------
    file_bytes : int
        Size on disk. [byte]
    line_bytes : int
        Length of one line; a measured one has a few hundred. [characters]
    rows, columns, cells : int
        Of the table; `cells` is rows times columns and bounds the memory, 8 bytes each.
    sheet_rows, sheet_cells : int
        The same of a sheet of a workbook, which takes twenty times the memory while it is read.
    piece_bytes : int
        Read at a time.
    reading : float
        Size of a reading, in whatever unit; beyond it, as beyond all bounds, a cell is taken as missing and counted.

    Notes
    -----
    A day of ten channels at 100 samples a second has 8.6 million rows, 86 million cells and about 600 MB. Stamps in
    nanoseconds since 1970 are near 2e18, the largest figures a log honestly holds; squares of 1e30 are still finite.
    """

    file_bytes: int = 2_000_000_000
    line_bytes: int = 1_000_000
    rows: int = 20_000_000
    columns: int = 512
    cells: int = 100_000_000
    sheet_rows: int = 300_000
    sheet_cells: int = 4_000_000
    piece_bytes: int = 8_000_000
    reading: float = 1e30


@dataclass(slots=True)
class LogText:
    """One log file on disk. `sha256` is known once every line was read."""

    path: Path
    limits: LogLimits
    encoding: str
    remarks: list[str] = field(default_factory=list)
    sha256: str = ""

    def blocks(self) -> Iterator[list[str]]:
        """Yield whole lines without their ends, some megabytes at a time.

        Raises
        ------
        ValueError
            A line longer than the limit, a NUL, or text that is not in the encoding.
        """
        decoder = codecs.getincrementaldecoder(self.encoding)()
        digest = hashlib.sha256()
        rest, read = "", 0
        with self.path.open("rb") as file:
            while piece := file.read(self.limits.piece_bytes):
                digest.update(piece)
                read += len(piece)
                if read > self.limits.file_bytes:
                    raise _too_large(self.path.name, self.limits.file_bytes)
                text = rest + self._decoded(decoder, piece, final=False)
                # A carriage return at the very end may be the first half of a line end.
                end = max(text.rfind("\n"), text.rfind("\r", 0, len(text) - 1))
                whole, rest = text[: end + 1], text[end + 1 :]
                self._judge(whole, rest)
                if whole:
                    yield _lines(whole)
        rest += self._decoded(decoder, b"", final=True)
        self._judge(rest, "")
        if rest:
            yield _lines(rest)
        self.sha256 = digest.hexdigest()

    def _decoded(self, decoder: codecs.IncrementalDecoder, piece: bytes, *, final: bool) -> str:
        try:
            return decoder.decode(piece, final)
        except UnicodeDecodeError as error:
            msg = f"{self.path.name}: not text in {self.encoding} ({error.reason}); export the log as CSV in UTF-8."
            raise ValueError(msg) from error

    def _judge(self, whole: str, rest: str) -> None:
        if "\x00" in whole or "\x00" in rest:
            msg = f"{self.path.name}: holds NUL characters, so it is no text; export the log as CSV."
            raise ValueError(msg)
        longest = len(rest)
        if longest <= self.limits.line_bytes and len(whole) > self.limits.line_bytes:
            longest = max(longest, *map(len, _lines(whole)))
        if longest > self.limits.line_bytes:
            msg = (
                f"{self.path.name}: a line of more than {self.limits.line_bytes} characters is no line of a log; "
                "export it as CSV with one row per sample."
            )
            raise ValueError(msg)


def _lines(text: str) -> list[str]:
    # splitlines() would also break at form feeds and other signs that may stand inside a cell.
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    if lines and not lines[-1]:
        lines.pop()
    return lines


def open_log(path: Path, limits: LogLimits) -> LogText:
    """Judge a file by its beginning and find its encoding.

    Parameters
    ----------
    path : Path
    limits : LogLimits

    Raises
    ------
    ValueError
        Not a file, empty, larger than the limit, an archive, or binary.
    FileNotFoundError
        There is no such file.

    Notes
    -----
    A byte order mark decides; without one it is UTF-8, and where that fails anywhere in the file Windows-1252.
    """
    status = path.stat()
    if not stat.S_ISREG(status.st_mode):
        msg = f"{path.name} is not a file; give the log itself, as CSV or .xlsx."
        raise ValueError(msg)
    if status.st_size > limits.file_bytes:
        raise _too_large(path.name, limits.file_bytes)
    with path.open("rb") as file:
        head = file.read(65_536)
    if not head.strip():
        msg = f"{path.name} is empty; export the log again."
        raise ValueError(msg)
    for magic, what in _ARCHIVES.items():
        if head.startswith(magic):
            msg = f"{path.name} is {what}, not a text file; unpack it, or export the log as CSV or .xlsx."
            raise ValueError(msg)
    for mark, encoding, words in _MARKS:
        if head.startswith(mark):
            remarks = [] if words == "UTF-8" else [f"read as {words}, as its first bytes say."]
            return LogText(path, limits, encoding, remarks)
    if b"\x00" in head:
        msg = f"{path.name} is binary, not a text file; export the log as CSV."
        raise ValueError(msg)
    if _is_utf8(path, limits):
        return LogText(path, limits, "utf-8")
    return LogText(
        path, limits, "cp1252", ["not UTF-8; read as Windows-1252. Look at the degree and micro signs."]
    )


def _is_utf8(path: Path, limits: LogLimits) -> bool:
    decoder = codecs.getincrementaldecoder("utf-8")()
    try:
        with path.open("rb") as file:
            while piece := file.read(limits.piece_bytes):
                decoder.decode(piece)
        decoder.decode(b"", True)
    except UnicodeDecodeError:
        return False
    return True


def _too_large(name: str, limit: int) -> ValueError:
    return ValueError(f"{name}: more than {limit} bytes; split the log, or raise limits.file_bytes.")
