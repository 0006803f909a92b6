"""Files kept as they came, each under its SHA-256, so that the same bytes are kept once and a changed one shows."""

from __future__ import annotations

import hashlib
import os
import secrets
from pathlib import Path

from hoistbook.store.problems import StoreRefused

_BLOCK = 1 << 20


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
        The file is another one by now.

    Notes
    -----
    The copy is on the disk, and whole, before it has its name: a load that is cut short leaves no half file under a
    hash.
    """
    kept = path_of(files, sha256)
    if kept.exists():
        return kept.stat().st_size
    kept.parent.mkdir(parents=True, exist_ok=True)
    beside = kept.with_name(f"{sha256}.{secrets.token_hex(8)}")
    digest, size = hashlib.sha256(), 0
    try:
        with path.open("rb") as source, beside.open("xb") as target:
            while block := source.read(_BLOCK):
                digest.update(block)
                size += len(block)
                target.write(block)
            target.flush()
            os.fsync(target.fileno())
        if digest.hexdigest() != sha256:
            msg = f"{path} was changed while it was being read; save it, close it, and load it again."
            raise StoreRefused(msg)
        beside.replace(kept)
        _sync_folder(kept.parent)
    finally:
        beside.unlink(missing_ok=True)
    return size


def keep_bytes(files: Path, data: bytes) -> str:
    """Keep bytes made by the program (the list of the files of a folder); return their SHA-256."""
    sha256 = hashlib.sha256(data).hexdigest()
    kept = path_of(files, sha256)
    if not kept.exists():
        kept.parent.mkdir(parents=True, exist_ok=True)
        saved(kept, data)
    return sha256


def saved(path: Path, data: bytes) -> None:
    """Write a file so that it is there whole or not at all."""
    beside = path.with_name(f".{path.name}.{secrets.token_hex(8)}")
    try:
        with beside.open("xb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        beside.replace(path)
        _sync_folder(path.parent)
    finally:
        beside.unlink(missing_ok=True)


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
