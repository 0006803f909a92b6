"""Files kept as they came, each under its SHA-256, so that the same bytes are kept once and a changed one shows."""

from __future__ import annotations

import hashlib
import os
import secrets
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from time import time

from hoistbook.store.problems import StoreRefused

_BLOCK = 1 << 20
BESIDE = ".making-"
"""In the name of what is still being written."""
STALE_S = 86_400.0
"""project rule: after a day nobody is still writing it; what a killed program left behind is cleared away then."""


def sha256_of(path: Path) -> str:
    """SHA-256 of a file, as 64 hexadecimal digits (FIPS 180-4)."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def path_of(files: Path, sha256: str) -> Path:
    """Where a file is kept."""
    return files / sha256[:2] / sha256


def keep_copy(files: Path, path: Path, sha256: str) -> int:
    """Keep a copy of a file.

    Parameters
    ----------
    files : Path
        Folder of the files of a store.
    path : Path
    sha256 : str
        What the file was when it was read.

    Returns
    -------
    int
        Its size. [bytes]

    Raises
    ------
    StoreRefused
        The file is another one by now, or cannot be kept.

    Notes
    -----
    The copy is on the disk, and whole, before it has its name: a load that is cut short leaves no half file under a
    hash. A kept file that was lost or damaged is made good by the same file coming again.
    """
    kept = path_of(files, sha256)
    if is_whole(kept, sha256):
        _check_same(path, sha256_of(path), sha256)
        return kept.stat().st_size
    beside = kept.with_name(f"{sha256}{BESIDE}{secrets.token_hex(8)}")
    digest, size = hashlib.sha256(), 0
    with path.open("rb") as source, _kept_in(kept.parent, beside):
        with beside.open("xb") as target:
            while block := source.read(_BLOCK):
                digest.update(block)
                size += len(block)
                target.write(block)
            target.flush()
            os.fsync(target.fileno())
        _check_same(path, digest.hexdigest(), sha256)
        beside.replace(kept)
        _sync_folder(kept.parent)
    return size


def _check_same(path: Path, now: str, sha256: str) -> None:
    if now != sha256:
        msg = f"{path} was changed while it was being read; save it, close it, and load it again."
        raise StoreRefused(msg)


def is_whole(kept: Path, sha256: str) -> bool:
    """Whether a file is there and is the one its name says."""
    return kept.is_file() and sha256_of(kept) == sha256


@contextmanager
def _kept_in(folder: Path, beside: Path) -> Iterator[None]:
    """Say where a file could not be kept; what stands beside is gone afterwards in any case."""
    try:
        if not folder.exists():
            folder.mkdir(parents=True, exist_ok=True)
            _sync_folder(folder.parent)
        yield
    except OSError as error:
        msg = f"{folder}: the file cannot be kept there: {error.strerror or error}. Nothing was written; mend that."
        raise StoreRefused(msg) from error
    finally:
        with suppress(OSError):
            beside.unlink(missing_ok=True)


def keep_bytes(files: Path, data: bytes) -> str:
    """Keep bytes made by the program (the list of the files of a folder); return their SHA-256."""
    sha256 = hashlib.sha256(data).hexdigest()
    kept = path_of(files, sha256)
    if not is_whole(kept, sha256):
        beside = kept.with_name(f"{sha256}{BESIDE}{secrets.token_hex(8)}")
        with _kept_in(kept.parent, beside):
            _written(beside, data)
            beside.replace(kept)
            _sync_folder(kept.parent)
    return sha256


def saved(path: Path, data: bytes) -> None:
    """Write a file so that it is there whole or not at all."""
    beside = path.with_name(f".{path.name}{BESIDE}{secrets.token_hex(8)}")
    try:
        _written(beside, data)
        beside.replace(path)
        _sync_folder(path.parent)
    finally:
        beside.unlink(missing_ok=True)


def _written(path: Path, data: bytes) -> None:
    with path.open("xb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def left_behind(folder: Path, files: Path) -> list[Path]:
    """What programs that were killed, or are still at it, have half written in a store."""
    return sorted([*folder.glob(f"*{BESIDE}*"), *files.glob(f"*/*{BESIDE}*")])


def sweep(folder: Path, files: Path) -> None:
    """Clear away what was left half written and has not been touched for a day."""
    for path in left_behind(folder, files):
        with suppress(OSError):
            if time() - path.stat().st_mtime > STALE_S:
                path.unlink()


def _sync_folder(folder: Path) -> None:
    """Bring a new name to the disk; systems that cannot sync a folder do it in their own time."""
    try:
        handle = os.open(folder, os.O_RDONLY)
    except OSError:
        return
    try:
        os.fsync(handle)
    except OSError:
        pass
    finally:
        os.close(handle)
