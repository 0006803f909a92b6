"""The files a statement comes from: hashed before they are read, kept before anything is written about them."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from hoistbook.store.changes.models import Change, File
from hoistbook.store.files import keep_bytes, keep_copy, sha256_of
from hoistbook.store.place import Place
from hoistbook.store.problems import StoreRefused


@dataclass(frozen=True, slots=True)
class Source:
    """One file as it was before it was read."""

    path: Path
    name: str
    sha256: str
    size_bytes: int


@dataclass(frozen=True, slots=True)
class KeptFile:
    """The file a change points at (for a folder: the list of its files), and all that came with it."""

    file: File | None
    all: tuple[File, ...]

    def came_before(self, change: Change) -> bool:
        """Whether an earlier change about the same subject came from the same bytes."""
        earlier = Change.objects.filter(subject=change.subject, pk__lt=change.pk)
        return self.file is None or bool(earlier.filter(file_id=self.file.pk).exists())

    def note(self) -> None:
        """Enter the files that the store does not know yet; inside the `writing` block of their change."""
        known = set(File.objects.filter(pk__in=[file.pk for file in self.all]).values_list("pk", flat=True))
        File.objects.bulk_create({file.pk: file for file in self.all if file.pk not in known}.values())


def sources_of(path: Path, most_bytes: int | None = None) -> tuple[Source, ...]:
    """Hash a file, or the CSV files of a folder, as they are now; nothing for what is neither.

    Nor for more than `most_bytes` together: what the reader is going to refuse for its size is not hashed first.
    """
    files = _files_of(path)
    if most_bytes is not None and sum(one.stat().st_size for one in files) > most_bytes:
        return ()
    return tuple(Source(one, one.name, sha256_of(one), one.stat().st_size) for one in files)


def _files_of(path: Path) -> list[Path]:
    if path.is_dir():
        return sorted(one for one in path.iterdir() if one.suffix.casefold() == ".csv" and one.is_file())
    return [path] if path.is_file() else []


def keep(place: Place, path: Path, sources: tuple[Source, ...]) -> KeptFile:
    """Copy files into the store.

    Parameters
    ----------
    place : Place
    path : Path
        File or folder as it was named.
    sources : tuple of Source
        What `sources_of` said of it before it was read.

    Returns
    -------
    KeptFile
        Of a folder, the list of its files is kept as a file of its own and stands for it.

    Raises
    ------
    StoreRefused
        A file is another one by now.
    """
    if _files_of(path) != [source.path for source in sources]:
        msg = f"files came to {path} or went while it was being read; load it again when they are all there."
        raise StoreRefused(msg)
    now = datetime.now(UTC)
    kept = []
    for source in sources:
        size = keep_copy(place.files, source.path, source.sha256)
        kept.append(File(sha256=source.sha256, name=source.name, size_bytes=size, at=now))
    if not path.is_dir():
        return KeptFile(kept[0] if kept else None, tuple(kept))
    listed = {"files": [{"name": f.name, "sha256": f.sha256, "size_bytes": f.size_bytes} for f in sources]}
    data = json.dumps(listed, ensure_ascii=False, indent=1).encode()
    whole = File(sha256=keep_bytes(place.files, data), name=path.name, size_bytes=len(data), at=now)
    return KeptFile(whole, (whole, *kept))
