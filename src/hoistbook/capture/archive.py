"""Open a zip that a stranger made: judge it by its directory before a single byte is unpacked."""

from __future__ import annotations

import io
import stat
import zipfile
import zlib
from collections.abc import Iterator

from hoistbook.capture.faults import Findings
from hoistbook.capture.tables import Limits

_OLE_MAGIC = bytes.fromhex("d0cf11e0a1b11ae1")
_ZIP_MAGIC = b"PK\x03\x04"
_DIRECTORY_MAGIC = b"PK\x01\x02"
_ENCRYPTED_PACKAGE = "EncryptedPackage".encode("utf-16-le")
_CHUNK_BYTES = 1 << 18
_METHODS = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
_ENCRYPTED_FLAG = 0x1
BROKEN = (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError, OSError, ValueError)


class Archive:
    """A zip whose directory has passed `opened`; entries are read in bounded pieces."""

    def __init__(self, file: zipfile.ZipFile) -> None:
        self._file = file
        self.sizes: dict[str, int] = {info.filename: info.file_size for info in file.infolist()}

    def chunks(self, name: str) -> Iterator[bytes]:
        """Yield the bytes of an entry piece by piece; never more than the directory announced.

        Raises
        ------
        zipfile.BadZipFile, zlib.error, EOFError
            The entry is damaged.
        """
        with self._file.open(name) as entry:
            while chunk := entry.read(_CHUNK_BYTES):
                yield chunk


def opened(data: bytes, findings: Findings, limits: Limits) -> Archive | None:
    """Judge the bytes of a workbook and open its archive.

    Parameters
    ----------
    data : bytes
        The whole file, read once, so that what is checked is what is used.
    findings : Findings
        Receives the faults.
    limits : Limits

    Returns
    -------
    Archive or None
        None when a fault forbids reading on.

    Source
    ------
    common practice: size, ratio, entry count, path, duplicate, symlink and encryption checks before unpacking.
    """
    if not _looks_like_workbook(data, findings):
        return None
    # Counted in the raw bytes, so that a directory of millions of entries is refused before it is parsed.
    if data.count(_DIRECTORY_MAGIC) > limits.entries:
        findings.fault(
            f"the workbook has more than {limits.entries} entries; an honest one has a few dozen. "
            "Save it again from the spreadsheet program, or raise limits.entries.",
        )
        return None
    try:
        file = zipfile.ZipFile(io.BytesIO(data))
    except BROKEN as error:
        findings.fault(f"the file is damaged or cut off ({error}); copy it again from where it was made.")
        return None
    before = len(findings.faults)
    _judge(file.infolist(), findings, limits)
    return Archive(file) if len(findings.faults) == before else None


def _looks_like_workbook(data: bytes, findings: Findings) -> bool:
    if data.startswith(_OLE_MAGIC):
        if _ENCRYPTED_PACKAGE in data:
            findings.fault(
                "the workbook is protected by a password; remove the password and save it as .xlsx."
            )
        else:
            findings.fault("this is a workbook of the old .xls kind; open it and save it as .xlsx.")
        return False
    if not data:
        findings.fault("the file is empty; copy it again from where it was made.")
        return False
    if not data.startswith(_ZIP_MAGIC):
        findings.fault(
            "this is not an .xlsx workbook, whatever its name says; give an .xlsx file or a folder of CSV files.",
            value=ascii(data[:16]),
        )
        return False
    return True


def _judge(infos: list[zipfile.ZipInfo], findings: Findings, limits: Limits) -> None:
    total = 0
    seen: set[str] = set()
    for info in infos:
        name = info.orig_filename  # as stored; zipfile cuts `filename` at a NUL
        total += info.file_size
        if (trouble := _name_trouble(name)) is not None:
            findings.fault(
                f"an entry of the archive {trouble}; such a file is not from a spreadsheet program.",
                value=ascii(name),
            )
        if name.casefold() in seen:
            findings.fault(
                "the archive holds this entry twice, so it is unclear which one counts; save the workbook again.",
                value=ascii(name),
            )
        seen.add(name.casefold())
        if stat.S_ISLNK(info.external_attr >> 16):
            findings.fault(
                "an entry of the archive is a link to another file; such a file is not from a spreadsheet program.",
                value=ascii(name),
            )
        if info.flag_bits & _ENCRYPTED_FLAG:
            findings.fault(
                "the workbook is protected by a password; remove the password and save it as .xlsx.",
                value=ascii(name),
            )
        elif info.compress_type not in _METHODS:
            findings.fault(
                "an entry is packed by a method spreadsheets do not use; save the workbook again.",
                value=ascii(name),
            )
        if info.file_size > limits.ratio_floor_bytes and info.file_size > limits.ratio * max(
            info.compress_size, 1
        ):
            findings.fault(
                f"an entry unpacks from {info.compress_size} to {info.file_size} bytes, more than "
                f"{limits.ratio:g} times: "
                "this is how an archive bomb looks. Save the workbook again, or raise limits.ratio.",
                value=ascii(name),
            )
        if (
            name.rpartition("/")[2].casefold() in ("vbaproject.bin", "xlmacrosheet1.bin")
            or "/macrosheets/" in name.casefold()
        ):
            findings.fault(
                "the workbook carries macros, which are never read; save it as .xlsx without macros.",
                value=ascii(name),
            )
    if total > limits.unpacked_bytes:
        findings.fault(
            f"the archive unpacks to {total} bytes, more than {limits.unpacked_bytes}; split the "
            "workbook or raise limits.unpacked_bytes.",
        )


def _name_trouble(name: str) -> str | None:
    if "\x00" in name or any(ord(character) < 32 for character in name):
        return "has a control character in its name"
    if "\\" in name or (len(name) > 1 and name[1] == ":"):
        return "has a foreign path"
    if name.startswith("/") or ".." in name.split("/"):
        return "points outside the archive"
    return None
