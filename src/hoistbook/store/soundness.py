"""Whether a store is whole: its database, its chains of versions, and the files it names."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.apps import apps
from django.db import connection
from django.db.models import Count

from hoistbook.store.changes.models import Change, File, Vanished
from hoistbook.store.files import is_whole, left_behind, path_of
from hoistbook.store.place import DATABASE, Place, said
from hoistbook.store.problems import StoreRefused
from hoistbook.store.setup import APPS
from hoistbook.store.versions import Version, table


@dataclass(frozen=True, slots=True)
class Soundness:
    """What was found.

    Attributes
    ----------
    faults : tuple of str
        What is wrong, one sentence each with what to do.
    spare_files : tuple of str
        SHA-256 of files that no change names: their load was killed before it had written anything. They do no harm.
    left_behind : tuple of str
        Half-written files of a killed program, or of one that is at it; cleared away after a day.
    changes, files : int
        How many of them were looked at.
    """

    faults: tuple[str, ...]
    spare_files: tuple[str, ...]
    left_behind: tuple[str, ...]
    changes: int
    files: int

    def as_json(self) -> dict[str, Any]:
        """The same, for scripts."""
        return {
            "faults": list(self.faults),
            "spare_files": list(self.spare_files),
            "left_behind": list(self.left_behind),
            "changes": self.changes,
            "files": self.files,
        }


def soundness(place: Place) -> Soundness:
    """Look a store over, everything in it.

    Parameters
    ----------
    place : Place
        The open store.

    Notes
    -----
    The database is asked to check itself where it can (SQLite: integrity_check and foreign_key_check). Of every kind
    of row each slot is one chain with one end, and every file that came is there and is the one its SHA-256 says.
    """
    faults = _database(place)
    left = left_behind(place.folder, place.files)
    left_names = tuple(str(path.relative_to(place.folder)) for path in left)
    if faults:  # nothing that it would answer is worth anything
        return Soundness(tuple(faults), (), left_names, 0, 0)
    faults += _chains()
    named = set(File.objects.values_list("sha256", flat=True))
    for sha256 in sorted(named):
        path = path_of(place.files, sha256)
        if not is_whole(path, sha256):
            what = "damaged" if path.exists() else "gone"
            faults.append(f"{path}: the file is {what}; load it again, or put it back from a copy.")
    there = {path.name for path in place.files.glob("*/*") if path not in left}
    spare = tuple(sorted(there - named))
    return Soundness(tuple(faults), spare, left_names, Change.objects.count(), len(named))


def _database(place: Place) -> list[str]:
    if connection.vendor != "sqlite":
        return []  # the server sees to its own pages, and to its keys with every statement
    path = place.folder / DATABASE
    try:
        with said(), connection.cursor() as cursor:
            cursor.execute("PRAGMA integrity_check")
            wrong = [str(row[0]) for row in cursor.fetchall() if row[0] != "ok"]
            if wrong:
                return [f"{path} is damaged ({wrong[0]}); put the store back from a copy."]
            cursor.execute("PRAGMA foreign_key_check")
            return [
                f"{path}: row {row} of {name} names a row of {other} that is not there; put the store back from a copy."
                for name, row, other, _ in cursor.fetchall()
            ]
    except StoreRefused as refused:
        return [str(refused)]


def _chains() -> list[str]:
    models = [
        model
        for app in APPS
        for model in apps.get_app_config(app.rpartition(".")[2]).get_models()
        if issubclass(model, Version)
    ]
    told = []
    for model in models:
        ends = model.objects.heads().values("owner", "statement", "slot").annotate(n=Count("pk"))
        slots = model.objects.values("owner", "statement", "slot").distinct().count()
        if slots != ends.count() or ends.filter(n__gt=1).exists():
            told.append(
                f"{table(model)}: a slot has not exactly one last version; put the store back from a copy."
            )
    known = {table(model): model for model in models}
    for name, version in Vanished.objects.values_list("table", "version").distinct():
        if not known[name].objects.filter(pk=version).exists():
            told.append(
                f"{name}: row {version} is said to have vanished and never was; put the store back from a copy."
            )
    return told
